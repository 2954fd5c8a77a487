"""What the readings of a fit leave possible beyond Laplace's ellipsoid: profiles, weighed draws, chains.

The errors' deviation and memory stay as the fit found them. All points are natural logarithms of the parameters;
beliefs are flat in the logarithm within the bounds where a parameter has no prior.
"""

from collections.abc import Iterable
from math import inf

import numpy as np

from simtent.errors import SolveError
from simtent.identify import chains
from simtent.identify.fit import Fit
from simtent.identify.profile import Profile, profile
from simtent.identify.resampling import Resampled, drawn, resampled
from simtent.identify.sought import Sought
from simtent.identify.unidentified import unidentified
from simtent.network.arrays import Array

FREEDOM = (
    7.0  # degrees of freedom of the draws: heavier tails than a bell curve's, against what Laplace overlooks
)
LEAST_DRAWS = 400
ROUNDS = 4
OVER, MOST_OVER = 4, 30  # draws for one that is asked for: at first, at most
LEAST_WALKERS = 24


def profiles(found: Fit, names: Iterable[str] | None = None) -> dict[str, Profile]:
    """Profile likelihood of parameters by name; by default of those that the readings do not pin down.

    Values are natural logarithms: `np.exp(profiles(found)["loss"].interval())`.
    """
    known = [one.name for one in found.problem.parameters]
    wanted = flagged(found) if names is None else tuple(names)
    if unknown := set(wanted) - set(known):
        raise ValueError(f"no such parameters: {', '.join(sorted(unknown))}")
    sought = Sought(found.problem)
    cost = _cost(sought, found, found.logs)

    def least(index: int, value: float, begin: Array) -> tuple[float, Array]:
        end = sought.least(begin, found.errors, held=index)
        return (inf, begin) if end is None else (end[1], end[0])

    covariance = proposal(found)  # leads along what the readings leave open, too
    out = {}
    for name in wanted:
        k = known.index(name)
        bounds = float(sought.low[k]), float(sought.high[k])
        out[name] = profile(least, k, found.logs, cost, covariance, bounds, (sought.low, sought.high))
    return out


def flagged(found: Fit) -> tuple[str, ...]:
    """Names of parameters that cannot be found, act like another one, or ended at a bound."""
    told = unidentified(found)
    named = [
        *(name for one in told.confounded for name in one.names),
        *(name for pair in told.pairs for name in pair[:2]),
        *told.at_bound,
    ]
    return tuple(dict.fromkeys(named))


def draws(found: Fit, n: int, seed: int = 0, freedom: float = FREEDOM, rounds: int = ROUNDS) -> Resampled:
    """Draw from what readings and priors leave possible, as many as count as n independent ones.

    Four times as many are drawn and weighed, and more up to thirty times, about Laplace's best point and covariance;
    where that serves badly, again about those of the draws themselves. Whether they can be trusted the result says, and
    hands none out where they cannot.
    """
    sought = Sought(found.problem)
    return resampled(
        lambda points: _densities(sought, found, points),
        found.logs,
        proposal(found),
        (sought.low, sought.high),
        max(OVER * n, LEAST_DRAWS),
        wanted=n,
        most=MOST_OVER * n,
        rounds=rounds,
        freedom=freedom,
        seed=seed,
    )


def walked(
    found: Fit,
    wanted: float = 200.0,
    most: int = 10000,
    seed: int = 0,
    progress: chains.Progress | None = None,
) -> chains.Chains:
    """Sample by walkers that begin where Laplace's covariance says; refused, in words, where they are too short."""
    sought = Sought(found.problem)
    bounds = sought.low, sought.high
    walkers = max(LEAST_WALKERS, 4 * found.logs.size)
    begins = drawn(found.logs, proposal(found), bounds, walkers, seed=seed)[0]
    return chains.sampled(
        lambda points: _densities(sought, found, points),
        begins,
        bounds,
        wanted=wanted,
        most=most,
        seed=seed,
        progress=progress,
    )


def proposal(found: Fit) -> Array:
    """Laplace's covariance [p, p], made finite by the bounds: as wide as an even spread over them, at most."""
    low, high = np.log([one.bounds for one in found.problem.parameters]).T
    return np.asarray(np.linalg.inv(found.information.matrix() + np.diag(12.0 / (high - low) ** 2)))


def _densities(sought: Sought, found: Fit, points: Array) -> Array:
    return np.array([-_cost(sought, found, point) for point in points])


def _cost(sought: Sought, found: Fit, point: Array) -> float:
    """Half the squares of readings and priors; infinite where the network cannot be solved."""
    try:
        return 0.5 * float(np.sum(sought.residuals(point, found.errors) ** 2))
    except SolveError:
        return inf

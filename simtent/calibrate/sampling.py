"""Beyond the bell curve: draws weighed by the nights they make, chains, profiles of numbers that the logs leave open.

Every density simulates every logged night. Draws and chains take the errors' deviation and memory as unknown, profiles
as the fit found them.
"""

import math
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
from scipy.optimize import lsq_linear

from simtent.calibrate.bent import measured
from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.misfit import with_slopes
from simtent.calibrate.search import Progress
from simtent.errors import InputError, SolveError
from simtent.identify.adapted import adapted
from simtent.identify.chains import Chains, sampled
from simtent.identify.profile import Profile, profile
from simtent.identify.resampling import Resampled
from simtent.network.arrays import Array

WANTED = 100.0  # independent draws that ranges rest on
DRAWS, MOST = 150, 9.0  # of a round, and how many there may be for each that is wanted
PER_NUMBER = 3.0  # effective draws below which they tell less than a bell curve
LARGEST = 1e6  # deviations that stand for any number of them
WIDER = 1.2  # variance of the first round, in that of the bell curve
FREEDOM = 7.0  # of the multivariate t that draws come from: its tails cover what a bell curve leaves out
NEAR, STEPS, HALVINGS = 0.02, 5, 3
MOST_PROFILES = 3
AT_A_TIME = 20  # points between two lines of progress


def density(found: Calibrated, points: Array, progress: Progress = lambda _line: None) -> Array:
    """Natural logarithm of the density at points [n, p], up to a constant; -inf where a night cannot be solved."""

    def one(z: Array) -> float:
        try:
            return found.misfit.likely(z, found.misfit.seen(z))
        except (SolveError, InputError):
            return -np.inf

    out: list[float] = []
    with ThreadPoolExecutor(os.cpu_count() or 1) as threads:
        for first in range(0, len(points), AT_A_TIME):
            out += threads.map(one, points[first : first + AT_A_TIME])
            progress(f"draws: {len(out)} of {len(points)}")
    return np.array(out)


def weighed(
    found: Calibrated, wanted: float = WANTED, seed: int = 0, progress: Progress = lambda _line: None
) -> Calibrated:
    """The same fit, its ranges by draws weighed by how well the nights they make fit the logs.

    wanted   as how many independent ones the draws should count; fewer may have to serve, `found.drawn` says so
    Where they tell too little, or somebody stops them, the ranges stay those of the bell curve.
    """
    try:
        drawn = _resampled(found, wanted, seed, progress)
    except KeyboardInterrupt:
        progress("stopped: ranges are those of a bell curve")
        return found
    if drawn.shape > drawn.limit or drawn.effective < PER_NUMBER * found.posterior.z.size:
        return replace(found, drawn=drawn)
    serving = replace(drawn, wanted=min(drawn.wanted, drawn.effective))
    return replace(found, drawn=drawn, posterior=found.posterior.weighed(serving))


def _resampled(found: Calibrated, wanted: float, seed: int, progress: Progress) -> Resampled:
    """Draws in bent coordinates, told in straight ones."""
    progress("how nights bend with every number")
    known, best = found.posterior, found.best
    bent = measured(found.misfit, known.z, known.deviations, best.seen, best.errors)
    most = math.ceil(MOST * wanted / DRAWS)
    rounds = iter(range(1, most + 1))

    def densities(points: Array) -> Array:
        n = next(rounds)
        told = density(
            found, bent.back(points), lambda line: progress(f"round {n} of at most {most}, {line}")
        )
        return told + bent.log_size(points)

    bounds = np.array([one.ends for one in found.sought]).T
    low, high = (np.nan_to_num(bent.there(it), posinf=LARGEST, neginf=-LARGEST) for it in bounds)
    drawn = adapted(
        densities,
        np.zeros(known.z.size),
        WIDER * known.covariance,
        (low, high),
        DRAWS,
        wanted=wanted,
        rounds=most,
        freedom=FREEDOM,
        seed=seed,
    )
    return replace(drawn, points=bent.back(drawn.points))


def chains(found: Calibrated, wanted: float, most: int, seed: int = 0) -> Chains:
    """Walkers of `emcee`, begun around the most likely numbers; chains that are too short say so and are refused."""
    low, high = np.array([one.ends for one in found.sought]).T
    begins = found.posterior.draws(4 * low.size, seed)
    return sampled(
        lambda points: density(found, points), begins, (low, high), wanted=wanted, most=most, seed=seed
    )


def profiles(
    found: Calibrated, names: Sequence[str], progress: Progress = lambda _line: None
) -> dict[str, Profile]:
    """Profile likelihood of numbers, in deviations of what was believed; the first few names only."""
    out = {}
    low, high = np.array([one.ends for one in found.sought]).T
    for name in names[:MOST_PROFILES]:
        progress(f"how far {name} may go")
        k = found.posterior.index(name)
        out[name] = profile(
            _least(found),
            k,
            found.posterior.z,
            found.best.cost,
            found.posterior.covariance,
            found.sought[k].ends,
            (low, high),
        )
    return out


def _least(found: Calibrated) -> Callable[[int, float, Array], tuple[float, Array]]:
    """The least cost with one number held, by steps with the slopes of the most likely point."""
    misfit, errors = found.misfit, found.best.errors
    low, high = np.array([one.ends for one in found.sought]).T

    def cost(z: Array) -> tuple[float, Array, Array]:
        seen = replace(misfit.seen(z), slopes=found.best.seen.slopes)
        residuals = misfit.residuals(z, seen, errors)
        slopes = misfit.slopes(replace(seen, odds=with_slopes(seen, found.best.seen)), errors)
        return 0.5 * float(residuals @ residuals), residuals, slopes

    def least(index: int, value: float, begin: Array) -> tuple[float, Array]:
        z = begin.copy()
        z[index] = value
        others = np.arange(z.size) != index
        try:
            now, residuals, slopes = cost(z)
            for _ in range(STEPS):
                step = np.zeros(z.size)
                bounds = (low[others] - z[others] - 1e-9, high[others] - z[others] + 1e-9)
                step[others] = lsq_linear(slopes[:, others], -residuals, bounds).x
                for _ in range(HALVINGS):
                    there = np.clip(z + step, low, high)
                    there[index] = value
                    found_there = cost(there)
                    if found_there[0] <= now:
                        break
                    step *= 0.5
                else:
                    break
                z, (now, residuals, slopes) = there, found_there
                if float(np.abs(step).max()) < NEAR:
                    break
        except (SolveError, InputError):
            return np.inf, z
        return now, z

    return least

"""Beyond the bell curve: profiles of numbers that the logs leave open, draws weighed by the nights they make, chains.

All ask for the density of numbers under errors as the fit found them: every call simulates every logged night.
"""

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
from scipy.optimize import lsq_linear

from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.misfit import with_slopes
from simtent.calibrate.search import Progress
from simtent.errors import InputError, SolveError
from simtent.identify.chains import Chains, sampled
from simtent.identify.profile import Profile, profile
from simtent.identify.resampling import Resampled, resampled
from simtent.network.arrays import Array

FREEDOM = 7.0  # of the multivariate t that draws come from: its tails cover what a bell curve leaves out
NEAR, STEPS, HALVINGS = 0.02, 5, 3
MOST_PROFILES = 3
AT_A_TIME = 20  # points between two lines of progress


def density(found: Calibrated, points: Array, progress: Progress = lambda _line: None) -> Array:
    """Natural logarithm of the density at points [n, p], up to a constant; -inf where a night cannot be solved."""

    def one(z: Array) -> float:
        try:
            residuals = found.misfit.residuals(z, found.misfit.seen(z), found.best.errors)
        except (SolveError, InputError):
            return -np.inf
        return -0.5 * float(residuals @ residuals)

    out: list[float] = []
    with ThreadPoolExecutor(os.cpu_count() or 1) as threads:
        for first in range(0, len(points), AT_A_TIME):
            out += threads.map(one, points[first : first + AT_A_TIME])
            progress(f"draws: {len(out)} of {len(points)}")
    return np.array(out)


def resample(
    found: Calibrated, draws: int, wanted: float, seed: int = 0, progress: Progress = lambda _line: None
) -> Resampled:
    """Draws around the most likely numbers, weighed by how well the nights they make fit the logs.

    Whether they can be trusted is for `Resampled.trusted` and `words` to say. `wanted`: as how many independent ones
    they should count.
    """
    low, high = np.array([one.ends for one in found.sought]).T
    return resampled(
        lambda points: density(found, points, progress),
        found.posterior.z,
        found.posterior.covariance,
        (low, high),
        draws,
        wanted=wanted,
        freedom=FREEDOM,
        seed=seed,
    )


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

"""Sampling of a density by walkers, and the refusal of chains that are too short to say anything.

The sampler is `emcee`'s (Goodman and Weare's affine stretch move), an extra dependency. Chains serve if they are
50 autocorrelation times long (the sampler's own advice; Foreman-Mackey, Hogg, Lang and Goodman 2013, PASP 125:306), if
groups of walkers agree (split R-hat at most 1.01; Vehtari, Gelman, Simpson, Carpenter and Buerkner 2021, Bayesian
Analysis 16(2), there with ranks), and if as many independent draws are in them as were asked for.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from simtent.network.arrays import Array

LEAST_LENGTH = 50.0  # autocorrelation times
LARGEST_RATIO = 1.01
GROUPS = 4  # of walkers; each is split in its earlier and its later half
BATCH = 100  # steps between two looks at the chains
BURNT = 0.25  # of all steps are forgotten, as the walkers' way from their begin
WINDOW = 5.0  # autocorrelation times that are summed over (Sokal's rule)

Densities = Callable[[Array], Array]
Progress = Callable[[int, int], None]


class UnsampledError(ValueError):
    """Draws of chains were asked for that did not converge, or no sampler is there; the text says which."""


@dataclass(frozen=True)
class Chains:
    """Where the walkers went, and whether that can be trusted.

    steps       [s, w, p], after the way from their begin was forgotten
    times       [p], autocorrelation times in steps
    ratios      [p], split R-hat of groups of walkers
    effective   independent draws in all chains, of the slowest parameter
    wanted      how many were asked for
    stopped     whether the walk was interrupted
    """

    steps: Array
    times: Array
    ratios: Array
    effective: float
    wanted: float
    stopped: bool = False

    @property
    def trusted(self) -> bool:
        """Whether the chains are long enough, agree, and hold what was asked for."""
        return not self._faults()

    def words(self) -> tuple[str, ...]:
        """Say how good they are, or why they are refused."""
        faults = self._faults()
        if faults:
            early = " They were interrupted." if self.stopped else ""
            return (f"The chains are refused: {'; '.join(faults)}. Walk on for longer.{early}",)
        return (
            f"{len(self.steps)} steps of {self.steps.shape[1]} walkers count as {self.effective:.0f} independent "
            f"draws ({len(self.steps) / self.times.max():.0f} autocorrelation times, R-hat {self.ratios.max():.3f}).",
        )

    def _faults(self) -> list[str]:
        faults, length = [], len(self.steps)
        if not length >= LEAST_LENGTH * self.times.max():
            faults.append(
                f"{length} steps are {length / self.times.max():.0f} autocorrelation times, {LEAST_LENGTH:.0f} "
                "are needed"
            )
        if not self.ratios.max() <= LARGEST_RATIO:
            faults.append(
                f"groups of walkers do not agree (R-hat {self.ratios.max():.3f}, at most {LARGEST_RATIO})"
            )
        if not self.effective >= self.wanted:
            faults.append(
                f"they hold {self.effective:.0f} independent draws, {self.wanted:.0f} were asked for"
            )
        return faults

    def draws(self, n: int, seed: int = 0) -> Array:
        """Draw n points of the chains, shape [n, p].

        Raises UnsampledError where the chains are refused.
        """
        if not self.trusted:
            raise UnsampledError(" ".join(self.words()))
        points = self.steps.reshape(-1, self.steps.shape[2])
        chance = np.random.default_rng(seed)
        return np.asarray(points[chance.choice(len(points), n, replace=n > len(points))])


def sampled(
    densities: Densities,
    begins: Array,
    bounds: tuple[Array, Array],
    *,
    wanted: float = 200.0,
    most: int = 10000,
    seed: int = 0,
    progress: Progress | None = None,
) -> Chains:
    """Let walkers go until their chains serve, or for so many steps at most; Ctrl-C keeps what was walked.

    densities   natural logarithms of the density [n] at points [n, p], up to a constant; -inf where there is none;
                asked for half of the walkers at once, and only within the bounds
    begins      [w, p] of an even number of walkers, at least 4 p and 8, within the bounds, each of some density
    progress    told the steps done, and the most there will be
    Raises UnsampledError where the sampler is not installed, ValueError where walkers are too few.
    """
    walkers, p = begins.shape
    if walkers % 2 or walkers < max(4 * p, 2 * GROUPS):
        raise ValueError(
            f"an even number of walkers is needed, {max(4 * p, 2 * GROUPS)} at least, got {walkers}"
        )
    sampler = _sampler(densities, walkers, p, bounds)
    sampler.random_state = np.random.RandomState(seed).get_state()
    stopped = False
    while True:
        try:
            _walk(sampler, begins, min(BATCH, most - sampler.iteration), progress, most)
        except KeyboardInterrupt:
            stopped = True
        found = judged(_walked(sampler), wanted, stopped=stopped)
        if found.trusted or stopped or sampler.iteration >= most:
            return found


def _walk(sampler: Any, begins: Array, steps: int, progress: Progress | None, most: int) -> None:
    """Some steps more, from the begin or from where the walkers stand."""
    now = sampler.get_last_sample() if sampler.iteration else begins
    for _ in sampler.sample(now, iterations=steps):
        if progress is not None:
            progress(sampler.iteration, most)


def _sampler(densities: Densities, walkers: int, p: int, bounds: tuple[Array, Array]) -> Any:
    try:
        import emcee  # noqa: PLC0415  (an extra dependency)
    except ImportError as wrong:
        raise UnsampledError(
            "Sampling needs the package emcee, which is not installed: pip install 'simtent[posterior]'. "
            "Importance resampling needs nothing more."
        ) from wrong

    def within(points: Array) -> Array:
        inside = np.all((points >= bounds[0]) & (points <= bounds[1]), axis=1)
        out = np.full(len(points), -np.inf)
        if np.any(inside):
            out[inside] = densities(points[inside])
        return out

    return emcee.EnsembleSampler(walkers, p, within, vectorize=True)


def judged(steps: Array, wanted: float, *, stopped: bool = False) -> Chains:
    """Measure chains [s, w, p] whose walk from the begin was taken off already."""
    if len(steps) < 4:
        nothing = np.full(steps.shape[2], math.inf)
        return Chains(steps, nothing, nothing, 0.0, wanted, stopped)
    times = np.array([autocorrelation_time(steps[:, :, k]) for k in range(steps.shape[2])])
    ratios = np.array([split_ratio(steps[:, :, k]) for k in range(steps.shape[2])])
    effective = float(steps.shape[0] * steps.shape[1] / times.max())
    return Chains(steps, times, ratios, effective, wanted, stopped)


def autocorrelation_time(walks: Array) -> float:
    """Integrated autocorrelation time [steps] of walks [s, w] of one number; infinite if nothing moves.

    1 + 2 sum of the autocorrelation, up to the first lag of 5 times the sum so far (Sokal 1989). Deviations count from
    the mean of all walkers, so that walkers which stay apart never seem to forget.
    """
    length = len(walks)
    moved = walks - np.mean(walks)
    size = 1 << (2 * length - 1).bit_length()
    spectrum = np.abs(np.fft.rfft(moved, size, axis=0)) ** 2
    products = np.fft.irfft(spectrum, size, axis=0)[:length].mean(axis=1)
    if not products[0] > 0.0:
        return math.inf
    sums = 2.0 * np.cumsum(products / products[0]) - 1.0
    enough = np.arange(length) >= WINDOW * sums
    return float(max(sums[np.argmax(enough)] if np.any(enough) else sums[-1], 1.0))


def split_ratio(walks: Array) -> float:
    """Split R-hat of walks [s, w] of one number: by how much their spread as a whole passes that of their parts.

    Parts are groups of neighbouring walkers, each in two halves of time.
    """
    half = len(walks) // 2
    parts = [
        part.ravel()
        for time in (walks[:half], walks[len(walks) - half :])
        for part in np.array_split(time, GROUPS, axis=1)
    ]
    within = float(np.mean([np.var(part, ddof=1) for part in parts]))
    between = float(np.var([np.mean(part) for part in parts], ddof=1))
    if not within > 0.0:
        return math.inf
    many = float(np.mean([part.size for part in parts]))
    return math.sqrt((many - 1.0) / many + between / within)


def _walked(sampler: Any) -> Array:
    if not sampler.iteration:
        return np.zeros((0, sampler.nwalkers, sampler.ndim))
    return np.asarray(sampler.get_chain(discard=int(BURNT * sampler.iteration)))

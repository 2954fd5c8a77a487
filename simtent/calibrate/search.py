"""Most likely numbers: from several starts on few layers of air, then on all; errors and numbers in turns."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares, lsq_linear

from simtent.calibrate import errors as errors_of
from simtent.calibrate.misfit import Misfit, Seen, with_slopes
from simtent.calibrate.sought import Sought
from simtent.derivatives import OtherCourseError
from simtent.errors import InputError, SolveError
from simtent.identify.memory import Errors
from simtent.network.arrays import Array

STEPS, ROUGH = 6, 1e-2  # of least squares from each start, and the change of the misfit at which they end
OWN_SLOPES = 3  # points of all layers whose slopes are simulated
FAR = 0.3  # deviations, from which slopes are simulated anew
APPROACHES, HALVINGS = 8, 4
SETTLED = 0.05  # change of the logarithms of deviation and memory
NO_GAIN = (
    0.05  # of the misfit, which a step must promise to be worth one: a third of a deviation of one number
)
NEAR = 0.02  # deviations of a belief, within which numbers have settled
ROUND_OFF = 1e-12
SPREAD_OF_STARTS = 0.7  # deviations

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Best:
    """The best point so far.

    z         numbers, in deviations from what was believed
    errors    of each sensor
    cost      half the squared residuals
    seen      nights at z, with slopes
    costs     half the squares that each start ended with, in their order; infinite where none could be solved
    settled   whether neither numbers nor errors moved any more
    stopped   whether somebody stopped the search
    """

    z: Array
    errors: dict[str, Errors]
    cost: float
    seen: Seen
    costs: tuple[float, ...]
    settled: bool
    stopped: bool


class _Least:
    """Least squares of one misfit under given errors; the best point stays, whatever ends the search."""

    def __init__(self, misfit: Misfit, errors: dict[str, Errors], note: Callable[[float], None]) -> None:
        self.misfit, self.errors, self.note = misfit, errors, note
        self.best: tuple[float, Array] | None = None
        self.trouble = ""
        self.last: tuple[Array, Array, Array] | None = (
            None  # a point, its residuals, and slopes by simulated nights
        )

    def residuals(self, z: Array) -> Array:
        """All residuals; infinite where a night cannot be solved, so that the step is made shorter."""
        try:
            found = self.misfit.residuals(z, self.misfit.seen(z), self.errors)
        except (SolveError, InputError, OtherCourseError) as trouble:
            self.trouble = f" {trouble}"
            size = sum(one.seconds.size for it in self.misfit.outlooks for one in it.night.readings)
            odds = sum(len(it.night.relit) for it in self.misfit.outlooks)
            return np.full(size + odds + z.size, np.inf)
        cost = 0.5 * float(found @ found)
        if self.best is None or cost < self.best[0]:
            self.best = (cost, z.copy())
            self.note(cost)
        return found

    def slopes(self, z: Array) -> Array:
        """Slopes by simulated nights, or, every other time, those of the last point corrected by what has changed.

        Broyden's correction of rank one: 1965, Mathematics of Computation 19(92).
        """
        residuals = self.residuals(z)
        if self.last is not None:
            before, there, slopes = self.last
            step = z - before
            self.last = None
            if np.any(step):
                return np.asarray(slopes + np.outer(residuals - there - slopes @ step, step) / (step @ step))
        found = self.misfit.slopes(self.misfit.seen_with_slopes(z), self.errors)
        self.last = (z.copy(), residuals, found)
        return found

    def run(self, begin: Array) -> None:
        """Search from a point until the misfit falls by less than a share; SolveError where it cannot be solved."""
        low, high = np.array([one.ends for one in self.misfit.sought]).T
        margin = 1e-6 * (high - low)
        inside = np.clip(begin, low + margin, high - margin)
        if not np.all(np.isfinite(self.residuals(inside))):
            raise SolveError(f"A logged night cannot be simulated with these numbers.{self.trouble}")
        with suppress(SolveError, InputError):  # the best point so far stays
            least_squares(
                self.residuals, inside, self.slopes, bounds=(low, high), x_scale=1.0, max_nfev=STEPS,
                xtol=NEAR / 10.0, ftol=ROUGH, gtol=1e-6,
            )  # fmt: skip


def search(coarse: Misfit, fine: Misfit, starts: int, seed: int, progress: Progress) -> Best:
    """Search from several starts with the coarse model, and on from the best with the fine one.

    Interrupted by the keyboard it returns the best point so far; KeyboardInterrupt goes on where there is none yet.
    Raises SolveError where no start can be simulated.
    """
    hunt = _Hunt(coarse, fine, progress)
    stopped = False
    try:
        hunt.starts(_begins(fine.sought, starts, seed))
        hunt.settle()
    except KeyboardInterrupt:
        if hunt.z is None:
            raise
        stopped = True
        progress("stopped: the best so far is kept")
    return hunt.told(stopped)


class _Hunt:
    """The search, with all that it has found when it is interrupted."""

    def __init__(self, coarse: Misfit, fine: Misfit, progress: Progress) -> None:
        self.coarse, self.fine, self.progress = coarse, fine, progress
        self.z: Array | None = None
        self.errors = fine.first_errors()
        self.costs: list[float] = []
        self.settled = False
        self.slopes: Seen | None = None

    def starts(self, begins: Sequence[Array]) -> None:
        """The best end of several starts."""
        lowest = np.inf
        for n, begin in enumerate(begins, 1):
            least = _Least(self.coarse, self.errors, self._noting(f"start {n} of {len(begins)}"))
            try:
                least.run(begin)
            except SolveError as error:
                self.progress(f"start {n} of {len(begins)} is lost: {error}")
                self.costs.append(np.inf)
                continue
            finally:
                if least.best is not None and least.best[0] < lowest:
                    lowest, self.z = least.best
            self.costs.append(least.best[0] if least.best else np.inf)
        if self.z is None:
            raise SolveError(
                "No start of the fit can be simulated. Look whether each logged night can be by itself: its loads, "
                "its times, its weather."
            )

    def settle(self) -> None:
        """Errors and numbers in turns, on all layers: by slopes of few, nearly the same, then by their own."""
        assert self.z is not None
        self._approach(self.coarse.seen_with_slopes(self.z), "all layers")
        for _ in range(OWN_SLOPES):
            begin = self.z
            self._approach(self.fine.seen_with_slopes(self.z), "all layers, own slopes")
            if float(np.abs(self.z - begin).max()) < FAR:
                return
        self.settled = False

    def told(self, stopped: bool) -> Best:
        """What was found, with slopes at it."""
        assert self.z is not None
        slopes = self.slopes if self.slopes is not None else self.fine.seen_with_slopes(self.z)
        here = self.fine.seen(self.z)
        seen = replace(here, slopes=slopes.slopes, odds=with_slopes(here, slopes))
        residuals = self.fine.residuals(self.z, seen, self.errors)
        cost = 0.5 * float(residuals @ residuals)
        settled = self.settled and not stopped
        return Best(self.z, self.errors, cost, seen, tuple(self.costs), settled, stopped)

    def _approach(self, slopes: Seen, name: str) -> None:
        """Steps of all layers by slopes of a point nearby, errors found anew each time, until nothing moves."""
        assert self.z is not None
        noting = self._noting(name)
        self.settled, self.slopes = False, slopes
        seen = replace(self.fine.seen(self.z), slopes=slopes.slopes)
        for _ in range(APPROACHES):
            before, self.errors = self.errors, _errors(self.fine, seen, self.errors)
            begin = self.z
            gain, seen = self._step(seen, slopes)
            residuals = self.fine.residuals(self.z, seen, self.errors)
            noting(0.5 * float(residuals @ residuals))
            if gain < NO_GAIN and _change(before, self.errors) < SETTLED:
                self.settled = True
                return
            if self.z is begin and _change(before, self.errors) < SETTLED:
                return  # these slopes lead no farther

    def _step(self, seen: Seen, slopes: Seen) -> tuple[float, Seen]:
        """One step of least squares within the bounds, halved until the misfit falls; by how much it was to fall."""
        assert self.z is not None
        low, high = np.array([one.ends for one in self.fine.sought]).T
        residuals = self.fine.residuals(self.z, seen, self.errors)
        moved = self.fine.slopes(replace(slopes, odds=with_slopes(seen, slopes)), self.errors)
        inside = np.clip(self.z, low, high)
        step = lsq_linear(moved, -residuals, (low - inside - ROUND_OFF, high - inside + ROUND_OFF)).x
        gain = 0.5 * (_size(residuals) - _size(residuals + moved @ step))
        for _ in range(HALVINGS):
            point = np.clip(inside + step, low, high)
            try:
                there = replace(self.fine.seen(point), slopes=slopes.slopes)
            except (SolveError, InputError):
                step = 0.5 * step
                continue
            if _size(self.fine.residuals(point, there, self.errors)) <= _size(residuals):
                self.z = point
                return gain, there
            step = 0.5 * step
        return gain, seen  # a step of which no part helps has not settled, unless it promised next to nothing

    def _noting(self, name: str) -> Callable[[float], None]:
        return lambda cost: self.progress(f"{name}: misfit {cost:.1f}")


def _size(residuals: Array) -> float:
    return float(residuals @ residuals)


def _errors(misfit: Misfit, seen: Seen, before: dict[str, Errors]) -> dict[str, Errors]:
    """Deviation and memory of every sensor's errors, the others as they were."""
    assert seen.slopes is not None
    now = dict(before)
    for place in misfit.places:
        others = np.eye(len(misfit.sought))
        for other in misfit.places:
            if other != place:
                for t, moved in zip(*misfit.by_place(seen.slopes, other), strict=True):
                    white = now[other].whitened(t, moved)
                    others = others + white.T @ white
        times, left = misfit.by_place(seen.left, place)
        _, slopes = misfit.by_place(seen.slopes, place)
        now[place] = errors_of.found(times, left, slopes, others, misfit.noise(place))
    return now


def _change(before: dict[str, Errors], after: dict[str, Errors]) -> float:
    moved = [
        np.log([after[place].deviation / before[place].deviation, after[place].memory / before[place].memory])
        for place in after
    ]
    return float(np.abs(moved).max())


def _begins(sought: Sequence[Sought], starts: int, seed: int) -> list[Array]:
    """What was believed, and points drawn around it."""
    chance = np.random.default_rng(seed)
    drawn = [SPREAD_OF_STARTS * chance.standard_normal(len(sought)) for _ in range(starts - 1)]
    return [np.zeros(len(sought)), *drawn]

"""Most likely numbers: from several starts on few layers of air, then on all; errors and numbers in turns."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from simtent.calibrate import errors as errors_of
from simtent.calibrate.misfit import Misfit, Seen, with_slopes
from simtent.calibrate.sought import Sought
from simtent.calibrate.steps import FIRST_HELD, Point, half_squares, reach, step
from simtent.derivatives import OtherCourseError
from simtent.errors import InputError, SolveError
from simtent.identify.memory import Errors
from simtent.network.arrays import Array

START_SLOPES, FEW_STEPS = 3, 3  # points of a start whose slopes are simulated, and steps by each
ROUGH = 5e-3  # share of the misfit of a start below which a step is not worth it
OWN_SLOPES = 6  # points of all layers whose slopes are simulated
APPROACHES = 5  # steps by the slopes of one point
FIRST_REACH = 0.05  # deviations, over which slopes are taken where nothing is known of them yet
TRIES, FEW_TRIES = 6, 2  # of a step by slopes of the point itself, and by those of another one
SETTLED = 0.05  # change of the logarithms of deviation and memory
NO_GAIN = (
    0.05  # of the misfit; a step that brings less is not worth one: a third of a deviation of one number
)
MARGIN = 1e-6  # of the way between bounds, within which starts begin
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
    settled   whether steps by slopes simulated at the last point lower the misfit by less than `NO_GAIN` altogether,
              however short, and errors no longer move
    stopped   whether somebody stopped the search
    """

    z: Array
    errors: dict[str, Errors]
    cost: float
    seen: Seen
    costs: tuple[float, ...]
    settled: bool
    stopped: bool


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
        self.moved: Sequence[Array] = ()  # slopes of few layers where the best start ended
        self.lowest = np.inf

    def starts(self, begins: Sequence[Array]) -> None:
        """The best end of several starts."""
        moved: Sequence[Array] = ()
        for n, begin in enumerate(begins, 1):
            try:
                cost, moved = self._start(begin, moved, f"start {n} of {len(begins)}")
            except (SolveError, InputError, OtherCourseError) as error:
                self.progress(f"start {n} of {len(begins)} is lost: {error}")
                cost = np.inf
            self.costs.append(cost)
        if self.z is None:
            raise SolveError(
                "No start of the fit can be simulated. Look whether each logged night can be by itself: its loads, "
                "its times, its weather."
            )

    def _start(self, begin: Array, moved: Sequence[Array], name: str) -> tuple[float, Sequence[Array]]:
        """Steps from a begin while they are worth it: the misfit at their end, and slopes of what is simulated there.

        Slopes are simulated anew after every few steps; the first are those of another start, where there are some.
        """
        low, high = np.array([one.ends for one in self.coarse.sought]).T
        z = np.clip(begin, low + MARGIN * (high - low), high - MARGIN * (high - low))
        if moved:
            at = Point(z, self.coarse.carried(z, self.coarse.seen(z), moved))
        else:
            at = Point(z, self.coarse.seen_with_slopes(z, np.full(z.size, FIRST_REACH)))
        cost = self._noted(at, name)
        for n in range(START_SLOPES):
            if n:
                far = reach(self.coarse, at.seen, self.errors)
                at = Point(at.z, self.coarse.seen_with_slopes(at.z, far))
            at, fell = self._few(at, name)
            if fell < ROUGH * cost and (n or not moved):
                break
        assert at.seen.moved is not None
        return half_squares(self.coarse, at, self.errors), at.seen.moved

    def _few(self, at: Point, name: str) -> tuple[Point, float]:
        """A few steps of a start by slopes of one point, and by how much the misfit fell."""
        begin, held = half_squares(self.coarse, at, self.errors), FIRST_HELD
        for _ in range(FEW_STEPS):
            made = step(self.coarse, at, self.errors, held, ROUGH * begin, FEW_TRIES)
            at, held = made.point, made.held
            cost = self._noted(at, name)
            if made.fell < ROUGH * cost:
                break
        return at, begin - cost

    def _noted(self, at: Point, name: str) -> float:
        """The misfit of a start, told; the lowest of all starts is kept."""
        cost = half_squares(self.coarse, at, self.errors)
        if cost < self.lowest:
            assert at.seen.moved is not None
            self.lowest, self.z, self.moved = cost, at.z, at.seen.moved
        self._tell(name, cost)
        return cost

    def settle(self) -> None:
        """Errors and numbers in turns, on all layers: by slopes of few, nearly the same, then by their own."""
        assert self.z is not None
        self._approach(self.fine.carried(self.z, self.fine.seen(self.z), self.moved), "all layers")
        for n in range(
            OWN_SLOPES
        ):  # upwards and downwards in turn: either side of a kink has slopes of its own
            assert self.slopes is not None
            far = (-1.0) ** n * reach(self.fine, self.slopes, self.errors)
            ended, fell = self._approach(self.fine.seen_with_slopes(self.z, far), "all layers, own slopes")
            if ended and fell < NO_GAIN:
                self.settled = True
                return

    def told(self, stopped: bool) -> Best:
        """What was found, with slopes at it."""
        assert self.z is not None
        near = np.full(self.z.size, FIRST_REACH)
        slopes = self.slopes if self.slopes is not None else self.fine.seen_with_slopes(self.z, near)
        here = self.fine.seen(self.z)
        seen = replace(here, slopes=slopes.slopes, odds=with_slopes(here, slopes))
        residuals = self.fine.residuals(self.z, seen, self.errors)
        cost = 0.5 * float(residuals @ residuals)
        settled = self.settled and not stopped
        return Best(self.z, self.errors, cost, seen, tuple(self.costs), settled, stopped)

    def _approach(self, seen: Seen, name: str) -> tuple[bool, float]:
        """Steps of all layers by slopes of a point, errors found anew each time, until nothing moves any more.

        Whether they ended so, the last step that was tried promising next to nothing; and by how much the misfit fell.
        """
        assert self.z is not None
        at, held, fell = Point(self.z, seen), 0.0, 0.0
        for n in range(APPROACHES):
            before, self.errors = self.errors, _errors(self.fine, at.seen, self.errors)
            made = step(self.fine, at, self.errors, held, NO_GAIN, FEW_TRIES if n else TRIES)
            ended, stuck = made.promised < NO_GAIN, made.point is at
            at, held, fell = made.point, made.held, fell + made.fell
            self.z, self.slopes = at.z, at.seen
            self._tell(name, half_squares(self.fine, at, self.errors))
            still = _change(before, self.errors) < SETTLED
            if still and made.fell < NO_GAIN and (ended or stuck):
                return ended, fell
        return False, fell

    def _tell(self, name: str, cost: float) -> None:
        self.progress(f"{name}: misfit {cost:.1f}")


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

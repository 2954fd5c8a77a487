"""One step of least squares, held back until it helps: the farther from where slopes hold, the shorter.

Levenberg 1944, Quarterly of Applied Mathematics 2(2); held back are most the directions that readings say least of.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import lsq_linear

from simtent.calibrate.misfit import Misfit, Seen
from simtent.errors import InputError, SolveError
from simtent.identify.memory import Errors
from simtent.network.arrays import Array

FIRST_HELD, HOLDS = 1.0, 8.0  # as strongly as beliefs hold; by how much more, or less, a step is held next
REACH = 0.3  # of a number's own deviation, over which a night's change with it is taken
GOOD, POOR = 0.75, 0.25  # shares of what was promised
ROUND_OFF = 1e-12


@dataclass(frozen=True)
class Point:
    """Numbers, in deviations from what was believed, and all nights there, with slopes at it or from nearby."""

    z: Array
    seen: Seen


@dataclass(frozen=True)
class Step:
    """Where a step led.

    point      itself where no step helped
    promised   by how much the last step that was tried was to lower the misfit
    fell       by how much it did; 0 where no step helped
    held       how strongly the next one is to be held
    trouble    why the last night that could not be simulated could not
    """

    point: Point
    promised: float
    fell: float
    held: float
    trouble: str = ""


def step(
    misfit: Misfit, at: Point, errors: dict[str, Errors], held: float, enough: float, tries: int
) -> Step:
    """The first step within the bounds that lowers the misfit, each held more strongly than the one before.

    The last is the one that promises less than `enough`, or the last of `tries`. Slopes go on with the point, corrected
    by what was seen.
    """
    before = half_squares(misfit, at, errors)
    slopes = np.column_stack((misfit.slopes(at.seen, errors), misfit.residuals(at.z, at.seen, errors)))
    small = np.asarray(np.linalg.qr(slopes, mode="r"))  # of it all that a step depends on
    low, high = np.array([one.ends for one in misfit.sought]).T
    promised, trouble = np.inf, ""
    for _ in range(tries):
        there, promised = _held_back(small, at.z, (low, high), held)
        try:
            point = _carried(misfit, at, there)
        except (SolveError, InputError) as error:
            trouble = str(error)
        else:
            fell = before - half_squares(misfit, point, errors)
            if fell > 0.0:
                return Step(point, promised, fell, _next(held, fell / max(promised, ROUND_OFF)), trouble)
        held = max(FIRST_HELD, HOLDS * held)
        if promised < enough:
            break
    return Step(at, promised, 0.0, held, trouble)


def reach(misfit: Misfit, seen: Seen, errors: dict[str, Errors]) -> Array:
    """A share of what readings and beliefs leave open of each number, by slopes there may be of it [deviations]."""
    slopes = misfit.slopes(seen, errors)
    return np.asarray(REACH * np.sqrt(np.diag(np.linalg.inv(slopes.T @ slopes))))


def half_squares(misfit: Misfit, point: Point, errors: dict[str, Errors]) -> float:
    """The misfit: half the squared residuals."""
    residuals = misfit.residuals(point.z, point.seen, errors)
    return 0.5 * float(residuals @ residuals)


def _held_back(small: Array, z: Array, ends: tuple[Array, Array], held: float) -> tuple[Array, float]:
    """Where the step ends, and by how much it is to lower the misfit."""
    slopes, residuals = small[:, :-1], small[:, -1]
    rows = np.concatenate((slopes, np.sqrt(held) * np.eye(z.size)))
    wanted = np.concatenate((-residuals, np.zeros(z.size)))
    low, high = ends
    move = lsq_linear(rows, wanted, (low - z - ROUND_OFF, high - z + ROUND_OFF)).x
    rest = residuals + slopes @ move
    return np.clip(z + move, low, high), 0.5 * float(residuals @ residuals - rest @ rest)


def _carried(misfit: Misfit, at: Point, there: Array) -> Point:
    seen = misfit.seen(there)
    moved = misfit.corrected(at.z, at.seen, there, seen)
    return Point(there, misfit.carried(there, seen, moved))


def _next(held: float, share: float) -> float:
    """How strongly the next step is held, by the share of the promise that came true."""
    if share < POOR:
        return max(FIRST_HELD, HOLDS * held)
    if share > GOOD:
        return held / HOLDS if held > FIRST_HELD else 0.0
    return held

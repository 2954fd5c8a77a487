"""Coordinates in which nights change nearly in proportion, so that a bell curve follows what readings leave open.

What is believed of a conductance is a bell curve of its logarithm, but nights follow the number itself, or some power
of it: where little air leaks, its logarithm hardly matters, and heat loss and leakage trade along a curve. Counted in
that power they trade along a line (a family of powers: Box and Cox 1964, Journal of the Royal Statistical Society B
26(2), there for readings).
"""

from dataclasses import dataclass

import numpy as np

from simtent.calibrate.misfit import Misfit, Seen
from simtent.errors import InputError, SolveError
from simtent.identify.memory import Errors
from simtent.network.arrays import Array

FURTHEST, NEAREST = 1.0, 0.3  # deviations of a belief to either side at which a night's bend is measured
STRONGEST = 2.0  # bend of a deviation, at most: from one side to the other the slope changes fifty-fold


@dataclass(frozen=True)
class Bent:
    """v = (exp(bend (z - centre)) - 1) / bend, number by number; v = z - centre where nothing bends.

    centre, bends   shape (p,)
    """

    centre: Array
    bends: Array

    def there(self, z: Array) -> Array:
        """Bent coordinates of points, shape (..., p); 0 at the centre, with slope 1."""
        far = z - self.centre
        return np.asarray(far * _mean_growth(self.bends * far))

    def back(self, v: Array) -> Array:
        """The points again."""
        grown = self.bends * v
        flat = np.abs(grown) < 1e-9
        safe = np.where(flat, 1.0, grown)
        return np.asarray(self.centre + v * np.where(flat, 1.0 - 0.5 * grown, np.log1p(safe) / safe))

    def log_size(self, v: Array) -> Array:
        """Logarithm of the volume of points per bent volume, shape (...,)."""
        return np.asarray(-np.sum(np.log1p(self.bends * v), axis=-1))


def _mean_growth(far: Array) -> Array:
    """(exp(x) - 1) / x."""
    flat = np.abs(far) < 1e-9
    safe = np.where(flat, 1.0, far)
    return np.where(flat, 1.0 + 0.5 * far, np.expm1(safe) / safe)


def measured(misfit: Misfit, z: Array, deviations: Array, seen: Seen, errors: dict[str, Errors]) -> Bent:
    """How nights bend with every number that moves them: two runs for each, one deviation to either side or less.

    seen   the nights at z, with slopes
    Numbers of which a run to one side cannot be solved are not bent. Raises as `Misfit.seen` does at z.
    """
    bends = np.zeros(z.size)
    for k in sorted({k for outlook in misfit.outlooks for k in outlook.moving()}):
        if misfit.sought[k].factor:
            reach = float(np.clip(deviations[k], NEAREST, FURTHEST))
            bends[k] = _bend(misfit, z, k, reach, seen, errors)
    return Bent(z, bends)


def _bend(misfit: Misfit, z: Array, k: int, reach: float, seen: Seen, errors: dict[str, Errors]) -> float:
    """Logarithm of how much more a night changes upward than downward, for each deviation."""
    low, high = misfit.sought[k].ends
    reach = min(reach, high - float(z[k]), float(z[k]) - low)
    if reach < 0.5 * NEAREST:
        return 0.0
    moves = [_moved(misfit, z, k, by, seen, errors) for by in (reach, -reach)]
    up, down = (abs(it) for it in moves)
    if not (np.isfinite(up) and np.isfinite(down) and up > 0.0 and down > 0.0 and moves[0] * moves[1] < 0.0):
        return 0.0
    return float(np.clip(np.log(up / down) / reach, -STRONGEST, STRONGEST))


def _moved(misfit: Misfit, z: Array, k: int, by: float, seen: Seen, errors: dict[str, Errors]) -> float:
    """Change of all readings with one number moved, along their slope with it; nan where nights cannot be solved."""
    there = z.copy()
    there[k] += by
    try:
        moved = misfit.seen(there)
    except (SolveError, InputError):
        return np.nan
    readings = sum(one.seconds.size for it in misfit.outlooks for one in it.night.readings)
    slope = misfit.slopes(seen, errors)[:readings, k]
    change = misfit.residuals(there, moved, errors)[:readings] - misfit.residuals(z, seen, errors)[:readings]
    size = float(slope @ slope)
    return float(change @ slope) / size if size > 0.0 else np.nan

"""How far numbers are from all readings, and from what was believed: residuals that are independent, of deviation 1."""

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from simtent.calibrate import errors as errors_of
from simtent.calibrate.nights import Readings
from simtent.calibrate.outlook import Outlook, Shown
from simtent.identify.memory import Errors
from simtent.network.arrays import Array

SLIP = 0.02  # share of notes on coals that are wrong whatever the odds; own choice, no source
FIRST_ERRORS = {"stove": Errors(30.0, 600.0), "pipe": Errors(40.0, 600.0)}
FIRST_ERROR = Errors(1.5, 1800.0)  # of a level's sensor; where the search begins, no more
SHORT = 0.02  # deviations; a shorter step says more of the solver's errors than of slopes

T = TypeVar("T")
U = TypeVar("U")


@dataclass(frozen=True)
class Seen:
    """All nights at one point.

    left     by night, then by sensor: readings above what the sensor would show [K], shape (m,)
    slopes   alike: change of what it would show with every number, shape (m, p); None where it was not asked for
    odds     by night: chances at loads, and their slopes
    raw      by night: what was simulated, before sensors
    moved    by night: its change with every number, shape (times, columns, p); None where it was not asked for
    """

    left: tuple[tuple[Array, ...], ...]
    slopes: tuple[tuple[Array, ...], ...] | None
    odds: tuple[tuple[Array, Array | None], ...]
    raw: tuple[Shown, ...] = ()
    moved: tuple[Array, ...] | None = None


class Misfit:
    """Residuals of all nights under `outlooks`, which share their numbers."""

    def __init__(self, outlooks: Sequence[Outlook]) -> None:
        self.outlooks = tuple(outlooks)
        self.sought = outlooks[0].setting.sought

    @property
    def places(self) -> tuple[str, ...]:
        """Sensors of any night, each once."""
        return tuple(dict.fromkeys(one.place for it in self.outlooks for one in it.night.readings))

    def first_errors(self) -> dict[str, Errors]:
        """Where the search for the errors begins."""
        return {place: FIRST_ERRORS.get(place, FIRST_ERROR) for place in self.places}

    def seen(self, z: Array) -> Seen:
        """Simulate every night once."""
        return self._told(z, _side_by_side(lambda it: it.simulated(z), self.outlooks), None)

    def seen_with_slopes(self, z: Array, reach: Array) -> Seen:
        """Simulate every night, and once more for every number that moves it, moved by its `reach` [deviations]."""
        raw = _side_by_side(lambda it: it.simulated(z), self.outlooks)
        each = [(n, k) for n, it in enumerate(self.outlooks) for k in it.moving()]

        def change(one: tuple[int, int]) -> Array:
            n, k = one
            return self.outlooks[n].change(z, raw[n], k, float(reach[k]))

        moved = [np.zeros((*there.raw.shape, z.size)) for there in raw]
        for (n, k), found in zip(each, _side_by_side(change, each), strict=True):
            moved[n][:, :, k] = found
        return self._told(z, raw, moved)

    def carried(self, z: Array, seen: Seen, moved: Sequence[Array]) -> Seen:
        """Nights at z with slopes of what is simulated taken from nearby; those by sensors' numbers are of z itself."""
        return self._told(z, seen.raw, moved)

    def corrected(self, z: Array, seen: Seen, there: Array, after: Seen) -> list[Array]:
        """Slopes of what is simulated at z, corrected by rank one to lead to what is seen `there`.

        Broyden 1965, Mathematics of Computation 19(92).
        """
        assert seen.moved is not None
        out = []
        for it, before, then, moved in zip(self.outlooks, seen.raw, after.raw, seen.moved, strict=True):
            step = np.zeros(z.size)
            step[it.moving()] = (there - z)[it.moving()]
            missed = then.raw - before.raw - moved @ step
            size = float(step @ step)
            out.append(moved + missed[:, :, None] * (step / size) if size > SHORT**2 else moved)
        return out

    def _told(self, z: Array, raw: Sequence[Shown], moved: Sequence[Array] | None) -> Seen:
        """What sensors show of simulated nights, and how that changes where `moved` says how the nights do."""
        shown = [it.shown(one, z) for it, one in zip(self.outlooks, raw, strict=True)]
        left = tuple(_left(it, there[:-1]) for it, there in zip(self.outlooks, shown, strict=True))
        odds = [there[-1] for there in shown]
        if moved is None:
            return Seen(left, None, tuple((one, None) for one in odds), tuple(raw))
        slopes = [it.slopes(one, by, z) for it, one, by in zip(self.outlooks, raw, moved, strict=True)]
        changes = tuple((one, by[-1]) for one, by in zip(odds, slopes, strict=True))
        return Seen(left, tuple(tuple(by[:-1]) for by in slopes), changes, tuple(raw), tuple(moved))

    def residuals(self, z: Array, seen: Seen, errors: dict[str, Errors]) -> Array:
        """Readings in independent deviations, odds of coals, beliefs, one after the other."""
        parts = [errors[one.place].whitened(one.seconds, left) for one, left in self._pairs(seen.left)]
        parts += [_of_odds(chance, lit)[0] for chance, _, lit in self._odds(seen)]
        return np.concatenate([*parts, z])

    def likely(self, z: Array, seen: Seen) -> float:
        """Logarithm of the density of numbers, up to a constant, whatever the errors' deviation and memory are."""
        parts = [_of_odds(chance, lit)[0] for chance, _, lit in self._odds(seen)]
        rest = np.concatenate([*parts, z])
        each = [errors_of.likelihood(*self.by_place(seen.left, it), self.noise(it)) for it in self.places]
        return sum(each) - 0.5 * float(rest @ rest)

    def slopes(self, seen: Seen, errors: dict[str, Errors]) -> Array:
        """Change of the residuals with every number, shape (m, p)."""
        assert seen.slopes is not None
        parts = [-errors[one.place].whitened(one.seconds, moved) for one, moved in self._pairs(seen.slopes)]
        for chance, moved, lit in self._odds(seen):
            assert moved is not None
            parts.append(_of_odds(chance, lit)[1][:, None] * moved)
        return np.concatenate([*parts, np.eye(len(self.sought))])

    def of_data(self, seen: Seen, errors: dict[str, Errors]) -> Array:
        """The same without the beliefs."""
        return self.slopes(seen, errors)[: -len(self.sought)]

    def by_place(self, parts: Sequence[Sequence[Array]], place: str) -> tuple[list[Array], list[Array]]:
        """Times and parts of one sensor, night by night."""
        mine = [(one.seconds, part) for one, part in self._pairs(parts) if one.place == place]
        return [t for t, _ in mine], [part for _, part in mine]

    def noise(self, place: str) -> float:
        """Least deviation of a sensor's reading [K]."""
        return next(one.noise for it in self.outlooks for one in it.night.readings if one.place == place)

    def _pairs(self, parts: Sequence[Sequence[Array]]) -> Iterable[tuple[Readings, Array]]:
        for it, those in zip(self.outlooks, parts, strict=True):
            yield from zip(it.night.readings, those, strict=True)

    def _odds(self, seen: Seen) -> Iterable[tuple[Array, Array | None, Array]]:
        for it, (chance, moved) in zip(self.outlooks, seen.odds, strict=True):
            yield chance, moved, np.array([one.lit for one in it.night.relit])


def with_slopes(seen: Seen, slopes: Seen) -> tuple[tuple[Array, Array | None], ...]:
    """Odds at one point with their slopes at another."""
    return tuple((odds, moved) for (odds, _), (_, moved) in zip(seen.odds, slopes.odds, strict=True))


def _left(it: Outlook, shown: Sequence[Array]) -> tuple[Array, ...]:
    return tuple(one.kelvin - there for one, there in zip(it.night.readings, shown, strict=True))


def _of_odds(chance: Array, lit: Array) -> tuple[Array, Array]:
    """Residual whose half square is minus the logarithm of what was noted, and its slope by the chance."""
    if chance.size == 0:
        return np.zeros(0), np.zeros(0)
    likely = np.where(lit, chance, 1.0 - chance) * (1.0 - 2.0 * SLIP) + SLIP
    residual = np.sqrt(-2.0 * np.log(likely))
    return residual, np.where(lit, -1.0, 1.0) * (1.0 - 2.0 * SLIP) / (likely * residual)


def _side_by_side(one: Callable[[T], U], those: Sequence[T]) -> list[U]:
    with ThreadPoolExecutor(max(min(len(those), 2), 1)) as threads:
        return list(threads.map(one, those))

"""The whole question: what a shelter needs by outdoor temperature and wind, and which stove holds how much of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from simtent.sizing.judged import Built, Judged, judge, nights_of
from simtent.sizing.need import Heater
from simtent.sizing.scene import Scene, side_by_side

COLDEST = 203.15  # K, as [outdoors] allows
BEYOND, STEPS = 15.0, 7  # K below the coldest design night to which needs are drawn; at how many temperatures
POWERS = (
    0.0,
    500.0,
    1e3,
    2e3,
    3e3,
    4e3,
    6e3,
    8e3,
    1.2e4,
    1.6e4,
    2.4e4,
)  # W, of the heater that a stove is likened to
SWING = 10.0
"""By how much a fire may pass, at the head, what steady heat makes there that just holds the cot [K]: own choice, for
nights in which that alone is more than is wished at the head."""

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Asked:
    """Design nights and intervals.

    lows     outdoor air of the design nights [K], the coldest first
    winds    winds for which needs are told [m/s], rising
    wind     wind of the design night [m/s], one of them
    every    hours between loads, rising
    """

    lows: tuple[float, ...]
    winds: tuple[float, ...]
    wind: float
    every: tuple[float, ...]


@dataclass(frozen=True)
class Likened:
    """A stove at an interval as the constant heat that keeps the cot as warm as its coldest moment does.

    power    that heat [W]
    air      outdoor air at which that heat just holds the wish, with the design night's wind [K]; None where it is
             colder inside than that at any air that was looked at
    beyond   whether it holds at the coldest air that was looked at, so that `air` is only a bound
    """

    judged: Judged
    power: float
    air: float | None
    beyond: bool


@dataclass(frozen=True)
class Answer:
    """What was found.

    wish, head   lowest at the cot, highest at the head [K]; None where no limit was given
    airs, needs  outdoor air [K], rising; by wind [m/s] the heat that holds the wish there [W], inf where none does
    at_low       the same at the design nights, by air and wind
    heater_head  at the head [K] under the steady heat that just holds the design night; None where none does
    head_counts  whether the limit at the head can be met at all in the design night
    built, found, mild   stoves; each at each interval in the coldest design night; the same in the mildest, if another
    nights       simulated in all
    """

    asked: Asked
    wish: float
    head: float | None
    airs: tuple[float, ...]
    needs: Mapping[float, tuple[float, ...]]
    at_low: Mapping[tuple[float, float], float]
    heater_head: float | None
    head_counts: bool
    built: tuple[Built, ...]
    found: tuple[Likened, ...]
    mild: tuple[Judged, ...]
    nights: int

    @property
    def design(self) -> float:
        """Heat that the coldest design night needs [W]."""
        return self.at_low[self.asked.lows[0], self.asked.wind]

    def smallest(self, every: float) -> Likened | None:
        """The smallest class that holds the design night without trouble, filled every so many hours; None if none."""
        mine = [it for it in self.classes(every) if it.judged.word == "holds"]
        return min(mine, key=lambda it: it.judged.size.volume, default=None)

    def classes(self, every: float) -> list[Likened]:
        """What was found of the classes at an interval, from small to large."""
        return [it for it in self.found if it.judged.every == every and not it.judged.size.own]


def answer(scene: Scene, built: Sequence[Built], asked: Asked, tell: Tell) -> Answer:
    """Simulate all of it; `tell` is told what comes next."""
    heater, wish = Heater(scene.given), scene.wish
    low, head = asked.lows[0], scene.given.wish.head_at_most
    tell(f"Heat needed at {STEPS} outdoor temperatures and {len(asked.winds)} winds")
    airs = tuple(float(air) for air in np.linspace(max(low - BEYOND, COLDEST), max(wish - 1.0, low), STEPS))
    places = [(air, wind) for wind in asked.winds for air in (*airs, *asked.lows)]
    all_needs = dict(
        zip(places, side_by_side(lambda it: heater.need(it[0], it[1], wish), places), strict=True)
    )
    needs = {wind: tuple(all_needs[air, wind] for air in airs) for wind in asked.winds}
    design = all_needs[low, asked.wind]
    heater_head = heater.levels(low, asked.wind, design)[1] if np.isfinite(design) else None
    counts = head is not None and heater_head is not None and heater_head <= head
    cots = side_by_side(lambda power: heater.levels(low, asked.wind, power)[0], POWERS)
    more = nights_of(built, asked.every)
    tell(
        f"{heater.nights} nights simulated; {more} more with {len(built)} stoves, {_hours(asked.every)} between loads"
    )
    limit = head if counts or head is None or heater_head is None else heater_head + SWING
    judged = judge(built, asked.every, low, asked.wind, wish, limit)
    found = tuple(_likened(it, cots, airs, needs[asked.wind]) for it in judged)
    mild = _mild(built, asked, judged, wish, head, tell)
    at_low = {(air, wind): all_needs[air, wind] for air in asked.lows for wind in asked.winds}
    nights = (
        heater.nights
        + more
        + nights_of([one for one in built if mild and one.size in [it.size for it in mild]], asked.every)
    )
    return Answer(
        asked, wish, head, airs, needs, at_low, heater_head, counts, tuple(built), found, tuple(mild), nights
    )


def _likened(judged: Judged, cots: Sequence[float], airs: Sequence[float], needs: Sequence[float]) -> Likened:
    """By straight lines between heats and between temperatures: both are nearly straight."""
    power = float(np.interp(judged.best.coldest, np.maximum.accumulate(cots), POWERS))
    finite = np.isfinite(needs)
    rising = np.asarray(needs)[finite][::-1]
    if not finite.any() or power < rising[0]:
        return Likened(judged, power, None, False)
    there = float(np.interp(power, rising, np.asarray(airs)[finite][::-1]))
    return Likened(judged, power, there, bool(power >= rising[-1]))


def _mild(
    built: Sequence[Built],
    asked: Asked,
    judged: Sequence[Judged],
    wish: float,
    head: float | None,
    tell: Tell,
) -> list[Judged]:
    """Those that hold the coldest design night, in the mildest and calmest of the others; none where there is one."""
    if len(asked.lows) == 1:
        return []
    sizes = [it.size for it in judged if it.word == "holds"]
    those = [one for one in built if one.size in sizes]
    tell(f"{nights_of(those, asked.every)} more in the mildest design night")
    return judge(those, asked.every, asked.lows[-1], asked.winds[0], wish, head)


def _hours(every: Sequence[float]) -> str:
    return ", ".join(f"{hours:g} h" for hours in every)

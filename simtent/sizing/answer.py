"""The whole question: what a shelter needs by outdoor temperature and wind, and which stove holds how much of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from simtent.sizing.judged import Built, Judged, judge, nights_of
from simtent.sizing.likened import Curve, Likened, likened
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
"""By how much a fire may pass the wish at the head before it is too hot [K], or, where that is more, what steady heat
makes there that just holds the cot: a fire swings about its mean. Own choice."""

Tell = Callable[[str], None]
Place = tuple[float, float]
"""Outdoor air [K] and wind [m/s]."""


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
    def limit(self) -> float | None:
        """From which temperature at the head on a stove was too hot [K]."""
        return _limit(self.head, self.heater_head)

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
    heater, wish, low = Heater(scene.given), scene.wish, asked.lows[0]
    airs, needs, at_low = _needs(heater, asked, wish, tell)
    head = scene.given.wish.head_at_most
    steady = _head(heater, low, asked.wind, at_low[low, asked.wind])
    cots = side_by_side(lambda power: heater.levels(low, asked.wind, power)[0], POWERS)
    more = nights_of(built, asked.every)
    tell(
        f"{heater.nights} nights simulated; {more} more with {len(built)} stoves, {_hours(asked.every)} between loads"
    )
    judged = judge(built, asked.every, low, asked.wind, wish, _limit(head, steady))
    found, again = likened(built, judged, Curve(airs, needs[asked.wind], POWERS, cots), wish)
    mild = list[Judged]()
    if len(asked.lows) > 1:
        those = [one for one in built if any(it.size is one.size for it in judged if it.word == "holds")]
        tell(f"{nights_of(those, asked.every)} more in the mildest design night")
        air, wind = asked.lows[-1], asked.winds[0]
        limit = _limit(head, _head(heater, air, wind, at_low[air, wind]))
        pairs = [(it.size, it.every) for it in judged if it.word == "holds"]
        mild = [
            it for it in judge(those, asked.every, air, wind, wish, limit) if (it.size, it.every) in pairs
        ]
        more += nights_of(those, asked.every)
    counts = head is not None and steady is not None and steady <= head
    nights = heater.nights + more + again
    return Answer(
        asked,
        wish,
        head,
        airs,
        needs,
        at_low,
        steady,
        counts,
        tuple(built),
        tuple(found),
        tuple(mild),
        nights,
    )


def _needs(
    heater: Heater, asked: Asked, wish: float, tell: Tell
) -> tuple[tuple[float, ...], dict[float, tuple[float, ...]], dict[Place, float]]:
    """Airs looked at, and the heat that holds the wish there by wind, and in design nights by air and wind."""
    tell(
        f"Heat needed at {STEPS} outdoor temperatures in {len(asked.winds)} wind{'s' if len(asked.winds) > 1 else ''}"
    )
    low = asked.lows[0]
    airs = tuple(float(air) for air in np.linspace(max(low - BEYOND, COLDEST), max(wish - 1.0, low), STEPS))
    places = [(air, wind) for wind in asked.winds for air in dict.fromkeys((*airs, *asked.lows))]
    needs = side_by_side(lambda it: heater.need(it[0], it[1], wish), places)
    found = dict(zip(places, needs, strict=True))
    by_wind = {wind: tuple(found[air, wind] for air in airs) for wind in asked.winds}
    return airs, by_wind, {(air, wind): found[air, wind] for air in asked.lows for wind in asked.winds}


def _head(heater: Heater, air: float, wind: float, power: float) -> float | None:
    """Temperature at the head under a steady heat [K]; None where no heat holds the wish."""
    return heater.levels(air, wind, power)[1] if np.isfinite(power) else None


def _limit(head: float | None, steady: float | None) -> float | None:
    """From which temperature at the head on a stove is too hot [K]; None where nothing is wished there."""
    return None if head is None else max(head, steady or head) + SWING


def _hours(every: Sequence[float]) -> str:
    return ", ".join(f"{hours:g} h" for hours in every)

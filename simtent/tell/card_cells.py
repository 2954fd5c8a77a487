"""A stoking card's cells: each row as short texts, the same on paper, on a phone and at a terminal."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from simtent.assess.moments import clock
from simtent.planning.card import Card
from simtent.planning.card_rows import Row
from simtent.planning.card_weather import Weather
from simtent.planning.choices import Levers
from simtent.planning.draft import Put
from simtent.scenario.turns import Pieces
from simtent.tell.words import degree_number, percent
from simtent.units import number, show

MISSED = {
    "cot": "cot", "rise": "rise", "head": "head", "coals": "coals", "wood": "wood at hand",
    "fullest": "firebox", "stove": "stove", "jack": "pipe", "cool": "cool flue",
}  # fmt: skip
KELVINS = ("cot", "rise", "head")


@dataclass(frozen=True)
class Alarm:
    """A load of the night: when, what ("2+1"), and what the cot reads then."""

    time: str
    pieces: str
    cot: str


@dataclass(frozen=True)
class RowCells:
    """A row of the card in texts; `alarms` begins with the load at bed, and is empty where no plan is given."""

    low: str
    wind: str
    alarms: tuple[Alarm, ...]
    marks: str
    lines: tuple[str, ...]
    warned: str


def rows(card: Card) -> Iterator[RowCells]:
    """All rows, the warmest first: the night is read from mild to hard."""
    for row in sorted(card.rows, key=lambda it: (-it.weather.low, it.weather.windy)):
        yield _stopped(card, row) if row.stops else _planned(card, row)


def _planned(card: Card, row: Row) -> RowCells:
    puts = [put for put in row.draft.puts if put.at >= card.choices.at_bed]
    alarms = tuple(
        Alarm(clock(card.scenario.night, put.at), counts(card, put.pieces), _cot(card, row, put.at))
        for put in puts
    )
    lines = (
        f"Before bed {_evening(card, row)}",
        f"By the bed {counts(card, card.staged(row))}. Coldest {degrees(card, row.promised.cot_lowest)} at the cot",
    )
    return RowCells(
        low(card, row.weather), wind(row.weather), alarms, _marks(card, puts), lines, _missed(card, row)
    )


def _stopped(card: Card, row: Row) -> RowCells:
    place = ", ".join(dict.fromkeys(it.where or it.what for it in row.stops))
    return RowCells(low(card, row.weather), wind(row.weather), (), "", (), f"NO PLAN. STOP: {place}")


def low(card: Card, weather: Weather) -> str:
    """A row's low as a number: "20"."""
    return f"{round(number(weather.low, 'temperature', card.system)) + 0}"


def wind(weather: Weather) -> str:
    """Calm or windy."""
    return "windy" if weather.windy else "calm"


def name(card: Card, weather: Weather) -> str:
    """A row's name: "20 windy"."""
    return f"{low(card, weather)} {wind(weather)}"


def degrees(card: Card, celsius: float) -> str:
    """A temperature in whole degrees, never warmer than it is."""
    return f"{int(np.floor(degree_number(celsius, card.system) + 0.05))}"


def difference(card: Card, kelvins: float) -> str:
    """A difference of temperature in whole degrees, at least 1, with its unit."""
    least = max(number(kelvins, "temperature_difference", card.system), 1.0)
    return f"{least:.0f} {'degF' if card.system == 'us' else 'K'}"


def kinds(card: Card) -> tuple[str, ...]:
    """The kinds of pieces that loads are of, the thickest first."""
    wood = card.scenario.wood
    assert wood is not None
    there = {kind for load in card.choices.loads for kind, _ in load}
    return tuple(sorted(there, key=lambda it: -wood.pieces[it].thick))


def counts(card: Card, pieces: Pieces | Mapping[str, int | float]) -> str:
    """A load as counts by kind: "2+1"."""
    there = dict(pieces)
    return "+".join(f"{there.get(kind, 0)}" for kind in kinds(card))


def spelled(pieces: Pieces | Mapping[str, int | float]) -> str:
    """A load in words: "2 split, 1 stick"."""
    return ", ".join(
        f"{it} {kind}" if isinstance(it, int) else f"{it:.1f} kg {kind}"
        for kind, it in dict(pieces).items()
        if it
    )


def legend(card: Card) -> str:
    """What "2+1" means."""
    example = {kind: 2 - k for k, kind in enumerate(kinds(card))}
    return f"{counts(card, example)} = {spelled(example)}"


def marks(card: Card, levers: Levers) -> str:
    """Marks with their shares: "air two 50 %, damper slant 60 %"."""
    stove = card.scenario.stove
    assert stove is not None
    text = f"air {levers.air} {percent(stove.air.marks[levers.air])}"
    if stove.damper is not None and levers.damper is not None:
        text += f", damper {levers.damper} {percent(stove.damper.marks[levers.damper])}"
    return text


def _marks(card: Card, puts: list[Put]) -> str:
    """The marks of the night's loads; where they change, from when on."""
    runs = [next(group) for _, group in groupby(puts, key=lambda it: it.levers)]
    texts = [marks(card, run.levers) for run in runs]
    night = card.scenario.night
    later = (f"from {clock(night, run.at)} {text}" for run, text in zip(runs[1:], texts[1:], strict=True))
    return "; ".join([texts[0], *later])


def _evening(card: Card, row: Row) -> str:
    """The loads before bed: "18:30 20:00 0+4, air one 20 %, damper open 100 %"."""
    puts = [put for put in row.draft.puts if put.at < card.choices.at_bed]
    if not puts:
        return "no load"
    groups = []
    for (pieces, levers), group in groupby(puts, key=lambda it: (it.pieces, it.levers)):
        times = " ".join(clock(card.scenario.night, put.at) for put in group)
        groups.append(f"{times} {counts(card, pieces)}, {marks(card, levers)}")
    return "; ".join(groups)


def _cot(card: Card, row: Row, at: float) -> str:
    return degrees(card, float(np.interp(at, row.promised.times, row.promised.cot)))


def _missed(card: Card, row: Row) -> str:
    """What of the wish is missed, and by how much: "MISSES cot by 3 degF"."""
    parts = [
        f"{MISSED[limit]} by {difference(card, by)}" if limit in KELVINS else MISSED[limit]
        for limit, by in row.broken.items()
    ]
    return f"MISSES {', '.join(parts)}" if parts else ""


def winds(card: Card) -> str:
    """What calm and windy are."""
    speeds = {wind(it): it.wind for it in (*(row.weather for row in card.rows), *card.missing)}
    there = [word for word in ("calm", "windy") if word in speeds]
    return ", ".join(f"{word} {show(speeds[word], 'speed', card.system)}" for word in there)

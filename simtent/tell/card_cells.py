"""A stoking card's cells: each row as short texts, the same on paper, on a phone and at a terminal."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from simtent.assess.moments import clock
from simtent.planning.card import Card
from simtent.planning.card_rows import Row
from simtent.planning.card_weather import Weather
from simtent.planning.choices import Levers
from simtent.planning.draft import Put
from simtent.planning.limits import WISHES
from simtent.scenario.turns import Pieces
from simtent.tell.words import degree_number, percent
from simtent.units import number, show

WATCHED = {
    "coals": "coals may be dead", "wood": "more wood than at hand", "fullest": "firebox too full",
    "stove": "stove too hot", "jack": "pipe too hot", "cool": "cool flue, creosote",
}  # fmt: skip


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
    note: str
    warned: str


def rows(card: Card) -> Iterator[RowCells]:
    """All rows, the mildest first."""
    for row in sorted(card.rows, key=lambda it: (-it.weather.low, it.weather.windy)):
        yield _stopped(card, row) if row.stops else _planned(card, row)


def _planned(card: Card, row: Row) -> RowCells:
    puts = card.asleep(row)
    alarms = tuple(
        Alarm(clock(card.scenario.night, put.at), counts(card, put.pieces), _cot(card, row, put.at))
        for put in puts
    )
    if not puts:
        alarms = (Alarm("no load", "", _cot(card, row, card.choices.bed)),)
    pile = f", pile {counts(card, card.staged(row))}" if puts else ""
    note = f"{_marks(card, puts)}{pile}, coldest {degrees(card, row.promised.cot_lowest)}"
    return RowCells(low(card, row.weather), wind(row.weather), alarms, note, _missed(card, row))


def _stopped(card: Card, row: Row) -> RowCells:
    place = ", ".join(dict.fromkeys(it.where or it.what for it in row.stops))
    return RowCells(low(card, row.weather), wind(row.weather), (), "", f"NO PLAN. STOP: {place}")


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
    """A difference of temperature in whole degrees with its unit: "3 degF", "under 1 degF"."""
    shown = round(number(kelvins, "temperature_difference", card.system))
    return f"{shown or 'under 1'} {'degF' if card.system == 'us' else 'K'}"


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


def marks(levers: Levers) -> str:
    """Marks of air and damper: "two/slant"."""
    return levers.air if levers.damper is None else f"{levers.air}/{levers.damper}"


def shares(card: Card) -> str:
    """The marks that the card names, with their shares of the full opening in brackets."""
    stove = card.scenario.stove
    assert stove is not None
    there = [put.levers for row in card.planned for put in row.draft.puts] + [card.choices.wide]
    airs = {it.air for it in there}
    parts = ["air " + _shares(stove.air.marks, airs)]
    if stove.damper is not None:
        parts.append("damper " + _shares(stove.damper.marks, {it.damper for it in there}))
    return "; ".join(parts)


def _shares(all_marks: Mapping[str, float], named: Collection[str | None]) -> str:
    return ", ".join(f"{mark} ({percent(share)})" for mark, share in all_marks.items() if mark in named)


def _marks(card: Card, puts: Sequence[Put]) -> str:
    """The marks of the night's loads; where they change, from when on."""
    if not puts:
        return "let the fire die"
    runs = [next(group) for _, group in groupby(puts, key=lambda it: it.levers)]
    night = card.scenario.night
    later = (f"from {clock(night, run.at)} {marks(run.levers)}" for run in runs[1:])
    return ", ".join([marks(runs[0].levers), *later])


def evenings(card: Card) -> Iterator[tuple[str, str]]:
    """The loads before bed, and the rows that have them."""
    there: dict[str, list[Weather]] = {}
    for row in sorted(card.planned, key=lambda it: (-it.weather.low, it.weather.windy)):
        there.setdefault(_evening(card, row), []).append(row.weather)
    for text, weathers in there.items():
        yield names(card, weathers), text


def names(card: Card, weathers: Sequence[Weather]) -> str:
    """Names of rows: "every row"; else "40, 30, 20 calm", a low alone for calm and windy."""
    if len(weathers) == len(card.rows) > 1:
        return "every row"
    both = {it.low for it in weathers if sum(other.low == it.low for other in weathers) > 1}
    return ", ".join(dict.fromkeys(low(card, it) if it.low in both else name(card, it) for it in weathers))


def _evening(card: Card, row: Row) -> str:
    """The loads before bed: "18:30, 20:00 0+4 one/open"."""
    puts = [put for put in row.draft.puts if put.at < card.choices.at_bed]
    groups = []
    for (pieces, levers), group in groupby(puts, key=lambda it: (it.pieces, it.levers)):
        times = ", ".join(clock(card.scenario.night, put.at) for put in group)
        groups.append(f"{times} {counts(card, pieces)} {marks(levers)}")
    return "; ".join(groups) or "no load"


def _cot(card: Card, row: Row, at: float) -> str:
    return degrees(card, float(np.interp(at, row.promised.times, row.promised.cot)))


def _missed(card: Card, row: Row) -> str:
    """What of the wish is missed, and by how much, and what to watch: "MISSES cot 3 degF cold. WATCH: ..."."""
    wishes = [
        f"{it} {difference(card, row.broken[it])} {'hot' if it == 'head' else 'cold'}"
        for it in WISHES
        if it in row.broken
    ]
    watched = [words for limit, words in WATCHED.items() if limit in row.broken]
    parts = [f"MISSES {', '.join(wishes)}"] * bool(wishes) + [f"WATCH: {', '.join(watched)}"] * bool(watched)
    return ". ".join(parts)


def winds(card: Card) -> str:
    """What calm and windy are."""
    speeds = {wind(it): it.wind for it in (*(row.weather for row in card.rows), *card.missing)}
    there = [word for word in ("calm", "windy") if word in speeds]
    return ", ".join(f"{word} {show(speeds[word], 'speed', card.system)}" for word in there)

"""What `simtent stoke --card` answers: plans for a band of nights, and what to do where it goes otherwise."""

from collections.abc import Iterator
from typing import Literal

import numpy as np

from simtent.planning.card import Card
from simtent.planning.card_rows import Row
from simtent.tell import card_actions, card_cells, card_words
from simtent.tell.answers.head import Around, Document, Found, Moment
from simtent.tell.answers.piled import Mark, Pile, marks, piles
from simtent.tell.answers.quantities import Mass, Speed, Temperature
from simtent.tell.answers.told import Told
from simtent.tell.stoke_words import MISSED
from simtent.units import System


class CardLoad(Told):
    """One load of a row."""

    at: Moment
    """when, on the night of the scenario"""
    pieces: list[Pile]
    """what is put on"""
    then: list[Mark]
    """how the levers are set once it has caught"""
    asleep: bool
    """whether it is the load at bed or comes after it, so that it stands in the row"""
    cot: Temperature
    """what the cot reads then, if the night is as foretold"""


class CardRow(Told):
    """A night of the band and its plan."""

    low: Temperature
    """lowest outdoor air of that night"""
    wind: Speed
    """its wind"""
    windy: bool
    """whether it counts as the windy one"""
    given: bool
    """whether a plan is given; false where a finding of that night says stop"""
    loads: list[CardLoad]
    """after the first, which is the scenario's; empty where none is given"""
    wake_ups: int
    """between bed and rise"""
    cot_coldest: Temperature
    """lowest at the cot from bed to rise"""
    wood: Mass
    """put on in the whole night"""
    misses: list[str]
    """what it misses of: cot, rise, head, coals, wood, firebox, stove, pipe, flue; empty where it keeps all"""
    stops: list[Found]
    """findings that say: do not go on like this"""


class CaseTold(Told):
    """What to do in a case."""

    when: str
    """the case"""
    do: str
    """what to do"""


class CardAnswer(Document):
    """A stoking card. Nobody has burned these plans."""

    format: Literal["simtent.card"] = "simtent.card"
    version: Literal[1] = 1
    nights: int
    """how many were simulated"""
    rows: list[CardRow]
    """by rising low, calm before windy"""
    missing: list[str]
    """nights of the band without a row: the work was ended before its end"""
    catching: list[Mark]
    """how the levers stand until a load has caught"""
    cases: list[CaseTold]
    """the loads before bed, a load too late, dead coals, a colder cot, wood to stage"""


def answer(around: Around, card: Card) -> CardAnswer:
    """The document of a card."""
    system, stove, wide = around.system, card.scenario.stove, card.choices.wide
    assert stove is not None
    return CardAnswer(
        **around.head(_sentences(card)),
        nights=card.nights,
        rows=[_row(card, row, system) for row in card.rows],
        missing=[card_cells.name(card, it) for it in card.missing],
        catching=list(marks(stove, wide.air, wide.damper, system)),
        cases=[CaseTold(when=it.when, do=it.do) for it in card_actions.cases(card)],
    )


def _sentences(card: Card) -> Iterator[tuple[str, str]]:
    yield from (("", text) for text in card_words.about(card))
    if card.missing:
        yield "", card_words.missing(card)
    yield "", card_words.KIND


def _row(card: Card, row: Row, system: System) -> CardRow:
    given = not row.stops
    return CardRow(
        low=Temperature.of_kelvin(row.weather.low, system),
        wind=Speed.of(row.weather.wind, system),
        windy=row.weather.windy,
        given=given,
        loads=list(_loads(card, row, system)) if given else [],
        wake_ups=row.wake_ups,
        cot_coldest=Temperature.of(row.promised.cot_lowest, system),
        wood=Mass.of(row.promised.wood, system),
        misses=[MISSED[name] for name in row.broken],
        stops=[Found.of(it) for it in row.stops],
    )


def _loads(card: Card, row: Row, system: System) -> Iterator[CardLoad]:
    stove, asleep = card.scenario.stove, card.asleep(row)
    assert stove is not None
    for put in row.draft.puts:
        cot = float(np.interp(put.at, row.promised.times, row.promised.cot))
        yield CardLoad(
            at=Moment.of(card.scenario.night, put.at),
            pieces=piles(put.pieces, system),
            then=list(marks(stove, put.levers.air, put.levers.damper, system)),
            asleep=put in asleep,
            cot=Temperature.of(cot, system),
        )

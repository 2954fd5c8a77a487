"""A card's plan when coals look dead: how long from the match until the cot is bearable again."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np

from simtent.driver import drive
from simtent.planning.card_rows import Found, Row
from simtent.planning.choices import CATCHING
from simtent.planning.draft import Draft, Put, put_row, replacements
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured, measured
from simtent.scenario.clock import clock_text
from simtent.scenario.turns import Pieces

WATCHED = 7200.0  # s after the match
ROUND = 300.0  # s to which the match is put off


@dataclass(frozen=True)
class Dead:
    """The fire lit by hand when coals light a load no more, after the load at bed and no other.

    kindling  what is laid ready: the scenario's first load
    after     seconds after the kindling at which the row's load follows, levers wide open
    fastest, slowest  minutes from the match until the cot is as warm as wished, by row; None: not within two hours
    coldest   at the cot before it is warm again, in any row [degC]
    """

    kindling: Pieces
    after: float
    fastest: float | None
    slowest: float | None
    coldest: float


def dead(found: Sequence[Found], rows: Sequence[Row]) -> Dead | None:
    """What a relight takes in the rows whose fire dies before rise; None where none does. Nights of few layers."""
    lit = [it for one, row in zip(found, rows, strict=True) if (it := _lit_again(one, row)) is not None]
    if not lit:
        return None
    minutes = [it for it, _ in lit if it is not None]
    return Dead(
        kindling=found[0].few.choices.first.pieces,
        after=CATCHING,
        fastest=min(minutes, default=None),
        slowest=max(minutes) if len(minutes) == len(lit) else None,
        coldest=min(cold for _, cold in lit),
    )


def _lit_again(found: Found, row: Row) -> tuple[float | None, float] | None:
    """Minutes from match to bearable, and the coldest at the cot; None where coals live until rise."""
    few, choices = found.few, found.few.choices
    kept = Draft(tuple(put for put in row.draft.puts if put.at <= choices.at_bed))
    night = few.of(kept)
    gone = (night.times > choices.bed) & (night.times < choices.rise) & (night.lights < 0.0)
    if not gone.any():
        return None
    at = ceil(float(night.times[np.argmax(gone)]) / ROUND) * ROUND
    if at + 2.0 * CATCHING >= choices.rise:
        return None
    then = Put(at + CATCHING, kept.puts[-1].pieces, choices.wide)
    again = _night(found, kept, at, then)
    limit = Limits.of(few.scenario).cot
    watched = (again.times >= at) & (again.times <= min(at + WATCHED, choices.rise))
    cold = np.flatnonzero(watched & (again.cot < limit))
    coldest = float(again.cot[watched].min())
    if cold.size == 0:
        return 0.0, coldest
    last = cold[-1] + 1
    if last >= watched.size or not watched[last]:
        return None, coldest
    return float(again.times[last] - at) / 60.0, coldest


def _night(found: Found, kept: Draft, at: float, then: Put) -> Measured:
    """The night of a draft, with the first load lit again by hand at a moment [s], and a load after it."""
    few, choices = found.few, found.few.choices
    changes: dict[str, Any] = replacements(kept, few.scenario, choices)
    rows, early = changes["stoking.load"], len(kept.puts) + 1
    clock = clock_text(few.scenario.night.span.clock_at(at).time())
    again = [{**rows[0], "at": clock, "lit": True}, put_row(then, few.scenario, choices)]
    changes["stoking.load"] = [*rows[:early], *again, *rows[early:]]
    return measured(drive(few.scenario.replace(changes), accuracy=few.accuracy), kept, choices)

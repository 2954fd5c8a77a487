"""A card's plan when somebody wakes late: whether coals still light the load, and how cold it gets."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import exp

from simtent.planning.card_rows import Found, Row
from simtent.planning.choices import APART
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits

LATE = (1800.0, 3600.0)  # s


@dataclass(frozen=True)
class Late:
    """A load put on so much too late, whichever of a row's alarms it is, in all rows.

    late    by how much [s]
    loads   how many loads were tried, each by itself
    lit     how many of them coals light as surely as wished
    chance  the least chance that coals light it
    colder  by how much the coldest at the cot gets colder than promised, at most [K]
    """

    late: float
    loads: int
    lit: int
    chance: float
    colder: float


def late_by(found: Sequence[Found], rows: Sequence[Row], by: float) -> Late | None:
    """What comes of a load that is late; None where no row has an alarm that can be. Nights of few layers."""
    tried = [it for one, row in zip(found, rows, strict=True) for it in _tried(one, row, by)]
    if not tried:
        return None
    surely = Limits.of(found[0].whole.scenario).coals
    least = min(odds for odds, _ in tried)
    return Late(
        by,
        len(tried),
        sum(odds >= surely for odds, _ in tried),
        1.0 / (1.0 + exp(-least)),
        max(0.0, *(colder for _, colder in tried)),
    )


def _tried(found: Found, row: Row, by: float) -> Iterator[tuple[float, float]]:
    """Of every alarm of a row: log-odds that the late load is lit, and how much colder it gets [K].

    What few layers flatter the odds by with the load in time is taken off.
    """
    few, choices = found.few, found.few.choices
    alarms = [k for k, put in enumerate(row.draft.puts) if choices.bed < put.at < choices.rise]
    put_off = {k: it for k in alarms if (it := _put_off(row.draft, k, by, choices.rise)) is not None}
    few.all([row.draft, *put_off.values()])
    in_time = few.of(row.draft)
    for k, draft in put_off.items():
        night = few.of(draft)
        flattered = max(in_time.odds[k] - row.promised.odds[k], 0.0)
        yield night.odds[k] - flattered, in_time.cot_lowest - night.cot_lowest


def _put_off(draft: Draft, index: int, by: float, rise: float) -> Draft | None:
    """A draft with one load later; the next ones keep their alarms, but for half an hour after it at least.

    None where it would come after rise.
    """
    puts: list[Put] = []
    for k, put in enumerate(draft.puts):
        at = put.at + by if k == index else put.at
        if k > index:
            at = max(at, puts[-1].at + APART)
        if at < rise - 1.0:
            puts.append(replace(put, at=at))
        elif k == index:
            return None
    return Draft(tuple(puts))

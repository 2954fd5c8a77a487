"""What a stoking card says to do when the night does not go by its rows: each case with one action."""

from collections.abc import Iterator
from dataclasses import dataclass

from simtent.planning.card import Card
from simtent.planning.card_colder import Colder
from simtent.planning.card_late import Late
from simtent.tell.card_cells import counts, degrees, difference, evenings, marks, name, spelled
from simtent.tell.words import percent


@dataclass(frozen=True)
class Case:
    """Something that goes otherwise, and what to do."""

    when: str
    do: str


def cases(card: Card) -> Iterator[Case]:
    """The loads before bed, then all that may go otherwise: late, dead coals, a cold cot; wood to stage."""
    yield Case("BEFORE BED", "; ".join(f"{rows}: {text}" for rows, text in evenings(card)) + ".")
    for it in card.late:
        yield Case(f"{it.late / 60.0:.0f} MIN LATE", _late(card, it))
    yield Case("COALS LOOK DEAD", _dead(card))
    if card.colder is not None:
        yield Case(f"COT {difference(card, card.colder.below)} BELOW", _colder(card, card.colder))
    if card.heaviest is not None:
        yield Case("BY THE BED", _staged(card))


def _late(card: Card, it: Late) -> str:
    cold = f" Cot up to {difference(card, it.colder)} colder." if it.colder > 0.3 else ""
    if it.lit == it.loads:
        return f"Same load, air wide until it catches: coals light it, {percent(_down(it.chance))} or better.{cold}"
    sure = (
        f"coals alone light it surely at {it.lit} of {it.loads} alarms"
        if it.lit
        else "coals may not light it"
    )
    return f"Rake coals together, kindling on them, air wide; the load when that burns: {sure}.{cold}"


def _down(chance: float) -> float:
    """A chance in steps of five per cent, never more than it is, and never certain."""
    return min(int(100.0 * chance / 5.0 + 1e-9) * 0.05, 0.95)


def _dead(card: Card) -> str:
    first = spelled(card.choices.first.pieces)
    do = f"{first}, match, {marks(card.choices.wide)}; the row's load 15 min later."
    it = card.dead
    if it is None:
        return f"{do} By the plan they live until rise."
    wish = degrees(card, card.limits.cot)
    if it.fastest is None:
        return f"{do} Over 2 h to {wish} at the cot, down to {degrees(card, it.coldest)}."
    slowest = "over 2 h" if it.slowest is None else f"{it.slowest:.0f} min"
    return f"{do} Up to {slowest} from match to {wish} at the cot; coldest {degrees(card, it.coldest)}."


REMEDIES = {
    "pieces": "One {piece} more in this load and every later one",
    "mark": "Air one mark wider than the row's, from this load on",
    "earlier": "Every later alarm 30 min earlier",
    "more": "One alarm more, halfway through the longest gap left, with a load as the last",
}


def _colder(card: Card, it: Colder) -> str:
    if it.remedy is None:
        return "Nothing tried on the stove brings it back: warmer clothing and bag, loads as planned."
    do = REMEDIES[it.remedy].format(piece=it.piece)
    if it.back == it.rows:
        return f"{do}: brings it back in all rows."
    if it.back:
        return f"{do}: brings it back in {it.back} of {it.rows} rows."
    return f"{do}: brings back {percent(it.share)} of it; warmer clothing for the rest."


def _staged(card: Card) -> str:
    row = card.heaviest
    assert row is not None
    pile = spelled({kind: card.staged(row)[kind] for kind in card.staged(row)})
    again = spelled(card.choices.first.pieces)
    return (
        f"{pile} for the heaviest row ({name(card, row.weather)}, {counts(card, card.staged(row))}), and {again} "
        "for a relight. As far from the stove as cloth."
    )

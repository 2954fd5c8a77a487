"""What a stoking card says to do when the night does not go by its rows: each case with one action."""

from collections.abc import Iterator
from dataclasses import dataclass

from simtent.planning.card import Card
from simtent.planning.card_colder import Colder
from simtent.tell.card_cells import counts, degrees, difference, evenings, marks, name, spelled
from simtent.tell.words import percent

UNSEEN = 0.3  # K


@dataclass(frozen=True)
class Case:
    """Something that goes otherwise, and what to do."""

    when: str
    do: str


def cases(card: Card) -> Iterator[Case]:
    """The loads before bed, then all that may go otherwise: late, dead coals, a cold cot; wood to stage."""
    if not card.planned:
        return
    yield Case("BEFORE BED", "; ".join(f"{rows}: {text}" for rows, text in evenings(card)) + ".")
    if card.late:
        yield Case(" / ".join(f"{it.late / 60.0:.0f}" for it in card.late) + " MIN LATE", _late(card))
    yield Case("COALS LOOK DEAD", _dead(card))
    if card.colder is not None:
        yield Case(f"COT {difference(card, card.colder.below)} BELOW", _colder(card, card.colder))
    if card.heaviest is not None:
        yield Case("BY THE BED", _staged(card))


def _late(card: Card) -> str:
    """The one action of a load that is late: as before where coals light it surely, else kindling first."""
    in_time = [it for it in card.late if it.lit == it.loads]
    late = [it for it in card.late if it.lit < it.loads]
    parts = []
    if in_time:
        least, when = in_time[-1], f"{in_time[-1].late / 60.0:.0f} min: " if late else ""
        sure = percent(_down(least.chance))
        parts.append(f"{when}Same load, air wide until it catches: coals light it, {sure} or more")
    if late:
        when = f"{late[0].late / 60.0:.0f} min: " if in_time else ""
        sure = " / ".join(f"{it.lit}" for it in late)
        parts.append(
            f"{when}Rake coals together, kindling on them, air wide, then the load: coals alone light it surely at "
            f"{sure} of {late[0].loads} alarms"
        )
    coldest = max(it.colder for it in card.late)
    cold = f". Cot up to {difference(card, coldest)} colder" if coldest > UNSEEN else ""
    return f"{'. '.join(parts)}{cold}."


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
    longest = "Over 2 h in some rows" if it.slowest is None else f"Up to {it.slowest:.0f} min"
    return f"{do} {longest} from match to {wish} at the cot; coldest {degrees(card, it.coldest)}."


REMEDIES = {
    "pieces": "One {piece} more in this load and every later one",
    "mark": "Air one mark wider than the row's, from this load on",
    "earlier": "Every later alarm 30 min earlier",
    "more": "One alarm more, halfway through the longest gap left, with a load as the last",
    "both": "One {piece} more in this load if it fits loosely, and every later alarm 30 min earlier",
}


def _colder(card: Card, it: Colder) -> str:
    if it.remedy is None:
        return "Nothing on the stove brings it back in every row: warmer clothing and bag, loads as planned."
    do = REMEDIES[it.remedy].format(piece=it.piece)
    if it.back == it.rows:
        return f"{do}: brings it back in all rows."
    whole = f" (all of it in {it.back} of {it.rows} rows)" if it.back else ""
    return f"{do}: brings back {percent(it.share)} of it{whole}; warmer clothing for the rest."


def _staged(card: Card) -> str:
    row = card.heaviest
    assert row is not None
    pile = spelled({kind: card.staged(row)[kind] for kind in card.staged(row)})
    again = spelled(card.choices.first.pieces)
    if not pile:
        return f"{again} for a relight; no row burns wood after bed. As far from the stove as cloth."
    return (
        f"{pile} for the heaviest row ({name(card, row.weather)}, {counts(card, card.staged(row))}), and {again} "
        "for a relight. As far from the stove as cloth."
    )

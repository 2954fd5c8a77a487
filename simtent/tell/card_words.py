"""A stoking card as plain text, at most 80 characters wide."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from simtent.assess.findings import Finding
from simtent.assess.moments import clock
from simtent.assess.short import short
from simtent.planning.card import Card
from simtent.planning.choices import CATCHING
from simtent.tell import card_actions, card_cells
from simtent.tell.words import degree_unit, paragraph

INDENT = " " * 12
KIND = "Calculated, not measured; nobody has burned these plans."
ACROSS, CELL = 4, 17  # loads beside each other, and the width of each


def title(card: Card) -> str:
    """Whose card it is."""
    return f"STOKING CARD  {card.scenario.name}" + (" (invented)" if card.scenario.invented else "")


def about(card: Card) -> Iterator[str]:
    """For which nights it holds, what is done every night, how it is read; a sentence each."""
    night, choices = card.scenario.night, card.choices
    lows = [row.weather.low for row in card.rows]
    ends = [
        card_cells.low(card, row.weather) for row in card.rows if row.weather.low in (min(lows), max(lows))
    ]
    band = ends[0] if ends[0] == ends[-1] else f"{ends[0]} to {ends[-1]}"
    yield f"Tonight's low {band} {degree_unit(card.system)}; {card_cells.winds(card)}."
    lit = f"{clock(night, choices.first.at)} {card_cells.spelled(choices.first.pieces)}"
    yield f"Light {lit}. Bed {clock(night, choices.bed)}, rise {clock(night, choices.rise)}."
    wide = card_cells.marks(choices.wide)
    caught = f"After each load {wide} for {CATCHING / 60.0:.0f} min, then the row's marks"
    yield f"{card_cells.legend(card)}. {caught}: {card_cells.shares(card)}."


def lines(card: Card) -> list[str]:
    """The card: cautions first."""
    told = [f"CAUTION  {it}" for it in short(card.scenario)]
    told += ["", title(card), *(line for it in about(card) for line in paragraph(it)), ""]
    told.append(
        f"{'low':>4} {'wind':<7}bed load, then alarms: time, pieces (cot then, {degree_unit(card.system)})"
    )
    for row in card_cells.rows(card):
        told += _row(row)
    if card.missing:
        told += paragraph(missing(card))
    told.append("")
    for case in card_actions.cases(card):
        told += paragraph(case.do, first=f"{case.when:<18}", rest=" " * 18)
    return [*told, "", *paragraph(KIND)]


def found(card: Card, always: Iterable[Finding]) -> list[Finding]:
    """Findings of the rows' nights beside the standing cautions, each once, with the rows that have it."""
    there: dict[tuple[str, str, str], list[tuple[str, Finding]]] = {}
    for row in card.rows:
        for it in (it for it in row.findings if it not in always and it.level != "note"):
            there.setdefault((it.level, it.where, it.todo), []).append(
                (card_cells.name(card, row.weather), it)
            )
    return sorted((_of_rows(card, of) for of in there.values()), key=lambda it: not (it.where or it.when))


def _of_rows(card: Card, of: Sequence[tuple[str, Finding]]) -> Finding:
    """A finding with the rows that have it; one of no place and no time is of all nights alike."""
    finding = of[0][1]
    if not (finding.where or finding.when):
        return finding
    names = dict.fromkeys(name for name, _ in of)
    rows = "in every row" if len(names) == len(card.rows) > 1 else f"in {', '.join(names)}"
    return replace(finding, when=f"{rows}, for example at {finding.when}" if finding.when else rows)


def missing(card: Card) -> str:
    """Rows that were not finished."""
    return f"Not finished, no row: {', '.join(card_cells.name(card, it) for it in card.missing)}."


def _row(row: card_cells.RowCells) -> Iterator[str]:
    head = f"{row.low:>4} {row.wind:<7}"
    cells = [f"{it.time} {it.pieces}".rstrip() + f" ({it.cot})" for it in row.alarms]
    for k in range(0, max(len(cells), 1), ACROSS):
        here = "".join(it.ljust(CELL) for it in cells[k : k + ACROSS]).rstrip() or row.warned
        yield f"{INDENT if k else head}{here}"
    if row.alarms:
        text = f"{row.note}. {row.warned}".rstrip(". ")
        yield from paragraph(f"{text}.", first=INDENT, rest=INDENT)

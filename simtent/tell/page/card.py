"""A stoking card as a page: rows and cases for a phone, and the card at its own size when it is printed."""

from collections.abc import Sequence

from simtent.assess.findings import Finding
from simtent.assess.short import short
from simtent.planning.card import Card
from simtent.tell import card_actions, card_cells, card_picture, card_words
from simtent.tell.page import copied
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import Markup, joined, pairs, paragraphs, tag
from simtent.tell.page.picture import inline
from simtent.tell.page.tables import Line, table
from simtent.tell.unsure import plural
from simtent.tell.words import degree_unit

PRINTED = "This page prints as the card: one sheet at its size, with cut marks. Print it at 100 %."
WORDS = "The stoking card for a pocket, with the cautions, rows and cases that stand on the page as text"
# On paper the card alone, on a sheet without margins of its own.
STYLE = """
#sheet { display: none; }
.rows { font-size: .9375rem; width: 100%; }
.rows .alarm { display: inline-block; margin-right: .7em; white-space: nowrap; }
.rows th, .rows td { text-align: left; vertical-align: top; padding: .2rem .5rem .2rem 0; }
.rows .remark td { padding: 0 0 .3rem 0; font-size: .875rem; }
@media print {
  @page { margin: 0; }
  header, main > :not(#sheet) { display: none; }
  #sheet { display: block; }
  #sheet h2 { display: none; }
  #sheet figure { margin: 0; }
  #sheet svg { width: 210mm; max-width: none; max-height: none; }
}
"""


def page(card: Card, always: Sequence[Finding]) -> Page:
    """Everything that the page holds."""
    scenario = card.scenario
    invented = " Invented scenario: it describes no real camp." if scenario.invented else ""
    return Page(
        scenario=scenario.name,
        about=[
            f"Stoking card. {card_words.KIND}{invented}",
            *(f"Changed from the file: {it}" for it in scenario.changes),
        ],
        answer=answer(card),
        found=card_words.found(card, always),
        always=always,
        parts=[
            Part("card", "The card: a row for tonight's low", _rows(card)),
            Part("cases", "When the night goes otherwise", pairs((it.when, it.do) for it in card_actions.cases(card))),
            Part("sheet", "The card on paper", inline("sheet", WORDS, card_picture.svg(card))),
            *copied.parts(scenario),
        ],
        style=STYLE,
        hidden=("sheet",),
    )  # fmt: skip


def answer(card: Card) -> str:
    """What the card holds: for which nights, how often people get up in the mildest and in the coldest of them."""
    rows = sorted(card.planned, key=lambda it: (-it.weather.low, it.weather.windy))
    if not rows:
        return "No row of this card has a plan: each night would need a fire that has to be stopped."
    ends = rows if len(rows) == 1 else [rows[0], rows[-1]]
    told = " and ".join(
        f"{plural(max(len(card.asleep(it)) - 1, 0), 'alarm')} at {card_cells.name(card, it.weather)}"
        for it in ends
    )
    text = f"Look for tonight's low, in {degree_unit(card.system)}: {told}, after the load at bed."
    missed = [it.weather for it in rows if it.broken]
    if missed:
        text += f" What is wished for is missed, or something is to be watched, in {card_cells.names(card, missed)}."
    stopped = [row.weather for row in card.rows if row.stops]
    if stopped:
        text += f" No plan is given for {card_cells.names(card, stopped)}."
    return f"{text} {card_words.missing(card)}" if card.missing else text


def _rows(card: Card) -> Markup:
    """Cautions, what holds every night, and the rows."""
    warned = [f"CAUTION  {it}" for it in short(card.scenario)]
    head = ("low", "wind", f"bed load, then alarms: time, pieces (cot then, {degree_unit(card.system)})")
    lines = [
        Line(it.low, (it.wind, _alarms(it)), _remark(it) if it.alarms else "") for it in card_cells.rows(card)
    ]
    missing = [card_words.missing(card)] if card.missing else []
    return joined(
        [
            tag("div", paragraphs(warned), class_="headline"),
            paragraphs(card_words.about(card)),
            table("The mildest night first.", head, lines, "rows"),
            paragraphs(missing),
            paragraphs([PRINTED]),
        ]
    )


def _alarms(row: card_cells.RowCells) -> Markup:
    if not row.alarms:
        return tag("b", row.warned)
    return joined(
        (
            tag("span", tag("b", f"{it.time} {it.pieces}".rstrip()), f" ({it.cot})", class_="alarm")
            for it in row.alarms
        ),
        " ",
    )


def _remark(row: card_cells.RowCells) -> Markup:
    return joined([f"{row.note}.", *([tag("b", f"{row.warned}.")] if row.warned else [])], " ")

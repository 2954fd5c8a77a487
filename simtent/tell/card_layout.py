"""Where everything stands on a stoking card, on any sheet; nothing is drawn here."""

from collections.abc import Sequence

from simtent.assess.short import short
from simtent.planning.card import Card
from simtent.tell import card_actions, card_cells, card_words
from simtent.tell.card_sheet import LEADING, Laid, Sheet, Word, wide
from simtent.tell.words import degree_unit, tied

GROWTH = tuple(1.0 + 0.02 * k for k in range(20, -1, -1))  # of all sizes, where there is room


def laid_out(card: Card, sheet: Sheet) -> Laid:
    """The card on a sheet, as large as it goes; at its least size where that is still too long."""
    for growth in GROWTH:
        laid = _laid(card, sheet, growth)
        if laid.y + sheet.margin <= sheet.height:
            break
    return laid


def _laid(card: Card, sheet: Sheet, growth: float) -> Laid:
    laid = Laid(sheet, growth, y=sheet.margin)
    laid.paragraph(" ".join(short(card.scenario)), bold=True, role="warning")
    laid.rule(1.4)
    laid.paragraph(card_words.title(card).partition("  ")[2], "STOKING CARD", bold=True)
    laid.paragraph(" ".join(card_words.about(card)))
    laid.rule()
    rows = list(card_cells.rows(card))
    _header(laid, card)
    for row, following in zip(rows, [*rows[1:], None], strict=True):
        _row(laid, row, _cell(laid, rows))
        if following is None or following.low != row.low:
            laid.rule(0.6)
    if card.missing:
        laid.paragraph(card_words.missing(card), bold=True, role="warning")
    for case in card_actions.cases(card):
        laid.paragraph(case.do, case.when)
    laid.paragraph(card_words.KIND)
    return laid


def _label(laid: Laid) -> float:
    """Width of the column of low and wind [pt]."""
    return max(wide("-40", laid.digits, True), wide("windy", laid.small, True)) + 0.6 * laid.small


def _cell(laid: Laid, rows: Sequence[card_cells.RowCells]) -> float:
    """Width of a load's cell [pt]: as many beside each other as the widest lets."""
    widest = max((_width(laid, alarm) for row in rows for alarm in row.alarms), default=0.0)
    room = laid.room - _label(laid)
    return room / max(int(room / (widest + 0.8 * laid.small)), 1)


def _width(laid: Laid, alarm: card_cells.Alarm) -> float:
    size, small = laid.digits, laid.small
    return wide(f"{alarm.time} {alarm.pieces} ", size, True) + wide(f"{alarm.cot}\u00b0", small, False)


def _header(laid: Laid, card: Card) -> None:
    size = laid.small
    laid.put(0.0, "LOW", size, bold=True)
    words = f"in {degree_unit(card.system)}. Marks air/damper, pile by the bed, coldest at the cot"
    laid.paragraph(words, "BED LOAD, ALARMS: pieces, cot then", x=_label(laid))
    laid.rule(0.6)


def _row(laid: Laid, row: card_cells.RowCells, cell: float) -> None:
    label, tall = _label(laid), LEADING * laid.digits
    across = max(int((laid.room - label) / cell + 1e-6), 1)
    laid.put(0.0, row.low, laid.digits, bold=True)
    top, end = laid.y, label
    for k in range(0, len(row.alarms), across):
        laid.y += tall if k else 0.0
        for n, alarm in enumerate(row.alarms[k : k + across]):
            _alarm(laid, label + n * cell, alarm)
            end = label + n * cell + _width(laid, alarm)
    _note(laid, row, label, end + 2.0 * laid.small)
    wind = Word(laid.sheet.margin, top + tall + laid.small, row.wind, laid.small, row.wind == "windy")
    laid.words.append(wind)
    laid.y = max(laid.y, top + tall + LEADING * laid.small)


def _note(laid: Laid, row: card_cells.RowCells, label: float, behind: float) -> None:
    """A row's marks, pile and coldest behind its last load where they fit, and what it misses; else in lines below."""
    size, tall = laid.small, LEADING * laid.digits
    note = tied(row.note)
    if row.alarms and behind + wide(note, size, False) <= laid.room:
        laid.words.append(Word(laid.sheet.margin + behind, laid.y + laid.digits, note, size))
        note = ""
    laid.y += tall if row.alarms else 0.0
    beside = label + wide(f"{note}  ", size, False) if note else label
    if note and row.warned and beside + wide(row.warned, size, True) <= laid.room:
        laid.put(label, note, size)
        laid.put(beside, row.warned, size, bold=True, role="warning")
        laid.y += LEADING * size
        return
    if note:
        laid.paragraph(note, x=label)
    if row.warned:
        laid.paragraph(row.warned, bold=True, role="warning", x=label)


def _alarm(laid: Laid, x: float, alarm: card_cells.Alarm) -> None:
    """A time, its pieces, and the cot's reading then."""
    head = f"{alarm.time} {alarm.pieces}".rstrip()
    laid.put(x, head, laid.digits, bold=True)
    beside = laid.sheet.margin + x + wide(f"{head} ", laid.digits, True)
    laid.words.append(Word(beside, laid.y + laid.digits, f"{alarm.cot}\u00b0", laid.small))

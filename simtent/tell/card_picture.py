"""A stoking card drawn: on pocket paper with cut marks, and white on black for a phone by headlamp."""

import re
import warnings
from io import BytesIO
from typing import Any

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from simtent.planning.card import Card
from simtent.tell import look
from simtent.tell.card_layout import laid_out
from simtent.tell.card_sheet import Laid, Sheet
from simtent.tell.frame import MAKER, Picture

MM = 72.0 / 25.4  # points
POCKET = Sheet(105.0 * MM, 148.0 * MM, 4.0 * MM, 9.0, 5.7)  # A6
PAGE = (210.0 * MM, 279.4 * MM)  # fits A4 and letter, whichever is in the printer
SCREEN = Sheet(216.0, 468.0, 5.0, 9.0, 5.6)  # 1080 x 2340 pixels
PIXELS_PER_POINT = 5
CUT = (3.0 * MM, 8.0 * MM)  # a cut mark begins and ends so far from the corner
PRINT = "Print at 100 %, cut at the marks. This line is 50 mm long:"
PAPER = {"ground": "white", "ink": "black", "warning": "black"}
NIGHT = {"ground": "black", "ink": "white", "warning": "#ffd24a"}  # 14:1 against black
STYLE: Any = {"text.parse_math": False, "pdf.fonttype": 42, "font.family": "DejaVu Sans"}


def pdf(card: Card) -> bytes:
    """The card on paper, as a page that says whose it is."""
    mark = {
        "Creator": MAKER,
        "Keywords": f"{MAKER} {card.scenario.name.encode().hex()}",
        "Title": "Stoking card",
    }
    return _saved(
        on_paper(card), "pdf", metadata={**mark, "CreationDate": None, "ModDate": None, "Producer": None}
    )


def png(card: Card) -> bytes:
    """The card on a phone, as a picture that says whose it is."""
    mark = {"Software": MAKER, "Title": card.scenario.name}
    return _saved(on_phone(card), "png", metadata=mark)


def svg(card: Card) -> str:
    """The card on paper as the text of an SVG file, cut below the line that is to be measured; letters as shapes."""
    with mpl.rc_context({"svg.fonttype": "path", "svg.hashsalt": MAKER}):
        text = _saved(on_paper(card), "svg", metadata={"Date": None, "Creator": None}).decode()
    laid = laid_out(card, POCKET)
    bottom = 25.0 * MM + max(POCKET.height, laid.y + POCKET.margin) + 24.0 * MM
    return re.sub(
        r'viewBox="[^"]*"', f'viewBox="0 0 {PAGE[0]:.2f} {min(bottom, PAGE[1]):.2f}"', text, count=1
    )


def _saved(figure: Figure, form: str, **how: Any) -> bytes:
    whole = BytesIO()
    with mpl.rc_context(STYLE), warnings.catch_warnings():
        # A name in a script that the font does not have is drawn as boxes; that is no news to the user.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        figure.savefig(whole, format=form, **how)
    return whole.getvalue()


def on_phone(card: Card) -> Figure:
    """The card as a phone's screen; longer than one where it must be."""
    laid = laid_out(card, SCREEN)
    height = max(SCREEN.height, laid.y + SCREEN.margin)
    figure = _blank(SCREEN.width, height, NIGHT["ground"])
    _draw(figure, laid, (0.0, 0.0), (SCREEN.width, height), NIGHT)
    return figure


def on_paper(card: Card) -> Figure:
    """The card at its size on a page, between cut marks."""
    laid = laid_out(card, POCKET)
    figure = _blank(*PAGE, PAPER["ground"])
    corner = (0.5 * (PAGE[0] - POCKET.width), 25.0 * MM)
    _draw(figure, laid, corner, PAGE, PAPER)
    bottom = corner[1] + max(POCKET.height, laid.y + POCKET.margin)
    _cut_marks(figure, (corner[0], corner[0] + POCKET.width), (corner[1], bottom))
    x, y = corner[0], bottom + 16.0 * MM
    figure.text(x / PAGE[0], 1.0 - y / PAGE[1], PRINT, size=look.SMALLEST_TEXT, va="baseline", color="black")
    _line(figure, (x, x + 50.0 * MM), (y + 3.0 * MM, y + 3.0 * MM), PAGE, "black", 0.8)
    return figure


def _blank(width: float, height: float, ground: str) -> Figure:
    figure = Picture(figsize=(width / 72.0, height / 72.0), facecolor=ground, dpi=72 * PIXELS_PER_POINT)
    figure.resolution = 72 * PIXELS_PER_POINT
    FigureCanvasAgg(figure)
    return figure


def _draw(
    figure: Figure,
    laid: Laid,
    corner: tuple[float, float],
    page: tuple[float, float],
    colours: dict[str, str],
) -> None:
    """All texts and rules; `corner` is the sheet's upper left one on the page [pt]."""
    x0, y0 = corner
    with mpl.rc_context(STYLE):
        for word in laid.words:
            figure.text(
                (x0 + word.x) / page[0], 1.0 - (y0 + word.y) / page[1], word.text, size=word.size,
                weight="bold" if word.bold else "normal", color=colours[word.role], va="baseline",
                ha="right" if word.right else "left",
            )  # fmt: skip
    ends = (x0 + laid.sheet.margin, x0 + laid.sheet.width - laid.sheet.margin)
    for rule in laid.rules:
        _line(figure, ends, (y0 + rule.y, y0 + rule.y), page, colours["ink"], rule.weight)


def _cut_marks(figure: Figure, xs: tuple[float, float], ys: tuple[float, float]) -> None:
    for x, out in zip(xs, (-1.0, 1.0), strict=True):
        for y, down in zip(ys, (-1.0, 1.0), strict=True):
            _line(figure, tuple(x + out * it for it in CUT), (y, y), PAGE, "black", 0.8)
            _line(figure, (x, x), tuple(y + down * it for it in CUT), PAGE, "black", 0.8)


def _line(
    figure: Figure,
    xs: tuple[float, ...],
    ys: tuple[float, ...],
    page: tuple[float, float],
    colour: str,
    weight: float,
) -> None:
    """A straight line [pt], from the page's upper left corner."""
    places = [x / page[0] for x in xs], [1.0 - y / page[1] for y in ys]
    figure.add_artist(Line2D(*places, color=colour, lw=weight, solid_capstyle="butt"))

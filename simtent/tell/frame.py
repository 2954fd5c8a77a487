"""What every picture has: the cautions' headline, the scenario's name, what kind of thing it is, and its file."""

import re
import warnings
from collections.abc import Callable
from contextvars import ContextVar
from io import BytesIO, StringIO
from pathlib import Path
from textwrap import shorten
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from simtent.assess.cautions import HEADLINE
from simtent.scenario.scenario import Scenario
from simtent.tell import look

MAKER = "simtent"
IN_PAGE = ContextVar("in_page", default=False)
"""Whether a picture is drawn for a page, whose own text says what heading and footing would, in larger letters."""


def width() -> float:
    """The width of a picture [in]."""
    return look.WIDTH_IN_PAGE if IN_PAGE.get() else look.WIDTH


def blank(height: float = look.HEIGHT) -> Figure:
    """An empty picture of a phone's width, its height in inches; in a page narrower, so that its letters are larger."""
    figure = Figure(figsize=(width(), height), facecolor="white")
    FigureCanvasAgg(figure)
    return figure


def as_png(scenario: Scenario, draw: Callable[[], Figure]) -> bytes:
    """Draw a picture; a PNG file that says whose it is."""
    picture = BytesIO()
    with mpl.rc_context(look.STYLE), warnings.catch_warnings():
        # A name in a script that the font does not have is drawn as boxes; that is no news to the user.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        mark = {"Software": MAKER, "Title": scenario.name}
        draw().savefig(picture, format="png", dpi=look.PIXELS_PER_INCH, metadata=mark)
    return picture.getvalue()


def as_svg(draw: Callable[[], Figure]) -> str:
    """Draw a picture for a page, without heading and footing, cut to what is drawn; the text of an SVG file.

    Letters are drawn as shapes: a phone does not have the font.
    """
    picture = StringIO()
    style = {**look.STYLE, "svg.fonttype": "path", "svg.hashsalt": MAKER}
    token = IN_PAGE.set(True)
    try:
        with mpl.rc_context(style), warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            figure = draw()
            for line in (line for axes in figure.axes for line in axes.lines):
                line.set_in_layout(np.size(line.get_xdata()) > 0)  # an empty one would count as a corner
            figure.savefig(
                picture, format="svg", bbox_inches="tight", pad_inches=0.02, transparent=True,
                metadata={"Date": None, "Creator": None},
            )  # fmt: skip
    finally:
        IN_PAGE.reset(token)
    return picture.getvalue()


def scenario_of(path: Path) -> str | None:
    """Name of the scenario whose picture stands in the file; None for any other file."""
    from PIL import Image, UnidentifiedImageError  # noqa: PLC0415  (comes with matplotlib)

    try:
        with Image.open(path) as image:
            return image.info.get("Title") if image.info.get("Software") == MAKER else None
    except (OSError, UnidentifiedImageError):
        return None


def heading(figure: Figure, scenario: Scenario, what: str) -> None:
    """The cautions, the scenario's name, and what the picture shows; nothing in a page, which says them itself."""
    if IN_PAGE.get():
        return
    box = {
        "boxstyle": "square,pad=0.45",
        "facecolor": look.WARNING_FILL,
        "edgecolor": look.WARNING,
        "lw": 0.8,
    }
    how: dict[str, Any] = {"color": look.WARNING, "weight": "bold", "ha": "center", "va": "top"}
    top = look.HEIGHT / figure.get_figheight()  # places are shares of the usual height, from the upper edge
    figure.text(0.5, 1.0 - 0.015 * top, "\n".join(HEADLINE), bbox=box, **how)
    name = shorten(scenario.name, 40, placeholder=" ...")
    size = 11.0 if len(name) <= 28 else look.SMALLEST_TEXT
    figure.text(look.EDGE, 1.0 - 0.092 * top, name, weight="bold", size=size, va="top")
    figure.text(look.EDGE, 1.0 - 0.118 * top, what, color=look.QUIET, va="top")


def footing(
    figure: Figure, scenario: Scenario, more: str = "", kind: str = "Calculated, not measured."
) -> None:
    """What kind of thing the picture is, and what was changed from the scenario's file; nothing in a page."""
    if IN_PAGE.get():
        return
    kind = f"{kind}{more}"
    if scenario.invented:
        kind += "\nInvented scenario: it describes no real camp."
    if scenario.changes:
        kind += "\n" + shorten(f"Changed: {', '.join(scenario.changes)}", 52, placeholder=" ...")
    how: dict[str, Any] = {"color": look.QUIET, "size": look.SMALLEST_TEXT, "linespacing": 1.35}
    figure.text(look.EDGE, 0.012 * look.HEIGHT / figure.get_figheight(), kind, va="bottom", **how)


def scenario_of_sheet(path: Path) -> str | None:
    """Name of the scenario whose sheet of paper stands in a PDF file; None for any other file."""
    found = re.search(rb"/Keywords \(" + MAKER.encode() + rb" ((?:[0-9a-f]{2})*)\)", path.read_bytes())
    return bytes.fromhex(found[1].decode()).decode() if found else None

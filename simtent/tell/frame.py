"""What every picture has: the cautions' headline, the scenario's name, what kind of thing it is, and its file."""

import re
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from io import BytesIO, StringIO
from pathlib import Path
from textwrap import shorten
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox

from simtent.assess.cautions import HEADLINE
from simtent.scenario.scenario import Scenario
from simtent.tell import look

MAKER = "simtent"
IN_PAGE = ContextVar("in_page", default=False)
"""Whether a picture is drawn for a page, whose own text says what heading and footing would, in larger letters."""


FORMS = ("png", "svg", "pdf")
"""How a picture can be written; the latter two are drawn sharp at any size, and keep their text as text."""


class Picture(Figure):
    """A figure that looks the same whoever draws it, belongs to no window, and says in its files whose it is."""

    owner = ""  # name of its scenario
    resolution: float | None = None  # of its files, where it is not that of the look

    def draw(self, renderer: Any) -> None:
        """Draw it in the look that it was made in, whatever the caller has set."""
        with _looking():
            super().draw(renderer)

    def savefig(self, fname: Any, **how: Any) -> None:
        """Write it to a file; `how` is that of matplotlib's own `savefig`, the form by the file's name if not given.

        In an SVG file letters are text in this font or the reader's own without serifs; in a PDF file the font is
        part of the file.
        """
        form = how.get("format") or (Path(fname).suffix[1:] if isinstance(fname, str | Path) else "") or "png"
        own = _mark(self.owner, form.lower()) if self.owner else {}
        how = {
            "dpi": self.resolution or look.PIXELS_PER_INCH,
            **how,
            "metadata": {**own, **(how.get("metadata") or {})},
        }
        with _looking(IN_FILES):
            super().savefig(fname, **how)

    def _repr_png_(self) -> bytes:
        """What a notebook shows."""
        whole = BytesIO()
        self.savefig(whole, format="png", dpi=(self.resolution or look.PIXELS_PER_INCH) / 2)
        return whole.getvalue()


IN_FILES = {"svg.fonttype": "none", "svg.hashsalt": MAKER, "pdf.fonttype": 42}


@contextmanager
def _looking(more: Any = None) -> Iterator[None]:
    style: Any = {**look.STYLE, **(more or {})}
    with mpl.rc_context(style), warnings.catch_warnings():
        # A name in a script that the font does not have is drawn as boxes; that is no news to the user.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        yield


def _filled(figure: Figure) -> Bbox:
    """As high as what is drawn, and as wide as the whole figure at least [in]: words at its edge are not cut."""
    tight = figure.get_tightbbox()
    right = max(tight.x1, figure.get_figwidth())
    return Bbox.from_extents(min(tight.x0, 0.0), tight.y0 - 0.02, right, tight.y1 + 0.02)


def _mark(name: str, form: str) -> dict[str, Any]:
    """What a file says of itself, so that the scenario is found again; without dates, so that files can be compared."""
    if form == "png":
        return {"Software": MAKER, "Title": name}
    mark: dict[str, Any] = {"Creator": MAKER, "Title": name, "Keywords": f"{MAKER} {name.encode().hex()}"}
    if form == "svg":
        return {**mark, "Date": None}
    return {**mark, "CreationDate": None, "ModDate": None, "Producer": None} if form == "pdf" else {}


def width() -> float:
    """The width of a picture [in]."""
    return look.WIDTH_IN_PAGE if IN_PAGE.get() else look.WIDTH


def blank(height: float = look.HEIGHT) -> Figure:
    """An empty picture of a phone's width, its height in inches; in a page narrower, so that its letters are larger."""
    figure = Picture(figsize=(width(), height), facecolor="white")
    FigureCanvasAgg(figure)
    return figure


def picture(scenario: Scenario, draw: Callable[[], Figure]) -> Figure:
    """Draw a picture in our look; it says whose it is wherever it is saved."""
    with _looking():
        figure = draw()
    if isinstance(figure, Picture):
        figure.owner = scenario.name
    return figure


def as_file(scenario: Scenario, draw: Callable[[], Figure], form: str = "png") -> bytes:
    """Draw a picture; the whole of a file of that form, which says whose it is."""
    whole = BytesIO()
    picture(scenario, draw).savefig(whole, format=form)
    return whole.getvalue()


def as_svg(draw: Callable[[], Figure]) -> str:
    """Draw a picture for a page, without heading and footing, cut to what is drawn; the text of an SVG file.

    Letters are drawn as shapes: a phone does not have the font.
    """
    whole = StringIO()
    token = IN_PAGE.set(True)
    try:
        with _looking({**IN_FILES, "svg.fonttype": "path"}):
            figure = draw()
            for line in (line for axes in figure.axes for line in axes.lines):
                line.set_in_layout(np.size(line.get_xdata()) > 0)  # an empty one would count as a corner
            Figure.savefig(
                figure, whole, format="svg", bbox_inches=_filled(figure), transparent=True,
                metadata={"Date": None, "Creator": None},
            )  # fmt: skip
    finally:
        IN_PAGE.reset(token)
    return whole.getvalue()


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
    """Name of the scenario whose picture or sheet of paper stands in a PDF file; None for any other file."""
    return _named(path, rb"/Keywords \(")


def scenario_of_drawing(path: Path) -> str | None:
    """Name of the scenario whose picture stands in an SVG file; None for any other file."""
    return _named(path, rb"<rdf:li>")


def _named(path: Path, before: bytes) -> str | None:
    found = re.search(before + MAKER.encode() + rb" ((?:[0-9a-f]{2})*)[)<]", path.read_bytes())
    return bytes.fromhex(found[1].decode()).decode() if found else None

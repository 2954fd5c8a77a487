"""No text of a public picture lies on another or leaves the canvas, whatever names, loads, weather and units."""

from itertools import combinations
from pathlib import Path
from random import Random

import matplotlib as mpl
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text

from simtent.tell import look
from tests.tell.drawings import DRAWN, shown

LETTERS = (
    0.96,
    0.72,
)  # of a text's box that its letters fill at most: boxes hold the room of letters with tails


def faults(picture: Figure) -> list[str]:
    """What touches what, what leaves the canvas."""
    with mpl.rc_context(look.STYLE):
        picture.draw_without_rendering()
        boxes = [(it.get_text(), Text.get_window_extent(it).shrunk(*LETTERS)) for it in shown(picture)]
    width, height = picture.bbox.width, picture.bbox.height
    out = [
        f"{text!r} leaves the canvas"
        for text, box in boxes
        if box.x0 < 0 or box.y0 < 0 or box.x1 > width or box.y1 > height
    ]
    on = [f"{one!r} on {other!r}" for (one, a), (other, b) in combinations(boxes, 2) if a.overlaps(b)]
    return [*out, *on]


@pytest.mark.parametrize(
    "seed", [0, 1, *(pytest.param(seed, marks=pytest.mark.slow) for seed in range(2, 8))]
)
@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("draw", DRAWN, ids=lambda it: it.__name__)
def test_nothing_touches_or_is_cut(draw, units, seed, tmp_path: Path) -> None:
    assert faults(draw(Random(seed), tmp_path, units)) == []

"""Ways in and out of the cut-open shelter: an arrow at each opening, wind side left, lee right; and the flue."""

from dataclasses import dataclass
from typing import Any

import xarray as xr
from matplotlib.axes import Axes
from matplotlib.patheffects import withStroke

from simtent.assess.air import name_and_side
from simtent.tell import look, placing
from simtent.tell.cutaway import HALF, MIDDLE, Outline, line_height
from simtent.tell.words import air_flow
from simtent.units import System

LEFT, RIGHT = 51.0, 261.0  # points: outer edges of the columns of names
REACH, WITHIN = 10.0, 9.0  # points of an arrow outside and inside the wall
CLEAR = 0.012  # of the peak: an arrow stays off the line of the ground
LEAST = 5e-5  # kg/s, of a flow worth a word


@dataclass(frozen=True, slots=True)
class Way:
    """Air through one opening one way: height [m], flow [kg/s]."""

    name: str
    side: str
    inward: bool
    height: float
    flow: float


def ways_of(moment: xr.Dataset, neutral: float | None) -> list[Way]:
    """What flows in and out, opening by opening; through a tall one in low and out high."""
    ways = []
    columns = ("opening_bottom", "opening_top", "opening_inflow", "opening_flow")
    for name, *row in zip(
        moment["opening"].values.tolist(),
        *(moment[column].values.tolist() for column in columns),
        strict=True,
    ):
        bottom, top, enters, net = row
        plain, side = name_and_side(name)
        leaves, middle = enters - net, 0.5 * (bottom + top)
        if min(enters, leaves) >= LEAST:
            split = min(max(middle if neutral is None else neutral, bottom), top)
            ways.append(Way(plain, side, True, 0.5 * (bottom + split), enters))
            ways.append(Way(plain, side, False, 0.5 * (split + top), leaves))
        elif max(enters, leaves) >= LEAST:
            ways.append(Way(plain, side, enters > leaves, middle, max(enters, leaves)))
    return ways


def draw_ways(axes: Axes, outline: Outline, ways: list[Way], system: System) -> None:
    """Arrows and words on both sides of the section."""
    most = max((way.flow for way in ways), default=1.0)
    for left in (True, False):
        here = [way for way in ways if (way.side == "windward") == left]
        if not here:
            continue
        step = 2.0 * line_height(axes)
        wanted = [max(way.height, 0.5 * step) for way in here]
        for way, place in zip(here, placing.apart(wanted, step, outline.peak), strict=True):
            _way(axes, outline, way, place, left, most, system)


def _way(
    axes: Axes, outline: Outline, way: Way, place: float, left: bool, most: float, system: System
) -> None:
    colour = look.COMES_IN if way.inward else look.GOES_OUT
    words = f"{way.name}\n{'in' if way.inward else 'out'} {air_flow(way.flow, system)}"
    edge = LEFT if left else RIGHT
    axes.text(
        edge, place, words, color=colour, ha="left" if left else "right", va="center",
        size=look.SMALLEST_TEXT, linespacing=1.1, zorder=8,
        path_effects=[withStroke(linewidth=2.0, foreground="white")],
    )  # fmt: skip
    side, height = -1.0 if left else 1.0, max(way.height, CLEAR * outline.peak)
    wall = float(outline.across(side, height))
    inner, outer = wall - side * WITHIN, wall + side * REACH
    start, end = (outer, inner) if way.inward else (inner, outer)
    _arrow(axes, (start, height), (end, height), colour, 0.8 + 3.4 * way.flow / most)
    foot = MIDDLE + side * (HALF + REACH)
    if abs(place - height) > 0.3 * line_height(axes) or abs(outer - foot) > 2.0:
        axes.plot([foot, outer], [place, height], color=colour, lw=0.7, zorder=3)


def _arrow(
    axes: Axes, start: tuple[float, float], end: tuple[float, float], colour: str, width: float
) -> None:
    how: dict[str, Any] = {
        "arrowstyle": f"-|>,head_length={0.35 + 0.04 * width:.2f},head_width={0.16 + 0.05 * width:.2f}",
        "color": colour, "lw": width, "shrinkA": 0.0, "shrinkB": 0.0, "mutation_scale": 10.0,
    }  # fmt: skip
    axes.annotate("", end, xytext=start, arrowprops=how, zorder=7)


def draw_flue(axes: Axes, outline: Outline, flow: float, top: float, system: System) -> None:
    """What goes up the flue, or comes down it where it runs backwards."""
    back = flow < 0.0
    colour = look.WARNING if back else look.GOES_OUT
    low, high = (MIDDLE, top + 0.02 * outline.peak), (MIDDLE, top + 0.1 * outline.peak)
    start, end = (high, low) if back else (low, high)
    _arrow(axes, start, end, colour, 2.2)
    words = f"flue {'backwards ' if back else ''}{air_flow(abs(flow), system)}"
    axes.text(
        MIDDLE + 8.0, top + 0.05 * outline.peak, words, color=colour, va="center",
        weight="bold" if back else "normal", size=look.SMALLEST_TEXT,
    )  # fmt: skip

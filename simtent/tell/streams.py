"""Streams of air in the cut-open shelter: bands as wide as what flows, with a head where they end."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.patches import Polygon
from matplotlib.patheffects import withStroke

from simtent.assess.curves import Floats
from simtent.tell import look, placing
from simtent.tell.cutaway import Outline, line_height
from simtent.tell.words import air_flow
from simtent.units import System

WIDEST, NARROWEST = 17.0, 0.8  # points, of the largest flow and of any that is drawn
LEAST_SHARE = 0.03  # of the largest flow; less is not drawn
HEAD = 8.0  # points, length of an arrow's head
PLACES = {  # shares of the half width, a band for each
    "plume": (0.0,),
    "falling current": (-0.87, 0.87),
    "rising current": (0.56,),
    "fan": (0.33,),
    "room air": (-0.45,),
}
NAMES = {"falling current": "falling", "rising current": "rising"}
APART = 1.5  # lines, from name to name
NARROW = 0.55  # share of the half width above which no words are put


@dataclass(frozen=True, slots=True)
class Stream:
    """One stream at one moment: heights [m] and flows, upward positive [kg/s]."""

    name: str
    heights: Floats
    flows: Floats

    @property
    def largest(self) -> int:
        """Where it is largest, either way."""
        return int(np.argmax(np.abs(self.flows)))

    def runs(self, least: float) -> Iterator[tuple[Floats, Floats]]:
        """Heights and flows of every part that flows one way and is worth drawing."""
        way = np.sign(self.flows) * (np.abs(self.flows) >= least)
        cuts = np.flatnonzero(np.diff(way)) + 1
        for part in np.split(np.arange(way.size), cuts):
            if way[part[0]] != 0.0:
                yield self.heights[part], self.flows[part]


def streams_of(moment: xr.Dataset) -> list[Stream]:
    """The streams worth drawing."""
    heights = moment["interface"].values
    found = [
        Stream(name, heights, moment["layer_flow"].sel(stream=name).values)
        for name in moment["stream"].values.tolist()
    ]
    most = max(float(np.abs(stream.flows).max()) for stream in found)
    return [stream for stream in found if 0.0 < LEAST_SHARE * most <= np.abs(stream.flows).max()]


def draw_streams(axes: Axes, outline: Outline, streams: list[Stream]) -> None:
    """Every stream as bands between the heights where it flows."""
    if not streams:
        return
    most = max(float(np.abs(stream.flows).max()) for stream in streams)
    for stream in streams:
        places = PLACES[stream.name]
        for heights, flows in stream.runs(0.01 * most):
            widths = np.maximum(WIDEST * np.abs(flows) / most / len(places), NARROWEST)
            for place in places:
                _band(axes, outline, place, heights, widths, bool(flows[0] > 0.0), look.STREAMS[stream.name])


def _band(
    axes: Axes, outline: Outline, place: float, heights: Floats, widths: Floats, up: bool, colour: str
) -> None:
    bottom, top = axes.get_ylim()
    metre = axes.bbox.height / (top - bottom) * 72.0 / axes.figure.dpi  # points
    head, tip = HEAD / metre, -1 if up else 0
    sign = 1.0 if up else -1.0
    end = min(max(float(heights[tip]) + sign * head, 0.0), outline.peak)
    if heights.size == 1:
        heights = np.array([heights[0] - 0.5 * head, heights[0] + 0.5 * head])
        widths = np.repeat(widths, 2)
    middle = outline.across(place, heights)
    left, right = middle - 0.5 * widths, middle + 0.5 * widths
    wide = 0.5 * widths[tip] + 2.6
    at, level = float(middle[tip]), float(heights[tip])
    point = float(outline.across(place, end))
    inside = Polygon(
        outline.corners(), transform=axes.transData
    )  # a wide stream ends at the wall of a narrow peak
    band = np.vstack([np.column_stack([left, heights]), np.column_stack([right, heights])[::-1]])
    arrow = np.array([(at - wide, level), (point, end), (at + wide, level)])
    for corners, order in ((band, 5.0), (arrow, 5.1)):
        patch = Polygon(corners, closed=True, fc=colour, ec="white", lw=0.5, zorder=order)
        axes.add_patch(patch)
        patch.set_clip_path(inside)


def name_streams(
    axes: Axes, outline: Outline, streams: list[Stream], lowest: float, neutral: float | None, system: System
) -> None:
    """The name of each stream and its largest flow, near where it is largest.

    Nothing stands below `lowest` [m], and nothing on the line of the neutral height [m].
    """
    if not streams:
        return
    step = APART * line_height(axes)
    wide = float(np.interp(-NARROW, -outline.shares, outline.heights))
    order = sorted(streams, key=lambda stream: float(stream.heights[stream.largest]))
    first = min(lowest + step, wide)
    wanted = [min(max(float(s.heights[s.largest]), first), wide) for s in order]
    kept = [] if neutral is None else [neutral]
    places = placing.apart([*wanted, *kept], step, max(wide, *kept, 0.0))
    for stream, place in zip(order, places, strict=False):
        shares = PLACES[stream.name]
        words = f"{NAMES.get(stream.name, stream.name)} {air_flow(float(np.abs(stream.flows).max()), system)}"
        x, side = float(outline.across(shares[0], place)), "center"
        if len(shares) > 1:  # along both walls
            x, side = float(outline.across(1.0, place)) - 3.0, "right"
        most, colour = float(stream.heights[stream.largest]), look.STREAMS[stream.name]
        axes.plot(
            [x, float(outline.across(shares[-1], most))], [place, most], color=colour, lw=0.7, zorder=5.2
        )
        axes.text(
            x, place, words, color=colour, ha=side, va="center", weight="bold",
            size=look.SMALLEST_TEXT, path_effects=[withStroke(linewidth=2.5, foreground="white")], zorder=8,
        )  # fmt: skip

"""Height over time, filled between isotherms, each of which bears its number."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.contour import QuadContourSet
from matplotlib.patheffects import withStroke

from simtent.assess.air import edges_of
from simtent.assess.curves import Floats, seconds_of
from simtent.tell import look
from simtent.tell.shades import even
from simtent.tell.words import degree_number, whole
from simtent.units import System

STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0)  # between isotherms, in the shown unit
MOST_BANDS = 9
FREEZING = 0.0  # degC
LABELS = 2  # of one isotherm at most
WIDE, TALL = 0.085, 0.06  # of a number, shares of the axes
APART = 0.3  # between two numbers of one isotherm, a share of the width
RIM = "#ffffffb0"


@dataclass(frozen=True, slots=True)
class Isotherm:
    """A temperature in the shown unit, the pieces of its line [h, m], and how its number looks."""

    value: float
    pieces: Sequence[Floats]
    colour: str = look.INK
    weight: str = "normal"


def boundaries(dataset: xr.Dataset, system: System) -> Floats:
    """Temperatures of the isotherms in the shown unit, whole steps, from below the coldest to above the warmest air."""
    air = dataset["air_temperature"].values
    low, high = (degree_number(float(value), system) for value in (air.min(), air.max()))
    step = next((s for s in STEPS if (high - low) / s <= MOST_BANDS - 1), STEPS[-1])
    first, last = np.floor(low / step), np.ceil(high / step)
    return np.asarray(step * np.arange(first, max(last, first + 1.0) + 1.0))


def draw_isotherms(
    axes: Axes, dataset: xr.Dataset, system: System, kept: Sequence[tuple[float, float]] = ()
) -> None:
    """Fill and line the air's temperatures, with a heavier line where water freezes, and number them.

    kept  places that numbers keep clear of: hours from begin, shares of the height
    """
    edges, heights = edges_of(dataset), dataset["height"].values
    hours = seconds_of(dataset) / 3600.0
    at = np.concatenate([[0.0], heights, edges[-1:]])  # air at floor and peak is that of the layer there
    air = np.pad(dataset["air_temperature"].values, ((0, 0), (1, 1)), mode="edge")
    shown = np.vectorize(lambda value: degree_number(value, system))(air).T
    levels = boundaries(dataset, system)
    colours = ListedColormap(even(look.ISOTHERMS, levels.size - 1))
    axes.contourf(hours, at, shown, levels, cmap=colours, norm=BoundaryNorm(levels, colours.N))
    axes.set_xlim(0.0, float(hours[-1]))
    axes.set_ylim(0.0, float(edges[-1]))
    drawn: list[Isotherm] = []
    freezing = degree_number(FREEZING, system)
    if shown.min() < freezing < shown.max():
        line = axes.contour(hours, at, shown, [freezing], colors=look.COT, linewidths=1.8, linestyles="-")
        drawn += _isotherms(line, look.COT, "bold")
    if levels.size > 2:
        lines = axes.contour(hours, at, shown, levels[1:-1], colors=look.INK, linewidths=0.5, linestyles="-")
        drawn += [isotherm for isotherm in _isotherms(lines) if isotherm.value != freezing]
    _number(axes, drawn, [(hour / float(hours[-1]), share) for hour, share in kept])


def _isotherms(lines: QuadContourSet, colour: str = look.INK, weight: str = "normal") -> list[Isotherm]:
    pairs = zip(lines.levels, lines.allsegs, strict=True)
    return [Isotherm(float(value), pieces, colour, weight) for value, pieces in pairs]


def _number(axes: Axes, isotherms: Sequence[Isotherm], kept: Sequence[tuple[float, float]]) -> None:
    """Each isotherm's number on its flattest stretches, clear of every other number and of what is kept clear."""
    taken = list(kept)
    for isotherm in isotherms:
        own: list[float] = []
        for x, y in _flattest(axes, isotherm.pieces):
            near = any(abs(x - u) < WIDE and abs(y - v) < 1.3 * TALL for u, v in taken)
            if near or any(abs(x - u) < APART for u in own):
                continue
            taken.append((x, y))
            own.append(x)
            axes.text(
                x, y, whole(isotherm.value), transform=axes.transAxes, ha="center", va="center", zorder=5,
                color=isotherm.colour, weight=isotherm.weight, size=look.SMALLEST_TEXT,
                path_effects=[withStroke(linewidth=2.0, foreground=RIM)],
            )  # fmt: skip
            if len(own) == LABELS:
                break


def _flattest(axes: Axes, pieces: Sequence[Floats]) -> list[tuple[float, float]]:
    """Places on an isotherm where a number fits, in shares of the axes, the flattest first."""
    right, top = axes.get_xlim()[1], axes.get_ylim()[1]
    found = []
    for piece in pieces:
        x, y = piece[:, 0] / right, piece[:, 1] / top
        inside = (np.abs(x - 0.5) < 0.5 - 0.6 * WIDE) & (np.abs(y - 0.5) < 0.5 - 0.7 * TALL)
        for k in np.flatnonzero(inside):
            around = np.abs(x - x[k]) < 0.5 * WIDE
            hangs_over = bool(np.ptp(x[around]) < 0.6 * WIDE)  # the ends of a short piece
            found.append((float(np.ptp(y[around])) + float(hangs_over), float(x[k]), float(y[k])))
    return [(x, y) for _, x, y in sorted(found)]

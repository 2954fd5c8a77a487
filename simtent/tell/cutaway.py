"""A shelter cut open, heights to scale: its layers by temperature, its levels, stove and pipe.

The axes count points of the page from left to right and metres from the ground up.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap
from matplotlib.patches import Polygon, Rectangle

from simtent.assess.air import edges_of
from simtent.assess.curves import Floats
from simtent.scenario.scenario import Scenario
from simtent.scenario.shelter import Shelter
from simtent.tell import look, placing
from simtent.tell.words import degree_number, whole
from simtent.units import System

NUMBERS, NAMES, MIDDLE, HALF = 13.0, 16.0, 155.0, 50.0  # points from the left edge: columns, the section
LEAST_SPAN = 5.0  # K, between the coldest and the warmest colour
LONGEST_NAME = 6  # letters of a level's name
STOVE_WIDE, PIPE_WIDE = 26.0, 3.4
CHIMNEY = 0.22  # m, of the pipe above the roof that is drawn
AIR = LinearSegmentedColormap.from_list("air", (look.COLD_AIR, look.MILD_AIR, look.WARM_AIR))


@dataclass(frozen=True, slots=True)
class Outline:
    """A section's half width, as a share of the greatest, over the height [m]; straight in between."""

    heights: Floats
    shares: Floats

    @classmethod
    def of(cls, shelter: Shelter) -> "Outline":
        """The section across the ridge, or through the peak."""
        heights, shares = np.array(shelter.profile).T
        return cls(heights, shares / shares.max())

    @property
    def peak(self) -> float:
        """The highest point [m]."""
        return float(self.heights[-1])

    def across(self, share: Any, height: Any) -> Floats:
        """Place in points of a share of the half width, -1 at the left wall, at a height [m]."""
        return np.asarray(MIDDLE + HALF * np.asarray(share) * np.interp(height, self.heights, self.shares))

    def corners(self) -> Floats:
        """Corners of the section, shape (n, 2)."""
        both = [np.column_stack([self.across(side, self.heights), self.heights]) for side in (-1.0, 1.0)]
        return np.vstack([both[0], both[1][::-1]])


def line_height(axes: Axes) -> float:
    """Height of a line of the smallest text [m]."""
    bottom, top = axes.get_ylim()
    inches = axes.get_position().height * look.HEIGHT
    return look.LINE_HEIGHT * look.SMALLEST_TEXT / 72.0 / inches * (top - bottom)


def draw_layers(axes: Axes, outline: Outline, moment: xr.Dataset) -> None:
    """Every layer shaded by its temperature."""
    corners = outline.corners()
    shell = Polygon(corners, closed=True, fill=False, ec=look.INK, lw=1.4, zorder=4)
    axes.add_patch(shell)
    edges, warmth = edges_of(moment), moment["air_temperature"].values
    span = max(float(np.ptp(warmth)), LEAST_SPAN)
    shades = 0.5 + (warmth - 0.5 * (warmth.min() + warmth.max())) / span
    for low, high, shade in zip(edges[:-1], edges[1:], shades, strict=True):
        band = Rectangle(
            (MIDDLE - HALF, low), 2.0 * HALF, high - low, color=AIR(float(shade)), lw=0.0, zorder=1
        )
        axes.add_patch(band)
        band.set_clip_path(Polygon(corners, closed=True, transform=axes.transData))
    axes.plot([MIDDLE - HALF - 8.0, MIDDLE + HALF + 8.0], [0.0, 0.0], color=look.INK, lw=2.0, zorder=4)


def draw_heights(
    axes: Axes, outline: Outline, moment: xr.Dataset, neutral: float | None, system: System
) -> None:
    """The column of temperatures: named levels and the neutral height, and layers where there is room."""
    how: dict[str, Any] = {"va": "center", "size": look.SMALLEST_TEXT}
    step, names = line_height(axes), moment["level"].values.tolist()
    heights = moment["level_height"].values.tolist() + ([] if neutral is None else [neutral])
    taken = placing.apart(heights, step, outline.peak)
    for name, height, place in zip(names, heights, taken, strict=False):
        number = whole(degree_number(float(moment["level_temperature"].sel(level=name)), system))
        axes.text(NUMBERS, place, number, ha="right", weight="bold", **how)
        axes.text(NAMES, place, _short(name), weight="bold", **how)
        walls = outline.across([-1.0, 1.0], height)
        axes.plot(walls, [height, height], color=look.QUIET, lw=0.7, ls=(0, (1, 2)), zorder=3)
    if neutral is not None:
        axes.text(NAMES, taken[-1], "neutral", **how)
        walls = outline.across([-1.0, 1.0], neutral) + np.array([-10.0, 10.0])
        axes.plot(walls, [neutral, neutral], color=look.INK, lw=1.1, ls=(0, (6, 2, 1, 2)), zorder=5.5)
    layers, last = moment["height"].values.tolist(), moment.sizes["height"] - 1
    for k in (last, *range(last)):  # the top first: it is seldom named
        if min(abs(layers[k] - other) for other in taken) >= step:
            taken.append(layers[k])
            number = whole(degree_number(float(moment["air_temperature"][k]), system))
            axes.text(NUMBERS, layers[k], number, ha="right", color=look.QUIET, **how)


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}."


def pipe_top(scenario: Scenario, outline: Outline) -> float:
    """Height up to which something is drawn [m]."""
    return outline.peak + (0.0 if scenario.stove is None else CHIMNEY)


def source_top(scenario: Scenario) -> float:
    """Height of the upper end of the stove, or of the block that stands for a known source [m]."""
    if scenario.stove is not None:
        return scenario.stove.collar
    return 0.0 if scenario.heat is None else scenario.heat.to_height


def draw_source(axes: Axes, scenario: Scenario, outline: Outline) -> None:
    """Stove and pipe, or the heights over which a known source warms the air."""
    how: dict[str, Any] = {"fc": "#ffffff", "ec": look.INK, "lw": 1.3, "zorder": 6}
    left = MIDDLE - 0.5 * STOVE_WIDE
    if scenario.stove is None:
        if scenario.heat is not None:
            low, high = scenario.heat.from_height, scenario.heat.to_height
            axes.add_patch(Rectangle((left, low), STOVE_WIDE, high - low, hatch="///", **how))
        return
    stove = scenario.stove
    low = stove.collar - stove.firebox.height
    axes.add_patch(Rectangle((left, low), STOVE_WIDE, stove.firebox.height, **how))
    for leg in (left + 3.0, left + STOVE_WIDE - 3.0):
        axes.plot([leg, leg], [0.0, low], color=look.INK, lw=1.3, zorder=6)
    top = pipe_top(scenario, outline)
    for side in (-0.5, 0.5):
        axes.plot([MIDDLE + side * PIPE_WIDE] * 2, [stove.collar, top], color=look.INK, lw=0.9, zorder=6)

"""Profiles from floor to peak at chosen times: air and felt temperature, and the dew point where damp is counted."""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
import xarray as xr
from matplotlib.axes import Axes

from simtent.assess.air import edges_of
from simtent.assess.curves import Floats, seconds_of
from simtent.tell import look, placing
from simtent.tell.placing import Trace
from simtent.tell.temperatures import Canvas
from simtent.tell.words import degree_number
from simtent.units import System

LINES = (  # words, variable, colour, weight, dashes
    ("air", "air_temperature", look.AIR_LINE, 2.2, "-"),
    ("felt", "felt_temperature", look.FELT_LINE, 1.6, (0, (4, 1.5))),
    ("dew point", "dew_point", look.DEW_LINE, 1.4, (0, (1, 1.2))),
)
MARGIN = 0.12  # of the range of temperatures, at each side


@dataclass(frozen=True, slots=True)
class Profile:
    """One line of a profile: its words, temperatures in the shown unit, how it is drawn."""

    words: str
    values: Floats
    colour: str
    weight: float
    dashes: object


def profiles_of(dataset: xr.Dataset, seconds: float, system: System) -> list[Profile]:
    """The profiles at the time nearest to a moment [s from begin]; only what the Dataset has."""
    nearest = int(np.argmin(np.abs(seconds_of(dataset) - seconds)))
    moment = dataset.isel(time=nearest)
    return [
        Profile(words, _shown(moment[name].values, system), colour, weight, dashes)
        for words, name, colour, weight, dashes in LINES
        if name in moment
    ]


def span_of(panels: list[list[Profile]]) -> tuple[float, float]:
    """The range of temperatures that all panels share, with a margin."""
    every = np.concatenate([line.values for lines in panels for line in lines])
    room = MARGIN * max(float(np.ptp(every)), 1.0)
    return float(every.min()) - room, float(every.max()) + room


def draw_profiles(axes: Axes, dataset: xr.Dataset, lines: list[Profile], named: bool) -> None:
    """The lines over height, each with its words where there is room, and thin lines at the named levels."""
    heights, edges = dataset["height"].values, edges_of(dataset)
    at = np.concatenate([[0.0], heights, edges[-1:]])
    axes.set_ylim(0.0, float(edges[-1]))
    axes.grid(visible=False)
    for level in dataset["level_height"].values.tolist():
        axes.axhline(level, color=look.RULE, lw=0.8, zorder=0)
    canvas = Canvas(axes)
    for line in lines:
        whole = np.pad(line.values, 1, mode="edge")
        axes.plot(whole, at, color=line.colour, lw=line.weight, ls=line.dashes)
        fine = np.linspace(0.0, float(edges[-1]), 200)
        canvas.drawn.append(Trace(*canvas.shares(np.interp(fine, at, whole), fine)))
    for line in lines if named else ():
        _name(canvas, line, heights)


def widest(panels: list[list[Profile]]) -> int:
    """Which panel has its lines farthest apart: there they are named, in the others they look the same."""
    return int(np.argmax([_least_gap(lines) for lines in panels]))


def _least_gap(lines: list[Profile]) -> float:
    gaps = [float(np.abs(a.values - b.values).mean()) for a, b in combinations(lines, 2)]
    return min(gaps, default=0.0)


def _name(canvas: Canvas, line: Profile, heights: Floats) -> None:
    """The words of a line at the free place nearest to any of its points, tied to it."""
    note, size = canvas.words(line.words, line.colour, "bold" if line.weight > 2.0 else "normal")
    x, y = canvas.shares(line.values, heights)
    box = canvas.axes.bbox
    tall = box.height / box.width
    wider = (size[0] + 0.06, size[1])
    tried = [
        (placing.nearest_free(canvas.drawn, (float(u), float(v)), wider, tall), float(u), float(v))
        for u, v in zip(x[2:-2:2], y[2:-2:2], strict=True)
    ]
    centre, u, v = min(tried, key=lambda it: np.hypot(it[0][0] - it[1], tall * (it[0][1] - it[2])))
    near = float(np.clip(u, centre[0] - 0.5 * size[0], centre[0] + 0.5 * size[0]))
    canvas.axes.annotate(
        "", (u, v), xytext=(near, centre[1]), xycoords="axes fraction", textcoords="axes fraction",
        arrowprops={"arrowstyle": "-", "lw": 0.7, "color": line.colour, "shrinkA": 0, "shrinkB": 0},
    )  # fmt: skip
    canvas.place(note, centre, size)


def _shown(celsius: Floats, system: System) -> Floats:
    return np.array([degree_number(float(value), system) for value in celsius])

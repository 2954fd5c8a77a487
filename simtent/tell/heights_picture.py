"""The picture of a night from floor to peak: isotherms over the hours, the fire's loads, profiles at chosen times."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from simtent.assess.curves import seconds_of
from simtent.assess.moments import clock, local
from simtent.scenario.scenario import Scenario
from simtent.tell import frame, look, placing
from simtent.tell.figure import draw_bed_and_rise, draw_clock
from simtent.tell.isotherms import draw_isotherms
from simtent.tell.profiles import draw_profiles, profiles_of, span_of, widest
from simtent.tell.strips import draw_heat, outside
from simtent.tell.wished import Wished
from simtent.tell.words import degree_unit, occasion
from simtent.units import System, number, unit_name

RIGHT = 0.845  # of the isotherms, a share of the width
TOP, BOTTOM = 0.832, 0.56  # of the isotherms
STRIP_TOP, STRIP_BOTTOM = 0.5, 0.445  # of the heat
PROFILES_TOP, PROFILES_BOTTOM = 0.378, 0.125
BETWEEN = 0.035  # two profiles
LETTERS = "ABC"
NEAR = 0.08  # of the width, closer than which two letters would touch
MOST = len(LETTERS)  # profiles that stay legible beside each other


@dataclass(frozen=True, slots=True)
class Shown:
    """A moment whose profile is drawn [s from begin], and in a few words why."""

    seconds: float
    why: str = ""


def to_bytes(
    scenario: Scenario,
    dataset: xr.Dataset,
    system: System,
    moments: Sequence[Shown],
    more: Sequence[float] = (),
    form: str = "png",
) -> bytes:
    """Draw the night by heights; the picture as a file that says whose it is.

    moments  whose profiles are drawn, at most `MOST`
    more     further heights of the cot that are compared [m], marked beside the named levels
    """
    return frame.as_file(scenario, lambda: draw(scenario, dataset, system, moments, more), form)


def draw(
    scenario: Scenario,
    dataset: xr.Dataset,
    system: System,
    moments: Sequence[Shown],
    more: Sequence[float] = (),
) -> Figure:
    """The picture: cautions, isotherms, heat release and loads, profiles, what kind of thing this is."""
    figure = frame.blank()
    top = figure.add_axes((look.LEFT, BOTTOM, RIGHT - look.LEFT, TOP - BOTTOM))
    strip = figure.add_axes(
        (look.LEFT, STRIP_BOTTOM, RIGHT - look.LEFT, STRIP_TOP - STRIP_BOTTOM), sharex=top
    )
    top.grid(visible=False)
    draw_heat(strip, dataset, system, Wished.of(scenario))
    letters = _letters(moments, float(seconds_of(dataset)[-1]))
    draw_isotherms(top, dataset, system, [(it.hour, 1.0 - (it.down + 6.0) / _points()) for it in letters])
    _ticks_of_height(top, system)
    _levels(top, dataset, more, system)
    _marks(top, letters)
    draw_clock(top, [strip], scenario)
    draw_bed_and_rise(top, [strip], scenario, Wished.of(scenario))
    _profiles(figure, scenario, dataset, moments, system)
    evening = local(scenario.night, 0.0)
    length = unit_name("length", system)
    what = f"{occasion(scenario)} of {evening:%Y-%m-%d}, air in {degree_unit(system)} over height in {length}"
    frame.heading(figure, scenario, what)
    frame.footing(figure, scenario)
    return figure


def _ticks_of_height(axes: Axes, system: System) -> None:
    """Ticks at whole units, or halves of low shelters."""
    metre = number(1.0, "length", system)
    top = axes.get_ylim()[1] * metre
    step = next(s for s in (0.5, 1.0, 2.0, 5.0, 10.0) if top / s <= 6.0)
    shown = [k * step for k in range(int(top / step) + 1)]
    axes.set_yticks([value / metre for value in shown], [f"{value:g}" for value in shown])


def _levels(axes: Axes, dataset: xr.Dataset, more: Sequence[float], system: System) -> None:
    """A line at every named level, and at each height compared, with its name beside it."""
    pairs = zip(dataset["level"].values.tolist(), dataset["level_height"].values.tolist(), strict=True)
    marked = [(name, height, "-") for name, height in pairs]
    there = [height for _, height, _ in marked]
    marked += [
        (f"cot {number(height, 'length', system):.2g}", height, ":")
        for height in more
        if min(abs(height - other) for other in there) > 0.01
    ]
    top = axes.get_ylim()[1]
    distance = look.LINE_HEIGHT * look.SMALLEST_TEXT / _points() * top
    places = placing.apart([height for _, height, _ in marked], distance, top)
    right = axes.get_xlim()[1]
    for (name, height, style), place in zip(marked, places, strict=True):
        own: dict[str, Any] = {
            "color": look.INK,
            "lw": 0.9,
            "ls": (0, (5, 3)) if style == "-" else (0, (1, 2)),
        }
        axes.axhline(height, **own)
        arrow = {
            "arrowstyle": "-",
            "lw": 0.6,
            "shrinkA": 1,
            "shrinkB": 0,
            "relpos": (0.0, 0.5),
            "color": look.QUIET,
        }
        axes.annotate(
            name if len(name) <= 8 else f"{name[:7]}.", (right, height), xytext=(1.03 * right, place),
            va="center", size=look.SMALLEST_TEXT, weight="bold" if name == "cot" else "normal",
            annotation_clip=False, arrowprops=arrow,
        )  # fmt: skip


def _points() -> float:
    """Height of the isotherms in points."""
    return 72.0 * look.HEIGHT * (TOP - BOTTOM)


@dataclass(frozen=True, slots=True)
class _Letter:
    """The letter of a profile: its hour from begin, and how far below the upper edge it begins [pt]."""

    letter: str
    hour: float
    down: float


def _letters(moments: Sequence[Shown], seconds: float) -> list[_Letter]:
    """Where letters stand in a night of so many seconds; those that would touch stand lower."""
    found, before, low = list[_Letter](), -math.inf, False
    for letter, shown in zip(LETTERS, moments, strict=False):
        low = not low and shown.seconds - before < NEAR * seconds
        before = shown.seconds
        found.append(_Letter(letter, shown.seconds / 3600.0, 20.0 if low else 3.0))
    return found


def _marks(axes: Axes, letters: Sequence[_Letter]) -> None:
    """A dotted line and a letter at every time whose profile is drawn."""
    for it in letters:
        axes.axvline(it.hour, color=look.INK, lw=1.0, ls=(0, (1, 1.5)))
        axes.annotate(
            it.letter, (it.hour, 1.0), xycoords=("data", "axes fraction"), xytext=(0, -it.down),
            textcoords="offset points", ha="center", va="top", weight="bold", zorder=7,
            bbox={"boxstyle": "circle,pad=0.15", "fc": "white", "ec": look.INK, "lw": 0.7},
        )  # fmt: skip


def _profiles(
    figure: Figure, scenario: Scenario, dataset: xr.Dataset, moments: Sequence[Shown], system: System
) -> None:
    panels = [profiles_of(dataset, shown.seconds, system) for shown in moments]
    low, high = span_of(panels)
    whole = 1.0 - look.EDGE - look.LEFT
    wide = (whole - BETWEEN * (len(panels) - 1)) / len(panels)
    for k, (lines, shown) in enumerate(zip(panels, moments, strict=True)):
        left = look.LEFT + k * (wide + BETWEEN)
        axes = figure.add_axes((left, PROFILES_BOTTOM, wide, PROFILES_TOP - PROFILES_BOTTOM))
        axes.set_xlim(low, high)
        draw_profiles(axes, dataset, lines, named=k == widest(panels))
        _ticks_of_height(axes, system)
        if k:
            axes.tick_params(labelleft=False)
        axes.xaxis.set_major_locator(MaxNLocator(5 - len(panels), prune="both"))
        head = f"{LETTERS[k]}  {clock(scenario.night, shown.seconds)}"
        figure.text(left, PROFILES_TOP + 0.028, head, weight="bold", va="center")
        if shown.why:
            how: dict[str, Any] = {"color": look.QUIET, "size": look.SMALLEST_TEXT, "va": "center"}
            figure.text(left, PROFILES_TOP + 0.009, shown.why, **how)
    outside(axes, degree_unit(system), (1.0, 0.0), (0, -17), ha="right", va="top")

"""The picture: heat needed against outdoor temperature, calm and windy, with what each size holds by interval."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from simtent.scenario.scenario import Scenario
from simtent.sizing.answer import Answer
from simtent.sizing.likened import Likened
from simtent.tell import frame, look
from simtent.tell import stove_cells as cells
from simtent.tell.words import degree_number, degree_unit
from simtent.units import System, show

ZERO_CELSIUS = 273.15
LEFT, RIGHT, BOTTOM, TOP = 0.10, 0.68, 0.155, 0.80  # of the axes; what each size holds stands to its right
FAINT = 0.03  # of the height, below which a stove hardly warms and is not drawn
NEAR = 0.033  # of the axes' height, closer than which two names would touch
RIM = [withStroke(linewidth=2.5, foreground="white")]
DASHES: Sequence[Any] = ("-", (0, (5, 1.5)), (0, (1.5, 1.2)), (0, (6, 1.5, 1, 1.5)))


def to_bytes(scenario: Scenario, found: Answer, system: System, form: str = "png") -> bytes:
    """Draw it; the picture as a file that says whose it is."""
    return frame.as_file(scenario, lambda: draw(scenario, found, system), form)


def draw(scenario: Scenario, found: Answer, system: System) -> Figure:
    """The picture: cautions, lines of the need, the design night, heats that stoves are likened to."""
    figure = frame.blank()
    axes = figure.add_axes((LEFT, BOTTOM, RIGHT - LEFT, TOP - BOTTOM))
    top = _top(found)
    _needs(axes, found, system, top)
    _design(axes, found, system)
    _stoves(axes, found, system, top)
    axes.set_ylim(0.0, _heat(top, system))
    axes.set_ylabel("")
    axes.set_xlabel(f"outdoors, {degree_unit(system)}", color=look.QUIET, size=look.SMALLEST_TEXT)
    unit = "1000 Btu/h" if system == "us" else "kW"
    figure.text(look.EDGE, TOP + 0.012, f"steady heat, {unit}", color=look.QUIET, size=look.SMALLEST_TEXT)
    how: dict[str, Any] = {"color": look.HEAT, "size": look.SMALLEST_TEXT}
    figure.text(1.0 - look.EDGE, TOP + 0.012, "firebox, filled every", ha="right", **how)
    frame.heading(
        figure, scenario, f"{cells.temperature(found.wish, system)} at the cot: lines need, levels hold"
    )
    frame.footing(figure, scenario, _words(found))
    return figure


def _words(found: Answer) -> str:
    """What bold names and a mark behind them say."""
    words = {it.judged.word for it in found.found}
    holds = " Bold: holds the design night." if "holds" in words else " None holds the design night."
    return f"{holds} !: too large." if "too large" in words else holds


def _top(found: Answer) -> float:
    """The largest heat that is shown [W]: what stoves give and the design night needs, with room."""
    design = found.design if np.isfinite(found.design) else 0.0
    return 1.12 * max(1000.0, 1.3 * design, *(it.power for it in found.found))


def _needs(axes: Axes, found: Answer, system: System, top: float) -> None:
    """A line for each wind, with its name where it leaves the picture."""
    shown = np.array([degree_number(air - ZERO_CELSIUS, system) for air in found.airs])
    room = 0.05 * _heat(top, system)  # between two names
    for n, wind in enumerate(found.asked.winds):
        needs = np.array(found.needs[wind])
        there = np.isfinite(needs)
        if not there.any():
            continue
        line = [_heat(watts, system) for watts in needs[there]]
        axes.plot(shown[there], line, color=look.COT, lw=1.5, ls=DASHES[n % len(DASHES)], zorder=3)
        first = n == 0 and len(found.asked.winds) > 1  # left of all others, where there is room
        level = (0.55 if first else 0.96) * min(_heat(top, system), max(line)) - room * n
        at = float(np.interp(-level, -np.array(line), shown[there]))
        name = "calm" if wind == 0.0 else f"wind {show(wind, 'speed', system, 0)}"
        axes.annotate(
            name, (at, level), xytext=(-5 if first else 4, 0), textcoords="offset points", color=look.COT,
            va="center", ha="right" if first else "left", size=look.SMALLEST_TEXT, path_effects=RIM, zorder=5,
        )  # fmt: skip


def _design(axes: Axes, found: Answer, system: System) -> None:
    if not np.isfinite(found.design):
        return
    low = found.asked.lows[0]
    at, needed = degree_number(low - ZERO_CELSIUS, system), _heat(found.design, system)
    axes.plot([at, at], [0.0, needed], color=look.INK, lw=0.9, zorder=4)
    axes.plot([at], [needed], marker="D", ms=6.5, color=look.INK, mec="white", mew=0.8, zorder=6)
    left, right = (degree_number(found.airs[n] - ZERO_CELSIUS, system) for n in (0, -1))
    before = at > 0.5 * (left + right)  # there is room on its other side
    axes.annotate(
        f"design\n{cells.temperature(low, system)}", (at, 0.0), xytext=(-7 if before else 7, 5),
        textcoords="offset points", color=look.INK, weight="bold", size=look.SMALLEST_TEXT, va="bottom",
        ha="right" if before else "left", path_effects=RIM, zorder=6,
    )  # fmt: skip


def _stoves(axes: Axes, found: Answer, system: System, top: float) -> None:
    """A level line for each stove and interval that warms at all, its name at the right, names kept apart."""
    those = sorted((it for it in found.found if it.power > FAINT * top and it.air is not None), key=_power)
    if not those:
        axes.text(1.03, 0.5, "none of them\nwarms enough", transform=axes.transAxes, color=look.HEAT)
        return
    places = _apart([it.power / top for it in those])
    for it, place in zip(those, places, strict=True):
        bold = it.judged.word == "holds"
        colour = look.HEAT if bold else look.QUIET
        level = it.power / top
        axes.axhline(_heat(it.power, system), color=colour, lw=1.0 if bold else 0.6, alpha=0.75, zorder=2)
        axes.plot([1.0, 1.025], [level, place], transform=axes.transAxes, color=colour, lw=0.6, clip_on=False)
        axes.text(
            1.035, place, _name(it, system), transform=axes.transAxes, color=colour, va="center",
            weight="bold" if bold else "normal", size=look.SMALLEST_TEXT,
        )  # fmt: skip


def _power(it: Likened) -> float:
    return it.power


def _name(it: Likened, system: System) -> str:
    size = "yours" if it.judged.size.own else cells.firebox(it.judged.size, system)
    large = " !" if it.judged.word == "too large" else ""
    return f"{size}, {it.judged.every:g} h{large}"


def _apart(levels: Sequence[float]) -> list[float]:
    """Places of names, rising, none nearer to the next than `NEAR`, each as close to its level as may be."""
    near = min(NEAR, 1.0 / max(len(levels), 1))
    places = list[float]()
    for level in levels:
        places.append(max(level, places[-1] + near) if places else level)
    limit = 1.0
    for n in range(len(places) - 1, -1, -1):
        places[n] = min(places[n], limit)
        limit = places[n] - near
    return places


def _heat(watts: float, system: System) -> float:
    return float(watts) / 1000.0 * (3.412142 if system == "us" else 1.0)

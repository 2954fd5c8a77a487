"""A comparison as one picture: a small panel for each variant, the base in grey, each line with its name."""

from collections.abc import Sequence
from math import ceil

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from simtent.assess.moments import clock, full_hours
from simtent.comparing.asked import NUMBERS, in_bed
from simtent.comparing.compared import Compared
from simtent.comparing.nights import Night
from simtent.network.arrays import Array
from simtent.scenario.scenario import Scenario
from simtent.tell import frame, look
from simtent.tell.differences import ALIKE, shown
from simtent.tell.words import degree_number, degree_unit
from simtent.units import System

ACROSS, ROW, ABOVE, BELOW = 2, 1.42, 1.06, 0.62  # panels in a row; heights in inches
BASE = "#8b9297"
RIM = [withStroke(linewidth=2.2, foreground="white")]
COT = NUMBERS[0]


def to_bytes(found: Compared, system: System) -> bytes:
    """Draw it; the picture as a PNG file that says whose it is."""
    return frame.as_png(found.scenario, lambda: draw(found, system))


def draw(found: Compared, system: System) -> Figure:
    """The picture: cautions, panels, what kind of thing this is."""
    rows = ceil(len(found.variants) / ACROSS)
    height = ABOVE + rows * ROW + BELOW
    figure = frame.blank(height)
    low, high = _span(found, system)
    clearest = max(found.variants, key=lambda it: _apart(found, it))
    for k, night in enumerate(found.variants):
        left = 0.105 + (k % ACROSS) * 0.455
        bottom = (BELOW + (rows - 1 - k // ACROSS) * ROW + 0.28) / height
        axes = figure.add_axes((left, bottom, 0.405, (ROW - 0.66) / height))
        axes.set_ylim(low, high)
        _panel(axes, found, night, system)
        axes.tick_params(labelleft=k % ACROSS == 0)
        if night is clearest:
            _named(axes, found, night, system)
    frame.heading(figure, found.scenario, f"air at the cot in {degree_unit(system)}; grey: as it is now")
    grave = any(found.added(night.name) for night in found.variants)
    frame.footing(figure, found.scenario, " Bar: in bed. !: adds a caution." if grave else " Bar: in bed.")
    return figure


def _panel(axes: Axes, found: Compared, night: Night, system: System) -> None:
    scenario = found.scenario
    hours = scenario.night.seconds / 3600.0
    bed, rise = (moment / 3600.0 for moment in in_bed(scenario))
    axes.axvspan(bed, rise, ymax=0.035, color=look.COT_BAND, lw=0.0)
    axes.plot(found.base.seconds / 3600.0, _cot(found.base, system), color=BASE, lw=1.6, zorder=2)
    axes.plot(night.seconds / 3600.0, _cot(night, system), color=look.COT, lw=1.4, zorder=3)
    if scenario.wish.cot_at_least is not None:
        asked = degree_number(scenario.wish.cot_at_least - 273.15, system)
        axes.plot([bed, rise], [asked, asked], color=look.QUIET, lw=0.8, ls=(0, (3, 2)), zorder=1)
    axes.set_xlim(0.0, hours)
    marks = _hours(scenario)
    axes.set_xticks([it / 3600.0 for it in marks], [clock(scenario.night, it)[:2] for it in marks])
    axes.tick_params(pad=1.5, length=2.0)
    axes.set_title(
        _title(found, night, system), loc="left", size=look.SMALLEST_TEXT, pad=3.0, linespacing=1.15
    )


def _title(found: Compared, night: Night, system: System) -> str:
    name = night.name if len(night.name) <= 24 else f"{night.name[:22]}..."
    if night.variant.same:
        return f"{name}\nsays the same"
    it = found.difference(night.name, COT.name)
    text = (
        f"{shown(it.amount, COT, system, signed=True)} at the lowest"
        if it.apart
        else f"{ALIKE} at the lowest"
    )
    more = " !" if found.added(night.name) else ""
    return f"{name}{more}\n{text}"


def _named(axes: Axes, found: Compared, night: Night, system: System) -> None:
    """The names of both lines, where they lie farthest apart; in one panel, which is that of the clearest change."""
    base, other = _both(found, night, system)
    seconds = found.base.seconds
    inside = (seconds > 0.25 * seconds[-1]) & (seconds < 0.75 * seconds[-1])
    k = int(np.argmax(np.where(inside, np.abs(other - base), -1.0)))
    upper = bool(other[k] >= base[k])
    for values, word, colour, up in (
        (base, "as it is", look.QUIET, not upper),
        (other, "with it", look.COT, upper),
    ):
        axes.annotate(
            word, (float(seconds[k]) / 3600.0, float(values[k])), xytext=(0, 4 if up else -4),
            textcoords="offset points", color=colour, size=look.SMALLEST_TEXT, ha="center",
            va="bottom" if up else "top", path_effects=RIM, zorder=5,
        )  # fmt: skip


def _apart(found: Compared, night: Night) -> float:
    """By how much the two lines of a panel lie apart in the mean [K]."""
    base, other = _both(found, night, "si")
    return float(np.abs(other - base).mean())


def _both(found: Compared, night: Night, system: System) -> tuple[Array, Array]:
    """The base's line and the variant's, at the base's times."""
    return _cot(found.base, system), np.interp(found.base.seconds, night.seconds, _cot(night, system))


def _cot(night: Night, system: System) -> Array:
    column = night.levels[:, list(night.scenario.levels).index("cot")]
    return np.array([degree_number(float(it), system) for it in column])


def _span(found: Compared, system: System) -> tuple[float, float]:
    every = np.concatenate([_cot(it, system) for it in found.nights])
    low, high = float(every.min()), float(every.max())
    room = 0.12 * max(high - low, 1.0)
    return low - room, high + 2.0 * room


def _hours(scenario: Scenario) -> Sequence[float]:
    """Full hours, every third or fourth, so that their names lie apart."""
    hours = list(full_hours(scenario.night))
    step = max(1, ceil(len(hours) / 4))
    return hours[step // 2 :: step]

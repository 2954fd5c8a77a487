"""A comparison as one picture: a small panel for each variant, the base in grey, each line with its name."""

from collections.abc import Sequence
from math import ceil

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from simtent.assess.moments import clock, full_hours
from simtent.comparing.asked import NUMBERS, in_bed
from simtent.network.arrays import Array
from simtent.scenario.scenario import Scenario
from simtent.tell import frame, look
from simtent.tell.differences import ALIKE, shown
from simtent.tell.words import degree_number, degree_unit
from simtent.units import System

ACROSS, ROW, ABOVE, BELOW = 2, 1.42, 1.06, 0.62  # panels in a row; heights in inches
RIM = [withStroke(linewidth=2.2, foreground="white")]
COT = NUMBERS[0]


def to_bytes(scenario: Scenario, found: xr.Dataset, system: System, form: str = "png") -> bytes:
    """Draw it; the picture as a file that says whose it is."""
    return frame.as_file(scenario, lambda: draw(scenario, found, system), form)


def draw(scenario: Scenario, found: xr.Dataset, system: System) -> Figure:
    """The picture of a comparison as `simtent.compare` gives it: cautions, panels, what kind of thing this is."""
    base, *variants = (found.isel(variant=k) for k in range(found.sizes["variant"]))
    rows = ceil(len(variants) / ACROSS)
    height = ABOVE + rows * ROW + BELOW
    figure = frame.blank(height)
    low, high = _span([base, *variants], system)
    clearest = max(variants, key=lambda it: _apart(base, it))
    for k, night in enumerate(variants):
        left = 0.105 + (k % ACROSS) * 0.455
        bottom = (BELOW + (rows - 1 - k // ACROSS) * ROW + 0.28) / height
        axes = figure.add_axes((left, bottom, 0.405, (ROW - 0.66) / height))
        axes.set_ylim(low, high)
        _panel(axes, scenario, base, night, system)
        axes.tick_params(labelleft=k % ACROSS == 0)
        if night is clearest:
            _named(axes, base, night, system)
    frame.heading(figure, scenario, _what(scenario, system))
    grave = any(_adds(night) for night in variants)
    frame.footing(figure, scenario, " !: adds a caution." if grave else "")
    return figure


def _what(scenario: Scenario, system: System) -> str:
    asked = ", dashes: asked" if scenario.wish.cot_at_least is not None else ""
    return f"cot in {degree_unit(system)}; grey: as it is{asked}, bar: in bed"


def _panel(axes: Axes, scenario: Scenario, base: xr.Dataset, night: xr.Dataset, system: System) -> None:
    hours = scenario.night.seconds / 3600.0
    bed, rise = (moment / 3600.0 for moment in in_bed(scenario))
    axes.axvspan(bed, rise, ymax=0.035, color=look.COT_BAND, lw=0.0)
    axes.plot(_seconds(base) / 3600.0, _cot(base, system), color=look.AS_IT_IS, lw=1.6, zorder=2)
    axes.plot(_seconds(night) / 3600.0, _cot(night, system), color=look.COT, lw=1.4, zorder=3)
    if scenario.wish.cot_at_least is not None:
        asked = degree_number(scenario.wish.cot_at_least - 273.15, system)
        axes.plot([bed, rise], [asked, asked], color=look.QUIET, lw=0.8, ls=(0, (3, 2)), zorder=1)
    axes.set_xlim(0.0, hours)
    marks = _hours(scenario)
    axes.set_xticks([it / 3600.0 for it in marks], [clock(scenario.night, it)[:2] for it in marks])
    axes.tick_params(pad=1.5, length=2.0)
    axes.set_title(_title(night, system), loc="left", size=look.SMALLEST_TEXT, pad=3.0, linespacing=1.15)


def _title(night: xr.Dataset, system: System) -> str:
    name = str(night["variant"].item())
    name = name if len(name) <= 24 else f"{name[:22]}..."
    if night["same"].item():
        return f"{name}\nsays the same"
    it = night.sel(number=COT.name)
    amount = shown(float(it["difference"]), COT, system, signed=True) if it["apart"].item() else ALIKE
    return f"{name}{' !' if _adds(night) else ''}\n{amount} at the lowest"


def _adds(night: xr.Dataset) -> bool:
    """Whether a variant has a caution that the base does not have."""
    return bool(night["findings_added"].item())


def _named(axes: Axes, as_it_is: xr.Dataset, night: xr.Dataset, system: System) -> None:
    """The names of both lines, where they lie farthest apart; in one panel, which is that of the clearest change."""
    base, other = _cot(as_it_is, system), _cot(night, system)
    seconds = _seconds(as_it_is)
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


def _apart(base: xr.Dataset, night: xr.Dataset) -> float:
    """By how much the two lines of a panel lie apart in the mean [K]."""
    return float(np.abs(_cot(base, "si") - _cot(night, "si")).mean())


def _seconds(night: xr.Dataset) -> Array:
    return np.asarray(night["time"].values, np.float64)


def _cot(night: xr.Dataset, system: System) -> Array:
    column = night["level_temperature"].sel(level="cot").values
    return np.array([degree_number(float(it), system) for it in column])


def _span(nights: Sequence[xr.Dataset], system: System) -> tuple[float, float]:
    every = np.concatenate([_cot(it, system) for it in nights])
    low, high = float(every.min()), float(every.max())
    room = 0.12 * max(high - low, 1.0)
    return low - room, high + 2.0 * room


def _hours(scenario: Scenario) -> Sequence[float]:
    """Full hours, every third or fourth, so that their names lie apart."""
    hours = list(full_hours(scenario.night))
    step = max(1, ceil(len(hours) / 4))
    return hours[step // 2 :: step]

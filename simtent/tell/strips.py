"""The strips under the temperatures: heat release with a mark at every load, wood and coals on the fire."""

from typing import Any

import numpy as np
import xarray as xr
from matplotlib.axes import Axes

from simtent.assess.curves import curve, seconds_of
from simtent.assess.loads import burns, wood_on_fire
from simtent.tell import look
from simtent.tell.frame import IN_PAGE
from simtent.tell.wished import Wished
from simtent.tell.words import coal_mass, power, wood_mass
from simtent.units import System, number

MARK, AWAKENED = "\u25bc", "\u25c6"  # a load; one for which somebody gets up
TALLER = 5.0  # coals are drawn so many times as high as wood, or nobody would see them


def draw_heat(strip: Axes, dataset: xr.Dataset, system: System, wished: Wished) -> None:
    """Heat release over the night, with a mark where a load is put on, another where somebody gets up for it."""
    heat = curve(dataset, "heat_release")
    shown = np.array([number(float(value), "power", system) for value in heat.values])
    hours = heat.seconds / 3600.0
    strip.fill_between(hours, 0.0, shown, color=look.HEAT_FILL, lw=0.0)
    strip.plot(hours, shown, color=look.HEAT, lw=1.2)
    top = max(1.25 * float(shown.max()), 1.0)
    strip.set_ylim(0.0, top)
    strip.set_yticks([])
    loads = [float(seconds_of(dataset, load.begin)) for load in burns(dataset)]
    asleep = [
        it
        for it in loads
        if wished.bed is not None and wished.rise is not None and wished.bed < it < wished.rise
    ]
    for those, marker, colour in (
        ([it for it in loads if it not in asleep], "v", look.INK),
        (asleep, "D", look.COALS),
    ):
        at = [it / 3600.0 for it in those]
        if at:
            strip.plot(at, [0.9 * top] * len(at), ls="", marker=marker, ms=5, color=colour, clip_on=False)
    if asleep:
        _at_right(strip, f"{MARK} load  {AWAKENED} get up", look.INK)
    elif loads:
        _at_right(strip, f"{MARK} load", look.INK)
    short, upto = bool(asleep) or IN_PAGE.get(), " to" if asleep and IN_PAGE.get() else ", at most"
    most = f"heat{'' if short else ' release'}{upto} {power(heat.highest()[1], system)}"
    outside(strip, most, (0.0, 1.0), (0, 2), color=look.HEAT)


def draw_fuel(strip: Axes, dataset: xr.Dataset, system: System) -> None:
    """Wood on the fire, and coals, these `TALLER` times as high."""
    wood, coals = wood_on_fire(dataset), curve(dataset, "fuel_mass", fuel_stage="coals")
    most = [wood.highest()[1], coals.highest()[1]]
    strip.fill_between(wood.seconds / 3600.0, 0.0, wood.values, color=look.WOOD_FILL, lw=0.0)
    strip.plot(wood.seconds / 3600.0, wood.values, color=look.WOOD, lw=1.2)
    strip.plot(coals.seconds / 3600.0, TALLER * coals.values, color=look.COALS, lw=1.8)
    strip.set_ylim(0.0, max(1.1 * most[0], 1.1 * TALLER * most[1], 1e-3))
    strip.set_yticks([])
    upto = " to" if IN_PAGE.get() else ", up to"
    outside(strip, f"wood{upto} {wood_mass(most[0], system)}", (0.0, 1.0), (0, 2), color=look.WOOD)
    _at_right(strip, f"coals x{TALLER:.0f}{upto} {coal_mass(most[1], system)}", look.COALS)


def _at_right(strip: Axes, text: str, colour: str) -> None:
    """Words above the strip's right end; where they are long, or in a page, at the right edge of the picture."""
    if IN_PAGE.get() or AWAKENED in text:
        across = {"xycoords": ("figure fraction", "axes fraction")}
        outside(strip, text, (1.0 - look.EDGE, 1.0), (0, 2), color=colour, ha="right", **across)
    else:
        outside(strip, text, (1.0, 1.0), (0, 2), color=colour, ha="right")


def outside(
    axes: Axes, text: str, place: tuple[float, float], offset: tuple[float, float], **how: Any
) -> None:
    """Small words just outside the axes, placed by shares of the axes and moved by points."""
    how = {"color": look.QUIET, "size": look.SMALLEST_TEXT, "xycoords": "axes fraction", **how}
    axes.annotate(text, place, xytext=offset, textcoords="offset points", **how)

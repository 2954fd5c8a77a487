"""The one picture of a night, for a tired person with a phone: labels beside their lines, cautions on top."""

from collections.abc import Sequence

import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text

from simtent.assess.moments import clock, full_hours, local
from simtent.scenario.scenario import Scenario
from simtent.tell import frame, look
from simtent.tell.strips import draw_fuel, draw_heat, outside
from simtent.tell.temperatures import BESIDE, draw_coldest, draw_lines, draw_wishes, lines_of, name_lines
from simtent.tell.wished import Wished
from simtent.tell.words import degree_unit, occasion
from simtent.units import System

SHORT = 5.0 * 3600.0  # s


def to_bytes(scenario: Scenario, dataset: xr.Dataset, system: System, form: str = "png") -> bytes:
    """Draw the night; the picture as a file that says whose it is."""
    return frame.as_file(scenario, lambda: draw(scenario, dataset, system), form)


def draw(scenario: Scenario, dataset: xr.Dataset, system: System) -> Figure:
    """The picture: cautions, temperatures, heat release, wood and coals, and what kind of thing this is."""
    figure = frame.blank()
    fire, wished = "fuel_mass" in dataset, Wished.of(scenario)
    bottom, height = (0.405, 0.43) if fire else (0.265, 0.57)
    top = figure.add_axes((look.LEFT, bottom, 0.7, height))
    below = [figure.add_axes((look.LEFT, bottom - 0.18, 0.7, 0.125), sharex=top)]
    draw_heat(below[0], dataset, system, wished)
    if fire:
        below.append(figure.add_axes((look.LEFT, 0.085, 0.7, 0.1), sharex=top))
        draw_fuel(below[1], dataset, system)
    lines = lines_of(dataset, system)
    canvas = draw_lines(top, dataset, lines, wished, system)
    make_room(figure, name_lines(top, lines), (top, *below))
    if "level" in dataset.dims:
        draw_wishes(canvas, wished, system)
        draw_coldest(canvas, scenario, dataset, system)
    draw_clock(top, below, scenario)
    draw_bed_and_rise(top, below, scenario, wished)
    frame.heading(figure, scenario, _shown(scenario, dataset, system))
    band = "level_temperature_low" in dataset
    shaded = (
        " Shaded: usual range at the cot." if scenario.fitted is None else " Shaded: range after your log."
    )
    frame.footing(figure, scenario, shaded if band else "")
    return figure


def _shown(scenario: Scenario, dataset: xr.Dataset, system: System) -> str:
    what = "air temperature" if "level" in dataset.dims else "temperatures"
    evening = local(scenario.night, 0.0)
    return f"{occasion(scenario)} of {evening:%Y-%m-%d}, {what} in {degree_unit(system)}"


def make_room(figure: Figure, names: Sequence[Annotation], both: Sequence[Axes]) -> None:
    """Make the axes just so wide that the longest name beside them ends at the picture's edge."""
    longest = max(Text.get_window_extent(name).width for name in names) / figure.bbox.width
    width = (1.0 - look.EDGE - look.LEFT - longest) / BESIDE
    for axes in both:
        place = axes.get_position()
        axes.set_position((look.LEFT, place.y0, width, place.height))


def draw_clock(top: Axes, below: Sequence[Axes], scenario: Scenario) -> None:
    """Ticks where the camp's clock shows an even hour; every hour of a short burn."""
    night = scenario.night
    every = 2 if night.seconds > SHORT else 1
    ticks = [moment for moment in full_hours(night) if local(night, moment).hour % every == 0]
    top.set_xticks([m / 3600.0 for m in ticks], [f"{local(night, m):%H}" for m in ticks])
    for strip in below:
        strip.tick_params(labelbottom=False)
    outside(top, "hour", (1.0, 0.0), (12, -6), va="top")


def draw_bed_and_rise(top: Axes, below: Sequence[Axes], scenario: Scenario, wished: Wished) -> None:
    """Thin lines at bed and rise time, named above the upper axes."""
    for name, moment in (("bed", wished.bed), ("rise", wished.rise)):
        if moment is not None:
            for axes in (top, *below):
                axes.axvline(moment / 3600.0, color=look.QUIET, lw=0.7, zorder=1)
            share = moment / scenario.night.seconds
            outside(top, f"{name} {clock(scenario.night, moment)}", (share, 1.0), (0, 2), ha="center")

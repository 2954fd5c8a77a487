"""The picture of the air at one moment: how warm each layer is, what rises and falls, what comes in and goes out."""

from typing import Any

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from simtent.assess.air import neutral_height
from simtent.assess.curves import seconds_of
from simtent.assess.moments import clock, local
from simtent.scenario.scenario import Scenario
from simtent.tell import frame, look
from simtent.tell.cutaway import Outline, draw_heights, draw_layers, draw_source, pipe_top, source_top
from simtent.tell.streams import draw_streams, name_streams, streams_of
from simtent.tell.ways import LEFT, RIGHT, draw_flue, draw_ways, ways_of
from simtent.tell.words import air_flow, air_flow_unit, degree_unit, degrees, two_figures
from simtent.units import System, show

BOTTOM, HEIGHT = 0.245, 0.59  # of the axes, shares of the picture
BELOW, ABOVE = 0.03, 0.15  # margins under the floor and over the top, shares of the peak
SCALE = "Numbers at arrows: {unit}; a stream's largest. Heights to scale."
BACKWARDS = "The flue runs backwards, into the shelter."
LINE = 0.0235  # of the notes, a share of the picture


def to_bytes(
    scenario: Scenario, dataset: xr.Dataset, system: System, asked: float, form: str = "png"
) -> bytes:
    """Draw the air at the Dataset's time nearest to a moment [s from begin]; the picture as a file."""
    return frame.as_file(scenario, lambda: draw(scenario, dataset, system, asked), form)


def draw(scenario: Scenario, dataset: xr.Dataset, system: System, asked: float) -> Figure:
    """The picture: cautions, the shelter cut open, notes, and what kind of thing this is.

    Raises ValueError for a Dataset without a room.
    """
    shelter = scenario.shelter
    if shelter is None or "interface" not in dataset.dims:
        raise ValueError("a stove in the open has no room whose air could be shown")
    moment, seconds = _nearest(dataset, asked)
    figure = frame.blank()
    axes = _axes(figure, Outline.of(shelter), scenario)
    neutral = neutral_height(moment)
    _section(axes, scenario, moment, neutral, system)
    evening = local(scenario.night, 0.0)
    what = f"the air at {clock(scenario.night, seconds)}, night of {evening:%Y-%m-%d}"
    frame.heading(figure, scenario, what)
    _write(figure, moment, neutral, system)
    frame.footing(figure, scenario)
    return figure


def told(dataset: xr.Dataset, system: System, asked: float) -> list[str]:
    """What stands below the picture, for a page whose letters are its own."""
    moment, _ = _nearest(dataset, asked)
    return [*_notes(moment, neutral_height(moment), system), SCALE.format(unit=air_flow_unit(system))]


def _nearest(dataset: xr.Dataset, asked: float) -> tuple[xr.Dataset, float]:
    """The Dataset at its time nearest to a moment [s from begin], and that time."""
    seconds = seconds_of(dataset)
    nearest = int(np.argmin(np.abs(seconds - asked)))
    return dataset.isel(time=nearest), float(seconds[nearest])


def _axes(figure: Figure, outline: Outline, scenario: Scenario) -> Axes:
    axes = figure.add_axes((look.EDGE, BOTTOM, 1.0 - 2.0 * look.EDGE, HEIGHT))
    axes.set_axis_off()
    axes.set_xlim(0.0, RIGHT)
    axes.set_ylim(-BELOW * outline.peak, pipe_top(scenario, outline) + ABOVE * outline.peak)
    return axes


def _section(
    axes: Axes, scenario: Scenario, moment: xr.Dataset, neutral: float | None, system: System
) -> None:
    assert scenario.shelter is not None
    outline = Outline.of(scenario.shelter)
    draw_layers(axes, outline, moment)
    draw_heights(axes, outline, moment, neutral, system)
    streams = streams_of(moment)
    draw_streams(axes, outline, streams)
    draw_source(axes, scenario, outline)
    name_streams(axes, outline, streams, source_top(scenario), neutral, system)
    draw_ways(axes, outline, ways_of(moment, neutral), system)
    if "flue_flow" in moment:
        draw_flue(axes, outline, float(moment["flue_flow"]), pipe_top(scenario, outline), system)
    how: dict[str, Any] = {"color": look.QUIET, "size": look.SMALLEST_TEXT, "va": "top"}
    top = axes.get_ylim()[1]
    axes.text(0.0, top, degree_unit(system), **how)
    axes.text(LEFT, top, "windward", **how)
    axes.text(RIGHT, top, "lee", ha="right", **how)


def _write(figure: Figure, moment: xr.Dataset, neutral: float | None, system: System) -> None:
    """The notes below the picture; nothing in a page, which has them as text."""
    if frame.IN_PAGE.get():
        return
    lines = [
        (text, look.WARNING if text == BACKWARDS else look.INK) for text in _notes(moment, neutral, system)
    ]
    for k, (text, colour) in enumerate([*lines, (SCALE.format(unit=air_flow_unit(system)), look.QUIET)]):
        figure.text(
            look.EDGE, BOTTOM - 0.012 - k * LINE, text, va="top", color=colour, size=look.SMALLEST_TEXT,
            weight="bold" if colour == look.WARNING else "normal",
        )  # fmt: skip


def _notes(moment: xr.Dataset, neutral: float | None, system: System) -> list[str]:
    wind = show(float(moment["wind_speed"]), "speed", system, 0)
    lines = [f"Outdoors {degrees(float(moment['outdoor_temperature']), system)}, wind {wind}."]
    if neutral is None:
        lines.append("No neutral height inside: wind, flue or vents shift it.")
    else:
        height = show(neutral, "length", system)
        lines.append(f"Neutral height {height}, without wind: in below, out above.")
    enters, unit = air_flow(float(moment["leakage_flow"]), system), air_flow_unit(system)
    lines.append(f"{enters} {unit} enter: {two_figures(float(moment['air_changes']))} air changes an hour.")
    if "air_flow" in moment and float(moment["air_flow"]) > 0.0:
        lines.append(f"{air_flow(float(moment['air_flow']), system)} {unit} of it go to the fire.")
    if "flue_flow" in moment and float(moment["flue_flow"]) < 0.0:
        lines.append(BACKWARDS)
    return lines

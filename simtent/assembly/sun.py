"""The sun on the skin: sunshine as tables, and what layers and floor take up of it.

A shelter has no compass direction here: each band is lit as a ring that faces every way. Around it lies open, level
ground like that under it, without a shadow of trees, hills or the shelter itself.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from simtent.assembly.envelope import Strip
from simtent.assembly.ground import Floor
from simtent.network.arrays import Array
from simtent.network.builder import Builder, Node
from simtent.network.tables import Table
from simtent.physics.sun import DAY, day_angle, declination, outside_the_air, sine_of_height
from simtent.physics.sunshine import clear_sunshine, diffuse_share, on_a_band, through_cloud
from simtent.scenario.daylight import Daylight, daylight
from simtent.scenario.scenario import Scenario
from simtent.scenario.track import Track

STEP = 300.0  # s, between knots of a table: 0.5 W/m2 is the most that this misses, just after sunrise
CLOSEST = 1.0  # s, between corners of a table
BARE_GROUND = 0.2  # albedo where no ground is named, under a floor above open air; common practice, no source


class Sunlight(NamedTuple):
    """The sun at one moment.

    sine     of its height [-]
    beam     on a plane that faces it [W/m2]
    diffuse  from the sky on level ground [W/m2]
    """

    sine: float
    beam: float
    diffuse: float


Piece = tuple[Array, list[Sunlight]]  # knots [s] between two corners, and the sun at each


def sunlight(sun: Daylight, cloud: Track, t: float) -> Sunlight:
    """The sun at t [s] through a cloud cover."""
    since = t - sun.noon
    angle = day_angle(sun.day + since / DAY)
    sine = sine_of_height(sun.latitude, declination(angle), since)
    whole = clear_sunshine(sine) * through_cloud(cloud.at(t))
    if whole <= 0.0:
        return Sunlight(sine, 0.0, 0.0)
    share = diffuse_share(whole / (outside_the_air(angle) * sine))
    return Sunlight(sine, (1.0 - share) * whole / sine, share * whole)


def sunshine(scenario: Scenario, times: Array) -> Array:
    """Sunshine on level ground at times of the night [W/m2]; 0 without a latitude."""
    sun = _sun_of(scenario)
    if sun is None:
        return np.zeros(times.size)
    cloud = scenario.outdoors.track("cloud")
    seen = [sunlight(sun, cloud, float(t)) for t in times]
    return np.array([max(it.sine, 0.0) * it.beam + it.diffuse for it in seen])


def shine(
    net: Builder, scenario: Scenario, strips: Sequence[Strip], floors: Sequence[Floor], path: int
) -> None:
    """Give skin and floor the sunshine that they take up; the scenario has a latitude.

    What comes through a window or light fabric ends on the floor's top: it comes from above, and what the floor throws
    back is caught by the room's other surfaces but for a little. It falls on the true area of the skin: one that loses
    more by its factor does not catch more.
    """
    sun = _sun_of(scenario)
    assert sun is not None  # there is a path for it
    ground = scenario.site.ground
    albedo = BARE_GROUND if ground is None else scenario.site.earth.albedo
    pieces = list(_pieces(sun, scenario.outdoors.track("cloud"), net.end))
    tables: dict[float, int] = {}
    taken: dict[tuple[Node, int], float] = {}
    for strip in strips:
        tilt = round(strip.patch.tilt_up, 9)
        if tilt not in tables:
            tables[tilt] = net.table(table(pieces, partial(_on_band, tilt, albedo)))
        for node, area in _takers(strip, floors):
            taken[node, tables[tilt]] = taken.get((node, tables[tilt]), 0.0) + area
    for (node, number), area in taken.items():
        net.source(node, number, area, path)


def table(pieces: Sequence[Piece], value: Callable[[Sunlight], float]) -> Table:
    """A value of the sun through the night, exactly 0 while it is down; it breaks at corners alone."""
    starts, cubics = [], []
    for times, seen in pieces:
        values = [value(it) for it in seen]
        if any(values):
            cubics += PchipInterpolator(times, values).c[::-1].T.tolist()
            starts += times[:-1].tolist()
        else:
            cubics.append([0.0] * 4)
            starts.append(float(times[0]))
    return Table(np.array(starts), np.array(cubics))


def _on_band(tilt_up: float, albedo: float, it: Sunlight) -> float:
    return on_a_band(tilt_up, it.sine, it.beam, it.diffuse, albedo)


def _sun_of(scenario: Scenario) -> Daylight | None:
    site = scenario.site
    if site.latitude is None:
        return None
    return daylight(site.latitude, site.solar_noon, scenario.night.span)


def _pieces(sun: Daylight, cloud: Track, end: float) -> Iterator[Piece]:
    """The night between its corners: its ends, sunrise, sunset, and every knot of the cloud cover."""
    corners = {0.0, end, *(time for time in cloud.times if 0.0 < time < end)}
    kept = [0.0]
    for corner in sorted(corners | set(_passages(sun, cloud, end))):
        if corner - kept[-1] >= CLOSEST and (corner == end or end - corner >= CLOSEST):
            kept.append(corner)
    for begin, until in pairwise(kept):
        count = math.ceil((until - begin) / STEP) + 1
        if sunlight(sun, cloud, (begin + until) / 2.0).sine <= 0.0:
            count = 2
        times = np.linspace(begin, until, count)
        yield times, [sunlight(sun, cloud, float(t)) for t in times]


def _passages(sun: Daylight, cloud: Track, end: float) -> Iterator[float]:
    """Moments at which the sun rises or sets."""

    def height(t: float) -> float:
        return sunlight(sun, cloud, t).sine

    grid = np.linspace(0.0, end, math.ceil(end / STEP) + 1)
    for before, after in pairwise(grid):
        if height(before) * height(after) < 0.0:
            yield float(brentq(height, before, after, xtol=1e-6))


def _takers(strip: Strip, floors: Sequence[Floor]) -> Iterator[tuple[Node, float]]:
    """Who takes up the sunshine on a strip, each with the area [m2] whose sunshine it takes up whole.

    From the outside in each layer takes up its share of what comes through those before it; what an inner one throws
    back is lost. Layers that touch take it up at their outermost face.
    """
    area = sum(facet for facet, _ in strip.patch.facets)
    faces = [strip.stack.outer, *(gap.inner for gap in reversed(strip.stack.gaps))]
    for layer in reversed(strip.patch.layers):
        if layer.kind == "gap":
            faces.pop(0)
            continue
        if layer.absorptance > 0.0:
            yield faces[0], area * layer.absorptance
        area *= layer.transmittance
    if area > 0.0:
        ground = sum(floor.area for floor in floors)
        for floor in floors:
            yield floor.top, area * floor.area / ground

"""What lies under the floor: strata of snow, soil, ice, cut into a column of cells that grow downward.

The column is one-dimensional. Cells grow by a factor of two; where one matter ends and another begins, a cell ends too.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf, sqrt
from typing import NamedTuple

import numpy as np

from simtent.assembly.stack import Melting, Slab
from simtent.physics.constants import ICE_POINT
from simtent.physics.grid import column_thicknesses
from simtent.physics.ground import FUSION, THAWED_MORE, edge_conductance, snow_conductivity
from simtent.scenario.materials import Ground
from simtent.scenario.site import Site

SHORTEST = 300.0  # s, the shortest time the column must answer well
CELLS = 8  # with RATIO deep enough for 24 h
RATIO = 2.0
NEAR = 0.25  # of a cell, within which the edge of a cell moves to where a matter ends: a sliver would be a fast node
RISE = 0.02  # K by which ice warms as it melts, so that a temperature has one state; nothing in truth, 0.1 W/m2 here


class Stratum(NamedTuple):
    """Matter of one kind.

    conductivity   [W/(m K)]
    heat_capacity  frozen [J/(m3 K)]
    thickness      [m]
    water          that freezes and melts [kg/m3]
    thaws_over     K below the freezing point at which it begins to melt; 0: sharply there
    """

    conductivity: float
    heat_capacity: float
    thickness: float = inf
    water: float = 0.0
    thaws_over: float = 0.0

    @property
    def diffusivity(self) -> float:
        """Thermal diffusivity [m2/s]."""
        return self.conductivity / self.heat_capacity

    def slab(self, thickness: float, upper: float, lower: float) -> Slab:
        """A cell of it, with the start temperatures of its upper and lower face [K]."""
        melting = None
        if self.water > 0.0:
            kilograms, over = self.water * thickness, self.thaws_over
            melting = Melting(kilograms * FUSION, kilograms * THAWED_MORE, ICE_POINT - over, over or RISE)
        return Slab(thickness / self.conductivity, thickness * self.heat_capacity, upper, lower, melting)


@dataclass(frozen=True)
class Earth:
    """The ground.

    strata      from the surface down
    emissivity  of its surface [-]
    depths, starts  the temperature at the begin: [m], [K]; straight between, constant below
    over_water  whether water at the freezing point holds its lower face
    """

    strata: tuple[Stratum, ...]
    emissivity: float
    depths: tuple[float, ...]
    starts: tuple[float, ...]
    over_water: bool = False

    def column(self) -> list[Slab]:
        """Cells of the column from the surface down."""
        ends = np.cumsum([stratum.thickness / sqrt(stratum.diffusivity) for stratum in self.strata])
        slabs, depth = [], 0.0
        for above, below in pairwise(_edges([float(end) for end in ends])):
            at = int(np.searchsorted(ends, 0.5 * (above + below)))
            stratum = self.strata[at]
            thickness = (below - above) * sqrt(stratum.diffusivity)
            upper, lower = (float(np.interp(z, self.depths, self.starts)) for z in (depth, depth + thickness))
            slabs.append(stratum.slab(thickness, upper, lower))
            depth += thickness
        return slabs

    def edge(self, duration: float, resistance: float) -> float:
        """Loss around the floor's edge over a time [s], behind films and floor [m2 K/W], in W/(m K).

        By the stratum that loses most: what lies above it counts as resistance, under the floor and beside it. Own
        reckoning, without a calculation behind it where there is more than one.
        """
        most = 0.0
        for stratum in self.strata:
            found = edge_conductance(stratum.conductivity, stratum.diffusivity, duration, resistance)
            most = max(most, found)
            resistance += 2.0 * stratum.thickness / stratum.conductivity
        return most


def earth_of(site: Site, conducts: float = 1.0) -> Earth:
    """The ground of a site under a shelter, each conductivity times a factor; snow of a given density conducts by that.

    Cells grow with the root of the factor, as heat then reaches as much deeper.
    """
    assert site.ground_start is not None  # a floor on the ground has it
    top, below = site.earth, site.buried
    if site.earth.over_water:
        assert site.ice_thickness is not None
        strata = [_stratum(top, site.snow_density, site.ice_thickness, conducts)]
    else:
        strata = [_stratum(top, site.snow_density, inf if below is None else site.snow_depth, conducts)]
    if below is not None:
        strata.append(_stratum(below, None, site.ice_thickness if below.over_water else None, conducts))
    depths, starts = [0.0], [site.ground_start]
    if site.over_water:
        # What has stood so for long: straight down in resistance, so that no heat is stored anywhere.
        through = np.cumsum([stratum.thickness / stratum.conductivity for stratum in strata])
        depths += [float(depth) for depth in np.cumsum([stratum.thickness for stratum in strata])]
        starts += [
            site.ground_start + share * (ICE_POINT - site.ground_start) for share in through / through[-1]
        ]
    for it in site.ground_below or ():
        depths.append(it.depth)
        starts.append(it.temperature)
    return Earth(tuple(strata), top.emissivity, tuple(depths), tuple(starts), site.over_water)


def _stratum(ground: Ground, snow_density: float | None, thickness: float | None, conducts: float) -> Stratum:
    conductivity = ground.conductivity if snow_density is None else snow_conductivity(snow_density)
    return Stratum(
        conducts * conductivity,
        ground.density * ground.specific_heat,
        inf if thickness is None else thickness,
        ground.water,
        ground.thaws_over,
    )


def _edges(ends: Sequence[float]) -> list[float]:
    """Edges of cells from the surface down, those of the strata among them, in depth over root of diffusivity."""
    cells = CELLS
    while ends[-1] < inf and sum(column_thicknesses(1.0, SHORTEST, cells, RATIO)) < ends[-1]:
        cells += 1
    edges = [0.0]
    for cell in column_thicknesses(1.0, SHORTEST, cells, RATIO):
        edges.append(edges[-1] + cell)
    kept = [0.0, *(end for end in ends if end < edges[-1])]
    return sorted([*kept, *(edge for edge in edges if edge < ends[-1] and not _near(edge, edges, kept))])


def _near(edge: float, edges: Sequence[float], kept: Sequence[float]) -> bool:
    """Whether an edge lies so near to one that is kept that it gives way."""
    return any(
        abs(edge - it) <= NEAR * (below - above)
        for it in kept
        for above, below in pairwise(edges)
        if above <= it <= below
    )

"""The ground and a raised floor calculated a second time, from the table of grounds and the published laws.

Nothing of `simtent.assembly`, `simtent.network` or `simtent.physics` is used. `column(site)` is what lies under the
floor from the surface down, `Melting` how a node thaws.
"""

import itertools
import math
from collections import namedtuple

import numpy as np
from scipy.optimize import brentq

from simtent.scenario.materials import ground
from tests.assembly.shelter_laws import ICE, snow_conductivity

MELT = 333.4e3  # J/kg, IAPWS R10-06, from memory
MORE = 2150.0  # J/(kg K), water above ice: 4200 less 2050, from memory
SHARP = 0.02  # K, the package's choice for ice and snow
ROUND = 0.05  # K, the package's rounding of corners

# Conductivity [W/(m K)], heat capacity frozen [J/(m3 K)], thickness [m], water [kg/m3], K over which it thaws (0: ice).
Bed = namedtuple("Bed", "conductivity heat thickness water over")
# Resistance [m2 K/W] (0: one temperature), capacity [J/(m2 K)], start above and below [K], then by m2: latent [J],
# capacity gained by thawing [J/K]; where thawing begins [K], and over how many kelvins.
Slab = namedtuple(
    "Slab", "resistance capacity above below latent more onset rise", defaults=(0.0, 0.0, ICE, 1.0)
)


class Melting:
    """Temperature by heat: slope 1 frozen, `level` while it thaws, `after` thawed; corners rounded off."""

    def __init__(self, capacity, parts):
        """`parts`: latent [J], gain [J/K], onset [K], rise [K]; several thaw at the mean by their latent heats."""
        latent = sum(part[0] for part in parts)
        self.capacity, self.kilograms = capacity, latent / MELT
        self.onset = sum(part[0] * part[2] for part in parts) / latent
        rise = sum(part[0] * part[3] for part in parts) / latent
        self.end = self.onset + rise + latent / capacity
        self.level = rise / (self.end - self.onset)
        self.after = capacity / (capacity + sum(part[1] for part in parts))

    def temperature(self, state):
        begun, done = (
            ROUND * np.logaddexp(0.0, (state - corner) / ROUND) for corner in (self.onset, self.end)
        )
        return (state - begun) + self.level * (begun - done) + self.after * done

    def state(self, temperature):
        return brentq(lambda e: self.temperature(e) - temperature, 100.0, 1e5, xtol=1e-12, rtol=1e-15)

    def water(self, state):
        """What is molten [kg]."""
        begun, done = (np.logaddexp(0.0, (state - corner) / ROUND) for corner in (self.onset, self.end))
        return self.kilograms * ROUND * (begun - done) / (self.end - self.onset)


def beds(site, conducts=1.0):
    """What lies under the floor, from the surface down; every conductivity times a factor."""
    found = []
    for name, given in ((site.ground, site.snow_density), (site.under_snow, None)):
        if name is None:
            continue
        row = ground(name)
        dense = row.density if given is None else given
        conductivity = row.conductivity if given is None else snow_conductivity(given)
        depth = site.snow_depth if row.snow else site.ice_thickness if row.over_water else None
        water = dense if row.ice else row.water
        deep = math.inf if depth is None else depth
        found.append(Bed(conducts * conductivity, dense * row.specific_heat, deep, water, row.thaws_over))
    return found


def cells(layers):
    """Thickness of each cell and its bed: doubling, the first 0.2 sqrt(a 300 s), with an edge where a bed ends.

    Counted in z / sqrt(a), in which all beds are alike; an edge within a quarter of the cell (or cells) at which a bed
    ends falls away.
    """
    first = 0.2 * math.sqrt(300.0)
    bottoms = list(
        itertools.accumulate(bed.thickness / math.sqrt(bed.conductivity / bed.heat) for bed in layers)
    )
    count = 8
    while math.isfinite(bottoms[-1]) and first * (2**count - 1) < bottoms[-1]:
        count += 1
    rule = [first * (2**k - 1) for k in range(count + 1)]
    stops = [bottom for bottom in bottoms if bottom < rule[-1]]

    def gives_way(edge):
        sizes = [
            (stop, rule[k + 1] - rule[k])
            for stop in stops
            for k in range(count)
            if rule[k] <= stop <= rule[k + 1]
        ]
        return edge > 0.0 and any(abs(edge - stop) <= size / 4.0 for stop, size in sizes)

    edges = sorted({*stops, *(edge for edge in rule if edge < bottoms[-1] and not gives_way(edge))})
    for high, low in itertools.pairwise(edges):
        bed = layers[sum(bottom < (high + low) / 2.0 for bottom in bottoms)]
        yield (low - high) * math.sqrt(bed.conductivity / bed.heat), bed


def profile(site, layers):
    """Temperature at the begin by depth, as a function."""
    depths, temps = [0.0], [site.ground_start]
    if site.ice_thickness is not None and any(math.isfinite(bed.thickness) for bed in layers[-1:]):
        resistances = [bed.thickness / bed.conductivity for bed in layers]
        for k in range(len(layers)):
            share = sum(resistances[: k + 1]) / sum(resistances)
            depths.append(sum(bed.thickness for bed in layers[: k + 1]))
            temps.append((1.0 - share) * site.ground_start + share * ICE)
    for it in site.ground_below or ():
        depths.append(it.depth)
        temps.append(it.temperature)
    return lambda z: float(np.interp(z, depths, temps))


def column(site, conducts=1.0):
    """Slabs from the surface down, and whether water lies under the last."""
    layers, slabs, depth = beds(site, conducts), [], 0.0
    start = profile(site, layers)
    for thickness, bed in cells(layers):
        slab = Slab(
            thickness / bed.conductivity,
            thickness * bed.heat,
            start(depth),
            start(depth + thickness),
            thickness * bed.water * MELT,
            thickness * bed.water * MORE,
            ICE - bed.over,
            bed.over or SHARP,
        )
        slabs.append(slab)
        depth += thickness
    return slabs, math.isfinite(layers[-1].thickness)


def edge(site, duration, resistance, conducts=1.0):
    """ISO 13370's edge with the depth of one night; of several beds that which loses most, behind those above it."""
    found = []
    for bed in beds(site, conducts):
        reach = 0.3 * math.pi * math.sqrt(bed.conductivity / bed.heat * duration)
        found.append(bed.conductivity / math.pi * math.log(1.0 + reach / (bed.conductivity * resistance)))
        resistance += 2.0 * bed.thickness / bed.conductivity
    return max(found)

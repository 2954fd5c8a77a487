"""A shelter calculated a second time, from the scenario's own numbers and the published laws, in plain Python.

Nothing of `simtent.assembly` or `simtent.physics` is used: every formula is written anew from the source named
beside it. `ByHand(night)` holds capacity, start and group of every node, `ByHand.flows` every exchange.

Nodes are numbered as the package numbers them, so that states can be compared one to one: the air's layers from
the floor up; the wall, then the roof, band by band from the floor up, each from its inside out; the floor's parts,
the one under the mat first, each from the top down to the bottom of the ground; the contents.
"""

import itertools
import math
from collections import namedtuple

import numpy as np
from scipy.optimize import root

from tests.assembly.air_by_hand import LEAST_STRIP, Air, Hearth, spread
from tests.assembly.shelter_laws import SIGMA, airspace, sky_temperature, snow_conductivity, walton

R_AIR = 287.055  # J/(kg K)
CP = 1006.0  # J/(kg K), air
SHEER = 0.0035  # m2 K/W; a layer that resists less has one temperature (the package's rule)
CONTENTS = 1500.0  # J/(kg K), the package's choice, from memory


# Heat [W] from one node to another (None: a place outside the nodes), and the path it is booked on, or None.
Flow = namedtuple("Flow", "giver taker watts path")
# Equal planes: part, cosine of the outward normal to straight up, area of one [m2], area of all in each band.
Face = namedtuple("Face", "part up plane areas")
# Geometry straight from the drawing, in horizontal bands between `edges` [m].
Drawing = namedtuple("Drawing", "edges volume section faces floor rim")
# Resistance [m2 K/W] (0: one temperature), capacity [J/(m2 K)], start [K].
Slab = namedtuple("Slab", "resistance capacity start")
# A surface seen from the room; `up`: cosine of its normal into the room to straight up; weight in the star [m2].
Inner = namedtuple("Inner", "name node layer area up path weight")
Outer = namedtuple("Outer", "name node area up emissivity")
Gap = namedtuple("Gap", "inner outer area up thickness emissivities")


def layer_edges(peak, count):
    """Layers that thicken upward; the top one is 1.1^15 times as thick as the bottom one."""
    thick = 1.1 ** (15.0 * np.arange(count) / (count - 1))
    return peak * np.concatenate(([0.0], np.cumsum(thick))) / thick.sum()


def over(function, low, high, kink):
    """Integral by Simpson's rule, exact for a cubic on each side of the kink."""
    stops = [low, kink, high] if low < kink < high else [low, high]
    return sum(
        (b - a) / 6.0 * (function(a) + 4.0 * function((a + b) / 2.0) + function(b))
        for a, b in itertools.pairwise(stops)
    )


def draw(shelter, count):
    """Cut the shelter into bands."""
    edges = layer_edges(shelter.peak, count)
    bands = list(itertools.pairwise(edges))
    wall = shelter.height if shelter.shape == "box" else shelter.wall
    rise = shelter.peak - wall
    foot = shelter.diameter / 2.0 if shelter.shape == "bell" else shelter.width / 2.0

    def reach(z):
        """Half the width at a height: straight up, then straight to the ridge or tip."""
        return foot if z <= wall or not rise else foot * (shelter.peak - z) / rise

    slope = math.hypot(foot, rise) / rise if rise else 0.0  # slant length per height
    up = foot / math.hypot(foot, rise)
    low = np.array([max(min(b, wall) - a, 0.0) for a, b in bands])  # height of each band below the eaves
    above = [(min(max(a, wall), b), b) for a, b in bands]
    if shelter.shape == "bell":
        disc, ring = (lambda z: math.pi * reach(z) ** 2), (lambda z: 2.0 * math.pi * reach(z))
        cone = np.array([slope * over(ring, a, b, wall) for a, b in above])
        wall_areas = 2.0 * math.pi * foot * low
        # A round wall counts as twelve flat facets.
        faces = [
            Face("wall", 0.0, wall_areas.sum() / 12.0, wall_areas),
            Face("roof", up, cone.sum() / 12.0, cone),
        ]
        rim = 2.0 * math.pi * foot
    else:

        def disc(z):
            return 2.0 * reach(z) * shelter.length

        ends = np.array([2.0 * over(lambda z: 2.0 * reach(z), a, b, wall) for a, b in bands])
        sides = 2.0 * shelter.length * low
        if shelter.shape == "box":
            roof, one = np.append(np.zeros(count - 1), disc(0.0)), disc(0.0)
        else:
            roof = 2.0 * shelter.length * slope * np.array([b - a for a, b in above])
            one = roof.sum() / 2.0
        faces = [
            Face("wall", 0.0, sides.sum() / 2.0, sides),
            Face("wall", 0.0, ends.sum() / 2.0, ends),
            Face("roof", up, one, roof),
        ]
        rim = 2.0 * (shelter.length + shelter.width)
    volume = np.array([over(disc, a, b, wall) for a, b in bands])
    return Drawing(edges, volume, np.array([disc(z) for z in edges[1:-1]]), faces, disc(0.0), rim)


def views(faces, floor):
    """Carroll 1980 (from memory): f = 1/(1 - A f / sum A f) of every plane, for the faces and then the floor.

    Strips of a plane do not see each other: the plane's whole area stands above the line.
    """
    plane = np.array([face.plane for face in faces] + [floor])
    whole = np.array([face.areas.sum() for face in faces] + [floor])

    def miss(f):
        return f - 1.0 / (1.0 - plane * f / (whole @ f))

    start = np.ones_like(plane)
    for _ in range(50):
        start = (start + 1.0 / (1.0 - plane * start / (whole @ start))) / 2.0
    found = root(miss, start, tol=1e-14).x
    assert np.abs(miss(found)).max() < 1e-11
    assert (found > 1.0).all()
    return found


def weight(area, view, emissivity):
    """Carroll 1980: the star's conductance of a grey surface, A / (1/f + (1 - e)/e) [m2]."""
    return area / (1.0 / view + (1.0 - emissivity) / emissivity)


class Outside:
    """Weather and pressure of a night, and a place for nodes; in the open there is no more."""

    def __init__(self, night):
        self.night = night
        self.thin = (
            1.0 - 2.25577e-5 * night.site.altitude
        ) ** 5.2559  # ICAO, ASHRAE Fundamentals 2017 ch. 1 eq. 3
        self.pressure = 101325.0 * self.thin
        inside = night.night.inside_at_start
        self.begin = self.weather(0.0)[0] if inside is None else inside
        self.capacity, self.start, self.group, self.links = [], [], [], []

    def weather(self, t):
        """Outdoor air [K], sky [K], wind [m/s]."""
        track = self.night.outdoors.track
        air = track("air").at(t)
        return air, sky_temperature(air, track("humidity").at(t), track("cloud").at(t)), track("wind").at(t)

    def node(self, capacity, start, group):
        """Add a node of a heat capacity [J/K]."""
        self.capacity.append(capacity)
        self.start.append(start)
        self.group.append(group)
        return len(self.capacity) - 1

    def flows(self, temps, t, _hearth=None):
        """Every exchange at the node temperatures [K]; `hearth`: what a fire does to the room's air."""
        out = self.weather(t)[0]
        for a, b, conductance, path in self.links:
            yield Flow(a, b, conductance * ((out if a is None else temps[a]) - temps[b]), path)

    def sums(self, flows):
        """Heat into every node [W], the sum of its sizes [W], and the rate of every path [W]."""
        net, gross, rates = np.zeros(len(self.capacity)), np.zeros(len(self.capacity)), {}
        for giver, taker, watts, path in flows:
            for node, sign in ((giver, -1.0), (taker, 1.0)):
                if node is not None:
                    net[node] += sign * watts
                    gross[node] += abs(watts)
            if path is not None:
                rates[path] = rates.get(path, 0.0) + watts
        return net, gross, rates


class ByHand(Outside):
    """Nodes and exchanges of a night's shelter; `hot`: weight of a stove's faces in the star by node [m2]."""

    def __init__(self, night):
        super().__init__(night)
        self.drawing = draw(night.shelter, night.model.layers)
        self.count = night.model.layers
        self.gaps, self.inner, self.outer, self.hot = [], [], [], {}
        self._views = views(self.drawing.faces, self.drawing.floor)
        for volume in self.drawing.volume:
            self.node(volume * self.pressure / (R_AIR * self.begin) * CP, self.begin, "air")
        for part in ("wall", "roof"):
            self._skin(part)
        self._floor()
        self._contents()
        self.air = Air(night, self.drawing, self.pressure, self.begin)

    def power(self, t):
        """Heat of a known source [W]."""
        return self.night.model.heat * self.night.heat.track().at(t) if self.night.heat else 0.0

    def mean_radiant(self, temps):
        """Mean of the fourth powers by the star's weights [K]."""
        weights = np.array([face.weight for face in self.inner])
        return float((weights @ temps[[face.node for face in self.inner]] ** 4 / weights.sum()) ** 0.25)

    def balance(self, temps, t, drawn=0.0):
        """Pressure inside minus outside at the floor [Pa] while a fire draws air [kg/s]."""
        out, _, wind = self.weather(t)
        return self.air.balance(temps[: self.count], t, out, wind, drawn)

    def moved(self, temps, t, hearth=None):
        """How the air of the room moves."""
        fed = np.zeros(self.count)
        if self.night.heat:
            fed = self.air.fed_by_source(self.power(t) * (1.0 - self.night.heat.radiant_share))
        hearth = Hearth(fed, 0.0, 0.0, 0.0) if hearth is None else hearth
        inside = self.balance(temps, t, hearth.up - hearth.down)
        surfaces = []
        for face in self.inner:
            apart = temps[face.node] - temps[face.layer]
            surfaces.append((face.layer, self._convected(face, temps), apart))
        return self.air.moved(temps[: self.count], t, self.weather(t), inside, surfaces, hearth)

    def flows(self, temps, t, hearth=None):
        """As `Outside.flows`."""
        yield from super().flows(temps, t)
        out, sky, wind = self.weather(t)
        for face in self.inner:  # the air's share comes with the currents
            yield Flow(face.node, None, self._convected(face, temps), face.path)
        for face in self.outer:  # ISO 6946: 4 + 4 v; a plane over open ground sees (1 + cos)/2 of sky
            film = (4.0 + 4.0 * wind) * face.area
            yield Flow(None, face.node, film * (out - temps[face.node]), "outside_convection")
            above = (1.0 + face.up) / 2.0
            seen = above * sky**4 + (1.0 - above) * out**4 - temps[face.node] ** 4
            yield Flow(None, face.node, SIGMA * face.emissivity * face.area * seen, "sky_radiation")
        for gap in self.gaps:
            one, other = temps[gap.inner], temps[gap.outer]
            between = 1.0 / (1.0 / gap.emissivities[0] + 1.0 / gap.emissivities[1] - 1.0)
            flux = airspace(one, other, gap.thickness, gap.up) + SIGMA * between * (one**4 - other**4)
            yield Flow(gap.inner, gap.outer, gap.area * flux, None)
        yield from self._inside(temps, t, out, hearth)

    def watts(self, temps, t):
        """Heat into every node [W], the sum of its sizes [W], and the rate of every path [W]."""
        return self.sums(self.flows(temps, t))

    def _convected(self, face, temps):
        return face.area * walton(temps[face.node], temps[face.layer], face.up, self.thin)

    def _inside(self, temps, t, out, hearth):
        night, power = self.night, self.power(t)
        moved = self.moved(temps, t, hearth)
        for layer, watts in moved.portions:
            yield Flow(None, layer, watts, None)
        for it, mass in zip(self.air.elements, moved.leaving, strict=True):
            yield Flow(None, None, mass * CP * (out - temps[it.layer]), "leakage")
        yield Flow(None, None, night.crew.asleep * night.crew.heat_each, "people")
        radiant = power * night.heat.radiant_share if night.heat else 0.0
        if night.heat:
            yield Flow(None, None, radiant, "source_radiant")
            yield Flow(None, None, power - radiant, "source_convective")
        faces = [(face.node, face.weight, None) for face in self.inner]
        faces += [(node, weight, "stove_radiation") for node, weight in self.hot.items()]
        total = sum(weight for _, weight, _ in faces)
        middle = sum(weight * temps[node] ** 4 for node, weight, _ in faces) / total
        for node, weight, path in faces:  # a stove's heat is booked as it leaves it
            yield Flow(None, node, radiant * weight / total, None)
            watts = weight * SIGMA * (middle - temps[node] ** 4)
            yield Flow(None, node, watts, None)
            yield Flow(None, None, -watts if path else 0.0, path)

    def _layered(self, slabs, area, group):
        """A node at every face between slabs, half of a slab's capacity at each of its faces."""
        faces, through = [[]], []
        for slab in slabs:
            if slab.resistance == 0.0:
                faces[-1].append((slab.capacity, slab.start))
            else:
                faces[-1].append((slab.capacity / 2.0, slab.start))
                faces.append([(slab.capacity / 2.0, slab.start)])
                through.append(area / slab.resistance)
        nodes = []
        for parts in faces:
            whole = sum(capacity for capacity, _ in parts)
            mean = sum(capacity * start for capacity, start in parts) / whole
            nodes.append(self.node(whole * area, mean, group))
        self.links += [(nodes[k], nodes[k + 1], g, None) for k, g in enumerate(through)]
        return nodes

    def _slab(self, layer):
        sheer = layer.resistance < SHEER
        return Slab(0.0 if sheer else layer.resistance, layer.areal_capacity, self.begin)

    def _skin(self, part):
        """The factor on walls multiplies what the skin loses, stores and radiates, but not what faces see."""
        factor = self.night.model.walls
        from_outside = getattr(self.night.shelter.skin, part)
        for band in range(self.night.model.layers):
            seen = [
                (face, view)
                for face, view in zip(self.drawing.faces, self._views, strict=False)
                if face.part == part and face.areas[band] > LEAST_STRIP
            ]
            if not seen:
                continue
            up = seen[0][0].up
            area = factor * sum(face.areas[band] for face, _ in seen)
            nodes = self._stack(from_outside, area, up)
            emissivity = from_outside[-1].emissivity_in
            star = factor * sum(weight(face.areas[band], view, emissivity) for face, view in seen)
            name = f"{part} {band + 1}"
            self.inner.append(Inner(name, nodes[0], band, area, -up, f"{part}_to_air", star))
            self.outer.append(Outer(f"outer {name}", nodes[-1], area, up, from_outside[0].emissivity_out))

    def _stack(self, from_outside, area, up):
        """Nodes from the inside out; a gap parts two runs of solids."""
        nodes, run, gap = [], [], None
        for layer in [*reversed(from_outside), None]:
            if layer is not None and layer.kind == "solid":
                run.append(layer)
                continue
            added = self._layered([self._slab(solid) for solid in run], area, "skin")
            if gap is not None:
                space, facing = gap
                faces = (facing.emissivity_out, run[0].emissivity_in)
                self.gaps.append(Gap(nodes[-1], added[0], area, -up, space.thickness, faces))
            nodes += added
            gap, run = (layer, run[-1]), []
        return nodes

    def _floor(self):
        floor, site, whole = self.night.shelter.floor, self.night.site, self.drawing.floor
        below = [layer for layer in (floor.cover, floor.board) if layer is not None]
        parts = {"floor": (whole, below)}
        if floor.mat is not None:
            covered = whole if floor.mat_area is None else min(floor.mat_area, whole)
            parts = {"floor mat": (covered, [floor.mat, *below]), "floor": (whole - covered, below)}
        parts = {name: part for name, part in parts.items() if part[0] > 0.0}
        if len(parts) == 1:
            parts = {"floor": next(iter(parts.values()))}
        ground = site.earth
        dense = ground.density if site.snow_density is None else site.snow_density
        conductivity = ground.conductivity if site.snow_density is None else snow_conductivity(dense)
        heat = dense * ground.specific_heat  # J/(m3 K)
        diffusivity = conductivity / heat
        # Vertex-centred cells that double downward, the first 0.2 sqrt(a t) for the shortest time of 300 s.
        cells = [0.2 * math.sqrt(diffusivity * 300.0) * 2.0**k for k in range(8)]
        column = [Slab(d / conductivity, d * heat, site.ground_start) for d in cells]
        for name, (area, layers) in parts.items():
            nodes = self._layered([*(self._slab(layer) for layer in layers), *column], area, "ground")
            emissivity = layers[0].emissivity_in if layers else ground.emissivity
            star = weight(area, self._views[-1], emissivity)
            self.inner.append(Inner(name, nodes[0], 0, area, 1.0, "floor_to_air", star))
            # ISO 13370's edge with the depth of one night, films 0.17 inside and 0.04 outside (ISO 6946).
            resistance = 0.17 + 0.04 + sum(layer.resistance for layer in layers)
            reach = 0.3 * math.pi * math.sqrt(diffusivity * self.night.night.seconds)
            edge = conductivity / math.pi * math.log(1.0 + reach / (conductivity * resistance))
            rim = self.drawing.rim * area / whole
            self.links.append((None, nodes[len(nodes) - 9], edge * rim, "ground_edge"))

    def _contents(self):
        """Beds and gear, joined to the air below their height by ISO 6946's inside resistance, 0.13 m2 K/W."""
        contents = self.night.shelter.contents
        if contents.mass:
            node = self.node(CONTENTS * contents.mass, self.begin, "contents")
            for k, share in enumerate(spread(self.drawing.edges, 0.0, contents.height)):
                self.links.append((node, k, contents.area * share / 0.13, "contents_to_air"))

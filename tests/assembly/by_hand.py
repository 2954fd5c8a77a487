"""A shelter calculated a second time, from the scenario's own numbers and the published laws, in plain Python.

Nothing of `simtent.assembly` or `simtent.physics` is used: every formula is written anew from the source named
beside it. `ByHand(night)` holds capacity, start and group of every node, `ByHand.flows` every exchange.

Nodes are numbered as the package numbers them, so that states can be compared one to one: the air's layers from
the floor up; the wall, then the roof, then the windows, band by band from the floor up, each from its inside out;
the floor's parts, the one under the mat first, each from the top down to the bottom of the ground; the contents.
"""

from collections import namedtuple

import numpy as np

from tests.assembly import ground_by_hand
from tests.assembly.air_by_hand import Air, Hearth, spread
from tests.assembly.drawing import draw, star_weight, views
from tests.assembly.ground_by_hand import Melting, Slab
from tests.assembly.shelter_laws import ICE, SIGMA, airspace, sky_temperature, walton

R_AIR = 287.055  # J/(kg K)
CP = 1006.0  # J/(kg K), air
SHEER = 0.0035  # m2 K/W; a layer that resists less has one temperature (the package's rule)
CONTENTS = 1500.0  # J/(kg K), the package's choice, from memory


# Heat [W] from one node to another (None: a place outside the nodes), and the path it is booked on, or None.
Flow = namedtuple("Flow", "giver taker watts path")
WATER = "water"  # under ice, at its freezing point
# A surface seen from the room; `up`: cosine of its normal into the room to straight up; weight in the star [m2].
Inner = namedtuple("Inner", "name node layer area up path weight")
Outer = namedtuple("Outer", "name node area up emissivity")
Gap = namedtuple("Gap", "inner outer area up thickness emissivities")


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
        self.capacity, self.start, self.group, self.links, self.melts = [], [], [], [], {}

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

    def temperatures(self, states):
        """Temperatures of the nodes [K] from their states: the same but where something thaws."""
        temps = np.array(states)
        for node, law in self.melts.items():
            temps[node] = law.temperature(states[node])
        return temps

    def flows(self, temps, t, _hearth=None):
        """Every exchange at the node temperatures [K]; `hearth`: what a fire does to the room's air."""
        out = self.weather(t)[0]
        for a, b, conductance, path in self.links:
            giver = out if a is None else ICE if a == WATER else temps[a]
            yield Flow(None if a == WATER else a, b, conductance * (giver - temps[b]), path)

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
        self._views = views(self.drawing)
        for volume in self.drawing.volume:
            self.node(volume * self.pressure / (R_AIR * self.begin) * CP, self.begin, "air")
        for patch in self.drawing.patches:
            self._skin(patch)
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

    def _layered(self, slabs, area, group, *, held=False):
        """A node at every face between slabs, half of a slab's capacity at each of its faces."""
        faces, through = [[]], []
        for slab in slabs:
            if slab.resistance == 0.0:
                faces[-1].append((slab, 1.0, slab.above))
            else:
                faces[-1].append((slab, 0.5, slab.above))
                faces.append([(slab, 0.5, slab.below)])
                through.append(area / slab.resistance)
        if held:  # the last face has the temperature of what lies beyond
            through.pop()
        nodes = [self._shared(parts, area, group) for parts in (faces[:-1] if held else faces)]
        self.links += [(nodes[k], nodes[k + 1], g, None) for k, g in enumerate(through)]
        return nodes

    def _shared(self, parts, area, group):
        """The node of slabs that meet: heat over capacity is the mean of theirs, each slab's by its own thawing."""
        masses = [
            (slab.capacity * share * area, slab.latent * share * area, slab.more * share * area)
            for slab, share, _ in parts
        ]
        whole = sum(capacity for capacity, _, _ in masses)
        each = [
            Melting(capacity, [(latent, more, slab.onset, slab.rise)]) if latent else None
            for (capacity, latent, more), (slab, _, _) in zip(masses, parts, strict=True)
        ]
        states = [law.state(start) if law else start for law, (_, _, start) in zip(each, parts, strict=True)]
        mean = sum(capacity * state for (capacity, _, _), state in zip(masses, states, strict=True)) / whole
        node = self.node(whole, mean, group)
        if any(each):
            thawing = [
                (latent, more, slab.onset, slab.rise)
                for (_, latent, more), (slab, _, _) in zip(masses, parts, strict=True)
                if latent
            ]
            self.melts[node] = Melting(whole, thawing)
        return node

    def _slab(self, layer):
        sheer = layer.resistance < SHEER
        return Slab(0.0 if sheer else layer.resistance, layer.areal_capacity, self.begin, self.begin)

    def _skin(self, patch):
        """The factor on walls multiplies what the skin loses, stores and radiates, but not what faces see."""
        factor, name, up = self.night.model.walls, patch.name, patch.up
        area = factor * sum(patch.areas.values())
        nodes = self._stack(patch.layers, area, up)
        emissivity = patch.layers[-1].emissivity_in
        star = factor * sum(star_weight(part, self._views[k], emissivity) for k, part in patch.areas.items())
        self.inner.append(Inner(name, nodes[0], patch.band, area, -up, f"{patch.part}_to_air", star))
        self.outer.append(Outer(f"outer {name}", nodes[-1], area, up, patch.layers[0].emissivity_out))

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
        floor, site, whole = self.night.shelter.floor, self.night.site, self.drawing.plan.floor
        below = [layer for layer in (floor.cover, floor.board) if layer is not None]
        parts = {"floor": (whole, below)}
        if floor.mat is not None:
            covered = whole if floor.mat_area is None else min(floor.mat_area, whole)
            parts = {"floor mat": (covered, [floor.mat, *below]), "floor": (whole - covered, below)}
        parts = {name: part for name, part in parts.items() if part[0] > 0.0}
        if len(parts) == 1:
            parts = {"floor": next(iter(parts.values()))}
        column, held = ([], False) if floor.raised else ground_by_hand.column(site, self.night.model.ground)
        for name, (area, layers) in parts.items():
            slabs = [*(self._slab(layer) for layer in layers), *column]
            nodes = self._layered(slabs, area, "ground", held=held)
            emissivity = layers[0].emissivity_in if layers else site.earth.emissivity
            star = star_weight(area, self._views[-1], emissivity)
            self.inner.append(Inner(name, nodes[0], 0, area, 1.0, "floor_to_air", star))
            if floor.raised:  # ISO 6946: below a floor over open air the resistance is that inside
                self.links.append((None, nodes[-1], area / 0.17, "floor_outside"))
                continue
            if held:
                self.links.append((WATER, nodes[-1], area / column[-1].resistance, "water_below"))
            # Films 0.17 inside and 0.04 outside (ISO 6946).
            resistance = 0.17 + 0.04 + sum(layer.resistance for layer in layers)
            edge = ground_by_hand.edge(site, self.night.night.seconds, resistance, self.night.model.ground)
            top = nodes[len(nodes) - len(column) - (not held)]
            self.links.append((None, top, edge * self.drawing.plan.rim * area / whole, "ground_edge"))

    def _contents(self):
        """Beds and gear, joined to the air below their height by ISO 6946's inside resistance, 0.13 m2 K/W."""
        contents = self.night.shelter.contents
        if contents.mass:
            node = self.node(CONTENTS * contents.mass, self.begin, "contents")
            for k, share in enumerate(spread(self.drawing.edges, 0.0, contents.height)):
                self.links.append((node, k, contents.area * share / 0.13, "contents_to_air"))

"""The moving air of a shelter calculated a second time, from the scenario's own numbers and the laws of `air_laws`.

Nothing of `simtent.assembly` or `simtent.physics` is used. A stream carries its mass and its whole heat, counted
above 0 degC; a layer loses the heat of what is taken out of it and gets that of what is put into it. `Air(night,
drawing, pressure, start)` knows openings, sources and fan; `Air.moved` tells how the air moves at one moment.
"""

import itertools
import math
from collections import namedtuple

import numpy as np
from scipy.optimize import brentq

from tests.assembly import air_laws as law
from tests.assembly.drawing import steepest
from tests.assembly.shelter_laws import ICE, mixing_conductivity

# Pressure coefficients of low buildings: walls in the wind, and sides and lee together (memory).
WIND = {"open ground": (0.7, -0.4), "edge of timber": (0.4, -0.27), "in timber": (0.2, -0.25)}
HALVES = {"all round": {"windward": 0.25, "lee": 0.75}, "wind": {"windward": 1.0}, "lee": {"lee": 1.0}}
# Kind of the law, area [m2], pressure coefficient, spans in which it is open [s] (None: always).
Element = namedtuple("Element", "name layer height kind area wind open", defaults=(None,))
# Equal sources: heights of the body [m], up to where they rise [m], diameter [m], in free air or beside walls.
Source = namedtuple("Source", "low high ceiling across stands number")
# What a fire does: heat that stove and pipe give [W], by layer; air up and down its flue [kg/s]; heat spilt [W].
Hearth = namedtuple("Hearth", "fed up down spilt")
# Heat by layer in portions [(layer, W)], kg/s upward by stream, kg/s by element, Pa at the layers' middles.
Moved = namedtuple("Moved", "portions streams entering leaving pressure")


def flat(up):
    """Whether the wind finds a roof: flatter than 45 deg, with what rounding leaves of a slope that is just that."""
    return up > math.sqrt(0.5) * (1.0 + 1e-9)


def spread(edges, low, high):
    """Share of a span of height in each layer."""
    inside = overlap(edges, low, high)
    return inside / inside.sum()


def overlap(edges, low, high):
    """What of a span of height lies in each layer [m]."""
    return np.array([max(0.0, min(b, high) - max(a, low)) for a, b in itertools.pairwise(edges)])


def heat_of(temperature):
    """J/kg of air above 0 degC."""
    return law.CP * (temperature - ICE)


class Layers:
    """What layers give and get: mass [kg/s] and portions of heat [W]; flows up from each of them."""

    def __init__(self, temps):
        self.temps = temps
        self.mass = np.zeros(temps.size)
        self.portions = []

    def put(self, k, mass, heat):
        """Into layer k."""
        self.mass[k] += mass
        self.portions.append((k, heat))

    def take(self, k, mass):
        """Out of layer k; returns the heat that it takes along."""
        heat = mass * heat_of(self.temps[k])
        self.put(k, -mass, -heat)
        return heat

    def travel(self, drawn, upward, number=1):
        """Let equal streams go from layer to layer; returns their flow over every edge between two [kg/s].

        `drawn(k, mass, heat)` gives mass and heat of all of them after what they take up in layer k.
        """
        count, sign = self.temps.size, 1.0 if upward else -1.0
        way = list(range(count))[:: int(sign)]
        over, mass, heat = np.zeros(count - 1), 0.0, 0.0
        for k, following in itertools.zip_longest(way, way[1:]):
            mass, heat = drawn(k, mass, heat)
            share = 0.0
            if following is not None:
                drive = sign * (heat - mass * heat_of(self.temps[k]))
                ahead = sign * (self.temps[following] - self.temps[k])
                share = law.further(drive / number, mass / number, ahead)
                over[min(k, following)] = sign * share * mass
            self.put(k, (1.0 - share) * mass, (1.0 - share) * heat)
            mass, heat = share * mass, share * heat
        return over


class Air:
    """Openings, sources and fan of a shelter; `start`: temperature at which the layers have their mass [K]."""

    def __init__(self, night, drawing, pressure, start):
        self.night, self.drawing, self.edges = night, drawing, drawing.edges
        self.pressure, self.start = pressure, start
        self.middles = (self.edges[1:] + self.edges[:-1]) / 2.0
        self.elements = [*self._seams(), *self._along_the_floor(), *self._vents(), *self._door()]
        self.hearth, self.sleepers = self._hearth(), self._sleepers()

    def layer(self, height):
        """The lowest layer that reaches up to a height [m]."""
        return next(k for k, top in enumerate(self.edges[1:]) if top >= height)

    def stack(self, temps, out, height):
        """By how much pressure inside falls less than outside from the floor up to a height [Pa]."""
        tops = [*self.edges[1:-1], max(height, self.edges[-1])]
        lighter = law.density(out, self.pressure) - law.density(temps, self.pressure)
        spans = [max(min(top, height) - low, 0.0) for low, top in zip(self.edges, tops, strict=False)]
        return law.G * float(lighter @ spans)

    def ways(self, temps, t, out, wind):
        """Every element, if it is open, and the pressure that drives air in through it, none being inside [Pa]."""
        blown = law.density(out, self.pressure) * wind**2 / 2.0
        for it in self.elements:
            shut = it.open is not None and not any(begin <= t < end for begin, end in it.open)
            yield None if shut else it, it.wind * blown - self.stack(temps, out, it.height)

    def passing(self, ways, temps, out, inside):
        """Flow inward through every element at a pressure inside, at the floor [kg/s]."""
        dense, outer = law.density(temps, self.pressure), law.density(out, self.pressure)
        return np.array(
            [
                law.through(drive - inside, it.area, it.kind, outer, dense[it.layer]) if it else 0.0
                for it, drive in ways
            ]
        )

    def balance(self, temps, t, out, wind, drawn):
        """Pressure inside minus outside at the floor at which what comes in is what goes out and is drawn [Pa]."""
        ways = list(self.ways(temps, t, out, wind))

        def over(inside):
            return math.fsum(self.passing(ways, temps, out, inside)) - drawn

        reach = 1.0
        while over(-reach) < 0.0 or over(reach) > 0.0:
            reach *= 2.0
        return brentq(over, -reach, reach, xtol=1e-14, rtol=1e-15, maxiter=500)

    def fed_by_source(self, watts):
        """Heat that a known source gives to its plume, by layer [W]."""
        return watts * spread(self.edges, self.night.heat.from_height, self.night.heat.to_height)

    def moved(self, temps, t, weather, inside, surfaces, hearth):
        """How the air moves at a pressure inside; `surfaces`: layer, heat given [W], warmer than the air by [K]."""
        out, _, wind = weather
        flows = self.passing(list(self.ways(temps, t, out, wind)), temps, out, inside)
        entering, leaving = np.maximum(flows, 0.0), np.maximum(-flows, 0.0)
        layers = Layers(temps)
        for it, mass in zip(self.elements, leaving, strict=True):
            layers.take(it.layer, mass)
        fed = np.array(hearth.fed, float)
        for k, share in enumerate(spread(self.edges, self.hearth.low, self.hearth.high)):
            layers.take(k, share * hearth.up)
            # Gas that spills is put down as air of the layer, and the heat beyond that goes up.
            spilt = share * (hearth.spilt + hearth.down * heat_of(out))
            layers.put(k, share * hearth.down, share * hearth.down * heat_of(temps[k]))
            fed[k] += spilt - share * hearth.down * heat_of(temps[k])
        people = self.night.crew.asleep * self.night.crew.heat_each
        warmed = people * spread(self.edges, self.sleepers.low, self.sleepers.high)
        streams = [
            self._plume(layers, self.hearth, fed) + self._plume(layers, self.sleepers, warmed),
            self._current(layers, surfaces, upward=False, entering=entering, out=out),
            self._current(layers, surfaces, upward=True),
            self._fan(layers),
        ]
        streams.append(self._room(layers))
        pressure = np.array([inside + self.stack(temps, out, z) for z in self.middles])
        return Moved(layers.portions, np.array(streams), entering, leaving, pressure)

    def _plume(self, layers, source, fed):
        """Air rises over a source and takes in more as long as it is warmer than what is around it."""
        below = law.below_the_source(fed.sum() / source.number, source.across, self.pressure)
        ways = overlap(self.edges, source.high, source.ceiling)
        ways = ways + below * spread(self.edges, source.low, source.high)

        def drawn(k, mass, heat):
            heat += fed[k]
            one = (heat - mass * heat_of(layers.temps[k])) / source.number  # W of one of them
            if one <= 0.0 or not ways[k]:
                return mass, heat
            dense = law.density(layers.temps[k], self.pressure)
            width = (mass / source.number / dense) ** 0.6
            width += law.plume_width(one, self.pressure, law.BESIDE[source.stands]) * ways[k]
            grown = source.number * dense * width ** (5.0 / 3.0)
            return grown, heat + layers.take(k, grown - mass)

        return layers.travel(drawn, upward=True, number=source.number)

    def _current(self, layers, surfaces, upward, entering=(), out=0.0):
        """Air that surfaces cool falls along them, with all that comes in; what they warm rises."""

        def drawn(k, mass, heat):
            for layer, watts, apart in surfaces:
                if layer == k:
                    share = law.rising_share(apart) if upward else 1.0 - law.rising_share(apart)
                    flow = share * law.current(watts, apart)
                    mass, heat = mass + flow, heat + layers.take(k, flow) + share * watts
            for it, flow in zip(self.elements, entering, strict=False):
                if it.layer == k:
                    mass, heat = mass + flow, heat + flow * heat_of(out)
            return mass, heat

        return layers.travel(drawn, upward)

    def _fan(self, layers):
        """A fan with two heights carries its volume of the air as it was at the start."""
        over, fan = np.zeros(layers.temps.size - 1), self.night.shelter.fan
        if fan is None or fan.from_ is None:
            return over
        flow = fan.flow * law.density(self.start, self.pressure)
        source, target = self.layer(fan.from_), self.layer(fan.to)
        layers.put(target, flow, layers.take(source, flow))
        over[min(source, target) : max(source, target)] = flow if target > source else -flow
        return over

    def _room(self, layers):
        """What a layer has too much goes up or down to the next, and neighbours mix."""
        temps = layers.temps
        over = np.cumsum(layers.mass)[:-1]
        for k, (flow, mixes) in enumerate(zip(over, self.conductances(temps), strict=True)):
            watts = law.carried(flow, mixes, temps[k] - ICE, temps[k + 1] - ICE)
            layers.portions += [(k, -watts), (k + 1, watts)]
        return over

    def conductances(self, temps):
        """By which each layer mixes with the one above [W/K]; a fan without heights stirs."""
        fan, stirred = self.night.shelter.fan, 0.0
        if fan is not None and fan.from_ is None:  # its flow goes both ways between the middles of two halves
            stirred = law.CP * fan.flow * law.density(self.start, self.pressure) * self.edges[-1] / 2.0
        found = []
        for k, area in enumerate(self.drawing.section):
            apart = self.middles[k + 1] - self.middles[k]
            mixing = self.night.model.mixing * mixing_conductivity((temps[k + 1] - temps[k]) / apart)
            found.append((mixing * area + stirred) / apart)
        return found

    def _hearth(self):
        """A stove gathers air from its legs to its top and its plume goes up to where the pipe leaves the room."""
        stove, heat, peak = self.night.stove, self.night.heat, self.edges[-1]
        if stove is None:  # a known source gathers air on its lowest 40 cm and measures 40 cm across
            high = min(heat.from_height + 0.4, heat.to_height)
            return Source(heat.from_height, high, peak, 0.4, heat.stands, 1)
        box = stove.firebox
        top = stove.legs + box.height
        across = 2.0 * math.sqrt(box.length * box.width / math.pi)
        low, high = min(stove.legs, 0.9 * peak), min(top, 0.95 * peak)  # below the peak whatever its legs
        return Source(low, high, min(top + stove.pipe.inside, peak), across, stove.stands, 1)

    def _sleepers(self):
        """Each lies from 10 cm below the cot's height to 25 cm above it, as large as a circle of 60 cm."""
        cot, peak = self.night.levels["cot"], self.edges[-1]
        number = max(self.night.crew.asleep, 1)
        return Source(max(cot - 0.1, 0.0), min(cot + 0.25, peak), peak, 0.6, "free", number)

    def _wind(self, side, up):
        """Coefficient of a side: -0.2 in the wind of what is flatter than 45 deg, a wall's of what is steeper."""
        windward, lee = WIND[self.night.site.shelter_from_wind]
        return lee if side == "lee" else -0.2 if flat(up) else windward

    def _wind_at(self, side, height, parts=("wall", "roof")):
        return self._wind(side, steepest(self.drawing.plan, height, parts))

    def _seams(self):
        """By area over the skin; a quarter of what is steep and half of what is flat stand in the wind."""
        strips = [(patch.up, patch.band, sum(patch.areas.values())) for patch in self.drawing.patches]
        whole = sum(area for *_, area in strips)
        for up, band, area in strips:
            level = abs(up - 1.0) < 1e-9  # such a roof leaks at its own height
            height = self.edges[band + 1] if level else self.middles[band]
            leaks = self.night.model.leak_area * area / whole
            in_wind = 0.5 if flat(up) else 0.25
            for side, share in (("windward", in_wind), ("lee", 1.0 - in_wind)):
                yield Element(f"seams, {side}", band, height, "leak", share * leaks, self._wind(side, up))

    def _along_the_floor(self):
        area, skirt = self.night.model.leak_below_skirt, self.night.shelter.skirt
        if area is None:  # from no source, per metre of the edge
            area = self.drawing.plan.rim * {"weighted": 1e-4, "loose": 5e-4}.get(skirt, 0.0)
        for side, share in (("windward", 0.25), ("lee", 0.75)) if area else ():
            yield Element(f"skirt, {side}", 0, 0.0, "leak", share * area, self._wind_at(side, 0.0))

    def _vents(self):
        """Vents, and the gap around the pipe on one side of roof or wall."""
        given = self.night.shelter.openings
        for name, vent in (
            ("low vent", given.low_vent),
            ("ridge vent", given.ridge_vent),
            *given.vents.items(),
        ):
            for side, share in HALVES[vent.faces].items() if vent is not None and vent.open else ():
                area = vent.area * vent.open * share
                yield Element(
                    f"{name}, {side}",
                    self.layer(vent.at),
                    vent.at,
                    "sharp",
                    area,
                    self._wind_at(side, vent.at),
                )
        if given.jack is not None and given.jack.gap:
            at, stove = given.jack.at, self.night.stove
            if at is None:
                at = min(stove.legs + stove.firebox.height + stove.pipe.inside, self.edges[-1])
            side = {"wind": "windward", "lee": "lee"}[given.jack.faces]
            wind = self._wind_at(side, at, (given.jack.through,))
            yield Element("jack", self.layer(at), at, "sharp", given.jack.gap, wind)

    def _door(self):
        """What of the door stands beside each layer is a slice."""
        door = self.night.shelter.openings.door
        if door is None or not door.openings:
            return
        side = {"wind": "windward", "lee": "lee"}[door.faces]
        for k, (low, high) in enumerate(itertools.pairwise(self.edges)):
            foot, head = max(low, door.sill), min(high, door.sill + door.height)
            if head > foot:
                middle, area = (foot + head) / 2.0, (head - foot) * door.width
                yield Element(
                    f"door, {side}", k, middle, "sharp", area, self._wind_at(side, middle), door.openings
                )

"""Vapour, frost and water of a night calculated a second time, from the scenario's own numbers and published laws.

Nothing of `simtent.assembly` or `simtent.physics` is used. How the air moves comes from `air_by_hand`. A width over
which something passes smoothly, and what is called an assumption in the package, is repeated here: there is nothing
else to hold it to.
"""

import math
from collections import namedtuple

import numpy as np
from scipy.optimize import brentq

from tests.assembly.air_by_hand import spread
from tests.assembly.by_hand import CP, R_AIR
from tests.assembly.shelter_laws import ICE, walton

R_VAPOUR = 461.5  # J/(kg K)
LIGHTER = 0.621945  # water over dry air by molar mass, ASHRAE Fundamentals 2017 ch. 1
EVAPORATES, MELTS = 2500.9e3, 333.4e3  # J/kg at 0 degC, IAPWS, from memory
# Hyland and Wexler 1983 by ASHRAE Fundamentals 2017 ch. 1: powers -1 to 4 of the temperature, and its logarithm.
OVER_ICE = (-5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019)
OVER_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)

# What a state holds of water [kg]: by layer of air, by inner face, by wet thing.
Wet = namedtuple("Wet", "vapour ice liquid hung")
Thing = namedtuple("Thing", "name water layer area")  # what of a wet thing hangs in one layer


def saturated(temperature, curve=None):
    """Pressure of vapour [Pa] at saturation; over ice up to the triple point unless a curve is named."""
    if curve is None:
        curve = OVER_ICE if temperature < 273.16 else OVER_WATER
    powers = sum(c * temperature**k for k, c in zip(range(-1, 5), curve, strict=False))
    return math.exp(powers + curve[-1] * math.log(temperature))


def ratio_of(vapour, pressure):
    """Vapour by dry air [kg/kg] at its pressure [Pa]."""
    return LIGHTER * vapour / (pressure - vapour)


def pressure_of(ratio, pressure):
    """Vapour's pressure [Pa]."""
    return pressure * ratio / (LIGHTER + ratio)


def frozen(temperature):
    """Share of ice, a cubic over 0.2 K to either side of 0 degC."""
    s = min(max((ICE + 0.2 - temperature) / 0.4, 0.0), 1.0)
    return 3.0 * s**2 - 2.0 * s**3


def covered(mass):
    """Share of a surface that has some, half at 1 g/m2."""
    return mass / (abs(mass) + 1e-3)


def taken(film, air, surface, vapour, pressure):
    """Lewis relation, number 1: kg/(s m2) onto a surface, by vapour densities at the film's own temperature."""
    middle = (air + surface) / 2.0
    passes = film / (pressure / (R_AIR * middle) * CP)  # m/s
    return passes * (vapour - saturated(surface)) / (R_VAPOUR * middle)


def wet_bulb_drying(film, air, vapour, pressure, latent):
    """What dries in the wet bulb's balance of heat and vapour, the film's properties those of the air [kg/(s m2)]."""
    carries = film / (pressure / (R_AIR * air) * CP) / (R_VAPOUR * air)  # kg/(s m2 Pa)

    def over(wet):
        return film * (air - wet) - latent * carries * (saturated(wet) - vapour)

    if vapour >= saturated(air):
        return 0.0
    return film * (air - brentq(over, air - 80.0, air, xtol=1e-13, rtol=1e-15)) / latent


class Book:
    """Rates of every amount [kg/s] and heat into every node [W], with the sum of their sizes."""

    def __init__(self, nodes):
        self.rate, self.gross = {}, {}
        self.watts, self.heats, self.path = np.zeros(nodes), np.zeros(nodes), 0.0
        self.rough, self.rough_watts = {}, np.zeros(nodes)  # what the package's wet bulb may miss
        self.seen = set()

    def put(self, name, rate):
        self.rate[name] = self.rate.get(name, 0.0) + rate
        self.gross[name] = self.gross.get(name, 0.0) + abs(rate)

    def move(self, giver, taker, rate):
        self.put(giver, -rate)
        self.put(taker, rate)

    def warm(self, node, watts):
        """Heat of what condenses or freezes, on the path of condensation too."""
        self.watts[node] += watts
        self.heats[node] += abs(watts)
        self.path += watts


class WaterByHand:
    """Water of a night in a shelter calculated by hand: `place` is its `ByHand`."""

    def __init__(self, night, place):
        self.night, self.place, damp = night, place, night.damp
        air, asleep = place.air, night.crew.asleep
        peak, cot = air.edges[-1], night.levels["cot"]
        self.mass = np.array(place.capacity[: place.count]) / CP
        lying = spread(air.edges, max(cot - 0.1, 0.0), min(cot + 0.25, peak))
        self.breath, self.given = asleep * damp.breath_each * lying, asleep * damp.skin_each * lying
        self.shell = asleep * damp.bag_area * lying
        self.warmer = night.crew.heat_each / (8.0 * damp.bag_area)  # K, by 8 W/(m2 K) from a bag, from memory
        self.floors = [k for k, face in enumerate(place.inner) if face.name.startswith("floor")]
        ground = sum(place.inner[k].area for k in self.floors)
        self.below = {k: place.inner[k].area / ground for k in self.floors}
        self.endless = {k for k in self.floors if self._bare(place.inner[k].name) and night.site.earth.ice}
        self.things = [*self._spread_out(peak)]
        self.passes = [self._through(face.name) for face in place.inner]

    def _spread_out(self, peak):
        """Gear hangs 60 cm down from its height, wood is stacked half a metre high."""
        damp, edges = self.night.damp, self.place.air.edges
        top = min(max(self.night.levels["head"] if damp.gear_at is None else damp.gear_at, 0.1), peak)
        for name, water, low, high, area in (
            ("gear", self.night.crew.wet_gear, max(top - 0.6, 0.0), top, damp.gear_area),
            ("wood", damp.wood, 0.0, min(0.5, peak), damp.wood_area),
        ):
            for k, share in enumerate(spread(edges, low, high)):
                if water and share:
                    yield Thing(f"{name} {k}", water * share, k, area * share)

    def _through(self, name):
        """Vapour that a face lets through to the outdoors by pressure, a film of 10 W/(m2 K) outside [kg/(s m2 Pa)]."""
        permeance = self.night.damp.passes
        if not permeance or not name.startswith(("wall", "roof")):
            return 0.0
        return 1.0 / (1.0 / permeance + CP * self.place.pressure / (10.0 * LIGHTER))

    def _bare(self, name):
        floor = self.night.shelter.floor
        if floor.raised or floor.cover is not None or floor.board is not None:
            return False
        return floor.mat is None or (
            name == "floor" and any(it.name == "floor mat" for it in self.place.inner)
        )

    def start(self):
        """Water at the beginning: the outdoor air's vapour unless the air holds less; snow all over the floor."""
        out, pressure = self.place.weather(0.0)[0], self.place.pressure
        ratio = min(self.outside(0.0, out), ratio_of(saturated(self.place.begin), pressure))
        ice = [self.night.damp.snow * self.below.get(k, 0.0) for k in range(len(self.place.inner))]
        return Wet(
            ratio * self.mass, np.array(ice), np.zeros(len(ice)), np.array([it.water for it in self.things])
        )

    def outside(self, t, out):
        """Outdoor air's humidity counts over water, whatever its temperature."""
        humidity = self.night.outdoors.track("humidity").at(t)
        return ratio_of(humidity * saturated(out, OVER_WATER), self.place.pressure)

    def book(self, wet, temps, t, moved, hearth=None):
        """Everything that moves water; `moved`: how the air moves, `hearth`: air up and down a flue."""
        found = Book(len(self.place.capacity))
        ratio, pressure = wet.vapour / self.mass, self.place.pressure
        outer = pressure_of(self.outside(t, self.place.weather(t)[0]), pressure)
        self._air(found, ratio, temps, t, moved, hearth)
        for k, face in enumerate(self.place.inner):
            self._face(found, k, face, ratio[face.layer], outer, temps, wet)
        for k, air in enumerate(temps[: self.place.count]):
            self._fog(found, k, ratio[k], air)
            self._sleepers(found, k, ratio[k], air)
        for thing, left in zip(self.things, wet.hung, strict=True):
            self._hung(found, thing, left, ratio[thing.layer], temps[thing.layer])
        return found

    def _air(self, found, ratio, temps, t, moved, hearth):
        air, out = self.place.air, self.place.weather(t)[0]
        come = np.bincount([it.layer for it in air.elements], moved.entering, self.place.count)
        gone = np.bincount([it.layer for it in air.elements], moved.leaving, self.place.count)
        if hearth is not None:
            share = spread(air.edges, air.hearth.low, air.hearth.high)
            come, gone = come + share * hearth.down, gone + share * hearth.up
        for k, (entering, leaving) in enumerate(zip(come, gone, strict=True)):
            found.put(f"vapour {k}", entering * self.outside(t, out) - leaving * ratio[k])
            found.put("water entered", entering * self.outside(t, out))
            found.put("water left", leaving * ratio[k])
        *streams, own = moved.streams
        conductance = air.conductances(temps[: self.place.count])
        for k in range(self.place.count - 1):
            for stream in streams:
                found.move(f"vapour {k}", f"vapour {k + 1}", max(stream[k], 0.0) * ratio[k])
                found.move(f"vapour {k + 1}", f"vapour {k}", max(-stream[k], 0.0) * ratio[k + 1])
            mixed = law_of_both(own[k], conductance[k], ratio[k], ratio[k + 1])
            found.move(f"vapour {k}", f"vapour {k + 1}", mixed)

    def _face(self, found, k, face, ratio, outer, temps, wet):
        air, surface, pressure = temps[face.layer], temps[face.node], self.place.pressure
        flux, apart = walton(surface, air, face.up, self.place.thin), surface - air
        film = ((flux / apart if apart else 0.0) ** 8 + 0.5**8) ** 0.125
        vapour = pressure_of(ratio, pressure)
        rate = face.area * taken(film, air, surface, vapour, pressure)
        rate -= face.area * self.passes[k] * (saturated(surface) - outer)
        ice, liquid = wet.ice[k] / face.area, wet.liquid[k] / face.area
        as_ice, as_liquid = rate * frozen(surface), rate * (1.0 - frozen(surface))
        if k in self.endless:
            found.seen.add("endless, " + ("gives" if rate < 0.0 else "takes"))
        elif rate < 0.0:
            as_ice, as_liquid = as_ice * covered(ice), as_liquid * covered(liquid)
        for what, amount in ((f"face ice {k}", as_ice), (f"face water {k}", as_liquid)):
            found.move(f"vapour {face.layer}", what, amount)
            found.seen.add(
                ("takes " if amount > 0.0 else "gives ") + what.split()[1] if amount else "nothing"
            )
        self._pass(
            found, face, self.passes[k], film * LIGHTER / (CP * pressure), vapour, outer, as_ice + as_liquid
        )
        found.warm(face.node, (EVAPORATES + MELTS) * as_ice)
        found.warm(face.node, EVAPORATES * as_liquid)
        if k not in self.endless:
            self._melt_and_drip(found, k, face, surface - ICE, ice, liquid)

    def _pass(self, found, face, passes, onto, vapour, outer, stays):
        """What comes to the face and does not stay goes through: two resistances, the pressure between them sought."""
        if not passes:
            return
        found.seen.add("passes" if stays else "nothing")
        by_itself = 1.0 / (1.0 / onto + 1.0 / passes) * (vapour - outer)
        through = face.area * by_itself - stays * passes / (onto + passes)
        found.put(f"vapour {face.layer}", -through)
        found.put("water left", through)

    def _melt_and_drip(self, found, k, face, over, ice, liquid):
        melts = 40.0 * face.area * over * covered(ice if over > 0.0 else liquid)  # W
        found.move(f"face ice {k}", f"face water {k}", melts / MELTS)
        found.warm(face.node, -melts)
        found.seen.add("melts" if melts > 0.0 else "freezes" if melts < 0.0 else "nothing")
        excess = liquid - self.night.damp.holds
        if excess > 0.0 and k not in self.floors:
            off = face.area * excess / 60.0 * covered(excess)
            found.put("water dripped", off)
            found.seen.add("drips")
            for floor, share in self.below.items():
                found.move(f"face water {k}", f"face water {floor}", share * off)

    def _fog(self, found, k, ratio, air):
        full = saturated(air, OVER_WATER)
        if pressure_of(ratio, self.place.pressure) <= full:  # near boiling air holds whatever there is
            return
        excess = ratio - ratio_of(full, self.place.pressure)
        fog = self.mass[k] * excess / 10.0 * excess / (excess + 1e-5)
        found.seen.add("fog")
        found.warm(k, EVAPORATES * fog)
        for floor, share in self.below.items():
            found.move(f"vapour {k}", f"face water {floor}", share * fog)

    def _sleepers(self, found, k, ratio, air):
        given, breath = self.given[k], self.breath[k]
        found.put(f"vapour {k}", breath)
        found.put("water sleepers", breath)
        if not given:
            return
        pressure, shell = self.place.pressure, air + self.warmer
        room = -self.shell[k] * taken(3.0, air, shell, pressure_of(ratio, pressure), pressure)
        out = 0.0
        if room > 0.0:
            out = given / (1.0 + (given / room) ** 8) ** 0.125
        found.seen.add("bags let out" if room > given else "bags keep" if room > 0.0 else "bags keep all")
        found.put(f"vapour {k}", out)
        found.put("water bags", given - out)
        found.put("water sleepers", given)
        found.warm(k, (given - out) * latent(shell))

    def _hung(self, found, thing, left, ratio, air):
        pressure = self.place.pressure
        rate = wet_bulb_drying(4.0, air, pressure_of(ratio, pressure), pressure, latent(air))
        dried = thing.area * rate * covered(left / thing.area)
        found.move(f"wet {thing.name}", f"vapour {thing.layer}", dried)
        found.warm(thing.layer, -dried * latent(air))
        rough = 1e-3 * abs(
            dried
        )  # four steps of Newton's towards the wet bulb miss by 6e-4 at 60 degC, 1e-6 about 0
        for name in (f"wet {thing.name}", f"vapour {thing.layer}"):
            found.rough[name] = found.rough.get(name, 0.0) + rough
        found.rough_watts[thing.layer] += rough * latent(air)
        found.seen.add("dries" if dried > 0.0 else "nothing")


def latent(temperature):
    """J/kg that vapour takes from ice or water."""
    return EVAPORATES + MELTS * frozen(temperature)


def law_of_both(flow, conductance, here, there):
    """Vapour from here to there by a flow [kg/s] and mixing [W/K] together, exact between two points [kg/s]."""
    mixing = conductance / CP
    peclet = flow / mixing
    if abs(peclet) < 1e-8:
        return mixing * (here - there) + flow * (here + there) / 2.0
    if abs(peclet) > 600.0:
        return flow * (here if flow > 0.0 else there)
    return flow * here + flow / math.expm1(peclet) * (here - there)

"""A stove and its fire calculated a second time, from the scenario's own numbers and the laws of `fire_laws`.

Nothing of `simtent.assembly` or `simtent.physics` is used. `FireByHand(night)` is a night under a roof or in the open.
The fire needs two numbers of a room, the temperature of the air that it draws and the pressure there. Behind the
shelter's nodes come the fire, the body, the pipe's segments from the collar up, and what stands on the stove.
"""

import math
from collections import namedtuple

import numpy as np

from tests.assembly import fire_laws as law
from tests.assembly.air_by_hand import Hearth
from tests.assembly.by_hand import CP, R_AIR, ByHand, Flow, Outside, spread

HEATING_VALUES_AT = 298.15  # K
BOILING = 373.15  # K
NEVER = 1e9  # s, when wood catches that does not burn
IN_THE_ROOM, ABOVE = 3, 2  # segments of the pipe

Slot = namedtuple("Slot", "thickness dry water")
# Wood by slot [kg], pooled masses [kg], the flow's state [kg/s], and what is set; `caught` by slot [s].
Carried = namedtuple("Carried", "water dry coals ash burnt air inlet damper door lighting last_load caught")
# Heat [W], mass flows [kg/s], rates of the slots [kg/s].
Burning = namedtuple("Burning", "full unburnt gas steam dry water coals ash")
# Air [kg/s]: up and down the flue, both together, and the share that goes up.
Air = namedtuple("Air", "up down both share")
# One way through the flue: flow [kg/s], temperatures [K], heat to the body and by segment [W], lift [Pa], resistance.
Way = namedtuple("Way", "flow collar swept given top lift resistance")
# All that goes through: dry carbon dioxide [%], gas over its air, the way up and the way down, heat spilt [W].
Gas = namedtuple("Gas", "dioxide swelling up down spilt")
Segment = namedtuple("Segment", "node length losses")


def air_of(signed):
    """A signed flow, parted in two parabolas within 10 mg/s of none (the package's rounding)."""
    around = 1e-5
    if abs(signed) < around:
        up, down = ((around + way) ** 2 / (4.0 * around) for way in (signed, -signed))
    else:
        up, down = max(signed, 0.0), max(-signed, 0.0)
    return Air(up, down, up + down, up / (up + down))


def slots_of(night):
    """Wood by load and kind: the loads by the clock, then each rule's as often as it may call."""
    wood, stoking = night.wood, night.stoking
    loads = [load.pieces for load in stoking.loads]
    loads += [rule.pieces for rule in stoking.rules for _ in range(rule.most)]
    out = []
    for pieces in loads:
        for name, amount in pieces:
            piece = wood.pieces[name]
            by_size = (
                math.pi * piece.thick**2 / 4.0 * piece.long * wood.species.density / (1.0 - wood.moisture)
            )
            each = by_size if piece.mass is None else piece.mass
            moist = amount * each if isinstance(amount, int) else amount
            out.append(Slot(piece.thick, moist * (1.0 - wood.moisture), moist * wood.moisture))
    return out


class Stove:
    """Nodes and exchanges of a stove; `place` is what stands around it."""

    def __init__(self, night, place):
        self.night, self.noun, self.place = night, night.stove, place
        self.slots = slots_of(night)
        box, pipe = self.noun.firebox, self.noun.pipe
        self.area = 2.0 * (box.length * box.width + box.width * box.height + box.height * box.length)
        self.metals = {}
        self.fire = place.node(1e5 * box.length * box.width * box.height, place.begin, "stove")
        mass = self.noun.mass
        if mass is None:  # door, legs and seams: a fifth more
            mass = 1.2 * self.area * self.noun.sheet.thickness * self._metal(self.noun.sheet)[0]
        self.body = self._sheet(self.noun.sheet, mass)
        around = math.pi * pipe.diameter
        lengths = [pipe.inside / IN_THE_ROOM] * IN_THE_ROOM + [pipe.outside / ABOVE] * ABOVE
        losses = [0.0] * len(lengths)
        losses[0] = 0.5 + sum(law.bend(angle) for angle in pipe.bends) + (1.0 if self.noun.baffle else 0.0)
        losses[-1] = 1.0 + (1.5 if pipe.cap else 0.0) + (1.5 if pipe.arrestor else 0.0)
        areal = pipe.sheet.thickness * self._metal(pipe.sheet)[0]  # kg/m2
        self.segments = [
            Segment(self._sheet(pipe.sheet, around * length * areal), length, loss)
            for length, loss in zip(lengths, losses, strict=True)
        ]
        self.top, self.top_area = None, 0.0
        if self.noun.on_top is not None:
            on_top = self.noun.on_top
            side = (on_top.mass / on_top.density) ** (1.0 / 3.0)  # of a cube, one face on the stove
            self.top_area = 5.0 * side**2
            self.top = place.node(on_top.mass * on_top.specific_heat, place.begin, "stove")
            place.links.append((self.body, self.top, 60.0 * side**2, None))

    def seen(self):
        """What radiates: weight by node [m2]; a small body in a large room acts by area times emissivity."""
        emissivity, around = self.noun.emissivity, math.pi * self.noun.pipe.diameter
        weights = {self.body: emissivity * self.area}
        weights |= {it.node: emissivity * around * it.length for it in self.segments[:IN_THE_ROOM]}
        if self.top is not None:
            weights[self.top] = 0.9 * self.top_area
        if self.noun.glass > 0.0:  # lets 0.3 through of what flames of emissivity 0.45 radiate
            weights[self.fire] = 0.3 * 0.45 * self.noun.glass
        return weights

    def burning(self, hot, carried, drawn, t):
        """Wood and coals at a temperature of the fire [K]."""
        species, model = self.night.wood.species, self.night.model
        gas_heat = model.heat * (species.heating_value - law.CHAR * law.GLOW) / (1.0 - law.CHAR)
        coal_heat = model.heat * law.GLOW
        rates, drying = [], []
        for slot, dry, water, since in zip(
            self.slots, carried.dry, carried.water, carried.caught, strict=True
        ):
            wet = water / slot.water if slot.water else 0.0
            left = dry / slot.dry
            rate = 0.0  # by what is left [1/s]
            if t > since:
                rate = model.burn_rate * law.rate_of_rest(1.0 - left) / law.free_time(slot.thickness)
                rate *= law.feedback(hot, model.feedback) * law.caught(t - since, slot.thickness)
                rate *= 0.35 + 0.65 * law.dry_ahead(
                    wet, left
                )  # the face of wet wood burns at 0.35 of its rate
            rates.append(rate)
            surface = 4.0 / slot.thickness * slot.dry / species.density
            watts = law.to_the_wet_core(slot.thickness, wet) * surface * law.positive(hot - BOILING, 1.0)
            drying.append(watts / law.STEAM * wet / (abs(wet) + 0.02) if slot.water else 0.0)
        glow = law.coals_burnt(carried.coals, drawn, model.char_rate * 3e-4)
        demand = np.dot(rates, carried.dry) * (1.0 - law.CHAR) * gas_heat + glow * coal_heat
        need = 1.6 * demand / (law.PER_AIR * drawn + 1.0)  # 1.6 times the air of full burning is taken in
        air = (1.0 + need**4) ** -0.25
        dry = air * np.array(rates) * carried.dry
        water = drying + air * np.array(rates) * carried.water  # water leaves with the wood around it
        gas, coals = dry.sum() * (1.0 - law.CHAR), air * glow
        ash = coals * law.ASH / law.CHAR
        share = law.set_free(hot, law.PER_AIR * drawn / (air * demand + 1.0))
        return Burning(
            gas * gas_heat + coals * coal_heat, gas * gas_heat * (1.0 - share), gas + coals - ash, water.sum(),
            -dry, -water, dry.sum() * law.CHAR - coals, ash,
        )  # fmt: skip

    def gas(self, temps, carried, air, burnt, out):
        """What the fire gives goes up and down as the air does."""
        made = burnt.gas + burnt.steam
        s = law.dioxide_of(max(burnt.full - burnt.unburnt, 0.0), air.both)
        up = self._way(temps, carried, air.up + air.share * made, s, out, upward=True)
        down = self._way(temps, carried, air.down, 0.0, out, upward=False)
        # Spilt gas leaves the fire, air from outdoors came in its place.
        spilt = (air.down + (1.0 - air.share) * made) * law.gas_enthalpy(temps[self.fire], s)
        spilt -= air.down * CP * (out - HEATING_VALUES_AT)
        hot_box = self.noun.firebox.height * self._lighter(temps[self.fire], s, out)
        down = down._replace(lift=down.lift + hot_box)
        return Gas(s, 1.0 + made / (air.both + 1e-5), up, down, spilt if air.down else 0.0)

    def _lighter(self, temperature, s, out):
        """What a metre of gas lifts beside outdoor air [Pa/m]; EN 13384-1 has 288 J/(kg K) for air (second-hand)."""
        gas = 1.0 / (law.gas_constant(s) * temperature)
        return 9.80665 * self.place.pressure * (1.0 / (law.gas_constant(0.0) * out) - gas)

    def _way(self, temps, carried, flow, s, out, *, upward):
        """Through firebox and pipe from below, or from outdoors down; a segment has one temperature, its gas none."""
        pipe, box, model = self.noun.pipe, self.noun.firebox, self.night.model
        body = temps[self.body]
        plate = 12.0 * model.gas_side * box.length * box.width if self.noun.baffle else 0.0
        gas = temps[self.fire] if upward else out

        def specific_heat(temperature):  # air has one, so that it books what it takes
            return law.gas_heat_capacity(temperature, s) if upward else CP

        def passing(entering, wall, conductance):
            """Temperature at the end, mean by the heat that goes over, and that heat."""
            carries = flow * specific_heat(entering)
            if not carries:
                return wall, wall, 0.0
            end = wall + (entering - wall) * math.exp(-conductance / carries)
            watts = carries * (entering - end)
            return end, wall + watts / conductance if conductance else entering, watts

        lift, swept, given, resistance = 0.0, 0.0, {}, 0.0
        if upward:
            gas, _, swept = passing(gas, body, plate)
            lift = box.height * self._lighter(gas, s, out)
        collar = gas
        for k, (node, length, losses) in list(enumerate(self.segments))[:: 1 if upward else -1]:
            wall = temps[node]
            film = law.pipe_film(flow, gas, pipe.diameter, pipe.inside + pipe.outside, 1e-3)
            film += law.gas_glow(gas, wall, s) if s else 0.0
            gas, mean, given[node] = passing(
                gas, wall, model.gas_side * film * math.pi * pipe.diameter * length
            )
            lift += length * self._lighter(mean, s, out)
            if k == 0 and self.noun.damper is not None:
                losses += law.plate(carried.damper)  # noqa: PLW2901
            resistance += law.pipe_resistance(
                flow, mean, pipe.diameter, length, losses, 1e-3, s, self.place.pressure
            )
        if not upward:
            collar, swept = gas, passing(gas, body, plate)[2]
        return Way(flow, collar, swept, given, gas if upward else out, lift, resistance)

    def steady(self, temps, carried, air, gas, inside, suction):
        """Air that the draught would bring in for good [kg/s], and that draught [Pa]."""
        inlet, pipe = self.noun.air, self.noun.pipe
        share = self.night.model.inlet
        area = share * (carried.inlet * inlet.opening + inlet.leak) + carried.door + 1e-6

        def orifice(density):
            return 1.0 / (2.0 * density * (0.62 * area) ** 2)

        entry = orifice(self.place.pressure / (R_AIR * inside))
        if pipe.draft is not None:
            lift, whole = pipe.draft, entry
        else:
            lift = suction + air.share * gas.up.lift + (1.0 - air.share) * gas.down.lift
            spent = orifice(self.place.pressure / (law.gas_constant(gas.dioxide) * temps[self.fire]))
            whole = air.share * (entry + gas.swelling**2 * gas.up.resistance)
            whole += (1.0 - air.share) * (gas.swelling**2 * spent + gas.down.resistance)
        x, small = lift / whole, 0.02 / entry
        return math.copysign(math.sqrt(abs(x)) * (1.0 + (small / x) ** 2) ** -0.25, x) if x else 0.0, lift

    def flows(self, temps, carried, t, inside):
        """Every exchange of the fire: with metal, gas and air; and what stands on the stove boils off.

        What spills into a shelter is told by `spilt`, and stands here only as lost by the fire.
        """
        out, air = self.place.weather(t)[0], air_of(carried.air)
        burnt = self.burning(temps[self.fire], carried, air.both, t)
        gas = self.gas(temps, carried, air, burnt, out)
        yield Flow(None, self.fire, burnt.full + carried.lighting, "fire")
        yield Flow(None, self.fire, -burnt.unburnt, "unburnt")
        yield Flow(None, self.fire, -burnt.steam * law.STEAM, "drying")
        fire, body = temps[self.fire], temps[self.body]
        facing = self.night.model.gas_side * self.area
        exchanged = facing * (0.45 * law.SIGMA * (fire**4 - body**4) + 8.0 * (fire - body))
        yield Flow(self.fire, self.body, exchanged, None)
        # Air of the room comes in, gas goes; on the path stands what leaves for outdoors, above outdoor air.
        leaves = gas.up.flow * law.gas_enthalpy(fire, gas.dioxide)
        yield Flow(None, self.fire, air.up * CP * (inside - HEATING_VALUES_AT), None)
        yield Flow(None, self.fire, -leaves, None)
        for way in (gas.up, gas.down):
            for node, watts in [(self.body, way.swept), *way.given.items()]:
                yield Flow(None, node, watts, None)
        crossing = (
            air.up * CP * (out - HEATING_VALUES_AT) - leaves + gas.up.swept + sum(gas.up.given.values())
        )
        yield Flow(None, None, crossing, "flue")
        # Outdoor air comes down and leaves as hot as the fire; in the open that is gone.
        missing = gas.spilt + gas.down.swept + sum(gas.down.given.values())
        yield Flow(None, self.fire, -missing, None)
        if self.night.shelter is None:
            yield Flow(None, None, -gas.spilt, "flue")
        if self.top is not None and self.noun.on_top.water:
            yield Flow(None, self.top, -400.0 * law.positive(temps[self.top] - BOILING, 0.2), "boiling")

    def rates(self, temps, carried, t, inside, suction):
        """Derivatives of water and dry wood by slot, coals, ash, burnt [kg/s], and the flow [kg/s2]."""
        air = air_of(carried.air)
        burnt = self.burning(temps[self.fire], carried, air.both, t)
        gas = self.gas(temps, carried, air, burnt, self.place.weather(t)[0])
        steady, _ = self.steady(temps, carried, air, gas, inside, suction)
        pools = [burnt.coals, burnt.ash, burnt.gas + burnt.steam, (steady - carried.air) / 10.0]
        return np.concatenate((burnt.water, burnt.dry, pools))

    def readings(self, temps, carried, t, inside, suction):
        """Collar, top [K], draught [Pa], in the pipe, air [kg/s], heat set free, unburnt, in full [W], down, spilt."""
        air = air_of(carried.air)
        burnt = self.burning(temps[self.fire], carried, air.both, t)
        gas = self.gas(temps, carried, air, burnt, self.place.weather(t)[0])
        _, lift = self.steady(temps, carried, air, gas, inside, suction)
        collar, top = (
            air.share * getattr(gas.up, end) + (1.0 - air.share) * getattr(gas.down, end)
            for end in ("collar", "top")
        )
        free = burnt.full - burnt.unburnt + carried.lighting
        flow = gas.up.flow - air.down
        return collar, top, lift, flow, carried.air, free, burnt.unburnt, burnt.full, air.down, gas.spilt

    def outdoors(self, temps, t):
        """Faces in the wind under half a sky: the pipe above the roof, in the open all of the stove."""
        around = math.pi * self.noun.pipe.diameter
        faces = [
            (it.node, around * it.length, self.noun.emissivity * around * it.length, "pipe_outside")
            for it in self.segments[IN_THE_ROOM:]
        ]
        if self.night.shelter is None:
            blown = {self.body: self.area, self.top: self.top_area}
            blown |= {it.node: around * it.length for it in self.segments[:IN_THE_ROOM]}
            faces += [
                (node, blown.get(node, 0.0), grey, "stove_outdoors") for node, grey in self.seen().items()
            ]
        out, sky, wind = self.place.weather(t)
        for node, area, grey, path in faces:
            around_it = (sky**4 + out**4) / 2.0 - temps[node] ** 4
            blown_off = area * law.hot_face(temps[node], out, wind, self.place.thin)
            yield Flow(None, node, grey * law.SIGMA * around_it - blown_off, path)

    def span(self, peak):
        """Heights between which the body stands, below the peak whatever its legs [m]."""
        noun = self.noun
        return min(noun.legs, 0.9 * peak), min(noun.legs + noun.firebox.height, 0.95 * peak)

    def inside_faces(self, edges):
        """Convection in the room: node, layer, area [m2], path, by the layers that body and pipe stand in."""
        noun, peak = self.noun, edges[-1]
        bodies = [(self.body, self.area, *self.span(peak), "stove_to_air")]
        if self.top is not None:
            bodies.append((self.top, self.top_area, *self.span(peak), "stove_to_air"))
        foot = noun.legs + noun.firebox.height
        for k, (node, length, _) in enumerate(self.segments[:IN_THE_ROOM]):
            low = min(foot + k * length, 0.95 * peak)
            high = min(low + length, peak)
            bodies.append((node, math.pi * noun.pipe.diameter * length, low, high, "pipe_to_air"))
        for node, area, low, high, path in bodies:
            for layer, share in enumerate(spread(edges, low, high)):
                yield node, layer, area * share, path

    def _metal(self, sheet):
        return {"steel": law.STEEL, "titanium": law.TITANIUM}[sheet.metal]

    def _sheet(self, sheet, mass):
        """A node whose state is heat over the capacity at 0 degC, counted from 0 degC."""
        metal = self._metal(sheet)
        node = self.place.node(mass * metal[1][0], 0.0, "stove")
        self.metals[node] = metal
        self.place.start[node] = self.state_of(node, self.place.begin)
        return node

    def state_of(self, node, temperature):
        """State of a node at a temperature [K]."""
        if node in self.place.melts:
            return self.place.melts[node].state(temperature)
        if node not in self.metals:
            return temperature
        metal = self.metals[node]
        return law.ICE + law.heat_in(metal, temperature) / metal[1][0]


class FireByHand:
    """Nodes, exchanges and amounts of a night with a fire."""

    def __init__(self, night):
        self.night = night
        self.place = Outside(night) if night.shelter is None else ByHand(night)
        self.stove = Stove(night, self.place)
        if night.shelter is not None:
            self.place.hot = self.stove.seen()
        self.capacity, self.start, self.group = self.place.capacity, self.place.start, self.place.group

    def fire(self, temps, carried, t, inside):
        """What the fire, its gas and the faces out of doors exchange, air of a temperature [K] coming to it."""
        yield from self.stove.flows(temps, carried, t, inside)
        yield from self.stove.outdoors(temps, t)

    def felt(self, temps, carried, t):
        """Air that the fire draws [K]; pressure at the firebox' foot over that at the pipe's end [Pa].

        The wind across the pipe's end takes half of its own pressure away there.
        """
        out, _, wind = self.place.weather(t)
        across = 0.5 * 0.5 * self.place.pressure / (R_AIR * out) * wind**2
        if self.night.shelter is None:
            return out, across
        room, air = temps[: self.place.count], self.place.air
        drawn = spread(air.edges, *self.stove.span(air.edges[-1])) @ room
        inside = self.place.balance(temps, t, carried.air)
        return float(drawn), across + inside + air.stack(room, out, self.stove.noun.legs)

    def hearth(self, temps, carried, t):
        """What the fire does to the air of a room."""
        fed = np.zeros(self.place.count)
        for _, layer, watts, _ in self._convected(temps):
            fed[layer] += watts
        air = air_of(carried.air)
        burnt = self.stove.burning(temps[self.stove.fire], carried, air.both, t)
        gas = self.stove.gas(temps, carried, air, burnt, self.place.weather(t)[0])
        return Hearth(fed, air.up, air.down, gas.spilt)

    def whole(self, temps, carried, t):
        """Every exchange."""
        drawn, _ = self.felt(temps, carried, t)
        yield from self.fire(temps, carried, t, drawn)
        if self.night.shelter is None:
            yield from self.place.flows(temps, t)
            return
        hearth = self.hearth(temps, carried, t)
        yield from self.place.flows(temps, t, hearth)
        for node, _, watts, path in self._convected(temps):
            yield Flow(node, None, watts, path)
        yield Flow(None, None, hearth.spilt, "spill")

    def _convected(self, temps):
        """What stove and pipe give to the air of a room: node, layer, heat [W], path."""
        for node, layer, area, path in self.stove.inside_faces(self.place.drawing.edges):
            yield node, layer, area * law.hot_face(temps[node], temps[layer], 0.0, self.place.thin), path

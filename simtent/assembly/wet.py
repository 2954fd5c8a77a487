"""Vapour and water put into the network: of the air, of every inner face, of wet things, bags and sleepers."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from simtent.assembly.drivers import driver
from simtent.assembly.house import House
from simtent.assembly.parameters import Damp, Films, floats, indices
from simtent.assembly.plumes import SLEEPER_ABOVE, SLEEPER_BELOW
from simtent.assembly.room import shares
from simtent.assembly.vapour import outdoor_ratio
from simtent.network.builder import Builder, Carried
from simtent.physics.constants import CP_AIR
from simtent.physics.moist import WATER_TO_AIR, humidity_ratio, saturation_pressure
from simtent.scenario import damp as nouns
from simtent.scenario.scenario import Scenario

RATIO_SCALE = 5e-3  # kg/kg that count as a kelvin does
FACE_SCALE = 0.1  # kg/m2, likewise
WATER_SCALE = 1.0  # kg, likewise
BAG_HEAT_FILM = 8.0  # W/(m2 K), convection and radiation from a bag; from memory
OUTER_FILM = 10.0  # W/(m2 K), of the skin to a light wind
HANGS, LEAST_HANG = 0.6, 0.1  # m, that gear hangs down from its height, and the least height of its top
STACKED = 0.5  # m, height of stacked wood
ENDLESS_HOLDS = 1e9  # kg/m2


@dataclass(frozen=True)
class Water:
    """What a night carries of water, before its places in the state are known."""

    noun: nouns.Damp
    mass: tuple[float, ...]
    vapour: Carried
    ice: Carried
    liquid: Carried
    wet: tuple[tuple[Carried, int, float], ...]
    bag: Carried
    entered: Carried
    left: Carried
    sleepers: Carried
    dripped: Carried


def add_water(net: Builder, scenario: Scenario, house: House, films: Films, pressure: float) -> Water:
    """Add vapour, water and ice as amounts; the air begins with the outdoor air's vapour, or saturated."""
    noun = scenario.damp
    assert noun is not None
    mass = tuple(net.capacities[node] / CP_AIR for node in house.layers)
    ratio = _at_begin(net, scenario, house, pressure)
    vapour = [
        net.amount(f"vapour {k}", start=ratio * it, scale=RATIO_SCALE * it) for k, it in enumerate(mass)
    ]
    snow = _snow(noun.snow, house, films)
    ice, liquid = (
        [
            net.amount(f"{kind} {k}", start=start, scale=FACE_SCALE * area)
            for k, (start, area) in enumerate(zip(starts, films.area, strict=True))
        ]
        for kind, starts in (("face ice", snow), ("face water", np.zeros(snow.size)))
    )
    wet = tuple(
        (net.amount(f"wet {name} {k}", start=start * share, scale=WATER_SCALE), k, area * share)
        for name, start, (low, high), area in _hung(noun, scenario)
        for k, share in enumerate(shares(house.bands, low, high))
        if share > 0.0
    )
    names = ("bags", "entered", "left", "sleepers", "dripped")
    counted = [net.amount(f"water {name}", scale=WATER_SCALE) for name in names]
    return Water(noun, mass, vapour[0], ice[0], liquid[0], wet, *counted)


def damp_arrays(
    net: Builder,
    scenario: Scenario,
    house: House,
    films: Films,
    water: Water,
    pressure: float,
    paths: Mapping[str, int],
) -> Damp:
    """Vapour and water as the right-hand side reads them."""
    noun, asleep, faces = water.noun, scenario.crew.asleep, films.node.size
    cot, peak = scenario.levels["cot"], float(house.bands.edges[-1])
    lying = shares(house.bands, max(cot - SLEEPER_BELOW, 0.0), min(cot + SLEEPER_ABOVE, peak))
    floor = np.arange(faces) >= faces - len(house.floors)
    endless = _endless(scenario, house, films)
    return Damp(
        mass=floats(water.mass),
        first=net.place(water.vapour),
        ice=net.place(water.ice),
        liquid=net.place(water.liquid),
        wet=net.place(water.wet[0][0]) if water.wet else 0,
        bag=net.place(water.bag),
        entered=net.place(water.entered),
        left=net.place(water.left),
        sleepers=net.place(water.sleepers),
        dripped=net.place(water.dripped),
        path=paths["condensation"],
        endless=endless,
        holds=np.where(floor, ENDLESS_HOLDS, noun.holds),
        below=floor * films.area / films.area[floor].sum(),
        passes=_passes(noun.passes, house, faces, pressure),
        breath=asleep * noun.breath_each * lying,
        skin=asleep * noun.skin_each * lying,
        bag_area=asleep * noun.bag_area * lying,
        bag_over=scenario.crew.heat_each / (noun.bag_area * BAG_HEAT_FILM),
        wet_layer=indices(layer for _, layer, _ in water.wet),
        wet_area=floats(area for _, _, area in water.wet),
    )


def no_damp() -> Damp:
    """The arrays of a night that counts no vapour."""
    i, f = indices(()), floats(())
    return Damp(f, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, f, f, f, f, f, f, f, 0.0, i, f)


def _at_begin(net: Builder, scenario: Scenario, house: House, pressure: float) -> float:
    """Humidity ratio of the air as the night begins [kg/kg]."""
    outdoors, humidity = (driver(scenario.outdoors.track(name)).value(0.0) for name in ("air", "humidity"))
    inside = net.starts[house.layers[0]]
    return min(
        outdoor_ratio(outdoors, humidity, pressure), humidity_ratio(saturation_pressure(inside), pressure)
    )


def _snow(mass: float, house: House, films: Films) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Snow on every face as the night begins [kg]: shared out over the floor."""
    found = np.zeros(films.node.size)
    floors = slice(found.size - len(house.floors), found.size)
    found[floors] = mass * films.area[floors] / films.area[floors].sum()
    return found


def _hung(noun: nouns.Damp, scenario: Scenario) -> list[tuple[str, float, tuple[float, float], float]]:
    """Wet things: name, water [kg], heights they hang between [m], surface [m2]; those without water left out."""
    assert scenario.shelter is not None
    peak = scenario.shelter.peak
    top = min(max(scenario.levels["head"] if noun.gear_at is None else noun.gear_at, LEAST_HANG), peak)
    gear, wood = (max(top - HANGS, 0.0), top), (0.0, min(STACKED, peak))
    things = [
        ("gear", scenario.crew.wet_gear, gear, noun.gear_area),
        ("wood", noun.wood, wood, noun.wood_area),
    ]
    return [thing for thing in things if thing[1] > 0.0]


def _passes(
    permeance: float, house: House, faces: int, pressure: float
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Vapour that walls and roof let through into the outdoor air [kg/(s m2 Pa)]; windows and floor let none."""
    found = np.zeros(faces)
    if permeance > 0.0:
        # A film's coefficients of mass and of pressure: h / (c_p p) times the ratio of molar masses.
        outer = OUTER_FILM * WATER_TO_AIR / (CP_AIR * pressure)
        for k, strip in enumerate(house.strips):
            found[k] = 0.0 if strip.patch.part == "window" else 1.0 / (1.0 / permeance + 1.0 / outer)
    return found


def _endless(scenario: Scenario, house: House, films: Films) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Which faces are bare snow or ice, which no night's drying uses up."""
    found = np.zeros(films.node.size)
    if house.earth is not None and scenario.site.earth.ice:
        for k, floor in enumerate(house.floors):
            found[found.size - len(house.floors) + k] = float(not floor.layers)
    return found

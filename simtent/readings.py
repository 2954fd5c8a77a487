"""A solved night as the values and coordinates of its Dataset, group by group."""

from collections.abc import Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from simtent.assembly.air import AirReadings
from simtent.assembly.parameters import Column
from simtent.assembly.rhs import observe
from simtent.assembly.streams import ROOM
from simtent.assembly.sun import sunshine
from simtent.felt import air_at, felt_at
from simtent.network import ledger
from simtent.network.arrays import Array
from simtent.physics.constants import CP_AIR, GAS_CONSTANT_AIR
from simtent.physics.ground import FUSION
from simtent.physics.mixing import mixing_conductivity
from simtent.physics.transport import mixing_left
from simtent.run import Run
from simtent.schema import STREAMS

ZERO_CELSIUS = 273.15
GROUPS = ("air", "skin", "ground", "contents")

Group: TypeAlias = tuple[dict[str, ArrayLike], dict[str, ArrayLike]]


def level_temperatures(night: Run) -> Array:
    """Air temperature at the named levels, shape (times, levels) [degC]."""
    return air_at(night, list(night.scenario.levels.values())) - ZERO_CELSIUS


def readings(night: Run) -> Group:
    """Everything that the night has: weather, heat flows, accounts; its room; its fire."""
    solution, model = night.solution, night.model
    seen = [
        observe(t, state, model.shelter, rows)
        for t, state, rows in zip(solution.times, solution.states, solution.rows, strict=True)
    ]
    weather = np.array([row for row, _, _ in seen])
    fire = np.array([row for _, row, _ in seen])
    held = accounts(night)
    values: dict[str, ArrayLike] = {
        "outdoor_temperature": weather[:, 0] - ZERO_CELSIUS,
        "sky_temperature": weather[:, 1] - ZERO_CELSIUS,
        "wind_speed": weather[:, 2],
        "sunshine": sunshine(night.scenario, solution.times),
        "heat_release": weather[:, 5] if model.hearth is None else fire[:, 5],
        "heat_flow": solution.rates,
        "energy": np.column_stack(list(held.values())),
    }
    coords: dict[str, ArrayLike] = {
        "time": moments(night, solution.times),
        "path": model.net.path_names,
        "account": list(held),
    }
    for more_values, more_coords in (_room(night, weather), _air(night, seen), _fire(night, fire)):
        values |= more_values
        coords |= more_coords
    return values, coords


def accounts(night: Run) -> dict[str, Array]:
    """Every energy account over time [J]: what came in since the beginning, and what was stored."""
    came = ledger.entered(night.model.net, night.solution.states)
    kept = ledger.stored(night.model.net, night.solution.states)
    if "source_convective" in came:
        came = {"source": came.pop("source_convective") + came.pop("source_radiant")} | came
    nothing = np.zeros(night.solution.times.size)
    groups = (GROUPS if night.model.house else ()) + (("stove",) if night.model.hearth else ())
    return came | {f"stored_{group}": kept.get(group, nothing) for group in groups}


def moments(night: Run, seconds: Array) -> np.ndarray[Any, np.dtype[np.datetime64]]:
    """Moments of the night as the Dataset keeps them."""
    begin = np.datetime64(night.scenario.night.begin_utc.replace(tzinfo=None), "ns")
    return begin + np.round(np.asarray(seconds) * 1e9).astype("timedelta64[ns]")


def _room(night: Run, weather: Array) -> Group:
    house = night.model.house
    if house is None:
        return {}, {}
    surfaces, heights = house.surfaces, list(night.scenario.levels.values())
    radiant = night.model.shelter.star.share * weather[:, 5]
    values: dict[str, ArrayLike] = {
        "air_temperature": night.air - ZERO_CELSIUS,
        "felt_temperature": felt_at(night, house.bands.centres.tolist(), radiant) - ZERO_CELSIUS,
        "level_temperature": level_temperatures(night),
        "operative_temperature": felt_at(night, heights, radiant) - ZERO_CELSIUS,
        "level_height": heights,
        "surface_temperature": night.temperatures[:, list(surfaces.values())] - ZERO_CELSIUS,
        "ground_melted": melted(night),
    }
    coords: dict[str, ArrayLike] = {
        "height": house.bands.centres,
        "level": list(night.scenario.levels),
        "surface": list(surfaces),
    }
    return values, coords


def melted(night: Run) -> Array:
    """Water melted in the ground since the beginning at every time [kg]; less than 0 where some has frozen."""
    net, states = night.model.net, night.solution.states
    whole = np.zeros(night.solution.times.size)
    for node, melt in net.melts.items():
        ice = net.capacities[node] * melt.latent / FUSION
        whole += ice * (melt.shares(states[:, node]) - melt.share(net.starts[node]))
    return whole


def _air(night: Run, seen: Sequence[tuple[Array, Array, AirReadings]]) -> Group:
    """How the air moves: between the layers, and in and out."""
    house = night.model.house
    if house is None:
        return {}, {}
    streams, entering, leaving, pressure = (
        np.array([getattr(air, name) for _, _, air in seen])
        for name in ("streams", "entering", "leaving", "pressure")
    )
    belongs = np.arange(len(house.openings)) == house.element_group[:, None]
    heights = night.model.shelter.room.openings.height
    masses, layers = air_masses(night), np.arange(house.bands.centres.size)
    values: dict[str, ArrayLike] = {
        "layer_flow": streams.transpose(0, 2, 1),
        "opening_flow": (entering - leaving) @ belongs,
        "opening_inflow": entering @ belongs,
        "opening_bottom": [heights[of].min() for of in belongs.T],
        "opening_top": [heights[of].max() for of in belongs.T],
        "leakage_flow": entering.sum(axis=1),
        "air_changes": 3600.0 * entering.sum(axis=1) / masses.sum(axis=1),
        "pressure_difference": pressure,
        "layer_mass": masses,
        "layer_inflow": entering @ (night.model.shelter.room.openings.layer[:, None] == layers),
        "mixing_flow": mixing_flows(night.model.shelter.room.column, night.air, streams[:, ROOM]),
    }
    coords: dict[str, ArrayLike] = {
        "interface": house.bands.edges[1:-1],
        "stream": list(STREAMS),
        "opening": list(house.openings),
    }
    return values, coords


def air_masses(night: Run) -> Array:
    """Mass of the air of every layer at every time, at the temperature that it has, shape (times, layers) [kg]."""
    assert night.model.house is not None
    pressure = night.model.shelter.weather.pressure
    return np.asarray(night.model.house.bands.volume * pressure / (GAS_CONSTANT_AIR * night.air))


def mixing_flows(column: Column, air: Array, up: Array) -> Array:
    """Air that neighbouring layers exchange both ways by mixing, shape (times, layers - 1) [kg/s].

    `air` is the layers' temperature [K], `up` the room's own flow between them [kg/s], beside which mixing is less.
    """
    gradients = np.diff(air, axis=1) / column.distance
    conductivity = np.vectorize(mixing_conductivity, otypes=[float])(gradients) * column.mixing
    conductance = (conductivity * column.area + column.stirring) / column.distance
    left = np.vectorize(mixing_left, otypes=[float])(CP_AIR * np.abs(up) / conductance)
    return np.asarray(conductance * left / CP_AIR)


def _fire(night: Run, fire: Array) -> Group:
    hearth, stove = night.model.hearth, night.model.shelter.stove
    if hearth is None or night.tending is None:
        return {}, {}
    states, places = night.solution.states, stove.places
    pipe = night.temperatures[:, [*hearth.inside, *hearth.outside]].max(axis=1)
    slots = stove.slots.dry.size
    water, dry = (
        states[:, first : first + slots] for first in (stove.slots.first_water, stove.slots.first_dry)
    )
    raw = [water, dry, states[:, [places.coals]], states[:, [places.ash]]]
    shown = [np.maximum(stage, 0.0).sum(axis=1) for stage in raw]
    # The solver may overshoot nothing by a hair; what is shown as nothing then is taken from what has burnt.
    hair = sum(shown) - sum(stage.sum(axis=1) for stage in raw)
    stages = [*shown, states[:, places.burnt] - hair]
    values: dict[str, ArrayLike] = {
        "stove_temperature": night.temperatures[:, hearth.body] - ZERO_CELSIUS,
        "firebox_temperature": night.temperatures[:, hearth.fire] - ZERO_CELSIUS,
        "flue_gas_temperature": fire[:, 0] - ZERO_CELSIUS,
        "flue_exit_temperature": fire[:, 1] - ZERO_CELSIUS,
        "pipe_temperature": pipe - ZERO_CELSIUS,
        "jack_temperature": night.temperatures[:, hearth.inside[-1]] - ZERO_CELSIUS,
        "fuel_mass": np.column_stack(stages),
        "draft_pressure": fire[:, 2],
        "flue_flow": fire[:, 3],
        "air_flow": fire[:, 4],
        "unburnt": fire[:, 6],
        "air_setting": states[:, places.inlet],
        "damper_setting": states[:, places.damper],
        "relight_chance": [night.tending.chance(state) for state in states],
    }
    return values, {"fuel_stage": ["water", "dry_wood", "coals", "ash", "burnt"]}


def events(night: Run) -> Group:
    """Steps of a known source, or what was done at the stove; the door, where it is opened."""
    rows = sorted(
        [*(_done(night) if night.tending else _steps(night)), *_door(night)], key=lambda row: row[0]
    )
    if not rows:
        return {}, {}
    times, what, mass, coals, by = zip(*rows, strict=True)
    values: dict[str, ArrayLike] = {
        "event_time": moments(night, np.array(times)),
        "event_what": list(what),
        "event_mass": list(mass),
        "event_coals": list(coals),
        "event_by": list(by),
    }
    return values, {"event": range(len(rows))}


def _done(night: Run) -> list[tuple[float, str, float, float, str]]:
    assert night.tending is not None
    return [(e.time, e.what, e.mass, e.coals, e.by) for e in night.tending.events]


def _door(night: Run) -> list[tuple[float, str, float, float, str]]:
    shelter = night.scenario.shelter
    door = None if shelter is None else shelter.openings.door
    if door is None:
        return []
    rows = [
        (t, what) for begin, end in door.openings for t, what in ((begin, "door opened"), (end, "door shut"))
    ]
    return [(t, what, 0.0, _coals(night, t), "clock") for t, what in rows]


def _coals(night: Run, t: float) -> float:
    """Coals at a moment [kg], from the times reported; none without a fire."""
    if night.tending is None:
        return 0.0
    coals = night.solution.states[:, night.model.shelter.stove.places.coals]
    return max(float(np.interp(t, night.solution.times, coals)), 0.0)


def _steps(night: Run) -> list[tuple[float, str, float, float, str]]:
    heat = night.scenario.heat
    track = None if heat is None else heat.track()
    if track is None or track.shape != "steps":
        return []
    factor = night.scenario.model.heat
    return [
        (t, f"heat source set to {power * factor:.0f} W", 0.0, 0.0, "clock")
        for t, power in zip(track.times, track.values, strict=True)
        if 0.0 <= t <= night.model.net.end
    ]

"""What must hold for every night with a fire, over generated scenarios; indoors and in the open."""

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

import simtent
from simtent.assembly.assemble import Model, assemble
from simtent.assembly.gas_path import STILL_FLOW
from simtent.assembly.rhs import observe, shelter_rhs
from simtent.assembly.tending import LIGHTING, LIGHTING_TIME
from simtent.network.arrays import Array
from simtent.physics.constants import CP_AIR
from simtent.physics.flue_gas import flue_gas_enthalpy
from simtent.physics.wood import COAL_HEAT, WATER_HEAT
from simtent.readings import accounts
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.scenario.turns import Step, Steps
from tests.drawn import minutes_of
from tests.portion import some, within
from tests.reference.wood_chemistry import stoichiometric_air
from tests.simulate.both_ways import stoke
from tests.solving import solve_night
from tests.strategies import built, fire_trees, fires

pytestmark = pytest.mark.compiled

SHORT = (1, 2)  # h
SLACK = 0.01  # K, of the solver
# K, by which drying may cool a fire that is as cold as all around it: the passage at the boiling point is rounded.
DRYING_COLD = 0.05
DIOXIDE_OF_ALL_OXYGEN = 20.5  # %, dry; EN 13384-1 table B.1, second-hand
OXYGEN_HEAT = 13.1e6  # J/kg
A_LITTLE = 2e-4  # K/s and the like
BEECH = (0.50, 0.06, 0.44)  # C, H, O of dry ash-free wood by mass; handbook values, from memory
CLOCK = re.compile(r"\d\d:\d\d")


def put_on(night: Run, t: float) -> float:
    """Moist wood put on up to a moment [kg]."""
    assert night.tending is not None
    return sum(event.mass for event in night.tending.events if event.time <= t)


def lighting(night: Run) -> float:
    """Heat of matches and tinder up to the end [J]: each burns its time, two at once give no more than one."""
    assert night.tending is not None
    end, until, total = night.model.net.end, 0.0, 0.0
    for event in night.tending.events:
        if event.what == "load lit by hand":
            begin, out = max(event.time, until), min(event.time + LIGHTING_TIME, end)
            total += LIGHTING * max(out - begin, 0.0)
            until = max(until, out)
    return total


def stages(night: Run) -> dict[str, Array]:
    """Each stage of the wood over time [kg]."""
    states, stove = night.solution.states, night.model.shelter.stove
    slots, places = stove.slots, stove.places
    n = slots.dry.size
    return {
        "water": states[:, slots.first_water : slots.first_water + n],
        "dry": states[:, slots.first_dry : slots.first_dry + n],
        "coals": states[:, places.coals],
        "ash": states[:, places.ash],
        "burnt": states[:, places.burnt],
    }


def seen(night: Run) -> tuple[Array, Array]:
    """Readings of the weather and of the fire over time."""
    s = night.solution
    rows = [observe(t, y, night.model.shelter, r) for t, y, r in zip(s.times, s.states, s.rows, strict=True)]
    return np.array([row for row, _, _ in rows]), np.array([row for _, row, _ in rows])


@some(3)
@given(fires(hours=SHORT))
def test_wood_water_and_heat_are_conserved(scenario: Scenario) -> None:
    night = solve_night(scenario)
    wood, masses, told = scenario.wood, stages(night), accounts(night)
    assert wood is not None
    total = np.array([put_on(night, t) for t in night.solution.times])
    held = sum(mass if mass.ndim == 1 else mass.sum(axis=1) for mass in masses.values())
    within(np.abs(held - total).max() / total[-1], 1e-9, "of the wood is missing")
    within(night.residual, 1e-9, "of the energy is missing")

    water = wood.moisture * total[-1] - masses["water"][-1].sum()
    assert -told["drying"][-1] == pytest.approx(WATER_HEAT * water, rel=1e-6, abs=1.0)
    dry = (1.0 - wood.moisture) * total[-1] - masses["dry"][-1].sum()
    heat = scenario.model.heat * (dry * wood.species.heating_value - COAL_HEAT * masses["coals"][-1])
    assert told["fire"][-1] - lighting(night) == pytest.approx(heat, rel=1e-6, abs=1.0)
    assert -1.0 < -told["unburnt"][-1] < heat + 1.0


@some(3)
@given(fires(hours=SHORT))
def test_nothing_is_less_than_nothing_or_colder_or_hotter_than_it_can_be(scenario: Scenario) -> None:
    night = solve_night(scenario)
    places, hearth = night.model.shelter.stove.places, night.model.hearth
    weather, fire = seen(night)
    assert hearth is not None
    for name, mass in stages(night).items():
        assert mass.min() >= -1e-5, name
        assert np.all(mass <= put_on(night, night.model.net.end) + 1e-9), name
    assert np.isfinite(night.solution.states).all()
    assert np.isfinite(fire).all()
    flue, air, down = fire[:, 3], fire[:, 4], fire[:, 8]
    assert (down >= 0.0).all()
    assert (
        flue >= air - 1e-12
    ).all()  # what burns adds to what goes up, and takes nothing from what comes down
    assert ((down == 0.0) == (air >= STILL_FLOW)).all()

    coldest = min(night.temperatures[0].min(), weather[:, :2].min())
    if scenario.site.ground_start is not None:
        coldest = min(coldest, scenario.site.ground_start)
    later = night.temperatures[1:]
    others = np.arange(later.shape[1]) != hearth.fire
    within(coldest - later[:, others].min(), SLACK, "colder than all around [K]")
    within(coldest - later[:, hearth.fire].min(), SLACK + DRYING_COLD, "a fire colder than all around [K]")

    warmest = max(night.air.max() if night.air.size else 0.0, weather[:, 0].max())
    hottest = max(later[:, hearth.fire].max(), fire[:, :2].max())  # also what passes collar and top
    within(hottest / adiabatic(scenario, float(warmest)), 1.0, "of the adiabatic flame's temperature")
    assert (night.solution.states[:, places.burnt] >= -1e-6).all()
    assert np.diff(night.solution.states[:, places.burnt]).min() > -1e-5


@some(3)
@given(fires(hours=SHORT))
def test_no_fire_burns_more_than_its_air_can(scenario: Scenario) -> None:
    """From moment to moment, whichever way the air goes: the flame's bound on heat, where that on its kelvins is wide.

    A kilogram of oxygen burns what gives 13.1 MJ, of any organic fuel to 5 %: C. Huggett, Fire and Materials 4 (1980)
    61-65, from memory; .2314 of dry air by mass is oxygen.
    """
    night = solve_night(scenario)
    _, fire = seen(night)
    shelter, rates, names = night.model.shelter, night.solution.rates, list(night.model.net.path_names)
    lit_by_hand = night.solution.states[:, shelter.stove.places.lighting]
    burnt = rates[:, names.index("fire")] + rates[:, names.index("unburnt")] - lit_by_hand
    air = fire[:, 4] + 2.0 * fire[:, 8]  # in by the inlet and down the pipe
    within((burnt / (OXYGEN_HEAT * 0.2314 * air)).max(), 1.0, "of what its air can burn")


def adiabatic(scenario: Scenario, air: float) -> float:
    """Temperature of the flue gas of dry wood burnt with just the air it needs, which comes at a temperature [K].

    From the net heating value and the enthalpy of the gas: no fire with more air, moister wood or a colder stove is
    hotter.
    """
    wood = scenario.wood
    assert wood is not None
    need = stoichiometric_air(*BEECH)
    given = scenario.model.heat * wood.species.heating_value + need * CP_AIR * (air - 298.15)
    return float(
        brentq(lambda T: (1.0 + need) * flue_gas_enthalpy(T, DIOXIDE_OF_ALL_OXYGEN) - given, 300.0, 4000.0)
    )


def standing(turned: list[tuple[float, Steps]], t: float) -> str:
    """The mark that a lever stands at: the last word given counts, whatever an earlier one had planned."""
    _, at, steps = max((at, k, steps) for k, (at, steps) in enumerate(turned) if at <= t)
    begun = turned[at][0]
    return [step.mark for step in steps if begun + step.after <= t][-1]


@some(3)
@given(fires(hours=(1, 3), rules=False))
def test_levers_stand_as_the_scenario_says(scenario: Scenario) -> None:
    stoking, stove, night = scenario.stoking, scenario.stove, solve_night(scenario, step=60.0)
    assert stoking is not None and stove is not None
    states, places = night.solution.states, night.model.shelter.stove.places
    for lever in ("air", "damper"):
        place = places.inlet if lever == "air" else places.damper
        start = getattr(stoking, lever)
        if start is None:
            assert (states[:, place] == 1.0).all()
            continue
        marks = stove.air.marks if lever == "air" or stove.damper is None else stove.damper.marks
        turned: list[tuple[float, Steps]] = [(-1.0, (Step(0.0, start),))]
        words = sorted((*stoking.loads, *stoking.settings), key=lambda word: word.at)
        turned += [(word.at, getattr(word, lever)) for word in words if getattr(word, lever)]
        for t, state in zip(night.solution.times[:-1], states[:-1], strict=True):
            assert state[place] == marks[standing(turned, t)]


def moved_on(tree: Any, minutes: int) -> Any:
    """A tree with all its clock times so much later."""
    if isinstance(tree, dict):
        return {key: moved_on(value, minutes) for key, value in tree.items()}
    if isinstance(tree, list):
        return [moved_on(value, minutes) for value in tree]
    if isinstance(tree, str) and CLOCK.fullmatch(tree):
        later = (minutes_of(tree) + minutes) % 1440
        return f"{later // 60:02d}:{later % 60:02d}"
    return tree


@some(2)
@given(fire_trees(hours=SHORT), st.integers(1, 1439))
def test_the_same_night_at_another_time_of_the_clock(tree: dict[str, Any], minutes: int) -> None:
    assume(not CLOCK.fullmatch(tree["name"]))
    here, there = solve_night(built(tree)), solve_night(built(moved_on(tree, minutes)))
    within(np.abs(here.temperatures - there.temperatures).max(), 1e-3, "another temperature [K]")
    assert [event.what for event in _events(here)] == [event.what for event in _events(there)]


@some(2)
@given(fire_trees(hours=SHORT), st.sampled_from(["si", "us"]))
def test_other_units_on_the_page_change_nothing(tree: dict[str, Any], units: str) -> None:
    """Not even the last digit; a length written in feet differs there, and moves the night by the solver's noise."""
    scenario = built(tree)
    stove = scenario.stove
    assert stove is not None
    here, there = solve_night(scenario), solve_night(scenario.replace("units", units))
    assert (here.temperatures == there.temperatures).all()
    feet = solve_night(
        scenario.replace({"stove.pipe.inside": f"{stove.pipe.inside / 0.3048!r} ft", "units": units})
    )
    within(np.abs(here.temperatures - feet.temperatures).max(), 0.05, "another temperature [K]")


def _events(night: Run) -> list[Any]:
    assert night.tending is not None
    return night.tending.events


@some(3)
@given(fires(hours=SHORT))
def test_the_dataset_keeps_its_schema(scenario: Scenario) -> None:
    """`simulate` checks its own result against the schema; here without the band, which is many nights more."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("simtent.scenario.scenario.Scenario.priors", lambda _: ())
        night = simtent.simulate(scenario)
    put = float(night["event_mass"].sum())
    assert night["fuel_mass"].isel(time=-1).sum() == pytest.approx(put, rel=1e-6)
    assert night.attrs["energy_residual"] < 1e-9
    assert ("level" in night.dims) == (scenario.shelter is not None)


def burning_at_random(scenario: Scenario, seed: int) -> tuple[Model, list[Array], Callable[[Array], Array]]:
    """A model, two states with any fire in them and that at the start, and its right-hand side, all in scaled units.

    A kelvin for temperatures, a joule for paths, for amounts what the network counts as a kelvin.
    """
    model, random = assemble(scenario), np.random.default_rng(seed)
    net, rows = model.shelter.net, model.shelter.net.jumps.rows[0].copy()
    n = net.capacity.size
    carried = np.where(net.scale > 0.0, net.scale, 1.0)
    scale = np.concatenate((np.ones(n + net.paths), carried))
    states = [model.start / scale]
    for _ in range(2):
        state = model.start.copy()
        state[:n] = 263.0 + random.uniform(-15.0, 40.0, n)
        stoke(model, state, random)
        states.append(state / scale)
    return model, states, lambda y: shelter_rhs(60.0, y * scale, model.shelter, rows) / scale


@given(fires(hours=SHORT), st.integers(0, 2**32 - 1))
def test_a_nudge_of_any_state_moves_the_right_hand_side_a_little(scenario: Scenario, seed: int) -> None:
    """A millionth of its scale on any temperature, mass or flow, in a fire or beside a cold stove.

    Kilowatts that gather in the last gram of air under a peak move it by more; there a hundredth of the nudge has to
    move it by a hundredth, as no jump does.
    """
    model, states, rates = burning_at_random(scenario, seed)
    net = model.shelter.net
    paths = slice(net.capacity.size, net.capacity.size + net.paths)
    for begin in states:
        base = rates(begin)

        def moved(k: int, by: float, begin: Array = begin, base: Array = base) -> Array:
            nudged = begin.copy()
            nudged[k] += by
            return np.abs(rates(nudged) - base)

        for k in range(paths.stop + net.amounts):
            change = moved(k, 1e-6)
            assert change[paths].max() < 0.1
            change[paths] = 0.0
            steepest = change.argmax()
            if change[steepest] >= A_LITTLE:
                assert 0.005 < moved(k, 1e-8)[steepest] / change[steepest] < 0.02


@some(2)
@given(fires(hours=SHORT), st.integers(0, 2**32 - 1))
def test_no_jump_lies_between_two_states(scenario: Scenario, seed: int) -> None:
    """On the way from one state to another the greatest change of a short step dies away as the step is halved.

    So would not a switch; each rate is looked at apart. Settings stay as they are: they only change at jumps.
    """
    model, (_, here, there), rates = burning_at_random(scenario, seed)
    net, places = model.shelter.net, model.shelter.stove.places
    there[places.air + 1 :] = here[places.air + 1 :]
    way = np.linspace(0.0, 1.0, 401)
    seen = np.array([rates(here + s * (there - here)) for s in way])
    for rate in (*range(net.capacity.size), *range(places.first, places.air + 1)):
        k = int(np.abs(np.diff(seen[:, rate])).argmax())
        low, high = way[k], way[k + 1]
        first, last = seen[k, rate], seen[k + 1, rate]
        for _ in range(30):
            middle = 0.5 * (low + high)
            between = rates(here + middle * (there - here))[rate]
            if abs(between - first) > abs(last - between):
                high, last = middle, between
            else:
                low, first = middle, between
        assert abs(last - first) < 1e-5

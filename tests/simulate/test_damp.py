"""What must hold of the water of every night; beside some of it the tempting statement that is false."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import shelter_rhs
from simtent.dampness import dew_points
from simtent.network.ledger import residual
from simtent.run import run
from tests.portion import some, within
from tests.simulate.cases import EVEN_OUT, NO_HEAT, copies, scenario, solved
from tests.simulate.changed import at_another_hour, in_other_units, on_another_evening
from tests.simulate.states import at_random
from tests.simulate.test_metamorphic import DAYS, SEEDS, SHIFTS, Random, same, with_few_layers
from tests.simulate.wet_states import WET, held, outdoors, wetted_at_random, with_ratio
from tests.solving import solve_night
from tests.strategies import built, damp_fires, damp_nights, damp_trees

pytestmark = pytest.mark.compiled

WATER, ENERGY = 1e-9, 1e-6
HAIR = (
    1e-4  # kg/m2, and kg of what hangs, below nothing: what a solver overshoots as ice or water is just gone
)
DRY = 1e-6  # kg/kg, likewise of the air
NONE_INSIDE = {"crew.asleep": 0, "crew.wet_gear": "0 kg", "damp.snow": "0 g", "damp.wood": "0 g"}
ON_SAND = {"site.ground": "sand or gravel"} | {
    f"site.{key}": "none" for key in ("ice_thickness", "under_snow", "snow_depth", "snow_density")
}
# Without readings: one of a flue is a text of more than a number and a unit.
PLAIN = damp_trees(hours=(2, 2)).map(with_few_layers).map(lambda tree: tree | {"instruments": {}})


def conserved(night):
    """Water to 1e-9, energy to 1e-6, nothing below nothing; bare snow apart, which does not run out."""
    states, model = night.solution.states, night.model
    water, damp, area = held(model, states), model.shelter.damp, model.shelter.films.area
    within(water.missed, WATER, "of the water is missing")
    within(residual(model.net, states), ENERGY, "of the energy is missing")
    within(-(water.vapour / damp.mass).min(), DRY, "below no vapour [kg/kg]")
    ends = damp.endless == 0.0
    for name, found in (("ice", water.ice / area), ("water", water.liquid / area)):
        within(-found[:, ends].min(initial=0.0), HAIR, f"below no {name} [kg/m2]")
    within(-water.hung.min(initial=0.0), HAIR, "below no water in wet things [kg]")
    counted = np.array([water.entered, water.sleepers, water.dripped, water.bags])
    within(-np.diff(counted).min(), 1e-9, "what only adds up grew less [kg]")


@some(2)
@given(damp_trees(hours=(2, 8)).map(with_few_layers).map(built))
def test_water_and_energy_are_found_again(night):
    conserved(solve_night(night))


@some(2)
@given(damp_fires(hours=(1, 2)))
def test_water_and_energy_are_found_again_beside_a_fire(night):
    conserved(solve_night(night))


@given(st.one_of(damp_nights(), damp_fires()), SEEDS)
def test_air_as_damp_as_outdoors_stays_so(night, seed):
    """Whatever way it takes from layer to layer, up a flue or down: where no face is wet or cold, nothing is given."""
    dry = {"outdoors.humidity": "1 %", "damp.passes": "0 perm"} | NONE_INSIDE | ON_SAND
    model = assemble(night.replace(dry))
    for state in at_random(model, seed, 2)[1:]:
        net, damp = model.shelter.net, model.shelter.damp
        here = state.values.copy()
        films = model.shelter.films
        warm = {node: 275.0 + 10.0 * k / films.node.size for k, node in enumerate(films.node)}
        for node, temperature in warm.items():
            melt = model.net.melts.get(node)
            here[node] = temperature if melt is None else melt.state(temperature)
        there = with_ratio(state.with_values(here), outdoors(state))
        rates = there.rates()[damp.first : damp.first + damp.mass.size]
        moved = net.scale[damp.first - net.capacity.size - net.paths]  # kg that count
        assert np.abs(rates).max() < 1e-12 * (1.0 + moved)


@given(damp_nights(), st.integers(2, 5), SEEDS)
def test_copies_joined_by_adiabatic_partitions_have_the_same_rates(night, k, seed):
    """Temperatures change alike, and of each water so many times as much."""
    model = assemble(night)
    many, random, damp = copies(model, float(k)).shelter, np.random.default_rng(seed), model.shelter.damp
    for dry in at_random(model, seed, 2):
        state = wetted_at_random(dry, random)
        n, values = state.nodes, state.values.copy()
        values[damp.first :] *= k
        one, other = state.rates(), shelter_rhs(state.time, values, many, state.rows)
        assert other[:n] == pytest.approx(one[:n], rel=1e-7, abs=1e-7)
        assert other[damp.first :] == pytest.approx(k * one[damp.first :], rel=1e-7, abs=1e-12)


@some(2)
@given(PLAIN, SEEDS)
def test_in_other_units(tree, seed):
    other, changed = in_other_units(tree, Random(seed))
    assert changed > 8
    same(tree, other)


@some(2)
@given(PLAIN, DAYS)
def test_on_another_evening(tree, days):
    same(tree, on_another_evening(tree, days))


@some(2)
@given(PLAIN, SHIFTS)
def test_at_another_hour(tree, minutes):
    same(tree, at_another_hour(tree, minutes))


@some(2)
@given(PLAIN.map(built), st.floats(1.2, 5.0))
def test_more_breath_never_leaves_less_water_inside(night, more):
    """A known heat; at every time told, to a thousandth of what was breathed out."""
    less, other = (
        solve_night(night.replace({"crew.asleep": 2, "damp.breath_each": f"{breath} g/h"}))
        for breath in (10.0, 10.0 * more)
    )
    dry, damp = (held(it.model, it.solution.states) for it in (less, other))
    within((dry.all - damp.all).max(), 1e-3 * damp.sleepers[-1], "less water for more breath [kg]")


def test_the_false_sister_a_vent_can_bring_frost():
    """A vent takes damp out while people breathe. Where nobody does, it can bring frost.

    Cause: under a clear sky the skin of an empty shelter is colder than the frost point of the damp air outside.
    """
    empty = NONE_INSIDE | NO_HEAT | ON_SAND | {"outdoors.humidity": "95 %", "outdoors.cloud": "0 %"}
    empty |= {"damp.breath_each": "10 g/h", "model.leak_area": "1 cm2", "model.leak_below_skirt": "0 cm2"}
    vent = {
        "shelter.openings": {
            "low_vent": {"area": "400 cm2", "at": "15 cm"},
            "ridge_vent": {"area": "400 cm2", "at": "1.9 m"},
        }
    }
    shut, open_ = (run(scenario().replace(empty | it)) for it in ({}, vent))
    few, much = (held(it.model, it.solution.states).ice[-1].sum() for it in (shut, open_))
    assert much > few + 0.01  # kg
    breathing = {
        "crew.asleep": 3,
        "heat.table": [{"at": "18:00", "power": "500 W"}],
        "outdoors.humidity": "60 %",
    }
    shut, open_ = (run(scenario().replace(empty | breathing | it)) for it in ({}, vent))
    much, few = (held(it.model, it.solution.states).ice[-1].sum() for it in (shut, open_))
    assert much > few + 0.01


def test_cold_dry_air_takes_frost_away_and_never_brings_any():
    """No sources, overcast, all at -5 degC, 20 % outdoors: on no face, at no time, does frost grow."""
    night = scenario().replace(
        EVEN_OUT | NO_HEAT | NONE_INSIDE | {"outdoors.humidity": "20 %", "outdoors.steady": "-5 degC"}
        | {"site.ground_start": "-5 degC", "model.leak_area": "300 cm2", "outdoors.wind": "2 m/s"}
    )  # fmt: skip
    model = assemble(night)
    damp, start = model.shelter.damp, model.start.copy()
    start[damp.ice : damp.ice + damp.below.size] = 0.02 * model.shelter.films.area
    water = held(model, solved(replace(model, start=start)).states)
    steps = (
        np.diff(water.ice[1:], axis=0) / model.shelter.films.area
    )  # after the air has filled from the frost
    assert steps.max() < 1e-7
    assert water.ice[-1].sum() < 0.97 * water.ice[0].sum()
    assert water.left[-1] - water.entered[-1] == pytest.approx(water.all[0] - water.all[-1], rel=1e-9)


@pytest.mark.parametrize("passes", ["0 perm", "200 perm"])
def test_a_surface_takes_water_when_it_is_colder_than_the_dew_point_and_else_gives_it(passes):
    """Face by face, from time to time told, where both ends agree; what drips apart."""
    night = run(scenario().replace(WET | {"crew.asleep": 3, "damp.passes": passes}), step=120.0)
    water, p = held(night.model, night.solution.states), night.model.shelter
    dew = dew_points(water.vapour / p.damp.mass, p.weather.pressure)[:, p.films.air]
    face = night.temperatures[:, p.films.node]
    colder = dew - face
    grown = np.diff(water.ice + water.liquid, axis=0) / p.films.area
    both = np.minimum(colder[1:], colder[:-1]), np.maximum(colder[1:], colder[:-1])
    dripping = water.liquid[1:] > 0.9 * p.damp.holds * p.films.area
    still = np.diff(water.dripped)[:, None] == 0.0
    takes, gives = (both[0] > 0.01) & ~dripping & still, both[1] < -0.01
    if passes == "0 perm":
        assert grown[takes].min() > 0.0
        assert takes.sum() > 100
    assert grown[gives & still].max() < 1e-9
    assert gives.sum() > 100


def test_without_damp_a_night_is_the_same_to_the_last_digit_whatever_hangs():
    """[crew] wet_gear acts with [damp] alone."""
    one, other = (run(scenario().replace(it)) for it in ({}, {"crew.wet_gear": "2 kg"}))
    assert (one.solution.states == other.solution.states).all()

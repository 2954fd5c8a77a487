"""The same night told in another way is the same night: units, dates, hours, order, and several of a kind joined.

Nothing here knows what a night should be like, only what must not change it.
"""

from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.gas_path import SPILT
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.rhs import at_fire, fire_readings, rates, shelter_temperatures
from simtent.network.solve import Accuracy, solve
from simtent.readings import level_temperatures
from simtent.run import run, tend
from simtent.scenario.shelter import SHAPES
from tests.portion import some, within
from tests.simulate.cases import copies, solved
from tests.simulate.changed import at_another_hour, in_another_order, in_other_units, on_another_evening
from tests.solving import solve_night
from tests.strategies import built, fire_trees, scenario_trees

pytestmark = pytest.mark.compiled

LAYERS = 6  # of air: few, so that a night is short work
OF_THE_SOLVER = 5e-5  # of kelvins, once the last digits differ: 0.01 K of the air
ALIKE = 1e-9  # of kelvins and joules
SEEDS = st.integers(0, 2**32 - 1)
ADDED_UP = ("pieces", "load", "vents")  # tables of names of one's own that are added up in their order
PLACE = ("latitude", "solar_noon")  # with them the date tells


def with_few_layers(tree):
    """The same scenario by the clock of UTC, in few layers, without a place on the globe."""
    site = {key: value for key, value in tree["site"].items() if key not in PLACE}
    return tree | {
        "model": tree["model"] | {"layers": LAYERS},
        "night": tree["night"] | {"zone": "UTC"},
        "site": site,
    }


PLAIN = scenario_trees(hours=(2, 2)).map(with_few_layers)
FIRES = fire_trees(hours=(2, 2)).map(with_few_layers)
INDOORS = fire_trees(hours=(1, 1), shapes=tuple(SHAPES), rules=False).map(with_few_layers)
NIGHTS = st.one_of(PLAIN, FIRES)
SHIFTS = st.integers(1, 1439)  # minutes
DAYS = st.integers(-400, 400).filter(bool)
COPIES = st.sampled_from([2.0, 3.0])


def same(tree, other):
    """Solve both; every temperature, flow of heat and amount is the same at every time, in all but its last digits."""
    one, two = solve_night(built(tree)), solve_night(built(other))
    assert (two.solution.times == one.solution.times).all()
    assert two.solution.states.shape == one.solution.states.shape
    size = np.abs(one.solution.states).max(axis=0)
    apart = np.abs(two.solution.states - one.solution.states) / np.where(size > 0.0, size, 1.0)
    within(apart.max(), ALIKE, "of its size is another number")
    return one, two


@some(2)
@given(NIGHTS, SEEDS)
def test_in_other_units(tree, seed):
    other, changed = in_other_units(tree, Random(seed))
    assert changed > 5
    same(tree, other)


@some(2)
@given(NIGHTS, DAYS)
def test_on_another_evening(tree, days):
    one, two = same(tree, on_another_evening(tree, days))
    later = two.scenario.night.span.begin_utc - one.scenario.night.span.begin_utc
    assert later.total_seconds() == 86400.0 * days


@some(2)
@given(NIGHTS, SHIFTS)
def test_at_another_hour(tree, minutes):
    one, two = same(tree, at_another_hour(tree, minutes))
    later = two.scenario.night.span.begin_utc - one.scenario.night.span.begin_utc
    assert later.total_seconds() % 86400.0 == 60.0 * minutes % 86400.0


@some(3)
@given(NIGHTS, SEEDS)
def test_in_another_order(tree, seed):
    """Keys, levels and marks: where they stand in the file must not matter, not in the last digit."""
    one, two = both_orders(tree, seed, keep=ADDED_UP)
    assert (two.temperatures == one.temperatures).all()
    if one.model.house is not None:
        assert (by_name(two, one) == level_temperatures(one)).all()


@some(2)
@given(FIRES, SEEDS)
def test_in_another_order_of_pieces_and_vents(tree, seed):
    """They are added up in the order of the file: only the last digits may follow from it."""
    one, two = both_orders(tree, seed)
    within(
        np.abs(two.temperatures / one.temperatures - 1.0).max(),
        OF_THE_SOLVER,
        "of its kelvins is another number",
    )


def both_orders(tree, seed, keep=()):
    return [solve_night(built(it)) for it in (tree, in_another_order(tree, Random(seed), keep))]


def by_name(night, other):
    """Temperatures at the levels in the order in which another night has them."""
    names = list(night.scenario.levels)
    return level_temperatures(night)[:, [names.index(name) for name in other.scenario.levels]]


@some(2)
@given(PLAIN, COPIES)
def test_copies_joined_by_adiabatic_partitions_repeat_the_night(tree, k):
    """The copies' own network is solved, by the solver of the profile."""
    model = assemble(built(tree))
    n = model.shelter.net.capacity.size
    one, many = (solved(it).states[:, :n] for it in (model, copies(model, k)))
    within(np.abs(many / one - 1.0).max(), OF_THE_SOLVER, "of its kelvins is another number")


@some(2)
@given(INDOORS, COPIES)
def test_copies_with_their_fires_repeat_the_night(tree, k):
    """By LSODA whatever the profile: the driver knows no right-hand side but the shelter's own."""
    night = run(built(tree))
    n = night.model.shelter.net.capacity.size
    many = joined(night, k).states[:, :n]
    within(
        np.abs(many / night.solution.states[:, :n] - 1.0).max(),
        OF_THE_SOLVER,
        "of its kelvins is another number",
    )


def joined(night, k):
    """Solve so many copies of a shelter and its fire, joined by partitions through which no heat goes, in one air.

    Every area, volume, mass, plume, stove and flue is there k times, heights as they are; what fires do, each beside
    the pressure of the room that they share, is taken of one of them, what they do to the room k times. The state
    holds what one of them has.
    """
    model = night.model
    one, many = model.shelter, copies(model, k).shelter
    n, air = one.net.capacity.size, one.stove.places.air
    paths = slice(n, n + one.net.paths)

    def rhs(t, y, rows):
        temps, together = shelter_temperatures(t, y, one, rows), y.copy()
        together[air] *= k
        ties, flows = at_fire(t, together, temps, many, rows)
        told = fire_readings(t, y, temps, ties, one)
        spilt = told[SPILT]
        of_one = rates(t, y, temps, ties, flows, spilt, one, rows, False, False, True)
        of_all = rates(t, together, temps, ties, flows, k * spilt, many, rows, True, True, False)
        of_one[:n] += of_all[:n]
        of_one[paths] += of_all[paths] / k
        return of_one

    return solve(
        rhs,
        one.net,
        model.start,
        model.net.jump_times(),
        night.solution.times,
        Accuracy(),
        lambda t, y, rows: shelter_jacobian(t, y, one, rows),
        script=tend(night.scenario, model),
    )

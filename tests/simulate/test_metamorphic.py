"""The same night told in another way is the same night: units, dates, hours, order, and several of a kind joined.

Nothing here knows what a night should be like, only what must not change it.
"""

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simtent.assembly.gas_path import SPILT
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.rhs import at_fire, fire_readings, rates, shelter_temperatures
from simtent.network.solve import Accuracy, solve
from simtent.readings import level_temperatures
from simtent.run import run, tend
from simtent.scenario.shelter import SHAPES
from tests.simulate.cases import copies
from tests.simulate.changed import at_another_hour, in_another_order, in_other_units, on_another_evening
from tests.strategies import built, fire_trees, scenario_trees

pytestmark = pytest.mark.compiled

LAYERS = 6  # of air: few, so that a night is short work
OF_THE_SOLVER = 5e-5  # of kelvins, once the last digits differ: 0.01 K of the air
ALIKE = 1e-9  # of kelvins and joules
MANY = 25  # in the slow part
SEEDS = st.integers(0, 2**32 - 1)
ADDED_UP = ("pieces", "vents")  # tables of names of one's own that are added up in their order
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
FIRES = fire_trees(hours=(2, 2), rules=False).map(with_few_layers)
INDOORS = fire_trees(hours=(1, 1), shapes=tuple(SHAPES), rules=False).map(with_few_layers)
NIGHTS = st.one_of(PLAIN, FIRES)


def same(tree, other, within=0.0):
    """Solve both; every temperature, flow of heat and amount is the same at every time."""
    one, two = run(built(tree)), run(built(other))
    assert (two.solution.times == one.solution.times).all()
    assert two.solution.states.shape == one.solution.states.shape
    size = np.abs(one.solution.states).max(axis=0)
    assert (np.abs(two.solution.states - one.solution.states) <= within * size).all()
    return one, two


def relabelled(tree, seed):
    other, changed = in_other_units(tree, Random(seed))
    assert changed > 5
    same(tree, other, ALIKE)


def some_days_later(tree, days):
    one, two = same(tree, on_another_evening(tree, days))
    later = two.scenario.night.span.begin_utc - one.scenario.night.span.begin_utc
    assert later.total_seconds() == 86400.0 * days


def at_other_hours(tree, minutes):
    one, two = same(tree, at_another_hour(tree, minutes), ALIKE)
    later = two.scenario.night.span.begin_utc - one.scenario.night.span.begin_utc
    assert later.total_seconds() % 86400.0 == 60.0 * minutes % 86400.0


def shuffled(tree, seed):
    """Keys, levels and marks: where they stand in the file must not matter, not in the last digit."""
    one, two = both_orders(tree, seed, keep=ADDED_UP)
    assert (two.temperatures == one.temperatures).all()
    if one.model.house is not None:
        assert (by_name(two, one) == level_temperatures(one)).all()


def all_shuffled(tree, seed):
    """Sizes of wood and vents are added up in the order of the file: only the last digits may follow from it."""
    one, two = both_orders(tree, seed)
    assert two.temperatures == pytest.approx(one.temperatures, rel=OF_THE_SOLVER)


def both_orders(tree, seed, keep=()):
    return [run(built(it)) for it in (tree, in_another_order(tree, Random(seed), keep))]


def by_name(night, other):
    """Temperatures at the levels in the order in which another night has them."""
    names = list(night.scenario.levels)
    return level_temperatures(night)[:, [names.index(name) for name in other.scenario.levels]]


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
        if model.hearth is not None:
            together[air] *= k
        ties, flows = at_fire(t, together, temps, many, rows)
        told = fire_readings(t, y, temps, ties, one)
        spilt = told[SPILT] if told.size else 0.0
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


def copied(tree, k):
    night = run(built(tree))
    n = night.model.shelter.net.capacity.size
    states = joined(night, k).states[:, :n]
    assert states == pytest.approx(night.solution.states[:, :n], rel=OF_THE_SOLVER)


SHIFTS = st.integers(1, 1439)  # minutes
DAYS = st.integers(-400, 400).filter(bool)
COPIES = st.sampled_from([2.0, 3.0])
TOLD = {  # what is done to a night, which nights, with what, and how many of them in the fast part
    "units": (relabelled, NIGHTS, SEEDS, 3),
    "evening": (some_days_later, NIGHTS, DAYS, 3),
    "hour": (at_other_hours, NIGHTS, SHIFTS, 3),
    "order": (shuffled, NIGHTS, SEEDS, 8),
    "order of pieces and vents": (all_shuffled, FIRES, SEEDS, 3),
    "copies": (copied, PLAIN, COPIES, 3),
    "copies with a fire": (copied, INDOORS, COPIES, 2),
}


def told_in_another_way(way, count):
    check, nights, others, _ = TOLD[way]
    settings(max_examples=count)(given(nights, others)(check))()


@pytest.mark.parametrize("way", TOLD)
def test_a_night_told_in_another_way(way):
    told_in_another_way(way, TOLD[way][-1])


@pytest.mark.slow
@pytest.mark.parametrize("way", TOLD)
def test_many_nights_told_in_another_way(way):
    told_in_another_way(way, MANY)

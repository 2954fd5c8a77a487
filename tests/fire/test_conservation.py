"""Wood, water and energy: nothing is lost between the stages and the accounts."""

import numpy as np
import pytest

from simtent.assembly.tending import LIGHTING, LIGHTING_TIME
from simtent.physics.wood import WATER_HEAT
from simtent.readings import accounts
from simtent.run import Run
from tests.fire.burns import burn, heat_of_wood, solved, story
from tests.reference.wood_chemistry import net_heating_value

pytestmark = pytest.mark.compiled


@pytest.fixture(scope="module")
def night() -> Run:
    """The story night, its four loads."""
    return solved(story())


def put_on(night: Run) -> np.ndarray:
    """Wood put on until each time [kg]."""
    assert night.tending is not None
    return np.array([sum(e.mass for e in night.tending.events if e.time <= t) for t in night.solution.times])


def test_wood_and_water_are_conserved(night: Run) -> None:
    states, stove = night.solution.states, night.model.shelter.stove
    slots, places = stove.slots, stove.places
    n = slots.dry.size
    stages = [states[:, first : first + n].sum(axis=1) for first in (slots.first_water, slots.first_dry)]
    stages += [states[:, place] for place in (places.coals, places.ash, places.burnt)]
    assert np.abs(sum(stages) - put_on(night)).max() < 1e-9 * put_on(night)[-1]


def test_heat_of_the_wood_is_all_accounted_for(night: Run) -> None:
    """Released + unburnt, from the paths, against the wood's mass times its dry heating value."""
    lighting = LIGHTING * LIGHTING_TIME
    assert accounts(night)["fire"][-1] - lighting == pytest.approx(heat_of_wood(night), rel=1e-6)


def test_a_load_gives_its_net_heating_value() -> None:
    """Once all is burnt: released + unburnt + water = moist wood x net heating value, to 0.1 %."""
    night = solved(burn("wide", {"model.char_rate": 3.0}))
    told = accounts(night)
    wood = night.scenario.wood
    assert wood is not None
    mass = put_on(night)[-1]
    net = mass * net_heating_value(wood.species.heating_value, wood.moisture)
    total = told["fire"][-1] - LIGHTING * LIGHTING_TIME + told["drying"][-1]
    assert total == pytest.approx(net, rel=1e-3)
    assert -told["drying"][-1] == pytest.approx(mass * wood.moisture * WATER_HEAT, rel=1e-3)


def test_the_ledger_closes(night: Run) -> None:
    assert night.residual < 1e-9


def test_no_stage_goes_below_nothing(night: Run) -> None:
    states, stove = night.solution.states, night.model.shelter.stove
    first, last = stove.slots.first_water, stove.places.air
    assert states[:, first:last].min() > -1e-4

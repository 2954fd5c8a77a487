"""Grounds of every kind against a second calculation, watt by watt, at random states."""

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.assembly.jacobian import shelter_jacobian
from simtent.readings import melted
from simtent.run import run
from simtent.scenario.materials import ground_names
from tests.assembly.by_hand import ByHand
from tests.assembly.test_by_hand import assert_same, rows_at, state_of
from tests.simulate.cases import scenario

FEW = {"model.layers": 4, "site.ground_start": "-6 degC"}
ICE = FEW | {"site.ground": "lake ice", "site.ice_thickness": "35 cm"}
SNOW = FEW | {"site.ground": "packed snow", "site.snow_depth": "17 cm", "site.under_snow": "frozen soil"}
BOARD = {
    "shelter.floor": {"board": "20 mm softwood boards", "mat": "12 mm closed-cell foam", "mat_area": "3 m2"}
}
CASES = {
    "lake ice": ICE,
    "thick lake ice under a board": ICE | BOARD | {"site.ice_thickness": "1.6 m"},
    "snow over soil": SNOW,
    "deep snow over soil": SNOW | {"site.snow_depth": "3 m"},
    "thin weighed snow over gravel": SNOW
    | {"site.snow_depth": "2 cm", "site.snow_density": "180 kg/m3", "site.under_snow": "frozen gravel"},
    "snow over lake ice": SNOW
    | {"site.snow_depth": "11 cm", "site.under_snow": "lake ice", "site.ice_thickness": "24 cm"},
    "much snow over a little ice": SNOW
    | {"site.snow_depth": "43 cm", "site.under_snow": "lake ice", "site.ice_thickness": "6 cm"},
    "warm boards on snow about to melt": SNOW
    | BOARD
    | {"site.ground_start": "0 degC", "night.inside_at_start": "15 degC"},
    "known deeper down": SNOW
    | {
        "site.ground_below": [
            {"depth": "10 cm", "temperature": "-9 degC"},
            {"depth": "40 cm", "temperature": "1 degC"},
        ]
    },
    "moist soil that freezes": FEW | {"site.ground": "moist soil", "site.ground_start": "2 degC"},
    "half thawed": FEW | {"site.ground": "frozen peat", "site.ground_start": "-0.2 degC"},
    "a platform": FEW
    | BOARD
    | {"shelter.floor.raised": "40 cm", "site.ground": "none", "site.ground_start": "none"},
    "a platform of one sheet": FEW
    | {"shelter.floor": {"board": "3/4 in plywood", "raised": "1 ft", "cover": "vinyl groundsheet"}},
}
SHORT = {
    "night.end": "21:00",
    "outdoors.steady": "2 degC",
    "heat.table": [{"at": "18:00", "power": "3 kW"}],
}
every_case = pytest.mark.parametrize("case", CASES)


def both(case):
    night = scenario().replace(CASES[case])
    return assemble(night), ByHand(night)


@every_case
def test_every_watt_and_every_path(case):
    model, hand = both(case)
    random = np.random.default_rng(3)
    for _ in range(4):
        assert_same(model, hand, random)


@every_case
def test_the_jacobian_is_the_slope_of_the_second_calculation(case):
    """In the ground and at its top, frozen, melting and molten; by central differences of a tenth of a corner."""
    model, hand = both(case)
    random, n = np.random.default_rng(5), len(hand.capacity)
    rows, state = rows_at(model, 0.0), state_of(model, random)
    corners = [law.onset for law in hand.melts.values()]
    for node, corner in list(zip(hand.melts, corners, strict=True))[::2]:
        state[node] = corner + random.uniform(-0.1, 0.1)
    jacobian = shelter_jacobian(0.0, state, model.shelter, rows)
    for node in np.flatnonzero(np.array(hand.group) == "ground"):
        there, back = state[:n].copy(), state[:n].copy()
        there[node] += 5e-3
        back[node] -= 5e-3
        (ahead, _, gone), (behind, _, came) = (hand.watts(hand.temperatures(y), 0.0) for y in (there, back))
        slopes = (ahead - behind) / 1e-2 / hand.capacity
        assert jacobian[:n, node] == pytest.approx(slopes, rel=5e-3, abs=5e-3 * np.abs(slopes).max() + 1e-10)
        rates = [(gone.get(name, 0.0) - came.get(name, 0.0)) / 1e-2 for name in model.net.path_names]
        assert jacobian[n : n + len(rates), node] == pytest.approx(rates, rel=5e-3, abs=1e-4)


@pytest.mark.compiled
@every_case
def test_what_melts_in_a_night(case):
    night = run(scenario().replace(CASES[case] | SHORT))
    hand, states = ByHand(night.scenario), night.solution.states
    water = np.zeros(len(states))
    for node, law in hand.melts.items():
        water += law.water(states[:, node]) - law.water(hand.start[node])
    assert melted(night) == pytest.approx(water, rel=1e-9, abs=1e-9)
    assert melted(night)[0] == 0.0


@pytest.mark.parametrize("name", [name for name in ground_names() if name != "lake ice"])
def test_every_ground_of_the_table(name):
    night = scenario().replace(FEW | {"site.ground": name})
    assert_same(assemble(night), ByHand(night), np.random.default_rng(7))

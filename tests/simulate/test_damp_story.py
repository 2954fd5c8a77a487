"""A damp night as practice tells it: common practice, no source; sizes are the model's own."""

import numpy as np
import pytest

from simtent.run import run
from tests.simulate.cases import scenario
from tests.simulate.wet_states import held

pytestmark = pytest.mark.compiled

HOUR = 3600.0
# Three people at -15 degC; fire in the evening and from six in the morning on.
NIGHT = {
    "crew.asleep": 3,
    "outdoors.steady": "-15 degC",
    "night.end": "08:00",
    "damp.breath_each": "20 g/h",
    "damp.holds": "20 g/m2",
    "shelter.floor": {"cover": "polyethylene groundsheet"},
    "heat.radiant_share": "30 %",
    "heat.table": [
        {"at": "18:00", "power": "3 kW"},
        {"at": "21:00", "power": "0 W"},
        {"at": "06:00", "power": "9 kW"},
    ],
}


def told(changes=None):
    night = run(scenario().replace(NIGHT | (changes or {})))
    return night, held(night.model, night.solution.states), len(night.model.house.floors)


def at(night, hour):
    return int(np.argmin(np.abs(night.solution.times - HOUR * hour)))


def skin(water, floors):
    """Ice and water on walls and roof over time [kg]."""
    return water.ice[:, :-floors].sum(axis=1), water.liquid[:, :-floors].sum(axis=1)


def vents(area):
    each = {"low_vent": {"area": area, "at": "15 cm"}, "ridge_vent": {"area": area, "at": "1.9 m"}}
    return {"shelter.openings": each}


def test_while_the_fire_burns_frost_lies_low_on_the_walls_and_the_roof_is_dry():
    night, water, floors = told()
    names = [name for name in night.model.house.surfaces if name.startswith(("wall", "roof"))]
    frost = (water.ice / night.model.shelter.films.area)[at(night, 2.9)]
    walls = [frost[k] for k, name in enumerate(names) if name.startswith("wall")]
    half = len(walls) // 2
    assert np.mean(walls[:half]) > 2.0 * np.mean(walls[-3:])
    assert max(frost[k] for k, name in enumerate(names) if name.startswith("roof")) < 1e-4
    assert skin(water, floors)[0][at(night, 2.9)] > 0.05


def test_the_fire_of_the_morning_melts_it_and_it_drips():
    night, water, floors = told()
    before, after = at(night, 11.9), at(night, 13.9)
    ice, _ = skin(water, floors)
    assert water.dripped[before] < 1e-3
    assert water.dripped[after] > 0.03
    assert ice[after] < 0.7 * ice[before]
    assert water.liquid[after, -floors:].sum() + water.ice[after, -floors:].sum() > 0.02  # on the floor


def test_a_cloth_that_holds_more_drips_less():
    little, much = (told({"damp.holds": it})[1].dripped[-1] for it in ("20 g/m2", "200 g/m2"))
    assert much < 0.5 * little


def test_vents_lessen_frost_and_seldom_take_it_all_and_cost_warmth():
    """Of 0, 50, 150, 400 and 1,200 cm2 low and high each leaves less, none less than a quarter."""
    left, warm = [], []
    for area in (None, "50 cm2", "150 cm2", "400 cm2", "1200 cm2"):
        night, water, floors = told({} if area is None else vents(area))
        row = at(night, 11.9)
        left.append(sum(part[row] for part in skin(water, floors)))
        warm.append(night.air[row].mean())
    assert (np.diff(left) < 0.0).all()
    assert (np.diff(warm) < 0.0).all()
    assert left[-1] > 0.25 * left[0]


def test_bags_gain_the_more_the_colder_the_night():
    gained = [told({"outdoors.steady": f"{out} degC"})[1].bags[-1] for out in (0, -7, -20, -30)]
    assert (np.diff(gained) > 0.01).all()


def test_wet_gear_dries_in_the_fire_and_hardly_in_the_cold():
    """Half a kilogram beside the head: the three hours of fire take more than the nine cold ones after them."""
    night, water, _ = told({"crew.wet_gear": "500 g"})
    left = water.hung.sum(axis=1)
    fire, cold = left[0] - left[at(night, 3.0)], left[at(night, 3.0)] - left[at(night, 12.0)]
    assert fire > 2.0 * cold > 0.0

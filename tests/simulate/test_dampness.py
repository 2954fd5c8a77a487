"""What the Dataset tells of water is what the state holds: by name, by area, by account."""

import numpy as np
import pytest

from simtent.dampness import dampness
from simtent.run import run
from tests.assembly.vapour_by_hand import pressure_of, saturated
from tests.simulate.cases import scenario
from tests.simulate.wet_states import WET, held

pytestmark = pytest.mark.compiled

MAT = {"shelter.floor": {"mat": "20 mm closed-cell foam", "mat_area": "3 m2"}}


@pytest.fixture(scope="module")
def told():
    night = run(scenario().replace(WET | MAT | {"crew.asleep": 3, "damp.wood": "1 kg"}))
    return night, *dampness(night), held(night.model, night.solution.states)


def test_dew_points_are_where_the_vapour_is_saturated(told):
    _, values, _, _ = told
    ratio, dew = values["humidity_ratio"][::20, ::5], values["dew_point"][::20, ::5]
    for one, other in zip(ratio.ravel(), dew.ravel(), strict=True):
        assert saturated(other + 273.15) == pytest.approx(pressure_of(one, 101325.0), rel=1e-6)


def test_frost_and_water_lie_on_inner_faces_by_their_area(told):
    night, values, _, water = told
    names = list(night.model.house.surfaces)
    inner = [k for k, name in enumerate(names) if not name.startswith("outer")]
    outer = [k for k in range(len(names)) if k not in inner]
    for name, masses in (("frost", water.ice), ("condensate", water.liquid)):
        assert values[name][:, inner] * values["surface_area"][inner] == pytest.approx(
            np.maximum(masses, 0.0)
        )
        assert (values[name][:, outer] == 0.0).all()
    assert values["frost"][-1].max() > 0.0
    assert values["surface_area"][inner].sum() == pytest.approx(night.model.shelter.films.area.sum())


def test_accounts(told):
    """What left counts below 0; what is stored is what was gained since the beginning."""
    night, values, coords, water = told
    accounts = dict(zip(coords["water_account"], values["water"].T, strict=True))
    floors = len(night.model.house.floors)
    lying = water.ice + water.liquid
    wanted = {
        "entered": water.entered,
        "left": -water.left,
        "sleepers": water.sleepers,
        "stored_air": water.vapour.sum(axis=1),
        "stored_skin": lying[:, :-floors].sum(axis=1),
        "stored_floor": lying[:, -floors:].sum(axis=1),
        "stored_gear": water.hung.sum(axis=1),
        "stored_bag": water.bags,
    }
    assert set(accounts) == set(wanted)
    for name, row in wanted.items():
        assert accounts[name] == pytest.approx(row - row[0], abs=1e-12), name
    assert accounts["stored_gear"][-1] < 0.0 < accounts["stored_bag"][-1]
    assert values["dripped"] == pytest.approx(water.dripped)

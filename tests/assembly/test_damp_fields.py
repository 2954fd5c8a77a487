"""Every number of [damp], and the wet gear, acts as much as it should and on nothing else of the water."""

import pytest

from simtent.assembly.assemble import assemble
from tests.assembly.changes import anyhow, assert_moves, becomes, change, times
from tests.simulate.cases import scenario

DAMP = {
    "damp": {"snow": "200 g", "wood": "1 kg", "passes": "100 perm"},
    "crew.wet_gear": "500 g",
    "crew.asleep": 2,
}
GRAM, HOUR = 1e-3, 3600.0

CHANGES = [
    change("damp.breath_each", "10 g/h", "15 g/h", {"breath": times(1.5)}, DAMP),
    change("damp.skin_each", "30 g/h", "45 g/h", {"skin": times(1.5)}, DAMP),
    change("damp.bag_area", "2 m2", "3 m2", {"bags": times(1.5), "shell": times(2.0 / 3.0)}, DAMP),
    change("damp.gear_at", "1.2 m", "1.6 m", {"gear's middle": becomes(1.3)}, DAMP),
    change("damp.gear_area", "1 m2", "1.7 m2", {"gear's surface": times(1.7)}, DAMP),
    change("damp.snow", "200 g", "500 g", {"snow": times(2.5)}, DAMP),
    change("damp.wood", "1 kg", "3 kg", {"wood": times(3.0)}, DAMP),
    change("damp.wood_area", "1 m2", "2.5 m2", {"wood's surface": times(2.5)}, DAMP),
    change("damp.holds", "60 g/m2", "90 g/m2", {"holds": times(1.5)}, DAMP),
    change("damp.passes", "0 perm", "100 perm", {"passes": anyhow}, DAMP),
    change("crew.wet_gear", "500 g", "700 g", {"gear": times(1.4)}, DAMP),
    change("crew.asleep", 2, 3, dict.fromkeys(("breath", "skin", "bags"), times(1.5)), DAMP),
    change("crew.heat_each", "60 W", "90 W", {"shell": times(1.5)}, DAMP),
]
DAMP_KEYS = {one.values[0].key for one in CHANGES if one.values[0].key.startswith("damp.")} | {
    "crew.wet_gear"
}


def values(night):
    """What an assembled night knows of water, by name."""
    model = assemble(night)
    damp, start, centres = model.shelter.damp, model.start, model.house.bands.centres
    names = [name.split()[1] for name in model.net.amounts if name.startswith("wet ")]
    of = {thing: [k for k, name in enumerate(names) if name == thing] for thing in ("gear", "wood")}
    water = start[damp.wet : damp.wet + len(names)]
    heights = centres[damp.wet_layer]
    faces = damp.below.size
    return {
        "breath": damp.breath.sum(),
        "skin": damp.skin.sum(),
        "bags": damp.bag_area.sum(),
        "shell": damp.bag_over,
        "gear": water[of["gear"]].sum(),
        "wood": water[of["wood"]].sum(),
        "gear's surface": damp.wet_area[of["gear"]].sum(),
        "wood's surface": damp.wet_area[of["wood"]].sum(),
        "gear's middle": float(
            heights[of["gear"]] @ damp.wet_area[of["gear"]] / damp.wet_area[of["gear"]].sum()
        ),
        "snow": start[damp.ice : damp.ice + faces].sum(),
        "holds": damp.holds[0],
        "passes": damp.passes.sum(),
        "vapour": start[damp.first : damp.first + damp.mass.size].sum(),
    }


@pytest.mark.parametrize("one", CHANGES)
def test_a_number_acts_and_on_nothing_else(one):
    before, after = (values(scenario().replace(one.base | settings)) for settings in (one.before, one.after))
    moves = dict(one.moves)
    if "gear's middle" in moves:  # by the centres of its layers
        assert after.pop("gear's middle") == pytest.approx(1.3, abs=0.03)
        assert before.pop("gear's middle") == pytest.approx(0.9, abs=0.03)
        del moves["gear's middle"]
    assert_moves(before, after, moves)


def test_what_the_numbers_are():
    """By the usual numbers: two sleepers breathe out 20 g an hour and give 60 to bags of 4 m2, 3.75 K warmer."""
    seen = values(scenario().replace(DAMP))
    assert HOUR * seen["breath"] == pytest.approx(20.0 * GRAM)
    assert HOUR * seen["skin"] == pytest.approx(60.0 * GRAM)
    assert (seen["bags"], seen["shell"]) == pytest.approx((4.0, 60.0 / (8.0 * 2.0)))
    assert (seen["snow"], seen["gear"], seen["wood"]) == pytest.approx((0.2, 0.5, 1.0))
    assert seen["holds"] == pytest.approx(0.06)


def test_a_night_without_damp_carries_no_water():
    """Not one number more in its state, and no path."""
    dry, damp = (assemble(scenario().replace(it)) for it in ({}, {"damp.snow": "0 g"}))
    assert not any(name.startswith(("vapour", "face", "wet")) for name in dry.net.amounts)
    assert set(damp.net.path_names) - set(dry.net.path_names) == {"condensation"}
    n = len(dry.net.capacities)
    assert (damp.start[:n] == dry.start[:n]).all()
    assert dry.start.size == n + len(dry.net.path_names)

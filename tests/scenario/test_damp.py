"""[damp]: what is refused, what is odd, and that it may be taken away."""

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.oddities import oddities

SEDGE, LARCH = "scenarios/sedge_hollow.toml", "scenarios/larch_bench.toml"


def keys(path, *settings):
    return [oddity.key for oddity in oddities(load(path, settings=settings))]


def test_a_night_counts_no_water_unless_it_is_asked_to():
    assert load(SEDGE).damp is None
    asked = load(SEDGE).replace("damp.breath_each", "12 g/h")
    assert asked.damp is not None and asked.damp.breath_each == pytest.approx(0.012 / 3600.0)
    assert asked.replace("damp", "none").damp is None


def test_wet_gear_that_is_not_counted_is_odd():
    assert "crew.wet_gear" in keys(LARCH, "crew.wet_gear=1 lb")
    assert "crew.wet_gear" not in keys(LARCH, "crew.wet_gear=1 lb", "damp.snow=0 g")


def test_canvas_that_lets_nothing_through_is_odd():
    canvas = "shelter.skin.all=['10 oz/yd2 cotton canvas']"
    both = ("shelter.skin.wall=none", "shelter.skin.roof=none", canvas)
    assert "damp.passes" in keys(LARCH, "damp.snow=0 g", *both)
    assert "damp.passes" not in keys(LARCH, "damp.passes=200 perm", *both)
    assert "damp.passes" not in keys(LARCH, *both)


def test_gear_hangs_below_the_peak():
    with pytest.raises(InputError) as caught:
        load(SEDGE, settings=("damp.gear_at=4.5 m",))
    (fault,) = caught.value.faults
    assert fault.key == "damp.gear_at" and "peak" in str(fault)


@pytest.mark.parametrize("text", ["30", "30 g", "-1 g/h", "600 g/h", "30 l/h"])
def test_what_skin_gives_off_is_a_mass_in_a_time(text):
    with pytest.raises(InputError) as caught:
        load(SEDGE, settings=(f"damp.skin_each={text}",))
    (fault,) = caught.value.faults
    assert fault.key == "damp.skin_each" and "g/h" in fault.allowed


def test_in_the_open_there_is_nothing_to_damp():
    with pytest.raises(InputError) as caught:
        load("scenarios/yard_burn.toml", settings=("damp.snow=0 g",))
    assert [fault.key for fault in caught.value.faults] == ["damp"]

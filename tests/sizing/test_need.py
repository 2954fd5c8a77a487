"""The heat that a shelter needs, against sums of resistances by hand; colder and windier never takes less."""

from itertools import pairwise

import pytest

from simtent.driver import drive
from simtent.readings import level_temperatures
from simtent.sizing.need import HOURS, Heater, _heat
from simtent.sizing.scene import stripped, weather
from tests.sizing import camps
from tests.sizing.camps import ZERO

pytestmark = pytest.mark.compiled

# ISO 6946 (surface resistances, from memory, sure): inside 0.13 m2 K/W at walls, 0.10 upward; outside 0.04 at 4 m/s.
INSIDE, UPWARD, OUTSIDE = 0.13, 0.10, 0.04
FOAM = 0.100 / 0.034  # m2 K/W, of the skin: thickness over conductivity
AIR = 1.2 * 1006.0  # J/(m3 K)


@pytest.fixture(scope="module")
def box(tmp_path_factory):
    return stripped(camps.scenario(tmp_path_factory.mktemp("box")))


def conductance(shelter):
    """U times area of walls and roof [W/K], the areas by the sizes of a wall tent in plain geometry."""
    length, width, wall, ridge = shelter.length, shelter.width, shelter.wall, shelter.ridge
    walls = 2.0 * (length + width) * wall + width * (ridge - wall)
    roof = 2.0 * length * (0.25 * width**2 + (ridge - wall) ** 2) ** 0.5
    return walls / (INSIDE + FOAM + OUTSIDE) + roof / (UPWARD + FOAM + OUTSIDE)


def test_a_foam_box_needs_what_its_resistances_let_through(box):
    by_hand = conductance(box.given.shelter) * 20.0
    found = Heater(box.given).need(ZERO - 10.0, 4.0, ZERO + 10.0)
    # A leak of 1 cm2 and a floor that is as warm as the air are left out by hand.
    assert found == pytest.approx(by_hand, rel=0.10)


def test_the_need_is_nearly_proportional_to_the_rise(box):
    heater = Heater(box.given)
    needs = [heater.need(ZERO + 10.0 - rise, 4.0, ZERO + 10.0) / rise for rise in (10.0, 20.0, 40.0)]
    assert needs == pytest.approx([needs[1]] * 3, rel=0.08)


def test_what_is_found_holds_the_wish(box):
    heater = Heater(box.given)
    found = heater.need(ZERO - 20.0, 2.0, box.wish)
    assert heater.levels(ZERO - 20.0, 2.0, found)[0] == pytest.approx(box.wish, abs=0.3)
    assert heater.nights < 15


def test_colder_or_windier_never_takes_less(tmp_path):
    canvas = camps.BOX.replace('"100 mm extruded polystyrene"', '"10 oz/yd2 cotton canvas"')
    canvas = canvas.replace("mixing = 20.0", "mixing = 1.0").replace(
        'leak_area = "1 cm2"', 'leak_area = "150 cm2"'
    )
    heater = Heater(stripped(camps.scenario(tmp_path, canvas)).given)
    needs = [
        [heater.need(ZERO + air, wind, ZERO + 10.0) for air in (-25.0, -10.0, 0.0)]
        for wind in (0.0, 2.0, 8.0)
    ]
    for row in needs:
        assert row[0] > row[1] > row[2] > 0.0
    for calm, windy in pairwise(needs):
        assert all(more > less for less, more in zip(calm, windy, strict=True))


def test_it_is_the_cot_of_a_night_with_all_layers_that_is_held(tmp_path):
    canvas = camps.BOX.replace('"100 mm extruded polystyrene"', '"10 oz/yd2 cotton canvas"')
    given = stripped(camps.scenario(tmp_path, canvas.replace("mixing = 20.0", "mixing = 1.0"))).given
    found = Heater(given).need(ZERO - 10.0, 2.0, ZERO + 10.0)
    heat = {"model.layers": 20, **weather(ZERO - 10.0, 2.0, HOURS, given), **_heat(given, found)}
    night = drive(given.replace(heat))
    levels = dict(zip(given.levels, level_temperatures(night)[-1], strict=True))
    assert levels["cot"] == pytest.approx(10.0, abs=0.6)
    assert levels["head"] > levels["cot"] + 2.0 > levels["floor"] + 4.0  # no other level would do


def test_no_heat_is_needed_where_it_is_warm_and_none_may_be_enough(box, monkeypatch):
    heater = Heater(box.given)
    assert heater.need(ZERO + 12.0, 1.0, ZERO + 10.0) == 0.0
    monkeypatch.setattr("simtent.sizing.need.MOST", 1500.0)
    assert heater.need(ZERO - 60.0, 20.0, ZERO + 55.0) == float("inf")

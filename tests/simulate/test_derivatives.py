"""Derivatives by repeated steps against nights solved tightly by another solver, and what they refuse to tell."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from simtent.derivatives import HAIR, derivatives, temperatures
from simtent.driver import SWIFT, drive
from simtent.errors import InputError, SolveError
from simtent.scenario.free import free, free_keys
from simtent.scenario.load import load
from tests.simulate.moved_nights import SCENARIOS, by_key, fire, known_heat, melting, missed, ruled, tight

pytestmark = pytest.mark.compiled

ALLOWED = 0.02  # of the norm of a column
NIGHTS = {"known": known_heat, "fire": fire, "melting": melting}
YARD = SCENARIOS / "yard_burn.toml"
SHORT = {
    "night.end": "15:30",
    "stoking.load": [
        {"at": "14:00", "pieces": {"kindling": 8}, "air": [{"mark": "open"}]},
        {"at": "15:00", "pieces": {"split": 2}, "air": [{"mark": "open"}]},
    ],
    "stoking.set": "none",
}
FEW = [
    ("known", "model.walls"),
    ("known", "model.leak_area"),
    ("known", "site.ground_start"),
    ("fire", "stove.emissivity"),
    ("fire", "wood.moisture"),
    ("fire", "model.mixing"),
]
# What such numbers free would be another model: a pane where there is none.
OTHER_MODEL = {"stove.glass"}


@dataclass(frozen=True)
class Made:
    """Something that no key names, moved by a function of a number."""

    name: str
    unit: str
    number: float
    size: float
    put: object

    def replacement(self, number):
        return self.put(number)


def moving(name):
    """Numbers that move this night; levels only choose where it is read."""
    keys = [key for key in free_keys(NIGHTS[name]()) if not key.startswith("levels.")]
    return [pytest.param(name, key, id=f"{name}-{key}") for key in keys if key not in OTHER_MODEL]


def calls(night):
    return np.array([event.time for event in night.tending.events if event.by == "rule"])


def agrees(name, key):
    scenario = NIGHTS[name]()
    assert missed(derivatives(scenario, [key]).matrix[:, 0], by_key(scenario, key)) < ALLOWED


@pytest.mark.parametrize(("name", "key"), FEW)
def test_a_column_is_that_of_tight_nights(name, key):
    agrees(name, key)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "key"), [row for name in NIGHTS for row in moving(name)])
def test_every_number_that_may_be_free(name, key):
    agrees(name, key)


def test_plain_differences_of_two_nights_would_not_do():
    """Else nothing here would show that steps are repeated."""
    scenario, key = fire(), "model.leak_area"
    it = free(scenario, key)
    there = drive(scenario.replace(it.replacement(it.number + HAIR * it.size)))
    plain = (temperatures(there) - temperatures(drive(scenario))).ravel() / (HAIR * it.size)
    assert missed(plain, by_key(scenario, key)) > 10.0 * ALLOWED


def test_a_night_that_repeats_its_steps_is_the_same_within_its_accuracy():
    night = drive(fire())
    one, other = (drive(fire(), replay=night.steps) for _ in range(2))
    assert (one.solution.states == other.solution.states).all()
    for was, now in zip(night.steps, one.steps, strict=True):
        assert now == pytest.approx(was, abs=1e-9)
    assert np.abs(temperatures(one) - temperatures(night)).max() < 1e-3


@pytest.mark.slow
def test_the_moment_of_a_call_moves_along():
    scenario, keys = ruled(), ["outdoors.shift", "model.walls", "model.leak_area"]
    there = derivatives(scenario, keys)
    moments = derivatives(scenario, keys, calls)
    assert there.run.steps.fell.sum() == 1
    for n, key in enumerate(keys):
        assert missed(there.matrix[:, n], by_key(scenario, key)) < ALLOWED
        assert moments.matrix[:, n] == pytest.approx(by_key(scenario, key, outputs=calls), rel=ALLOWED)


def test_a_call_that_hardly_moves_asks_for_a_finer_night():
    """Emissivity moves heat from air to walls, the call by 8 s for twice as much: usual accuracy gives it 3 % off."""
    fine = replace(SWIFT, rtol=1e-7, atol=1e-5)
    found = derivatives(ruled(), ["stove.emissivity"], calls, accuracy=fine).matrix[:, 0]
    assert found == pytest.approx(by_key(ruled(), "stove.emissivity", outputs=calls), rel=ALLOWED)


def test_stops_that_move():
    """A door that stands open for longer: the moment at which it is shut moves."""

    def put(seconds):
        return {"shelter.openings.door.open": [{"at": "19:45", "for": f"{seconds!r} s"}]}

    door = Made("door open", "s", 90.0, 90.0, put)
    found = derivatives(known_heat(), [door]).matrix[:, 0]
    assert missed(found, tight(known_heat().replace(put(90.0)), door)) < ALLOWED


def test_an_entry_of_a_list_may_be_moved_by_a_function():
    def put(kilowatts):
        table = [{"at": "18:00", "power": "1 kW"}, {"at": "19:30", "power": f"{kilowatts!r} kW"}]
        return {"heat.table": table}

    scenario = known_heat().replace(put(2.0))
    power = Made("later power", "kW", 2.0, 2.0, put)
    found = derivatives(scenario, [power, "model.heat"])
    assert found.parameters == ("later power", "model.heat")
    before = found.run.solution.times < 90.0 * 60.0
    assert found.by("later power").shape == (before.size, len(scenario.levels))
    assert np.abs(found.by("later power")[before]).max() < 1e-9
    assert found.by("later power")[-1].min() > 0.1


def test_units_are_those_of_the_field():
    found = derivatives(known_heat(), ["model.leak_area", "outdoors.shift"], step=1800.0)
    assert found.units == ("cm2", "K")
    assert found.numbers == pytest.approx([60.0, 0.0])
    assert found.matrix.shape == (found.values.size, 2)
    # Colder by a kelvin outside is colder by less than that inside: ground and its heat stay.
    assert 0.0 < found.by("outdoors.shift")[-1].min() < 1.0


def test_columns_do_not_depend_on_how_many_are_made_at_once():
    keys = ["model.walls", "model.leak_area", "stove.legs"]
    one, other = (derivatives(fire(), keys, cores=cores) for cores in (1, 3))
    assert (one.matrix == other.matrix).all()
    assert (one.matrix[:, 0] == derivatives(fire(), keys[:1]).matrix[:, 0]).all()


def test_a_number_at_the_end_of_its_range_moves_the_other_way():
    found = derivatives(fire(), ["stove.air.marks.wide"])
    assert found.moves[0] < 0.0
    assert found.remarks == ()


def at_the_brink():
    """A yard burn, and the rates of its coals between which the second load no longer catches."""
    scenario = load(YARD).replace(SHORT)

    def catches(rate):
        night = drive(scenario.replace("model.char_rate", rate))
        return not any("does not catch" in event.what for event in night.tending.events)

    low, high = 0.1, 10.0
    assert catches(low)
    assert not catches(high)
    while high - low > 0.1 * HAIR * low:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if catches(middle) else (low, middle)
    return scenario, low, high


def test_a_load_that_no_longer_catches_is_told_and_passed_by():
    scenario, low, _ = at_the_brink()
    found = derivatives(scenario.replace("model.char_rate", low), ["model.char_rate"])
    assert found.moves[0] < 0.0
    (remark,) = found.remarks
    assert "model.char_rate was moved down" in remark
    assert "another load catches" in remark


def test_a_night_that_hangs_on_a_hair_has_no_derivative():
    scenario, low, _ = at_the_brink()

    def put(rate):
        return {"model.char_rate": 2.0 * low - rate if rate < low else rate}

    either_way = Made("coals", "1", low, low, put)
    with pytest.raises(SolveError, match="hangs on a hair: with coals moved by"):
        derivatives(scenario.replace("model.char_rate", low), [either_way])


def test_another_number_of_layers_is_refused():
    layers = Made("layers", "1", 12.0, 1.0 / HAIR, lambda number: {"model.layers": round(number)})
    with pytest.raises(InputError, match="layers: moved by a hair, the model has other parts"):
        derivatives(known_heat().replace("model.layers", 12), [layers])


def test_a_part_that_is_not_there_is_refused():
    with pytest.raises(InputError, match=r"stove\.glass: moved by a hair"):
        derivatives(fire(), ["stove.glass"])


@pytest.mark.parametrize(
    "key",
    ["model.wals", "night.begin", "crew.asleep", "site.ground", "model.leak_below_skirt.x", "stove.mass"],
)
def test_what_is_no_number_is_refused(key):
    with pytest.raises(InputError, match="no number that can be moved"):
        derivatives(known_heat(), [key])


def test_steps_of_another_night_are_refused():
    other = known_heat().replace("night.end", "20:00")
    with pytest.raises(SolveError, match="whose steps it was to repeat"):
        drive(fire(), replay=drive(other).steps)


def test_another_accuracy_is_used():
    rough = derivatives(known_heat(), ["model.walls"], accuracy=replace(SWIFT, rtol=1e-5, atol=1e-3))
    assert rough.run.solution.accuracy.rtol == 1e-5
    assert 0.0 < missed(rough.matrix[:, 0], by_key(known_heat(), "model.walls")) < 5.0 * ALLOWED

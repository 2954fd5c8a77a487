"""The assembled stove and fire against a second calculation, watt by watt and gram by gram, at random states."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import observe, shelter_rhs
from tests.assembly.fire_by_hand import NEVER, Carried, FireByHand
from tests.assembly.nights import IN_THE_OPEN, stove_night
from tests.assembly.test_by_hand import BELL, TENT, rows_at
from tests.strategies import fires

ALIKE = 1e-9

NO_SOURCE = {f"heat.{key}": None for key in ()}
KITCHEN = {
    # Titanium of 0.1 mm on a steel box, glass, baffle, stones, damper, all that can sit on a pipe, thin air.
    "stove.sheet": "0.8 mm titanium",
    "stove.glass": "300 cm2",
    "stove.baffle": True,
    "stove.on_top": "6 kg stones",
    "stove.emissivity": 0.6,
    "stove.pipe.sheet": "0.1 mm titanium",
    "stove.pipe.bends": ["20 deg", "40 deg", "50 deg", "90 deg"],
    "stove.pipe.cap": True,
    "stove.damper": {"marks": {"turned": "30 %", "along": "100 %"}},
    "stoking.damper": "along",
    "site.altitude": "2500 m",
    "model.char_rate": 2.5,
    "model.feedback": 0.45,
    "model.gas_side": 1.6,
    "model.heat": 0.8,
}
WATER = {
    "stove.on_top": "1 gal water",
    "stove.mass": "12 kg",
    "stove.legs": "90 cm",
    "stove.pipe.arrestor": True,
    "stove.pipe.inside": "3.5 m",  # longer than the room is high
    "stove.air.leak": "0 cm2",
    "wood.moisture": "0 % wet",
    "wood.pieces.split.mass": "900 g",
    "model.layers": 5,
}
RULED = {
    "stoking.rule": [
        {"from": "20:00", "to": "01:00", "when": {"level": "cot", "below": "4 degC"}, "load": {"stick": 2}, "most": 4}
    ]
}  # fmt: skip
BENCH = {"stove.pipe.draft": "12 Pa", "wood.species": "beech", "wood.moisture": "60 % dry"}
CASES = {
    "box": {},
    "wall tent": KITCHEN | {key: value for key, value in TENT.items() if not key.startswith("heat.")},
    "bell": WATER | RULED | BELL,
    "bench": BENCH | {"stove.baffle": True},
    "open": IN_THE_OPEN | {"outdoors.wind": "3 m/s"},
    "kitchen in the open": IN_THE_OPEN | KITCHEN | {"outdoors.wind": "0 m/s", "outdoors.cloud": "0 %"},
    "water in the open": IN_THE_OPEN | WATER | BENCH,
}
every_case = pytest.mark.parametrize("case", CASES)


@pytest.fixture(scope="module")
def both():
    nights = {case: stove_night(changes) for case, changes in CASES.items()}
    return {case: (assemble(night), FireByHand(night)) for case, night in nights.items()}


def temperatures_of(hand, random):
    """Shelter from -35 to 60 degC; fire up to 1100, metal up to 700, what stands on it around boiling."""
    temps = random.uniform(238.0, 333.0, len(hand.capacity))
    stove = hand.stove
    temps[stove.fire] = random.choice([random.uniform(250.0, 1373.0), random.uniform(366.0, 380.0)])
    for node in (stove.body, *(segment.node for segment in stove.segments)):
        temps[node] = random.choice([random.uniform(240.0, 975.0), random.uniform(860.0, 890.0)])
    if stove.top is not None:
        temps[stove.top] = random.uniform(330.0, 375.0)
    return temps


def slot_of(slot, t, random):
    """Water, dry wood, moment caught: not yet put on, fresh, wet or dry within, burnt out, waiting for coals."""
    kind = random.integers(7)
    caught = t - random.uniform(0.0, 1.5) * (20.0 + 3000.0 * slot.thickness)
    if kind == 0:
        return 0.0, 0.0, NEVER
    if kind == 1:
        return slot.water, slot.dry, t
    if kind == 2:
        return slot.water * random.uniform(), slot.dry * random.uniform(), NEVER
    if kind == 3:
        return slot.water * random.uniform(-1e-6, 1e-4), slot.dry * random.uniform(), caught
    if kind == 4:
        return slot.water * 1e-3, slot.dry * random.uniform(-1e-6, 1e-3), t - 9e3
    return slot.water * random.uniform(), slot.dry * random.uniform(), caught


def carried_of(hand, t, random):
    """Wood of every kind; air from backwards to much; levers, door and match anywhere."""
    slots = [slot_of(slot, t, random) for slot in hand.stove.slots]
    water, dry, caught = (np.array(row) for row in zip(*slots, strict=True))
    return Carried(
        water=water,
        dry=dry,
        coals=random.choice([0.0, 1e-4, random.uniform(0.0, 1.0)]),
        ash=random.uniform(0.0, 0.1),
        burnt=random.uniform(0.0, 5.0),
        air=random.choice([-1e-4, 0.0, 1e-5, random.uniform(0.0, 0.02), random.uniform(0.0, 0.003)]),
        inlet=random.choice([0.0, random.uniform(), 1.0]),
        damper=random.choice([0.0, random.uniform(), 1.0]),
        door=random.choice([0.0, 0.02]),
        lighting=random.choice([0.0, 1000.0]),
        last_load=random.uniform(0.0, 3.0),
        caught=caught,
    )


def state_of(model, hand, temps, carried, random):
    """The package's state: nodes, paths, amounts, held numbers."""
    nodes = [hand.stove.state_of(node, temperature) for node, temperature in enumerate(temps)]
    amounts = [*carried.water, *carried.dry, carried.coals, carried.ash, carried.burnt, carried.air]
    held = [carried.inlet, carried.damper, carried.door, carried.lighting, carried.last_load, *carried.caught]
    gone = random.uniform(-1e7, 1e7, len(model.net.path_names))
    return np.concatenate((nodes, gone, amounts, held))


def assert_same(model, hand, random):
    """Watts of every node, rates of every path, derivatives of all amounts, and readings."""
    n, paths = len(hand.capacity), len(model.net.path_names)
    t = random.uniform(0.0, model.net.end - 1.0)
    temps, carried = temperatures_of(hand, random), carried_of(hand, t, random)
    rows, state = rows_at(model, t), state_of(model, hand, temps, carried, random)
    got = shelter_rhs(t, state, model.shelter, rows)
    assert got.shape == state.shape
    watts, gross, rates = hand.watts(temps, carried, t)
    assert (np.abs(got[:n] * hand.capacity - watts) < ALIKE * gross + 1e-12).all()
    for name, rate in zip(model.net.path_names, got[n : n + paths], strict=True):
        assert rate == pytest.approx(rates.get(name, 0.0), rel=ALIKE, abs=1e-9 * gross.max()), name
    wanted = hand.rates(temps, carried, t)
    assert got[n + paths :][: wanted.size] == pytest.approx(wanted, rel=ALIKE, abs=1e-16)
    assert (got[n + paths + wanted.size :] == 0.0).all()
    night, fire = observe(t, state, model.shelter, rows)
    assert fire == pytest.approx(hand.readings(temps, carried, t), rel=ALIKE)
    assert night == pytest.approx(night_of(hand, temps, carried, t), rel=ALIKE)


def night_of(hand, temps, carried, t):
    """Readings of the night: weather, the room's mean radiant temperature, all air that enters, no known source."""
    if hand.night.shelter is None:
        return (*hand.place.weather(t), 0.0, 0.0, 0.0)
    drawn = (carried.air + math.hypot(carried.air, 1e-5)) / 2.0
    entering = hand.place.leakage(temps, t, drawn)
    return (*hand.place.weather(t), hand.place.mean_radiant(temps), entering, 0.0)


@every_case
def test_every_node_and_where_it_starts(both, case):
    model, hand = both[case]
    n, slots = len(hand.capacity), len(hand.stove.slots)
    assert hand.group == model.net.groups
    assert model.net.capacities == pytest.approx(hand.capacity, rel=ALIKE)
    assert model.start[:n] == pytest.approx(hand.start, rel=ALIKE)
    assert (model.start[n : model.start.size - slots] == 0.0).all()
    assert (model.start[model.start.size - slots :] == NEVER).all()


@every_case
def test_every_watt_and_every_gram(both, case):
    random = np.random.default_rng(3)
    for _ in range(40):
        assert_same(*both[case], random)


@given(fires(), st.integers(0, 2**32 - 1))
def test_every_watt_and_every_gram_of_generated_fires(night, seed):
    model, hand, random = assemble(night), FireByHand(night), np.random.default_rng(seed)
    for _ in range(3):
        assert_same(model, hand, random)

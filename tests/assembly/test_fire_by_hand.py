"""The assembled stove and fire against a second calculation, watt by watt and gram by gram, at random states."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import observe, shelter_jacobian, shelter_rhs
from tests.assembly.fire_by_hand import NEVER, Carried, FireByHand
from tests.assembly.nights import IN_THE_OPEN, stove_night
from tests.assembly.test_by_hand import BELL, TENT, rows_at
from tests.strategies import fires

ALIKE = 1e-9

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
        return slot.water * random.uniform(-2e-5, 2e-5), slot.dry * random.uniform(), caught
    if kind == 4:
        return slot.water * 1e-3, slot.dry * random.uniform(-1e-3, 1e-3), t - 9e3
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


def burning_well(hand, t, random, coals):
    """A state away from kinks and passages through 0: wood in all slots but the last, that is not there yet."""
    temps = temperatures_of(hand, random)
    temps[hand.stove.fire] = random.uniform(560.0, 700.0)
    for segment in hand.stove.segments:
        temps[segment.node] = random.uniform(350.0, 500.0)
    temps[hand.stove.body] = random.uniform(450.0, 550.0)
    if hand.stove.top is not None:
        temps[hand.stove.top] = 350.0
    slots = hand.stove.slots
    share = random.uniform(0.2, 0.9, len(slots))
    share[-1] = 0.0
    catching = np.array([20.0 + 3e3 * it.thickness for it in slots])  # s
    caught = np.where(share > 0.0, t - random.uniform(0.2, 0.8) * catching, NEVER)
    dry, water = (share * np.array([getattr(it, kind) for it in slots]) for kind in ("dry", "water"))
    return temps, carried_of(hand, t, random)._replace(
        water=0.8 * water, dry=dry, coals=coals, air=4e-3, inlet=0.6, damper=0.8, door=0.0, caught=caught
    )


def whole_by_hand(hand, names, temps, carried, t):
    """Derivatives of nodes, paths, water, dry wood, coals, ash, burnt and air in one row."""
    watts, _, rates = hand.watts(temps, carried, t)
    gone = [rates.get(name, 0.0) for name in names]
    return np.concatenate((watts / hand.capacity, gone, hand.rates(temps, carried, t)))


def moved(carried, k, by):
    """Amount k, counted as in the state, more by so much."""
    slots = len(carried.dry)
    if k < 2 * slots:
        kind = "water" if k < slots else "dry"
        return carried._replace(**{kind: getattr(carried, kind) + by * (np.arange(slots) == k % slots)})
    name = ("coals", "ash", "burnt", "air")[k - 2 * slots]
    return carried._replace(**{name: getattr(carried, name) + by})


CROSSING = {
    "people", "leakage", "outside_convection", "sky_radiation", "ground_edge", "fire", "unburnt", "drying", "flue",
    "pipe_outside", "boiling", "stove_outdoors",
}  # fmt: skip


@every_case
def test_what_crosses_is_what_the_nodes_store(both, case):
    """At any state: the sum over all nodes is that over the paths that come from outside them."""
    model, hand = both[case]
    names, n, random = model.net.path_names, len(hand.capacity), np.random.default_rng(4)
    assert [name in CROSSING for name in names] == model.net.crossings
    for _ in range(10):
        t = random.uniform(0.0, model.net.end - 1.0)
        temps, carried = temperatures_of(hand, random), carried_of(hand, t, random)
        got = shelter_rhs(t, state_of(model, hand, temps, carried, random), model.shelter, rows_at(model, t))
        watts, rates = got[:n] * hand.capacity, got[n : n + len(names)]
        size = np.abs(watts).sum() + np.abs(rates).sum()
        assert watts.sum() == pytest.approx(rates[model.net.crossings].sum(), abs=1e-11 * size)


@pytest.mark.parametrize("coals", [0.0, 0.2])
@every_case
def test_the_jacobian_is_the_slope_of_the_second_calculation(both, case, coals):
    """Column by column, against central differences by hand."""
    model, hand = both[case]
    random, n, t = np.random.default_rng(5), len(hand.capacity), 1234.0
    names, slots = model.net.path_names, len(hand.stove.slots)
    temps, carried = burning_well(hand, t, random, coals)
    state = state_of(model, hand, temps, carried, random)
    got = shelter_jacobian(t, state, model.shelter, rows_at(model, t))
    amounts = 2 * slots + 4
    kept = n + len(names) + amounts
    assert (got[kept:] == 0.0).all()  # settings stay
    assert (got[:, kept:] == 0.0).all()  # and do not move between two stops
    assert (got[:, n : n + len(names)] == 0.0).all()  # what has gone acts on nothing
    blocks = [slice(0, n), slice(n, n + len(names)), slice(n + len(names), kept)]

    def compare(column, ahead, back, width, what):
        by_hand = (whole_by_hand(hand, names, *ahead, t) - whole_by_hand(hand, names, *back, t)) / width
        for block in blocks:
            scale = np.abs(by_hand[block]).max()
            assert got[block, column] == pytest.approx(by_hand[block], rel=1e-3, abs=1e-3 * scale + 1e-15), (
                what
            )

    for k in range(n):
        step = 1e-2 * (np.arange(n) == k)
        width = hand.stove.state_of(k, temps[k] + 1e-2) - hand.stove.state_of(k, temps[k] - 1e-2)
        compare(k, (temps + step, carried), (temps - step, carried), width, f"node {k}")
    for k in range(amounts):
        column, by = n + len(names) + k, 1e-8 if k == amounts - 1 else 1e-5
        absent = k < 2 * slots and (k % slots == slots - 1 or (k < slots and not hand.stove.slots[k].water))
        if absent:  # wood or water that is not there stays away until it is put on
            assert (got[:, column] == 0.0).all()
            continue
        compare(
            column, (temps, moved(carried, k, by)), (temps, moved(carried, k, -by)), 2.0 * by, f"amount {k}"
        )

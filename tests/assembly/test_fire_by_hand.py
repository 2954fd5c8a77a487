"""The assembled stove and fire against a second calculation, watt by watt and gram by gram, at random states."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.jacobian import JACOBIAN_STEP, shelter_jacobian
from simtent.assembly.rhs import observe, rates, shelter_rhs, shelter_temperatures
from tests.assembly.by_hand import spread
from tests.assembly.fire_by_hand import NEVER, Carried, FireByHand
from tests.assembly.nights import IN_THE_OPEN, stove_night
from tests.assembly.test_by_hand import BELL, TENT, air_of, assert_air, moment, rows_at
from tests.strategies import fires

ALIKE = 1e-9

KITCHEN = {
    # Titanium of 0.1 mm on a steel box, glass, baffle, stones, damper, all that can sit on a pipe, thin air.
    "stove.sheet": "0.8 mm titanium",
    "stove.glass": "300 cm2",
    "stove.stands": "in a corner",
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
    "model.burn_rate": 1.4,
    "model.inlet": 0.7,
    "model.feedback": 0.45,
    "model.gas_side": 1.6,
    "model.heat": 0.8,
}
WATER = {
    "stove.on_top": "1 gal water",
    "stove.mass": "12 kg",
    "stove.legs": "90 cm",
    "stove.stands": "at a wall",
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


def without_heat(changes):
    """Without a known source."""
    return {key: value for key, value in changes.items() if not key.startswith("heat.")}


CASES = {
    "box": {},
    "wall tent": KITCHEN | without_heat(TENT),
    # The gap around the pipe under the peak, for the pipe is longer.
    "bell": WATER
    | RULED
    | without_heat(BELL)
    | {"shelter.openings.jack": {"gap": "12 cm2"}, "stove.stands": "at a wall"},
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
    temps, stove = random.uniform(238.0, 333.0, len(hand.capacity)), hand.stove
    if hand.night.shelter is not None:
        temps[: hand.place.count] = air_of(hand.place.count, random)
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
    """Wood of every kind; air to the fire, down the flue and in between; levers, door and match anywhere."""
    slots = [slot_of(slot, t, random) for slot in hand.stove.slots]
    water, dry, caught = (np.array(row) for row in zip(*slots, strict=True))
    return Carried(
        water=water,
        dry=dry,
        coals=random.choice([0.0, 1e-4, random.uniform(0.0, 1.0)]),
        ash=random.uniform(0.0, 0.1),
        burnt=random.uniform(0.0, 5.0),
        air=random.choice([0.0, *random.uniform(-2e-5, 2e-5, 2), *random.uniform(-0.003, 0.02, 3), -1e-3]),
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
    """Watts of every node, rates of every path, derivatives of all amounts; readings."""
    n, paths = len(hand.capacity), len(model.net.path_names)
    t = moment(hand.night, random)
    temps, carried = temperatures_of(hand, random), carried_of(hand, t, random)
    rows, state = rows_at(model, t), state_of(model, hand, temps, carried, random)
    drawn, suction = hand.felt(temps, carried, t)
    got = shelter_rhs(t, state, model.shelter, rows)
    assert got.shape == state.shape
    close(model, got, *hand.place.sums(hand.whole(temps, carried, t)))
    same_amounts(hand, got[n + paths :], temps, carried, t, drawn, suction)
    night, fire, air = observe(t, state, model.shelter, rows)
    wanted = hand.stove.readings(temps, carried, t, drawn, suction)
    assert fire == pytest.approx(wanted, rel=ALIKE, abs=1e-12)
    radiant, entering = 0.0, 0.0
    if hand.night.shelter is not None:
        moved = hand.place.moved(temps, t, hand.hearth(temps, carried, t))
        assert_air(model, hand.place, air, moved)
        radiant, entering = hand.place.mean_radiant(temps), moved.entering.sum()
    assert night == pytest.approx((*hand.place.weather(t), radiant, entering, 0.0), rel=ALIKE)


def assert_fire_same(model, hand, random):
    """The fire, flue and faces out of doors alone, by any air drawn and any pressure of a room."""
    n, paths = len(hand.capacity), len(model.net.path_names)
    t = moment(hand.night, random)
    temps, carried = temperatures_of(hand, random), carried_of(hand, t, random)
    inside, suction = random.uniform(240.0, 330.0), random.choice([0.0, random.uniform(-15.0, 5.0)])
    rows, state = rows_at(model, t), state_of(model, hand, temps, carried, random)
    every, ties = shelter_temperatures(t, state, model.shelter, rows), (0.0, suction, inside)
    got = rates(t, state, every, ties, np.zeros(0), 0.0, model.shelter, rows, False, False, True)
    close(model, got, *hand.place.sums(hand.fire(temps, carried, t, inside)))
    same_amounts(hand, got[n + paths :], temps, carried, t, inside, suction)


def same_amounts(hand, got, temps, carried, t, drawn, suction):
    """Derivatives of all amounts, and none of what is set."""
    wanted = hand.stove.rates(temps, carried, t, drawn, suction)
    assert got[: wanted.size] == pytest.approx(wanted, rel=ALIKE, abs=1e-16)
    assert (got[wanted.size :] == 0.0).all()


def close(model, got, watts, gross, gone):
    """Derivatives of nodes and paths against watts of the nodes, their sizes, and rates of the paths by name."""
    n = watts.size
    assert (np.abs(got[:n] * model.net.capacities - watts) < ALIKE * gross + 1e-12).all()
    for name, rate in zip(model.net.path_names, got[n:], strict=False):
        assert rate == pytest.approx(gone.get(name, 0.0), rel=ALIKE, abs=1e-9 * gross.max()), name


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
def test_the_fire_draws_where_its_box_stands(both, case):
    model, hand = both[case]
    flue, noun = model.shelter.stove.flue, hand.night.stove
    assert flue.foot == pytest.approx(noun.legs, rel=ALIKE)
    if hand.night.shelter is None:
        assert flue.draws.size == 0
    else:
        edges = hand.place.drawing.edges
        assert flue.draws == pytest.approx(spread(edges, *hand.stove.span(edges[-1])), abs=ALIKE)


@every_case
def test_every_watt_and_every_gram(both, case):
    random = np.random.default_rng(3)
    for _ in range(40):
        assert_same(*both[case], random)
        assert_fire_same(*both[case], random)


@given(fires(), st.integers(0, 2**32 - 1))
def test_every_watt_and_every_gram_of_generated_fires(night, seed):
    model, hand, random = assemble(night), FireByHand(night), np.random.default_rng(seed)
    for _ in range(3):
        assert_same(model, hand, random)


def burning_well(hand, t, random, coals, air):
    """A state away from kinks and passages through 0: wood in all slots but the last, that is not there yet."""
    temps = temperatures_of(hand, random)
    if hand.night.shelter is not None:
        temps[: hand.place.count] = 275.0 + np.cumsum(random.uniform(1.0, 3.0, hand.place.count))
        for face in hand.place.inner:  # currents turn within 50 mK
            temps[face.node] = temps[face.layer] + random.choice([1.0, -1.0]) * random.uniform(2.0, 20.0)
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
        water=0.8 * water, dry=dry, coals=coals, air=air, inlet=0.6, damper=0.8, door=0.0, caught=caught
    )


def whole_by_hand(hand, names, temps, carried, t):
    """Derivatives of nodes, paths, water, dry wood, coals, ash, burnt and air in one row."""
    watts, _, rates = hand.place.sums(hand.whole(temps, carried, t))
    gone = [rates.get(name, 0.0) for name in names]
    burnt = hand.stove.rates(temps, carried, t, *hand.felt(temps, carried, t))
    return np.concatenate((watts / hand.capacity, gone, burnt))


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


def differences(model, hand, temps, carried, t):
    """One-sided slopes of the second calculation, column by column: what stands in the column, and the slope."""
    names, slots = model.net.path_names, len(hand.stove.slots)
    base = whole_by_hand(hand, names, temps, carried, t)
    for k in range(len(hand.capacity)):
        ahead = temps + JACOBIAN_STEP * (np.arange(len(temps)) == k)
        width = hand.stove.state_of(k, ahead[k]) - hand.stove.state_of(k, temps[k])
        yield k, (whole_by_hand(hand, names, ahead, carried, t) - base) / width
    for k, size in enumerate(model.shelter.net.scale[: 2 * slots + 4]):
        by = JACOBIAN_STEP * size
        ahead = whole_by_hand(hand, names, temps, moved(carried, k, by), t)
        yield len(hand.capacity) + len(names) + k, (ahead - base) / by


@pytest.mark.parametrize(
    ("coals", "air"),
    [
        pytest.param(0.0, 4e-3, marks=pytest.mark.slow),
        (0.2, 4e-3),
        (0.2, -2e-3),
        pytest.param(0.2, 3e-6, marks=pytest.mark.slow),
    ],
)
@every_case
def test_the_jacobian_is_the_slope_of_the_second_calculation(both, case, coals, air):
    """Column by column, up the flue, down it and between; the step is the package's own."""
    least = 1e-8 if abs(air) < 1e-5 else 1e-15  # round-off, where next to nothing flows
    model, hand = both[case]
    random, n, t = np.random.default_rng(5), len(hand.capacity), 1234.0
    names, slots = model.net.path_names, len(hand.stove.slots)
    temps, carried = burning_well(hand, t, random, coals, air)
    state = state_of(model, hand, temps, carried, random)
    got = shelter_jacobian(t, state, model.shelter, rows_at(model, t))
    kept = n + len(names) + 2 * slots + 4
    assert (got[kept:] == 0.0).all()  # settings stay
    assert (got[:, kept:] == 0.0).all()  # and do not move between two stops
    assert (got[:, n : n + len(names)] == 0.0).all()  # what has gone acts on nothing
    for column, wanted in differences(model, hand, temps, carried, t):
        k = column - n - len(names)
        if 0 <= k < 2 * slots and (k % slots == slots - 1 or (k < slots and not hand.stove.slots[k].water)):
            assert (got[:, column] == 0.0).all()  # wood that is not there stays away until it is put on
            continue
        for block in (slice(0, n), slice(n, n + len(names)), slice(n + len(names), kept)):
            scale = np.abs(wanted[block]).max()
            assert got[block, column] == pytest.approx(wanted[block], rel=1e-3, abs=1e-3 * scale + least), (
                column
            )

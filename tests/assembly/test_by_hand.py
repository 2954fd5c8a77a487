"""The assembled shelter against a second calculation, watt by watt, at random states."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.rhs import observe, shelter_rhs
from tests.assembly.by_hand import ByHand
from tests.assembly.drawing import layer_edges
from tests.simulate.cases import scenario
from tests.strategies import scenarios

ALIKE = 1e-9

BOX = {
    # Two solids that resist, with a face between them; steady cold, sea level, a bare floor, calm, nobody inside.
    "shelter.skin.wall": ["350 g/m2 polycotton canvas", "8 mm polyester quilt", "4 mm wool blanket"],
    "shelter.skin.roof": ["20 mm closed-cell foam"],
    "outdoors.cloud": "0 %",
    "outdoors.humidity": "1 %",
    "outdoors.wind": "0 m/s",
    "outdoors.shift": "-3 K",
    "shelter.contents": {"mass": "0 kg"},
    "night.inside_at_start": "5 degC",
    "model.layers": 7,
    # Seams alone, on open ground; a fan that stirs.
    "site.shelter_from_wind": "open ground",
    "shelter.fan": {"flow": "60 m3/h"},
    "model.leak_area": "90 cm2",
}
TENT = {
    "shelter.shape": "wall tent",
    "shelter.length": "4.2 m",
    "shelter.width": "3.3 m",
    "shelter.wall": "1.2 m",
    "shelter.ridge": "2.6 m",
    "shelter.height": "none",
    # From the outside in; every face of the wall has an emissivity of its own, and wall and roof differ.
    "shelter.skin.wall": ["coated nylon", "40 mm air gap", "liner aluminised outside"],
    "shelter.skin.roof": [
        "liner aluminised outside",
        "25 mm air gap",
        "8 mm polyester quilt",
        "polyester liner",
    ],
    "shelter.floor": {
        "mat": "20 mm closed-cell foam",
        "mat_area": "4 m2",
        "cover": "liner aluminised inside",
    },
    "shelter.contents": {"mass": "40 kg", "area": "5 m2", "height": "70 cm"},
    "site.ground": "settled snow",
    "site.snow_density": "320 kg/m3",
    "site.ground_start": "-6 degC",
    "site.altitude": "2000 m",
    "outdoors.cloud": "50 %",
    "outdoors.humidity": "65 %",
    "outdoors.wind": "4 m/s",
    "outdoors.steady": "none",
    "outdoors.high": {"at": "15:00", "air": "-4 degC"},
    "outdoors.low": {"at": "05:00", "air": "-21 degC"},
    "crew.asleep": 2,
    "heat.radiant_share": "30 %",
    "heat.between": "lines",
    "heat.table": [{"at": "18:40", "power": "1 kW"}, {"at": "20:00", "power": "3 kW"}],
    "heat.from_height": "40 cm",
    "heat.to_height": "2.2 m",
    "heat.stands": "at a wall",
    "model.mixing": 2.0,
    "model.walls": 1.2,
    "model.heat": 0.9,
    "model.leak_area": "350 cm2",
    "model.leak_below_skirt": "120 cm2",
    "model.layers": 16,
    "shelter.fan": {"flow": "90 m3/h", "from": "2.3 m", "to": "30 cm"},
    "shelter.openings": {
        "low_vent": {"area": "90 cm2", "at": "15 cm", "open": "60 %"},
        "ridge_vent": {"area": "130 cm2", "at": "2.3 m", "faces": "lee"},
        "jack": {"gap": "25 cm2", "at": "1.8 m"},
        "door": {
            "width": "70 cm",
            "height": "1.4 m",
            "sill": "10 cm",
            "faces": "wind",
            "open": [{"at": "19:00", "for": "40 min"}, {"at": "22:00", "for": "1 h"}],
        },
    },
}
BELL = {
    "shelter.shape": "bell",
    "shelter.diameter": "4.4 m",
    "shelter.wall": "60 cm",
    "shelter.peak": "2.9 m",
    "shelter.length": "none",
    "shelter.width": "none",
    "shelter.height": "none",
    "shelter.skin.wall": ["liner aluminised inside"],
    "shelter.skin.roof": [
        "coated nylon",
        "60 mm air gap",
        "liner aluminised inside",
        "15 mm air gap",
        "wool blanket",
    ],
    "shelter.floor": {"mat": "12 mm wool felt", "cover": "wool blanket", "board": "3/4 in plywood"},
    "site.ground": "fresh snow",
    "site.snow_density": "120 kg/m3",
    "outdoors.humidity": "100 %",
    "outdoors.cloud": "10 %",
    "model.walls": 0.8,
    "model.layers": 9,
    "site.shelter_from_wind": "in timber",
    "heat.stands": "in a corner",
    "crew.asleep": 3,
    "outdoors.wind": "3 m/s",
    # Carries up; a vent at the wall's upper edge, one in the roof just above.
    "shelter.fan": {"flow": "40 m3/h", "from": "20 cm", "to": "2.5 m"},
    "shelter.openings": {
        "low_vent": {"area": "60 cm2", "at": "60 cm", "faces": "wind"},
        "ridge_vent": {"area": "80 cm2", "at": "62 cm"},
    },
}
BARE = {f"shelter.{key}": "none" for key in ("length", "width", "height")} | {"shelter.skin": "none"}
PYRAMID = BARE | {
    "shelter.shape": "pyramid",
    "shelter.sides": 6,
    "shelter.width": "4 m",
    "shelter.wall": "50 cm",
    "shelter.peak": "2.7 m",
    "shelter.skin.all": ["coated nylon", "30 mm air gap", "polyester liner"],
    "shelter.skirt": "loose",
    "shelter.window": [
        {"area": "1 m2", "from": "20 cm", "to": "50 cm", "layers": ["clear vinyl film"]},
        {"part": "roof", "area": "2 m2", "from": "90 cm", "to": "2 m", "layers": ["polyester liner"]},
    ],
    "shelter.openings": {
        "vents": {
            "flap": {"area": "70 cm2", "at": "45 cm", "faces": "wind"},
            "at the tip": {"area": "90 cm2", "at": "2.5 m", "open": "50 %"},
        },
    },
    "model.layers": 11,
    "model.walls": 1.1,
}
HUB = BARE | {
    "shelter.shape": "hub",
    "shelter.sides": 4,
    "shelter.width": "2.6 m",
    "shelter.wall": "1.6 m",
    "shelter.peak": "2.2 m",
    "shelter.pushed_out": "30 cm",
    # Gaps in walls that overhang below and lean in above.
    "shelter.skin.wall": ["coated nylon", "20 mm air gap", "polyester liner"],
    "shelter.skin.roof": ["8 mm polyester quilt"],
    "shelter.skirt": "weighted",
    "shelter.window": [{"area": "1.2 m2", "from": "50 cm", "to": "1.3 m", "layers": ["clear vinyl film"]}],
    "shelter.openings": {"jack": {"gap": "30 cm2", "at": "1.2 m", "through": "wall", "faces": "wind"}},
    "model.layers": 13,
}
DOME = BARE | {
    "shelter.shape": "dome",
    "shelter.diameter": "4 m",
    "shelter.peak": "2.2 m",
    "shelter.skin.roof": ["coated nylon", "25 mm air gap", "polyester liner"],
    "shelter.skirt": "snow",
    "shelter.openings": {
        # One where the dome is steeper than 45 deg, one where it is flatter; a jack in the wind.
        "low_vent": {"area": "80 cm2", "at": "70 cm"},
        "ridge_vent": {"area": "80 cm2", "at": "2 m"},
        "jack": {"gap": "30 cm2", "at": "1.9 m", "faces": "wind"},
    },
    "model.layers": 10,
}
TUNNEL = BARE | {
    "shelter.shape": "tunnel",
    "shelter.length": "3.8 m",
    "shelter.width": "2.6 m",
    "shelter.peak": "2 m",
    "shelter.skin.wall": ["cotton canvas"],
    "shelter.skin.roof": ["coated nylon", "25 mm air gap", "polyester liner"],
    "shelter.window": [
        {"part": "roof", "area": "2 m2", "from": "1 m", "to": "2 m", "layers": ["clear vinyl film"]},
        {"area": "60 cm2", "from": "30 cm", "to": "1 m", "layers": ["clear vinyl film"]},
    ],
    "shelter.openings": {"ridge_vent": {"area": "80 cm2", "at": "1.9 m", "faces": "wind"}},
    "model.layers": 12,
}
# A sliver of the wall, 0.1 mm high, reaches into another layer of the air.
SLIVER = TENT | {"shelter.wall": f"{layer_edges(2.6, 16)[8] + 1e-4:.9f} m"}
CASES = {
    "quilted box": BOX,
    "sliver": SLIVER,
    "lined wall tent": TENT,
    "bell": BELL,
    "pyramid with windows": PYRAMID,
    "hub": HUB,
    "dome": DOME,
    "tunnel with windows": TUNNEL,
}
every_case = pytest.mark.parametrize("case", CASES)


@pytest.fixture(scope="module")
def both():
    nights = {case: scenario().replace(changes) for case, changes in CASES.items()}
    return {case: (assemble(night), ByHand(night)) for case, night in nights.items()}


def rows_at(model, t):
    """Rows of the tables in force at a time [s]."""
    jumps = model.net.jump_times()
    return model.shelter.net.jumps.rows[int(np.searchsorted(jumps, t, side="right")) - 1].copy()


def air_of(count, random):
    """Temperatures of the layers [K]: anything; warmer and warmer upward; all but alike; warm below a cold head."""
    steps = random.choice([10.0, 2.0, 0.1]) * random.uniform(0.0, 1.0, count)
    kinds = [
        random.uniform(238.0, 333.0, count),
        random.uniform(245.0, 285.0) + np.cumsum(steps),
        random.uniform(245.0, 310.0) + random.uniform(-0.05, 0.05, count),
        random.uniform(270.0, 310.0) - np.cumsum(0.2 * steps),
    ]
    return kinds[random.integers(4)]


def state_of(model, random):
    """Every node anywhere from -35 to 60 degC, the heat that has gone along the paths anything."""
    n, count = len(model.net.capacities), model.house.bands.centres.size
    state = random.uniform(-1e7, 1e7, model.start.size)
    state[:n] = random.uniform(238.0, 333.0, n)
    state[:count] = air_of(count, random)
    for node in model.shelter.net.melts.node:  # frozen, melting, molten
        state[node] = random.uniform(238.0, 600.0)
    return state


def moment(night, random):
    """A time of the night [s], as often while the door stands open as not."""
    door = night.shelter.openings.door if night.shelter else None
    spans = [(0.0, night.night.seconds - 1.0), *(door.openings if door else ())]
    return random.uniform(*spans[random.integers(len(spans))])


def assert_same(model, hand, random):
    """Capacities, starts, watts of every node, rates of every path, and readings."""
    n = len(hand.capacity)
    assert hand.group == model.net.groups
    assert model.net.capacities == pytest.approx(hand.capacity, rel=ALIKE)
    assert model.start[:n] == pytest.approx(hand.start, rel=ALIKE)
    assert (model.start[n:] == 0.0).all()
    t = moment(hand.night, random)
    rows, state = rows_at(model, t), state_of(model, random)
    got = shelter_rhs(t, state, model.shelter, rows)
    temps = hand.temperatures(state[:n])
    watts, gross, rates = hand.watts(temps, t)
    assert (np.abs(got[:n] * hand.capacity - watts) < ALIKE * gross + 1e-12).all()
    for name, rate in zip(model.net.path_names, got[n:], strict=True):
        assert rate == pytest.approx(rates.get(name, 0.0), rel=ALIKE, abs=1e-9 * gross.max()), name
    night, _, air = observe(t, state, model.shelter, rows)
    moved = hand.moved(temps, t)
    readings = (*hand.weather(t), hand.mean_radiant(temps), moved.entering.sum(), hand.power(t))
    assert night == pytest.approx(readings, rel=ALIKE)
    assert_air(model, hand, air, moved)


def assert_air(model, hand, air, moved):
    """Streams, flows by opening, and pressure; what comes in, goes out and is drawn is even to the last digits."""
    size = max(np.abs(moved.streams).max(), moved.entering.sum())
    assert air.streams == pytest.approx(moved.streams, rel=ALIKE, abs=ALIKE * size)
    assert air.pressure == pytest.approx(moved.pressure, rel=ALIKE, abs=ALIKE)
    for got, wanted in ((air.entering, moved.entering), (air.leaving, moved.leaving)):
        by_name = dict.fromkeys(model.house.openings, 0.0)
        for k, flow in zip(model.house.element_group, got, strict=True):
            by_name[model.house.openings[k]] += flow
        by_hand = {}
        for it, flow in zip(hand.air.elements, wanted, strict=True):
            by_hand[it.name] = by_hand.get(it.name, 0.0) + flow
        assert by_name == pytest.approx(by_hand, rel=ALIKE, abs=ALIKE * size)


@every_case
def test_every_watt_and_every_path(both, case):
    random = np.random.default_rng(3)
    for _ in range(8):
        assert_same(*both[case], random)


@given(scenarios(), st.integers(0, 2**32 - 1))
def test_every_watt_of_generated_shelters(night, seed):
    assert_same(assemble(night), ByHand(night), np.random.default_rng(seed))


@every_case
def test_surfaces_bear_the_right_names(both, case):
    model, hand = both[case]
    named = {face.name: face.node for face in (*hand.inner, *hand.outer)}
    assert model.house.surfaces == named
    assert next(iter(model.house.surfaces)) == ("roof 1" if case == "dome" else "wall 1")
    assert list(model.house.surfaces)[-1] == "floor"


@every_case
def test_the_edge_loses_from_the_top_of_the_ground(both, case):
    model, hand = both[case]
    tops = sorted(node for start, node, _, path in hand.links if path == "ground_edge")
    found = [floor.ground_top for floor in model.house.floors]
    assert sorted(top for top in found if top is not None) == tops


@every_case
def test_layers_and_their_volumes(both, case):
    model, hand = both[case]
    assert model.house.bands.edges == pytest.approx(hand.drawing.edges, rel=ALIKE)
    assert model.house.bands.volume == pytest.approx(hand.drawing.volume, rel=ALIKE)


@every_case
def test_the_jacobian_is_the_slope_of_the_second_calculation(both, case):
    """Along random directions, against central differences by hand; what has gone along the paths acts on nothing.

    The air grows warmer or colder upward by some kelvins a layer: away from where currents turn within 50 mK.
    """
    model, hand = both[case]
    random, n = np.random.default_rng(5), len(hand.capacity)
    for up in (1.0, -0.5):
        t = moment(hand.night, random)
        rows, state = rows_at(model, t), state_of(model, random)
        state[: hand.count] = 280.0 + up * np.cumsum(random.uniform(1.0, 3.0, hand.count))
        jacobian = shelter_jacobian(t, state, model.shelter, rows)
        way = random.normal(size=n)
        (ahead, _, gone), (back, _, came) = (
            hand.watts(hand.temperatures(state[:n] + step * way), t) for step in (1e-3, -1e-3)
        )
        slopes = (ahead - back) / 2e-3 / hand.capacity
        assert jacobian[:n, :n] @ way == pytest.approx(slopes, rel=1e-3, abs=1e-3 * np.abs(slopes).max())
        rates = [(gone.get(name, 0.0) - came.get(name, 0.0)) / 2e-3 for name in model.net.path_names]
        assert jacobian[n:, :n] @ way == pytest.approx(rates, rel=1e-3, abs=1e-3 * np.abs(rates).max())
        assert (jacobian[:, n:] == 0.0).all()

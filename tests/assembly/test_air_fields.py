"""Every number of openings, fan and sources acts on the moving air as the closed forms have it."""

import math

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import observe, shelter_rhs
from tests.simulate.cases import scenario

OUT, AIR = 263.15, 285.0  # K
PRESSURE, R_AIR, G, CP = 101325.0, 287.055, 9.80665, 1006.0
DENSE, THIN = (PRESSURE / (R_AIR * temperature) for temperature in (OUT, AIR))  # kg/m3
LIGHTER = (DENSE - THIN) * G  # Pa/m
FLOOR, HEIGHT = 3.0 * 2.5, 2.0  # m2, m: the box of the nights for tests
TIGHT = {"model.leak_area": "1 cm2", "outdoors.wind": "0 m/s", "shelter.contents": {"mass": "0 kg"}}
NO_POWER = {"heat.table": [{"at": "18:00", "power": "0 W"}]}
STEADY = {"heat.table": [{"at": "18:00", "power": "2 kW"}]}


def vents(low="400 cm2", high="400 cm2", at=("20 cm", "1.7 m"), share=("100 %", "100 %")):
    """Two vents."""
    return {
        "shelter.openings.low_vent": {"area": low, "at": at[0], "open": share[0]},
        "shelter.openings.ridge_vent": {"area": high, "at": at[1], "open": share[1]},
    }


def jack(gap, at):
    return {
        "shelter.openings": {"low_vent": {"area": "300 cm2", "at": "20 cm"}, "jack": {"gap": gap, "at": at}}
    }


def read(changes, t=0.0, air=AIR, base=TIGHT):
    """What comes in, all in all [kg/s], and how the air moves; all of it at one temperature or one of each layer."""
    model = assemble(scenario().replace(base | changes))
    state = model.start.copy()
    state[: model.house.bands.centres.size] = air
    jumps = model.net.jump_times()
    rows = model.shelter.net.jumps.rows[int(np.searchsorted(jumps, t, side="right")) - 1].copy()
    night, _, moved = observe(t, state, model.shelter, rows)
    return night[4], moved, model.house


def stack_flow(low, high, apart):
    """Two sharp openings, C_d .6 (closed form): neutral height H / (1 + (a_lo/a_up)^2 rho_o/rho_i) [kg/s]."""
    neutral = apart / (1.0 + (low / high) ** 2 * DENSE / THIN)
    return 0.6 * low * math.sqrt(2.0 * DENSE * LIGHTER * neutral)


@pytest.mark.parametrize(
    ("changes", "low", "high", "apart"),
    [
        (vents(), 0.04, 0.04, 1.5),
        (vents(low="800 cm2"), 0.08, 0.04, 1.5),
        (vents(low="800 cm2", share=("50 %", "100 %")), 0.04, 0.04, 1.5),
        (vents(high="800 cm2"), 0.04, 0.08, 1.5),
        (vents(high="800 cm2", share=("100 %", "25 %")), 0.04, 0.02, 1.5),
        (vents(at=("50 cm", "1.7 m")), 0.04, 0.04, 1.2),
        (vents(at=("20 cm", "1.9 m")), 0.04, 0.04, 1.7),
        (jack("300 cm2", "1.2 m"), 0.03, 0.03, 1.0),
        (jack("450 cm2", "1.2 m"), 0.03, 0.045, 1.0),
        (jack("300 cm2", "1.95 m"), 0.03, 0.03, 1.75),
    ],
)
def test_two_openings_draw_as_the_closed_form_has_it(changes, low, high, apart):
    """Half a percent for the seams, which cannot be shut altogether."""
    assert read(changes)[0] == pytest.approx(stack_flow(low, high, apart), rel=5e-3)


DOOR = {"width": "80 cm", "height": "1.2 m", "sill": "10 cm", "open": [{"at": "18:00", "for": "10 min"}]}


@pytest.mark.parametrize(
    ("changes", "width", "height", "sill"),
    [
        ({}, 0.8, 1.2, 0.1),
        ({"width": "1.2 m"}, 1.2, 1.2, 0.1),
        ({"height": "1.7 m"}, 0.8, 1.7, 0.1),
        ({"sill": "60 cm"}, 0.8, 1.2, 0.6),
    ],
)
def test_a_door_lets_cold_air_in_below_and_warm_air_out_above(changes, width, height, sill):
    """Both ways 2/3 C_d w (2 rho_o drho g)^(1/2) h^(3/2), h = H / (1 + (rho_o/rho_i)^(1/3)) (closed form)."""
    found, moved, house = read({"shelter.openings.door": DOOR | changes, "model.layers": 64}, t=60.0)
    neutral = height / (1.0 + (DENSE / THIN) ** (1.0 / 3.0))
    wanted = 2.0 / 3.0 * 0.6 * width * math.sqrt(2.0 * DENSE * LIGHTER) * neutral**1.5
    assert found == pytest.approx(wanted, rel=5e-3)
    assert np.interp(0.0, moved.pressure, house.bands.centres) == pytest.approx(sill + neutral, abs=5e-3)


def test_a_door_stands_open_for_as_long_as_it_says():
    shut = read({})[0]
    for minutes in (2, 7):
        opened = {"shelter.openings.door": DOOR | {"open": [{"at": "18:05", "for": f"{minutes} min"}]}}
        for t in (0.0, 299.0, 300.0, 301.0 + 60.0 * minutes, 900.0):
            assert read(opened, t)[0] == pytest.approx(shut, rel=1e-9) or 300.0 <= t < 300.0 + 60.0 * minutes
        for t in (300.0, 299.0 + 60.0 * minutes):
            assert read(opened, t)[0] > 100.0 * shut


@pytest.mark.parametrize("area", [200, 600])
def test_a_leak_along_the_floor_lets_in_by_its_area_at_4_pa(area):
    """Under a wide vent at 1.9 m all of the stack stands at the floor: L (2 4/rho)^(1/2) (dp/4)^.65 (closed form)."""
    wide = {"shelter.openings.ridge_vent": {"area": "2 m2", "at": "1.9 m"}}
    wanted = area * 1e-4 * math.sqrt(8.0 * DENSE) * (LIGHTER * 1.9 / 4.0) ** 0.65
    found = read(wide | {"model.leak_below_skirt": f"{area} cm2"})[0]
    assert found == pytest.approx(wanted, rel=1e-2)


@pytest.mark.parametrize(
    ("place", "between"), [("open ground", 1.1), ("edge of timber", 0.67), ("in timber", 0.45)]
)
def test_wind_blows_through_by_the_difference_of_its_coefficients(place, between):
    """Two equal openings in a row; coefficients of low buildings from memory."""
    through = {
        "site.shelter_from_wind": place,
        "outdoors.wind": "5 m/s",
        "shelter.openings.low_vent": {"area": "400 cm2", "at": "50 cm", "faces": "wind"},
        "shelter.openings.ridge_vent": {"area": "400 cm2", "at": "1.5 m", "faces": "lee"},
    }
    wanted = 0.6 * 0.04 * DENSE * 5.0 * math.sqrt(between / 2.0)
    assert read(through, air=OUT)[0] == pytest.approx(wanted, rel=1e-2)


def heat_by_layer(changes, air):
    """Heat into each layer [W], no surface warmer or colder than its air; and the layers' edges [m]."""
    model = assemble(scenario().replace(TIGHT | NO_POWER | changes))
    bands, state = model.house.bands, model.start.copy()
    count = bands.centres.size
    state[:count] = air(bands.centres)
    for name, node in model.house.surfaces.items():
        words = name.split()
        if words[0] != "outer":
            state[node] = state[int(words[1]) - 1 if words[0] in ("wall", "roof") else 0]
    rates = shelter_rhs(0.0, state, model.shelter, model.shelter.net.jumps.rows[0].copy())
    return (rates[: len(model.net.capacities)] * model.net.capacities)[:count], bands.edges


def warmer_upward(z):
    return 270.0 + 8.0 * z


LOW = {"levels.floor": "10 cm", "levels.waist": "none"}


@pytest.mark.parametrize(
    ("changes", "without", "total", "low"),
    [
        (STEADY | {"heat.from_height": "20 cm"}, {}, 1200.0, 0.2),
        (STEADY | {"heat.from_height": "80 cm"}, {}, 1200.0, 0.8),
        # Who lies reaches 10 cm below the cot's height (common practice, no source).
        ({"crew.asleep": 2, "levels.cot": "40 cm"}, {"levels.cot": "40 cm"}, 120.0, 0.3),
        ({"crew.asleep": 2, "levels.cot": "1.1 m"}, {"levels.cot": "1.1 m"}, 120.0, 1.0),
    ],
)
def test_a_plume_begins_at_the_foot_of_its_source(changes, without, total, low):
    """Below nothing changes; all of its heat arrives."""
    (cold, edges), (warm, _) = (heat_by_layer(LOW | given, warmer_upward) for given in (without, changes))
    moved = np.abs(warm - cold) > 1e-9
    foot = int(np.searchsorted(edges, low)) - 1
    assert not moved[:foot].any()
    assert moved[foot : foot + 3].all()
    assert (warm - cold).sum() == pytest.approx(total, rel=1e-9)


def test_heat_given_higher_up_arrives_higher_up():
    """From 20 cm upward; where the air is alike everywhere all of it rises to the top."""

    def middle(top, air):
        cold, edges = heat_by_layer({}, air)
        warm, _ = heat_by_layer(STEADY | {"heat.from_height": "20 cm", "heat.to_height": top}, air)
        return (warm - cold) @ (edges[1:] + edges[:-1]) / 2.0 / 1200.0, edges

    assert middle("1.5 m", warmer_upward)[0] > middle("60 cm", warmer_upward)[0] + 0.02
    found, edges = middle("60 cm", lambda z: 0.0 * z + 280.0)
    assert found == pytest.approx((edges[-1] + edges[-2]) / 2.0, rel=1e-9)


def test_a_plume_in_a_corner_mixes_less_and_rises_higher():
    """In a room that grows warmer upward: less air of below, so that it is longer warmer than the rest."""
    tops = []
    for stands in ("free", "at a wall", "in a corner"):
        (cold, edges), (warm, _) = (
            heat_by_layer(given, warmer_upward) for given in ({}, STEADY | {"heat.stands": stands})
        )
        tops.append((warm - cold) @ (edges[1:] + edges[:-1]))
    assert tops[0] < tops[1] - 1.0 < tops[2] - 2.0


@pytest.mark.parametrize("factor", [0.5, 1.0, 3.0])
def test_the_factor_on_mixing_multiplies_what_passes_between_layers(factor):
    """0.6 W/(m K) where it is warmer above (memory), and next to no other flow, for it is as cold outdoors."""
    still, edges = heat_by_layer({"model.mixing": factor}, lambda z: OUT + 2.0 * z**2)
    middles = (edges[1:] + edges[:-1]) / 2.0
    down = factor * 0.6 * FLOOR * np.diff(2.0 * middles**2) / np.diff(middles)
    assert still == pytest.approx(np.append(down, 0.0) - np.insert(down, 0, 0.0), abs=2e-3 * down.max())


CALM = {"model.mixing": 0.05, "night.inside_at_start": "5 degC"}
START = PRESSURE / (R_AIR * 278.15)  # kg/m3, at which a fan's volume is told


@pytest.mark.parametrize(
    ("flow", "source", "target"),
    [(40, 1.7, 0.3), (80, 1.7, 0.3), (80, 1.2, 0.3), (80, 1.7, 0.7), (80, 0.3, 1.7)],
)
def test_a_fan_carries_its_volume_from_one_height_to_the_other(flow, source, target):
    """Across every height between, its air goes one way and as much of what is there the other."""

    def air(z):
        return 263.0 + 5.0 * z

    fan = {"flow": f"{flow} m3/h", "from": f"{source} m", "to": f"{target} m"}
    (still, edges), (blown, _) = (heat_by_layer(CALM | extra, air) for extra in ({}, {"shelter.fan": fan}))
    below = np.cumsum(blown - still)[:-1]  # W, into all layers up to each edge
    middles = (edges[1:] + edges[:-1]) / 2.0
    first, last = sorted(int(np.searchsorted(edges, height)) - 1 for height in (source, target))
    carried = np.zeros(middles.size - 1)
    stream = flow / 3600.0 * START * CP
    taken = air(middles[last if source > target else first])
    for k in range(first, last):  # the room's own flow brings the air of the layer that it comes from
        carried[k] = stream * (taken - air(middles[k]) if source > target else air(middles[k + 1]) - taken)
    assert below == pytest.approx(carried, abs=2e-2 * carried.max())


def test_a_fan_without_heights_mixes_the_lower_half_with_the_upper():
    """By its flow times what their middles, half the height apart, differ by."""
    calm, _ = heat_by_layer(CALM, warmer_upward)
    for flow in (40, 120):
        stirred, _ = heat_by_layer(CALM | {"shelter.fan": {"flow": f"{flow} m3/h"}}, warmer_upward)
        down = np.cumsum(stirred - calm)[:-1]
        assert down == pytest.approx(flow / 3600.0 * START * CP * 8.0 * HEIGHT / 2.0, rel=1e-3)


VENT = ("area", "at", "open")
AIR_KEYS = {f"shelter.openings.{vent}.{key}" for vent in ("low_vent", "ridge_vent") for key in VENT}
AIR_KEYS |= {
    "shelter.openings.jack.gap",
    "shelter.openings.jack.at",
    "model.leak_below_skirt",
    "model.mixing",
}
AIR_KEYS |= {f"shelter.openings.door.{key}" for key in ("width", "height", "sill", "open[].for")}
AIR_KEYS |= {"shelter.fan.flow", "shelter.fan.from", "shelter.fan.to"}
AIR_KEYS |= {"heat.from_height", "heat.to_height", "levels.*"}

"""The sun on an assembled shelter, against a second calculation, closed forms and what must not change."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import shelter_rhs
from simtent.assembly.sun import sunshine
from simtent.errors import InputError
from simtent.network.kernels import table_value
from tests.assembly.sun_by_hand import InTheSun, on_band, since_noon
from tests.assembly.test_by_hand import ALIKE, BELL, BOX, TENT, rows_at, state_of
from tests.simulate.cases import scenario
from tests.standing import suns
from tests.strategies import scenarios

DAY = {"night.begin": "05:30", "night.end": "21:00", "heat.table": [{"at": "05:30", "power": "0 W"}]}
LIT = {
    "site.latitude": "46.5 deg N",
    "site.solar_noon": "12:25",
    "shelter.skin.wall": [
        "light polycotton canvas",
        "40 mm air gap",
        "polyester liner",
        "coated nylon",
    ],
    "shelter.skin.roof": [
        "coated nylon",
        "25 mm air gap",
        "polyester liner",
        "15 mm air gap",
        "wool blanket",
    ],
    "outdoors.cloud": "30 %",
}
SUN_KEYS = {"site.latitude"}  # tried here, in place of `test_fields`
CASES = {"box": BOX | LIT, "wall tent": TENT | LIT, "bell": BELL | LIT}


def sunlit(case):
    changes = {key: value for key, value in CASES[case].items() if key not in DAY}
    if "shelter.openings" in changes:
        changes["shelter.openings"] = {
            name: it for name, it in changes["shelter.openings"].items() if name != "door"
        }
    return scenario().replace(changes | DAY)


def knots(model):
    """Moments [s] at which the tables of the sun have a knot."""
    net = model.shelter.net
    sun = net.sources.table[net.sources.path == model.net.path_names.index("sun")]
    starts = net.tables.knots[net.jumps.rows[0, sun].min() : net.jumps.rows[-1, sun].max() + 1]
    return [t for t in sorted(set(starts.tolist())) if 0.0 <= t < model.net.end]


def watts_of_the_sun(model, t, rows):
    """Heat from the sun into every node [W]."""
    net, out = model.shelter.net, np.zeros(model.shelter.net.capacity.size)
    for k in np.flatnonzero(net.sources.path == model.net.path_names.index("sun")):
        out[net.sources.node[k]] += net.sources.share[k] * table_value(
            net.tables, rows, net.sources.table[k], t
        )
    return out


def assert_same(model, hand, t, near=ALIKE):
    """Every node's watts, and the path's rate; off a table's knots only `near`."""
    rows, state = rows_at(model, t), state_of(model, np.random.default_rng(7))
    n = len(hand.capacity)
    got = shelter_rhs(t, state, model.shelter, rows)
    watts, gross, rates = hand.watts(hand.temperatures(state[:n]), t)
    assert (np.abs(got[:n] * hand.capacity - watts) < near * gross + 1e-9).all()
    sun = got[n + model.net.path_names.index("sun")]
    assert sun == pytest.approx(rates["sun"], rel=near, abs=near * gross.max())


@pytest.mark.parametrize("case", CASES)
def test_every_watt_of_the_sun(case):
    night = sunlit(case)
    model, hand = assemble(night), InTheSun(night)
    every = knots(model)
    lit = [t for t in every if hand.sun(t)[0] > 0.02]
    assert len(lit) > 60
    for t in (*every[:2], *lit[::40], every[-1]):
        assert_same(model, hand, t)
    for t in lit[::23]:  # between two knots, 5 min apart
        assert_same(model, hand, t + 111.0, near=1e-3)
    assert watts_of_the_sun(model, lit[20], rows_at(model, lit[20])).sum() > 500.0


@given(scenarios(hours=(2, 14)), suns(), st.data())
@settings(max_examples=8)
def test_every_watt_of_the_sun_on_generated_shelters(night, sun, data):
    night = night.replace(sun)
    model, hand = assemble(night), InTheSun(night)
    t = data.draw(st.sampled_from(knots(model)))
    if any(begin <= t <= end for begin, end in doors(night)):
        return
    assert_same(model, hand, t)


def doors(night):
    door = night.shelter.openings.door
    return door.openings if door else ()


@given(scenarios(hours=(2, 6)), suns(), st.integers(0, 2**32 - 1))
@settings(max_examples=8)
def test_the_sun_adds_its_heat_and_changes_nothing_else(night, sun, seed):
    """Same nodes, same start; the sum of what nodes get is the path's rate and never negative; none by night."""
    dark, lit = assemble(night), assemble(night.replace(sun))
    n = len(dark.net.capacities)
    assert lit.net.capacities == dark.net.capacities
    assert (lit.start[:n] == dark.start[:n]).all()
    assert "sun" not in dark.net.path_names
    hand = InTheSun(night.replace(sun))
    for t in np.random.default_rng(seed).uniform(0.0, dark.net.end - 1.0, 5):
        got = watts_of_the_sun(lit, t, rows_at(lit, t))
        assert (got >= -1e-9).all()
        if hand.sun(t)[0] < -0.001:
            assert (got == 0.0).all()
        state = state_of(lit, np.random.default_rng(seed))
        rate = shelter_rhs(t, state, lit.shelter, rows_at(lit, t))[n + lit.net.path_names.index("sun")]
        assert rate == pytest.approx(got.sum(), rel=1e-12)


@pytest.mark.parametrize("latitude", ["80 deg", "80 deg S"])
def test_polar_day_and_polar_night_in_the_tables(latitude):
    whole = {"night.begin": "00:00", "night.end": "23:59", "heat.table": [{"at": "00:00", "power": "0 W"}]}
    night = scenario().replace(
        whole | {"site.latitude": latitude, "night.evening": "2031-06-21", "outdoors.cloud": "0 %"}
    )
    model = assemble(night)
    got = [
        watts_of_the_sun(model, t, rows_at(model, t)).sum() for t in np.linspace(0.0, model.net.end - 1.0, 50)
    ]
    assert min(got) > 500.0 if latitude == "80 deg" else max(got) == 0.0


# A convex body catches what its shadow on a plane that faces the sun would; one that faces every way, the mean shadow
# of its turnings.
@pytest.mark.parametrize("sine", [0.05, 0.3, 0.6, 0.95])
@pytest.mark.parametrize("case", CASES)
def test_all_of_a_body_is_lit_by_its_shadow(case, sine):
    night = sunlit(case)
    model = assemble(night)
    lit = sum(
        sum(area for area, _ in strip.patch.facets) * on_band(strip.patch.tilt_up, (sine, 1.0, 0.0), 0.0)
        for strip in model.house.strips
    )
    assert lit == pytest.approx(
        np.mean([shadow(corners(night.shelter), sine, way) for way in WAYS]), rel=1e-4
    )


WAYS = np.radians(
    np.arange(0.5, 90.0)
)  # a quarter turn is enough: every shape here has two planes of symmetry


def corners(shelter):
    """Corners of a shelter's outline, shape (n, 3) [m]."""
    if shelter.shape == "bell":
        turns = np.linspace(0.0, 2.0 * np.pi, 721)
        ring = np.column_stack([np.cos(turns), np.sin(turns)]) * shelter.diameter / 2.0
        heights = [np.full((len(ring), 1), height) for height in (0.0, shelter.wall)]
        return np.vstack([*(np.hstack([ring, height]) for height in heights), [0.0, 0.0, shelter.peak]])
    x, y = np.array([-1.0, 1.0]) * shelter.length / 2.0, np.array([-1.0, 1.0]) * shelter.width / 2.0
    tall = shelter.height if shelter.shape == "box" else shelter.wall
    ridge = [] if shelter.shape == "box" else [(one, 0.0, shelter.ridge) for one in x]
    return np.array([(one, other, z) for one in x for other in y for z in (0.0, tall)] + ridge)


def shadow(points, sine, way):
    """Area of the convex hull of points as seen from the sun [m2]."""
    cosine = np.sqrt(1.0 - sine**2)
    across = [-np.sin(way), np.cos(way), 0.0]
    upward = [-sine * np.cos(way), -sine * np.sin(way), cosine]
    return ConvexHull(points @ np.array([across, upward]).T).volume


def test_solar_noon_is_twelve_of_standard_time_unless_given():
    """In Denver summer time sets the clock an hour ahead of the zone's standard time (IANA time zone data)."""
    base = DAY | {"site.latitude": "40 deg", "outdoors.cloud": "0 %"}
    summer = {"night.zone": "America/Denver", "night.evening": "2031-07-01"}
    for changes, noon in (
        (summer, 13.0),
        (summer | {"site.solar_noon": "13:04"}, 13.0 + 4.0 / 60.0),
        ({}, 12.0),
    ):
        night = scenario().replace(base | changes)
        times = np.arange(0.0, night.night.seconds, 30.0)
        highest = times[np.argmax(sunshine(night, times))] / 3600.0 + 5.5
        assert highest == pytest.approx(noon, abs=0.02)
        assert since_noon(night, (noon - 5.5) * 3600.0) == pytest.approx(0.0, abs=1.0)


def test_the_clouds_of_the_hour_dim_the_sun(tmp_path):
    """A record of cloud: 1 - 0.75 C^3.4 of the clear sky at each of its times, and a break in the tables there."""
    hours, covers = range(5, 23), [0, 0, 5, 10, 15, 20, 40, 60, 80, 100, 95, 90, 85, 80, 75, 70, 65, 60]
    rows = [f"2031-06-21 {hour:02d}:00,10,{cover}" for hour, cover in zip(hours, covers, strict=True)]
    (tmp_path / "day.csv").write_text("\n".join(["time,t,c", *rows]) + "\n")
    clear = scenario().replace(
        DAY | {"site.latitude": "46 deg", "night.evening": "2031-06-21", "outdoors.cloud": "0 %"}
    )
    record = {"path": str(tmp_path / "day.csv"), "time": "time", "zone": "UTC"}
    record |= {"columns": {"air": "t", "cloud": "c"}, "units": {"air": "degC", "cloud": "%"}}
    cloudy = clear.replace({"outdoors.steady": "none", "outdoors.file": record})
    times = np.array([4.5, 8.5, 12.5]) * 3600.0
    cover = np.array([0.2, 1.0, 0.8])
    assert sunshine(cloudy, times) == pytest.approx(
        sunshine(clear, times) * (1.0 - 0.75 * cover**3.4), rel=1e-9
    )
    assert {4.5 * 3600.0, 8.5 * 3600.0} <= set(knots(assemble(cloudy)))


BAD = [
    ({"site.latitude": "91 deg"}, "out of range"),
    ({"site.latitude": "47"}, "has no unit"),
    ({"site.latitude": "-3 deg S"}, "a sign and a letter"),
    ({"site.latitude": "47 m"}, "wanted is an angle"),
    ({"site.solar_noon": "12:25"}, "a solar noon without a latitude"),
    ({"site.latitude": "47 deg", "site.solar_noon": "noon"}, "no clock time"),
]


@pytest.mark.parametrize(("changes", "words"), BAD)
def test_bad_places_of_the_sun_are_refused(changes, words):
    with pytest.raises(InputError, match=words):
        scenario().replace(changes)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("47 deg", 47.0), ("47 deg N", 47.0), ("33.5 deg S", -33.5), ("-33.5 deg", -33.5), ("12° south", -12.0)],
)
def test_latitudes_are_read(text, degrees):
    night = scenario().replace("site.latitude", text)
    assert np.degrees(night.site.latitude) == pytest.approx(degrees, abs=1e-12)
    again = scenario(night.effective)
    assert again.site.latitude == night.site.latitude


def test_a_pane_lets_the_sun_in_to_the_floor():
    """Of a beam on clear film 7 % stays in it and 85 % lands on the floor; a wall of canvas lets 5 % through."""
    window = [{"layers": ["clear vinyl film"], "area": "1 m2", "from": "50 cm", "to": "1.5 m"}]
    base = DAY | {"site.latitude": "46 deg", "outdoors.cloud": "0 %"}
    plain, glazed = (assemble(scenario().replace(base | more)) for more in ({}, {"shelter.window": window}))
    t = 6.5 * 3600.0
    floor = [m.house.floors[0].top for m in (plain, glazed)]
    got = [watts_of_the_sun(m, t, rows_at(m, t)) for m in (plain, glazed)]
    wall = InTheSun(scenario().replace(base))
    seen = on_band(0.0, wall.sun(t), wall.albedo)
    assert got[1][floor[1]] - got[0][floor[0]] == pytest.approx(0.80 * seen, rel=1e-3)
    panes = [strip.stack.outer for strip in glazed.house.strips if strip.patch.part == "window"]
    assert got[1][panes].sum() == pytest.approx(0.07 * seen, rel=1e-3)

"""Sizes of every shape, windows, skirts and openings of one's own act as much as they should."""

import math

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from tests.assembly.test_air_fields import read, stack_flow, vents
from tests.simulate.cases import scenario

BARE = {f"shelter.{key}": "none" for key in ("length", "width", "height")} | {"shelter.skin": "none"}
CANVAS = {"shelter.skin.all": ["cotton canvas"]}
R_AIR, CP = 287.055, 1006.0


def hexagon(across):
    """Area and rim of a regular hexagon round a circle."""
    edge = across * math.tan(math.pi / 6.0)
    return 6.0 * edge * across / 4.0, 6.0 * edge


# Volume, skin, floor, rim, by schoolbook formulas; the skin of a spheroid and the arc of an ellipse by Gauss's sums.
def pyramid(width, length, wall, peak):
    rise = peak - wall
    roof = length * math.hypot(width / 2.0, rise) + width * math.hypot(length / 2.0, rise)
    rim = 2.0 * (width + length)
    return width * length * (wall + rise / 3.0), rim * wall + roof, width * length, rim


def six_sided(sides, width, wall, peak):
    assert sides == 6
    floor, rim = hexagon(width)
    roof = rim / 2.0 * math.hypot(width / 2.0, peak - wall)
    return floor * (wall + (peak - wall) / 3.0), rim * wall + roof, floor, rim


def hub(sides, width, wall, peak, pushed_out):
    volume, _, floor, rim = six_sided(sides, width, wall, peak)
    edge, roof = rim / 6.0, rim / 2.0 * math.hypot(width / 2.0, peak - wall)
    walls = 6.0 * (edge * math.hypot(wall / 2.0, pushed_out) + wall * math.hypot(edge / 2.0, pushed_out))
    return volume + rim * wall * pushed_out / 3.0, walls + roof, floor, rim


def dome(diameter, peak):
    turn, weights = quarter()
    half = diameter / 2.0
    skin = 2.0 * math.pi * half * np.cos(turn) * np.hypot(half * np.sin(turn), peak * np.cos(turn))
    floor = math.pi * half**2
    return 2.0 / 3.0 * floor * peak, skin @ weights, floor, math.pi * diameter


def tunnel(length, width, peak):
    turn, weights = quarter()
    arch = 2.0 * np.hypot(width / 2.0 * np.sin(turn), peak * np.cos(turn)) @ weights
    end = math.pi / 4.0 * width * peak
    return end * length, arch * length + 2.0 * end, length * width, 2.0 * (length + width)


def quarter():
    """Places and weights of a sum over a quarter turn."""
    places, weights = np.polynomial.legendre.leggauss(60)
    return math.pi / 4.0 * (places + 1.0), math.pi / 4.0 * weights


SIZES = {
    "pyramid": (pyramid, {"width": 3.0, "length": 4.0, "wall": 0.5, "peak": 2.5}),
    "pyramid of six sides": (six_sided, {"sides": 6, "width": 3.0, "wall": 0.5, "peak": 2.5}),
    "hub": (hub, {"sides": 6, "width": 3.0, "wall": 1.6, "peak": 2.3, "pushed_out": 0.25}),
    "dome": (dome, {"diameter": 4.0, "peak": 1.9}),
    "tunnel": (tunnel, {"length": 4.0, "width": 2.6, "peak": 1.9}),
}


def assembled(name, sizes):
    shape = name.removesuffix(" of six sides")
    given = {
        f"shelter.{key}": value if isinstance(value, int) else f"{value!r} m" for key, value in sizes.items()
    }
    night = scenario().replace(BARE | CANVAS | {"shelter.shape": shape} | given)
    model = assemble(night)
    groups, stores = np.array(model.net.groups), np.array(model.net.capacities)
    return night, {group: stores[groups == group].sum() for group in ("air", "skin", "ground")}


@pytest.mark.parametrize(("name", "key"), [(n, key) for n, (_, sizes) in SIZES.items() for key in sizes])
def test_a_size_moves_volume_skin_floor_and_rim(name, key):
    formulas, sizes = SIZES[name]
    found = []
    for given in (sizes, sizes if key == "sides" else sizes | {key: 1.2 * sizes[key]}):
        night, stores = assembled(name, given)
        volume, skin, floor, rim = formulas(**given)
        canvas = night.shelter.skin.all[0].areal_capacity
        dense = 101325.0 / (R_AIR * 263.15) * CP  # J/(m3 K)
        assert stores["air"] == pytest.approx(volume * dense, rel=1e-9)
        assert stores["skin"] == pytest.approx(skin * canvas, rel=1e-9)
        assert (night.shelter.floor_area, night.shelter.perimeter) == pytest.approx((floor, rim), rel=1e-12)
        found.append(stores["ground"] / floor)
    assert found[0] == pytest.approx(found[1], rel=1e-12)


def test_the_number_of_sides_goes_over_into_a_circle():
    floors = [assembled("pyramid", {"sides": n, "width": 3.0, "peak": 2.0})[0].shelter for n in (3, 8, 24)]
    areas = [noun.floor_area for noun in floors]
    assert areas == sorted(areas, reverse=True) and areas[-1] == pytest.approx(math.pi * 2.25, rel=6e-3)


def panes(**changes):
    """Area of a window in the box [m2], and edges of the layers in which it lies [m]."""
    pane = {"area": "2 m2", "from": "50 cm", "to": "1.5 m", "layers": ["20 mm closed-cell foam"]} | changes
    house = assemble(scenario().replace({"shelter.window": [pane]})).house
    found = [strip.patch for strip in house.strips if strip.patch.part == "window"]
    edges = house.bands.edges
    return sum(area for p in found for area, _ in p.facets), edges[found[0].band], edges[found[-1].band + 1]


@pytest.mark.parametrize(
    ("changes", "area", "low", "high"),
    [
        ({}, 2.0, 0.5, 1.5),
        ({"area": "3 m2"}, 3.0, 0.5, 1.5),
        ({"from": "1 m"}, 2.0, 1.0, 1.5),
        ({"to": "1.9 m"}, 2.0, 0.5, 1.9),
        ({"part": "roof", "to": "2 m"}, 2.0, 2.0, 2.0),
    ],
)
def test_a_window_lies_between_its_heights(changes, area, low, high):
    """In layers that reach at most their own thickness beyond, 19 cm at the top."""
    found, begin, end = panes(**changes)
    assert found == pytest.approx(area, rel=1e-9)
    assert low - 0.19 < begin <= low and high <= end < high + 0.19


def test_a_window_is_named_and_books_its_own_heat():
    pane = {"area": "2 m2", "from": "50 cm", "to": "1.5 m", "layers": ["clear vinyl film"]}
    model = assemble(scenario().replace({"shelter.window": [pane]}))
    assert "window_to_air" in model.net.path_names
    assert "window_to_air" not in assemble(scenario()).net.path_names
    assert {name.split()[0] for name in model.house.surfaces} == {"wall", "roof", "window", "outer", "floor"}
    both = assemble(scenario().replace({"shelter.window": [pane, pane | {"part": "roof", "to": "2 m"}]}))
    assert {name for name in both.house.surfaces if name.startswith("window 2,")} == {"window 2, 20"}


@pytest.mark.parametrize(
    ("low", "high", "at", "share"),
    [("400 cm2", "400 cm2", ("20 cm", "1.7 m"), 1.0), ("800 cm2", "300 cm2", ("50 cm", "1.9 m"), 0.5)],
)
def test_a_vent_of_ones_own_name_is_a_vent(low, high, at, share):
    fixed = vents(low, high, at, (f"{100.0 * share} %", "100 %"))
    own = {f"shelter.openings.vents.{name.rsplit('.', 1)[1]} of mine": vent for name, vent in fixed.items()}
    own = {key.replace("_vent of mine", ""): vent for key, vent in own.items()}
    (one, _, _), (other, _, house) = read(fixed), read(own)
    assert other == pytest.approx(one, rel=1e-9)
    assert {"low, lee", "ridge, windward"} <= set(house.openings)
    areas = [float(text.split()[0]) * 1e-4 for text in (low, high)]
    heights = [0.2, 1.7] if at[0] == "20 cm" else [0.5, 1.9]
    wanted = stack_flow(areas[0] * share, areas[1], heights[1] - heights[0])
    assert other == pytest.approx(wanted, rel=1e-2)


@pytest.mark.parametrize(
    ("through", "faces", "coefficient"),
    [("roof", "lee", -0.27), ("roof", "wind", -0.2), ("wall", "lee", -0.27), ("wall", "wind", 0.4)],
)
def test_the_wind_finds_a_jack_by_side_and_slope(through, faces, coefficient):
    """At the edge of timber; the roof is flat."""
    jack = {"gap": "30 cm2", "at": "1.5 m", "through": through, "faces": faces}
    house = assemble(scenario().replace({"shelter.openings": {"jack": jack}})).house
    (element,) = (it for it in house.elements if it.name == "jack")
    assert element.wind == coefficient


@pytest.mark.parametrize(
    ("shape", "height", "roof"),
    [
        # A cone 2 m across and 2.2 m up is steeper than 45 deg, one of 1.8 m is flatter; 2 m is just as steep.
        ({"shape": "bell", "diameter": "4 m", "peak": "2.2 m"}, "1 m", False),
        ({"shape": "bell", "diameter": "4 m", "peak": "2 m"}, "1 m", False),
        ({"shape": "bell", "diameter": "4 m", "peak": "1.8 m"}, "1 m", True),
        # Half a ball 2 m in radius leans by 45 deg at 1.41 m.
        ({"shape": "dome", "diameter": "4 m", "peak": "2 m"}, "1.4 m", False),
        ({"shape": "dome", "diameter": "4 m", "peak": "2 m"}, "1.43 m", True),
        # The upright ends of an arch stand in the wind up to its top.
        ({"shape": "tunnel", "length": "4 m", "width": "3 m", "peak": "1.5 m"}, "1.4 m", False),
    ],
)
def test_to_the_wind_what_is_steep_is_a_wall(shape, height, roof):
    given = {f"shelter.{key}": value for key, value in shape.items()}
    low = {"levels.head": "1.2 m", "heat.to_height": "1 m"}
    vent = {"shelter.openings": {"low_vent": {"area": "50 cm2", "at": height, "faces": "wind"}}}
    house = assemble(scenario().replace(BARE | CANVAS | given | low | vent)).house
    (element,) = (it for it in house.elements if it.name == "low vent, windward")
    assert element.wind == (-0.2 if roof else 0.4)


@pytest.mark.parametrize(("skirt", "area"), [("snow", 0.0), ("weighted", 11.0), ("loose", 55.0)])
def test_a_skirt_leaks_as_the_area_does_that_it_stands_for(skirt, area):
    """11 m around."""
    by_word = read({"shelter.skirt": skirt})[0]
    assert by_word == pytest.approx(read({"model.leak_below_skirt": f"{area} cm2"})[0], rel=1e-9)


SHELTER_KEYS = {f"shelter.{key}" for _, sizes in SIZES.values() for key in sizes}
SHELTER_KEYS |= {f"shelter.window[].{key}" for key in ("area", "from", "to")}
SHELTER_KEYS |= {f"shelter.openings.vents.*.{key}" for key in ("area", "at", "open")}

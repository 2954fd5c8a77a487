"""Ground and raised floor against closed forms: layers, profiles, steady ice, series of resistances, edges of cells."""

from math import inf, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.earth import NEAR, Earth, Stratum, earth_of
from simtent.assembly.ground import build_floor, join_ground
from simtent.departures import departures
from simtent.network import Builder, node_temperatures, tables
from simtent.physics.grid import column_thicknesses
from simtent.physics.ground import edge_conductance
from simtent.run import run as run_night
from simtent.scenario.layers import read_layer
from tests.network.plain import run
from tests.simulate.cases import scenario

SNOW = Stratum(0.2, 370.0 * 2050.0, 0.25, 370.0)
SOIL = Stratum(1.65, 1755.0 * 992.0, inf, 270.0, 1.0)
ICE = Stratum(2.2, 917.0 * 2050.0, 0.4, 917.0)


def even(*strata, start=263.15, over_water=False):
    return Earth(strata, 0.95, (0.0,), (start,), over_water)


def thicknesses(earth):
    """Thickness of every cell [m], from its capacity."""
    cells, depth = [], 0.0
    for slab in earth.column():
        stratum = next(
            it
            for it, end in zip(earth.strata, np.cumsum([s.thickness for s in earth.strata]), strict=True)
            if depth + 1e-9 < end
        )
        cells.append(slab.areal_capacity / stratum.heat_capacity)
        depth += cells[-1]
    return cells


def test_one_matter_has_the_cells_of_the_rule():
    plain = Stratum(1.5, 1.8e6)
    assert thicknesses(even(plain)) == pytest.approx(column_thicknesses(1.5 / 1.8e6, 300.0, 8, 2.0))


@given(st.floats(0.02, 3.0), st.floats(0.05, 0.6))
def test_a_cell_ends_where_a_matter_does(depth, conductivity):
    """No sliver: each cell takes more than an eighth of the one above it takes, in depth over root of diffusivity."""
    snow = Stratum(conductivity, 370.0 * 2050.0, depth, 370.0)
    cells = thicknesses(even(snow, SOIL))
    inside = sum(cells)
    depths = np.cumsum(cells)
    assert inside < depth or np.abs(depths - depth).min() < 1e-9
    matter = [snow if middle < depth else SOIL for middle in depths - np.array(cells) / 2.0]
    reach = np.array([cell / sqrt(it.diffusivity) for cell, it in zip(cells, matter, strict=True)])
    assert (reach[1:] / reach[:-1] > NEAR / 2.0).all()
    assert reach.max() < 900.0


@given(st.floats(0.05, 3.0), st.floats(0.02, 0.5))
def test_ice_ends_at_the_water(ice, snow):
    for strata in (
        (ICE._replace(thickness=ice),),
        (SNOW._replace(thickness=snow), ICE._replace(thickness=ice)),
    ):
        cells = thicknesses(even(*strata, over_water=True))
        assert sum(cells) == pytest.approx(sum(it.thickness for it in strata), rel=1e-12)
        assert min(cells) > 1e-4


def test_a_profile_starts_as_given_at_every_depth():
    earth = Earth((Stratum(1.5, 1.8e6),), 0.95, (0.0, 0.1, 0.3), (263.15, 268.15, 272.15))
    net = Builder(end=1.0)
    build_floor(net, [], earth, 2.0, 280.0)
    depths = np.concatenate(([0.0], np.cumsum(thicknesses(earth))))
    expected = np.interp(depths, [0.0, 0.1, 0.3], [263.15, 268.15, 272.15])
    assert net.starts == pytest.approx(expected)
    assert expected[-1] == 272.15


def test_a_profile_evens_out_as_the_closed_form():
    """Straight start T0 + g z in a half space whose surface takes no heat: its surface warms by 2 g sqrt(a t / pi)."""
    slope, diffusivity = 20.0, 1.5 / 1.8e6  # K/m
    earth = Earth((Stratum(1.5, 1.8e6),), 0.95, (0.0, 5.0), (263.15, 263.15 + 5.0 * slope))
    net = Builder(end=43200.0)
    net.path("none", crossing=True)
    floor = build_floor(net, [], earth, 1.0, 280.0)
    times = [0.0, 3600.0, 14400.0, 28800.0]
    rise = run(net, times).states[:, floor.top] - 263.15
    expected = 2.0 * slope * np.sqrt(diffusivity * np.array(times) / np.pi)
    assert rise == pytest.approx(expected, rel=0.034, abs=1e-9)  # the column's own 3.3 %


def floor_alone(layers, earth, end=43200.0):
    """A square metre of floor, and its paths by number."""
    net = Builder(end=end)
    floor = build_floor(net, [read_layer(text) for text in layers], earth, 1.0, 263.15)
    outdoors = net.boundary(tables.constant(253.15))
    names = ("floor_outside",) if earth is None else ("ground_edge", "water_below")
    paths = {name: net.path(name, crossing=True) for name in names}
    join_ground(net, outdoors, paths, [floor], earth, 0.0)
    return net, floor, paths


@pytest.mark.parametrize("snow", [None, 0.12])
def test_ice_over_water_stands_still_where_its_surface_is_held(snow):
    """From the straight profile nothing changes: 10 K over thickness over conductivity, in series under snow."""
    site = scenario(
        site__ground="lake ice" if snow is None else "packed snow",
        **{} if snow is None else {"site__snow_depth": f"{snow} m", "site__under_snow": "lake ice"},
        site__ice_thickness="40 cm",
        site__ground_start="-10 degC",
    ).site
    net, floor, paths = floor_alone([], earth_of(site))
    held = net.path("held", crossing=True)
    net.link(net.boundary(tables.constant(263.15)), floor.top, 1e4, held)
    answer = run(net, [0.0, 3600.0, 43200.0])
    resistance = 0.4 / 2.2 + (0.0 if snow is None else snow / 0.207)
    flux = 10.0 / (resistance + 1e-4)
    assert answer.rates[:, paths["water_below"]] == pytest.approx(10.0 / resistance, rel=2e-3)
    assert answer.rates[1:, held] == pytest.approx(-flux, rel=2e-3)
    starts = node_temperatures(net.freeze()[0], answer.states)
    assert starts[2] == pytest.approx(starts[0], abs=0.01)


def test_a_raised_floor_is_a_series_of_resistances():
    """Mat, board and 0.17 m2 K/W below it to the outdoor air at -20 degC (ISO 6946: as inside), the top held at 0."""
    layers = ["12 mm closed-cell foam", "20 mm softwood boards"]
    net, floor, paths = floor_alone(layers, None, end=86400.0)
    assert floor.ground_top is None
    net.link(net.boundary(tables.constant(273.15)), floor.top, 1e4, net.path("held", crossing=True))
    through = sum(read_layer(text).resistance for text in layers) + 0.17 + 1e-4
    assert run(net, [0.0, 86400.0]).rates[-1, paths["floor_outside"]] == pytest.approx(
        -20.0 / through, rel=1e-4
    )


def test_the_edge_is_that_of_the_ground_alone_or_of_what_lies_under_a_little_snow():
    hour, films = 43200.0, 0.21
    alone = edge_conductance(SOIL.conductivity, SOIL.diffusivity, hour, films)
    assert even(SOIL).edge(hour, films) == pytest.approx(alone)
    deep = edge_conductance(SNOW.conductivity, SNOW.diffusivity, hour, films)
    assert even(SNOW._replace(thickness=inf)).edge(hour, films) == pytest.approx(deep)
    thin, thick = (even(SNOW._replace(thickness=z), SOIL).edge(hour, films) for z in (1e-4, 3.0))
    assert thin == pytest.approx(alone, rel=0.01) and thick == pytest.approx(deep)


def test_boards_warmer_than_snow_melt_it_by_their_heat():
    """Boards at 20 degC on snow at 0 degC: what the board gives up in cooling to 0 degC is in melted snow."""
    net = Builder(end=864000.0)
    net.path("none", crossing=True)
    snow = even(SNOW._replace(thickness=inf), start=273.15)
    board = read_layer("20 mm softwood boards")
    build_floor(net, [board], snow, 1.0, 293.15)
    states = run(net, [0.0, 864000.0]).states
    water = sum(
        net.capacities[node] * melt.latent / 333.4e3 * melt.share(states[-1, node])
        for node, melt in net.melts.items()
    )
    frozen = sum(
        net.capacities[node] * melt.latent / 333.4e3 * melt.share(melt.state(273.15))
        for node, melt in list(net.melts.items())[1:]
    )
    assert water - frozen == pytest.approx(board.areal_capacity * 20.0 / 333.4e3, rel=0.02)


MELTING = {"site.ground": "packed snow", "site.ground_start": "-1 degC", "outdoors.steady": "3 degC"}


@pytest.mark.compiled
def test_snow_under_a_heated_floor_stays_at_its_melting_point_and_the_night_says_what_melted():
    night = run_night(scenario().replace(MELTING))
    (floor,) = night.model.house.floors
    warmest = night.temperatures[:, floor.ground_top].max() - 273.15
    below = night.temperatures[:, floor.ground_top + 5 : floor.bottom].max() - 273.15
    assert warmest > 0.05  # water on top warms once its snow has gone
    assert below < 0.03
    _, coords = departures(night)
    (told,) = [text for text in coords["departure"] if "melts" in text]
    assert "packed snow" in told and "kg" in told and "stays where it melted" in told


@pytest.mark.compiled
def test_a_cold_night_says_nothing_of_melting():
    night = run_night(scenario().replace({"site.ground": "packed snow", "site.ground_start": "-15 degC"}))
    _, coords = departures(night)
    assert not [text for text in coords.get("departure", ()) if "melts" in text]


@pytest.mark.parametrize(
    "changes",
    [
        {"site.ground": "forest floor"},
        {"site.ground": "settled snow", "site.snow_depth": "40 cm", "site.under_snow": "forest floor"},
        {"site.ground": "settled snow", "site.snow_density": "250 kg/m3"},
        {"site.ground": "lake ice", "site.ice_thickness": "40 cm"},
    ],
    ids=["soil", "snow over soil", "weighed snow", "ice over water"],
)
def test_the_factor_on_the_ground_makes_matter_of_another_conductivity(changes):
    """The same ground made by hand, its conductivities times 2.5: cells, edge and start are those of that."""
    site = scenario().replace(changes).site
    one, factor = earth_of(site), 2.5
    strata = tuple(it._replace(conductivity=factor * it.conductivity) for it in one.strata)
    by_hand = Earth(strata, one.emissivity, one.depths, one.starts, one.over_water)
    ours = earth_of(site, factor)
    assert ours.strata == by_hand.strata and ours.starts == pytest.approx(by_hand.starts)
    assert ours.edge(36000.0, 0.5) == by_hand.edge(36000.0, 0.5) > one.edge(36000.0, 0.5)
    assert earth_of(site, 1.0) == one


def test_the_factor_on_the_ground_acts_as_denser_snow_conducts():
    """Snow of 200 kg/m3 with the factor that makes it conduct as 400 does: the same column but for what it stores."""
    snow = {"site.ground": "settled snow"}
    light, dense = (
        scenario().replace({**snow, "site.snow_density": f"{density} kg/m3"}).site for density in (200, 400)
    )
    factor = earth_of(dense).strata[0].conductivity / earth_of(light).strata[0].conductivity
    one, other = earth_of(light, factor).strata[0], earth_of(dense).strata[0]
    assert one.conductivity == pytest.approx(other.conductivity, rel=1e-14)
    assert other.heat_capacity == pytest.approx(2.0 * one.heat_capacity)

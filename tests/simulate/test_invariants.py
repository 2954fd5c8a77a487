"""What must hold for every night, over generated scenarios."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import at_fire, observe, rates, shelter_rhs, shelter_temperatures
from simtent.network.ledger import residual
from simtent.scenario.load import load
from tests.simulate.cases import KNOWN, NO_HEAT, copies, mean_air, scenario, solved, with_shelter
from tests.simulate.states import at_random
from tests.strategies import fires, scenarios

pytestmark = pytest.mark.compiled

SLACK = 0.01  # K, of the solver


@given(scenarios())
def test_energy_is_found_again_and_nothing_is_colder_than_its_surroundings(night):
    model = assemble(night)
    got = solved(model)
    assert residual(model.net, got.states) < 1e-6
    n = len(model.net.capacities)
    seen = np.array(
        [observe(t, y, model.shelter, r)[0] for t, y, r in zip(got.times, got.states, got.rows, strict=True)]
    )
    coldest = min(got.states[0, :n].min(), seen[:, :2].min(), night.site.ground_start)
    assert got.states[:, :n].min() >= coldest - SLACK
    assert (seen[:, 4] >= 0.0).all()


@given(scenarios())
def test_without_sources_nothing_is_warmer_than_its_surroundings(night):
    cold = night.replace({**unheated(night), "crew.asleep": 0})
    model = assemble(cold)
    got = solved(model)
    n = len(model.net.capacities)
    seen = np.array(
        [observe(t, y, model.shelter, r)[0] for t, y, r in zip(got.times, got.states, got.rows, strict=True)]
    )
    warmest = max(got.states[0, :n].max(), seen[:, :2].max(), cold.site.ground_start)
    assert got.states[:, :n].max() <= warmest + SLACK


def unheated(night):
    return {"heat.table": [{"at": night.night.begin, "power": "0 W"}], "heat.file": "none"}


@given(
    st.floats(1.0, 60.0),
    st.sampled_from(["box", "wall tent", "bell"]),
    st.sampled_from(["350 g/m2 polycotton canvas", "8 mm polyester quilt"]),
    st.floats(0.0, 12.0),
)
def test_a_warm_shelter_in_even_cold_only_cools(warmer, shape, fabric, wind):
    sizes = {
        "box": {"shelter.length": "3 m", "shelter.width": "2.5 m", "shelter.height": "2 m"},
        "wall tent": {
            "shelter.length": "3 m",
            "shelter.width": "2.5 m",
            "shelter.wall": "1 m",
            "shelter.ridge": "2 m",
            "shelter.height": "none",
        },
        "bell": {
            "shelter.diameter": "4 m",
            "shelter.wall": "50 cm",
            "shelter.peak": "2.2 m",
            "shelter.length": "none",
            "shelter.width": "none",
            "shelter.height": "none",
        },
    }
    night = scenario().replace(
        {
            **NO_HEAT,
            **sizes[shape],
            "shelter.shape": shape,
            "shelter.skin.wall": [fabric, "30 mm air gap", fabric],
            "night.inside_at_start": f"{-10.0 + warmer:.3f} degC",
            "outdoors.wind": f"{wind:.3f} m/s",
        }
    )
    model = assemble(night)
    hottest = solved(model).states[:, : len(model.net.capacities)].max(axis=1)
    assert (np.diff(hottest) <= 1e-3).all()


@given(st.floats(1.05, 5.0))
def test_more_wind_never_warms_a_shelter_with_a_known_source(more):
    calm, windy = (scenario(outdoors__wind=f"{wind} m/s") for wind in (1.0, more))
    assert (mean_of(windy) <= mean_of(calm) + SLACK).all()


@given(st.floats(1.05, 20.0))
def test_more_leakage_never_warms_a_shelter_with_a_known_source(more):
    tight, leaky = (scenario(model__leak_area=f"{area} cm2") for area in (50.0, 50.0 * more))
    assert (mean_of(leaky) <= mean_of(tight) + SLACK).all()


@given(st.floats(1.05, 50.0))
def test_more_resistance_of_the_skin_never_cools(more):
    """Same heat capacity and emissivity: only the links inside the skin's own layers are changed."""
    quilted = scenario(
        shelter__skin={"wall": ["8 mm polyester quilt"], "roof": ["8 mm polyester quilt"]},
    )
    base = assemble(quilted)
    groups = np.array([*base.net.groups, "outdoors", "sky"])
    net = base.shelter.net
    of_skin = (groups[net.links.i] == "skin") & (groups[net.links.j] == "skin")
    assert of_skin.any()
    strength = np.where(of_skin, net.links.strength / more, net.links.strength)
    thicker = with_shelter(base, net=net._replace(links=net.links._replace(strength=strength)))
    assert (mean_air(base, solved(thicker)) >= mean_air(base, solved(base)) - SLACK).all()


def test_a_better_skin_can_leave_the_morning_colder_when_it_weighs_more():
    """The tempting false sister: a heavier, better insulated skin is colder while it still has to be warmed."""
    light = {"wall": ["polyester liner"], "roof": ["polyester liner"]}
    heavy = {"wall": ["40 mm plywood"], "roof": ["40 mm plywood"]}
    first_minutes = [mean_of(scenario(shelter__skin=skin), step=60.0)[5] for skin in (light, heavy)]
    last = [mean_of(scenario(shelter__skin=skin))[-1] for skin in (light, heavy)]
    assert last[1] > last[0]  # insulated: warmer in the end
    assert first_minutes[1] < first_minutes[0]  # cause: heat capacity, which the true invariant keeps equal


@given(scenarios(), st.integers(2, 5), st.integers(0, 2**32 - 1))
def test_copies_joined_by_adiabatic_partitions_have_the_same_rates(night, k, seed):
    """To 1e-4 K/s: a current of less than a twentieth of a watt goes nowhere, and k of them are one of k times as much."""
    model = assemble(night)
    many = copies(model, float(k)).shelter
    for state in at_random(model, seed, 3):
        one = state.rates()[: state.nodes]
        other = shelter_rhs(state.time, state.values, many, state.rows)[: state.nodes]
        assert other == pytest.approx(one, rel=1e-9, abs=1e-4)


@given(fires(shapes=("box", "wall tent", "bell")), st.integers(2, 5), st.integers(0, 2**32 - 1))
def test_copies_of_a_shelter_with_its_fire_have_the_same_rates(night, k, seed):
    """Each fire draws its own air beside the same pressure; then it burns alike, and the room is what is left to see."""
    model = assemble(night)
    many, flow = copies(model, float(k)).shelter, model.shelter.stove.places.air
    for state in at_random(model, seed, 3):
        temps = shelter_temperatures(state.time, state.values, model.shelter, state.rows)
        values = state.values.copy()
        values[flow] *= k
        here, there = (
            at_fire(state.time, y, temps, p, state.rows)
            for y, p in ((state.values, model.shelter), (values, many))
        )
        assert there == pytest.approx(here, rel=1e-9, abs=1e-9)
        one, other = (
            rates(state.time, y, temps, ties, spilt, p, state.rows, True, True, False)[: state.nodes]
            for y, ties, spilt, p in (
                (state.values, here, 300.0, model.shelter),
                (values, here, k * 300.0, many),
            )
        )
        assert other == pytest.approx(one, rel=1e-9, abs=1e-4)


@pytest.mark.parametrize("path", KNOWN, ids=lambda path: path.stem)
def test_copies_joined_by_adiabatic_partitions_repeat_the_night(path):
    model = assemble(load(path))
    n = model.shelter.net.capacity.size
    one, three = (solved(m).states[:, :n] for m in (model, copies(model, 3.0)))
    assert np.abs(three - one).max() < 0.005


def test_a_clear_sky_makes_the_skin_colder_than_any_air():
    """The tempting false sister of the lower bound: outdoors alone is none."""
    night = scenario(outdoors__cloud="0 %", **{"heat__table": [{"at": "18:00", "power": "0 W"}]})
    model = assemble(night)
    outer = [node for name, node in model.house.surfaces.items() if name.startswith("outer roof")]
    assert solved(model).states[-1, outer].max() < 263.15 - 1.0


def mean_of(night, step=600.0):
    model = assemble(night)
    return mean_air(model, solved(model, step=step))

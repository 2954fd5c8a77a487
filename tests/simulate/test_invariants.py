"""What must hold for every night, over generated scenarios."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import observe, shelter_rhs
from simtent.network.ledger import residual
from tests.simulate.cases import NO_HEAT, mean_air, scenario, solved, with_shelter
from tests.strategies import scenarios

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


@given(st.integers(2, 5))
def test_areas_capacities_and_sources_times_k_give_the_same_rates(copies):
    """Copies joined by adiabatic partitions: the right-hand side is linear in every size at once."""
    base = assemble(scenario(crew__asleep=2))
    p, k = base.shelter, float(copies)
    net = p.net._replace(
        capacity=p.net.capacity * k,
        links=p.net.links._replace(strength=p.net.links.strength * k),
        sources=p.net.sources._replace(share=p.net.sources.share * k),
    )
    many = with_shelter(
        base,
        net=net,
        films=p.films._replace(area=p.films.area * k),
        outer=p.outer._replace(area=p.outer.area * k),
        gaps=p.gaps._replace(area=p.gaps.area * k),
        mixing=p.mixing._replace(area=p.mixing.area * k),
        star=p.star._replace(area=p.star.area * k, share=p.star.share * k),
        leaks=p.leaks._replace(area=p.leaks.area * k),
    )
    n = len(base.net.capacities)
    state = base.start.copy()
    state[:n] += np.linspace(-5.0, 30.0, n)
    rows = p.net.jumps.rows[0].copy()
    one = shelter_rhs(10.0, state, p, rows)[:n]
    assert shelter_rhs(10.0, state, many.shelter, rows)[:n] == pytest.approx(one, rel=1e-9, abs=1e-12)


def test_a_clear_sky_makes_the_skin_colder_than_any_air():
    """The tempting false sister of the lower bound: outdoors alone is none."""
    night = scenario(outdoors__cloud="0 %", **{"heat__table": [{"at": "18:00", "power": "0 W"}]})
    model = assemble(night)
    outer = [node for name, node in model.house.surfaces.items() if name.startswith("outer roof")]
    assert solved(model).states[-1, outer].max() < 263.15 - 1.0


@given(scenarios(), st.integers(0, 2**32 - 1))
def test_a_nudge_of_any_state_moves_the_right_hand_side_a_little(night, seed):
    """No jump hides in a law: 1e-6 K on one node changes no rate by more than 1e-3 K/s."""
    model = assemble(night)
    n = len(model.net.capacities)
    random = np.random.default_rng(seed)
    state = model.start.copy()
    state[:n] += random.choice([0.0, 1.0]) * random.uniform(-15.0, 40.0, n)
    rows = model.shelter.net.jumps.rows[0].copy()
    base = shelter_rhs(0.0, state, model.shelter, rows)[:n]
    for node in range(n):
        nudged = state.copy()
        nudged[node] += 1e-6
        moved = shelter_rhs(0.0, nudged, model.shelter, rows)[:n]
        assert np.abs(moved - base).max() < 1e-3


def mean_of(night, step=600.0):
    model = assemble(night)
    return mean_air(model, solved(model, step=step))

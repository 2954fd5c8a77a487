"""What must hold for every night, over generated scenarios; `test_false_sisters.py` has what need not."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.assembly.gas_path import STILL_FLOW
from simtent.assembly.rhs import at_fire, observe, rates, shelter_rhs, shelter_temperatures
from simtent.network.kernels import node_temperatures
from simtent.network.ledger import residual
from simtent.physics.constants import ICE_POINT
from simtent.scenario.load import load
from tests.portion import some
from tests.simulate.cases import EVEN_OUT, KNOWN, NO_HEAT, copies, each, mean_air, resisting, scenario, solved
from tests.simulate.states import at_random
from tests.strategies import fires, scenarios

pytestmark = pytest.mark.compiled

SLACK = 0.01  # K, of the solver
TIGHT = {"model.leak_area": "1 cm2", "model.leak_below_skirt": "0 cm2", "shelter.openings": "none"}


@some(8)
@given(scenarios())
def test_energy_is_found_again_and_nothing_is_colder_than_its_surroundings(night):
    model = assemble(night)
    got = solved(model)
    assert residual(model.net, got.states) < 1e-6
    seen = np.array(
        [observe(t, y, model.shelter, r)[0] for t, y, r in zip(got.times, got.states, got.rows, strict=True)]
    )
    temps = node_temperatures(model.shelter.net, got.states)
    coldest = min(temps[0].min(), seen[:, :2].min())
    assert temps.min() >= coldest - SLACK
    assert (seen[:, 4] >= 0.0).all()


@some(8)
@given(scenarios())
def test_without_sources_nothing_is_warmer_than_its_surroundings(night):
    cold = night.replace({**unheated(night), "crew.asleep": 0})
    model = assemble(cold)
    got = solved(model)
    seen = np.array(
        [observe(t, y, model.shelter, r)[0] for t, y, r in zip(got.times, got.states, got.rows, strict=True)]
    )
    temps = node_temperatures(model.shelter.net, got.states)
    warmest = max(
        temps[0].max(), seen[:, :2].max(), ICE_POINT if "water_below" in model.net.path_names else 0.0
    )
    assert temps.max() <= warmest + SLACK


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


@some(5, of=12)
@given(scenarios(hours=(2, 6)), st.floats(0.5, 8.0))
def test_more_wind_never_warms_a_tight_shelter_with_a_known_source(night, wind):
    """Through its skin. Through openings it may: a wind against the stack's draught slows the air at first.

    G. R. Hunt and P. F. Linden, Journal of Fluid Mechanics 527 (2005) 27-55, from memory; 0.7 K was seen here.
    """
    tight = EVEN_OUT | TIGHT
    calm, windy = (night.replace(tight | {"outdoors.wind": f"{w} m/s"}) for w in (0.0, wind))
    assert (mean_of(windy) <= mean_of(calm) + SLACK).all()


@some(5, of=12)
@given(scenarios(hours=(2, 6)), st.floats(1.05, 20.0), st.sampled_from(["leak_area", "leak_below_skirt"]))
def test_more_leakage_never_warms_a_shelter_with_a_known_source(night, more, where):
    tight, leaky = (night.replace(EVEN_OUT | {f"model.{where}": f"{a} cm2"}) for a in (20.0, 20.0 * more))
    assert (mean_of(leaky) <= mean_of(tight) + SLACK).all()


@some(5, of=12)
@given(scenarios(hours=(2, 6)), st.floats(1.05, 50.0))
def test_more_resistance_of_the_skin_never_cools(night, more):
    """Same heat capacity and emissivity: only the links inside the skin's own layers are changed."""
    thick = {f"shelter.skin.{part}": "none" for part in ("wall", "roof")}
    thick["shelter.skin.all"] = ["10 mm polyester quilt"]
    base = assemble(night.replace(EVEN_OUT | thick))
    assert (mean_air(base, solved(resisting(base, more))) >= mean_air(base, solved(base)) - SLACK).all()


@given(scenarios(), st.integers(2, 5), st.integers(0, 2**32 - 1))
def test_copies_joined_by_adiabatic_partitions_have_the_same_rates(night, k, seed):
    """The right-hand side is of the first degree in every size at once: nothing in it counts watts or kilograms."""
    model = assemble(night)
    many = copies(model, float(k)).shelter
    for state in at_random(model, seed, 3):
        one = state.rates()[: state.nodes]
        other = shelter_rhs(state.time, state.values, many, state.rows)[: state.nodes]
        assert other == pytest.approx(one, rel=1e-7, abs=1e-7)


@given(fires(shapes=("box", "wall tent", "bell")), st.integers(2, 5), st.integers(0, 2**32 - 1))
def test_copies_of_a_shelter_with_its_fire_have_the_same_rates(night, k, seed):
    """Each fire draws its own air beside the same pressure, and so burns alike: the room is left to see.

    A flow passes through 0 over a width in kg/s, which is that of one flue: flows within it are left out.
    """
    model = assemble(night)
    many, flow = copies(model, float(k)).shelter, model.shelter.stove.places.air
    for state in at_random(model, seed, 4)[1:]:
        temps = shelter_temperatures(state.time, state.values, model.shelter, state.rows)
        values = state.values.copy()
        if abs(values[flow]) < STILL_FLOW:
            continue
        spilt = 300.0 if values[flow] < 0.0 else 0.0  # W
        values[flow] *= k
        (here, flows), (there, more) = (
            at_fire(state.time, y, temps, p, state.rows)
            for y, p in ((state.values, model.shelter), (values, many))
        )
        assert there == pytest.approx(here, rel=1e-9, abs=1e-9)
        one, other = (
            rates(state.time, y, temps, here, through, heat, p, state.rows, True, True, False)[: state.nodes]
            for y, through, heat, p in (
                (state.values, flows, spilt, model.shelter),
                (values, more, k * spilt, many),
            )
        )
        assert other == pytest.approx(one, rel=1e-7, abs=1e-7)


@each(KNOWN)
def test_copies_joined_by_adiabatic_partitions_repeat_the_night(path):
    model = assemble(load(path))
    n = model.shelter.net.capacity.size
    one, three = (solved(m).states[:, :n] for m in (model, copies(model, 3.0)))
    assert np.abs(three - one).max() < 0.002


def mean_of(night, step=600.0):
    model = assemble(night)
    return mean_air(model, solved(model, step=step))

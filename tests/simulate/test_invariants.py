"""What must hold for every night, over generated scenarios; `test_false_sisters.py` has what need not."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.air import TURN
from simtent.assembly.assemble import assemble
from simtent.assembly.gas_path import STILL_FLOW
from simtent.assembly.rhs import at_fire, observe, rates, shelter_rhs, shelter_temperatures
from simtent.network.kernels import node_temperatures
from simtent.network.ledger import residual
from simtent.physics.constants import ICE_POINT
from simtent.scenario.load import load
from tests.portion import some, within
from tests.simulate.cases import EVEN_OUT, KNOWN, copies, each, mean_air, resisting, solved
from tests.simulate.states import at_random
from tests.strategies import fires, scenarios

pytestmark = pytest.mark.compiled

SLACK = 0.01  # K, of the solver
OUTSIDE = 263.15  # K, of `EVEN_OUT`
RISE = 1e-3  # K, of the solver too, from one time told to the next
LEDGER = 1e-6  # of the throughput
ON_SAND = {"site.ground": "sand or gravel"} | {
    f"site.{key}": "none" for key in ("ice_thickness", "under_snow", "snow_depth", "snow_density")
}
TIGHT = {"model.leak_area": "1 cm2", "model.leak_below_skirt": "0 cm2", "shelter.openings": "none"}


@some(3)
@given(scenarios(), st.booleans())
def test_energy_is_found_again_and_nothing_is_colder_than_its_surroundings(night, overcast):
    """The least of outdoors, effective sky and what all was at first, the ground included.

    Under a clear sky much is warmer than the sky, whatever a law does: half of the nights are overcast.
    """
    _, temps, weather = looked_at(night.replace("outdoors.cloud", "100 %") if overcast else night)
    coldest = min(temps[0].min(), weather[:, :2].min())
    within(coldest - temps[1:].min(), SLACK, "colder than all around [K]")
    assert (weather[:, 4] >= 0.0).all()


@some(3)
@given(scenarios())
def test_without_sources_nothing_is_warmer_than_its_surroundings(night):
    """Nor, over water, than ice that melts: the water under it is a boundary of the ground."""
    model, temps, weather = looked_at(night.replace({**unheated(night), "crew.asleep": 0}))
    water = ICE_POINT if "water_below" in model.net.path_names else 0.0
    warmest = max(temps[0].max(), weather[:, :2].max(), water)
    within(temps[1:].max() - warmest, SLACK, "warmer than all around [K]")


def looked_at(night):
    """Solve it; its model, all temperatures and what was seen of the weather and the leaks over time."""
    model = assemble(night)
    got = solved(model)
    within(residual(model.net, got.states), LEDGER, "of the energy is missing")
    seen = [
        observe(t, y, model.shelter, r)[0] for t, y, r in zip(got.times, got.states, got.rows, strict=True)
    ]
    return model, node_temperatures(model.shelter.net, got.states), np.array(seen)


def unheated(night):
    return {"heat.table": [{"at": night.night.begin, "power": "0 W"}], "heat.file": "none"}


@some(3)
@given(scenarios(hours=(2, 6)), st.floats(0.1, 60.0), st.floats(0.0, 12.0))
def test_a_warm_shelter_in_even_cold_only_cools(night, warmer, wind):
    """Nobody is inside, all of it is as warm at first; sky, ground and outdoors stay at one temperature.

    In the last hundredths of a kelvin, where currents turn, the air under the peak may rise by some thousandths: see
    `test_a_surface_warmer_by_a_hair_sheds_air_warmer_than_itself`.
    """
    start = {"night.inside_at_start": f"{-10.0 + warmer:.3f} degC", "outdoors.wind": f"{wind:.3f} m/s"}
    model = assemble(night.replace({**EVEN_OUT, **ON_SAND, **unheated(night), "crew.asleep": 0} | start))
    hottest = node_temperatures(model.shelter.net, solved(model).states).max(axis=1)
    assert hottest[-1] < hottest[0]
    rises, apart = np.diff(hottest), hottest[:-1] - OUTSIDE > TURN
    within(rises[apart].max(), RISE, "a rise of the hottest [K]")
    within(rises[~apart].max(initial=-TURN), SLACK, "a rise of the hottest where currents turn [K]")


@some(2)
@given(scenarios(hours=(2, 6)), st.floats(0.5, 8.0))
def test_more_wind_never_warms_a_tight_shelter_with_a_known_source(night, wind):
    """Through its skin. Through openings it may: see `test_wind_against_the_draught_of_openings_can_warm`."""
    tight = EVEN_OUT | TIGHT
    calm, windy = (night.replace(tight | {"outdoors.wind": f"{w} m/s"}) for w in (0.0, wind))
    within((mean_of(windy) - mean_of(calm))[1:].max(), SLACK, "warmer for more wind [K]")


@some(2)
@given(scenarios(hours=(2, 6)), st.floats(1.05, 20.0), st.sampled_from(["leak_area", "leak_below_skirt"]))
def test_more_leakage_never_warms_a_shelter_with_a_known_source(night, more, where):
    tight, leaky = (night.replace(EVEN_OUT | {f"model.{where}": f"{a} cm2"}) for a in (20.0, 20.0 * more))
    within((mean_of(leaky) - mean_of(tight))[1:].max(), SLACK, "warmer for more leakage [K]")


@some(2)
@given(scenarios(hours=(2, 6)), st.floats(1.05, 50.0))
def test_more_resistance_of_the_skin_never_cools(night, more):
    """Same heat capacity and emissivity: only the links inside the skin's own layers are changed."""
    thick = {f"shelter.skin.{part}": "none" for part in ("wall", "roof")}
    thick["shelter.skin.all"] = ["10 mm polyester quilt"]
    base = assemble(night.replace(EVEN_OUT | thick))
    thin, better = (mean_air(base, solved(model)) for model in (base, resisting(base, more)))
    within((thin - better)[1:].max(), SLACK, "colder for more resistance [K]")


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

"""What a fire gives off, read off a Dataset: its mass and heat agree with the Dataset's own totals."""

from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent.assess.emitted import emitted
from simtent.physics.wood import CHAR_SHARE, gas_heat
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests import fake_fire
from tests.assess.nights import labelled

SCENARIOS = Path(__file__).parents[2] / "scenarios"
COAL_HEAT = (29.5e6, 33.0e6)  # J/kg; charcoal, by textbooks 29 to 33 MJ/kg, from memory
FLAMES = (
    0.0065,
    0.302,
)  # kg/kg of wood; 0.961 - 0.984 times the efficiency, from .97 down to .67 (second-hand)
COALS = 0.22  # kg/kg


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return fake_fire.scenario(tmp_path)


def agrees(scenario: Scenario, dataset: xr.Dataset) -> None:
    """Gas and coals are the dry wood that went; what is unburnt is the account's; all heat is the fire's."""
    assert scenario.wood is not None
    given = emitted(scenario, dataset)
    mass = dataset["fuel_mass"].isel(time=-1)
    gone = float(dataset["event_mass"].sum()) * (1.0 - scenario.wood.moisture)
    gone -= float(mass.sel(fuel_stage="dry_wood"))
    assert given.gas.sum() == pytest.approx((1.0 - CHAR_SHARE) * gone, rel=1e-6)
    burnt = CHAR_SHARE * gone - float(mass.sel(fuel_stage="coals"))
    assert given.coals.sum() == pytest.approx(burnt, rel=1e-6)
    heat = given.gas * gas_heat(scenario.wood.species.heating_value, CHAR_SHARE)
    energy = dataset["energy"].isel(time=-1)
    assert ((1.0 - given.burnt) * heat).sum() == pytest.approx(
        -float(energy.sel(account="unburnt")), rel=1e-3
    )
    of_coals = float(energy.sel(account="fire")) - heat.sum()
    assert COAL_HEAT[0] < of_coals / given.coals.sum() < COAL_HEAT[1]
    assert min(given.gas.min(), given.coals.min(), given.burnt.min(), given.monoxide.min()) >= 0.0
    least, most = (share * given.gas + COALS * given.coals for share in FLAMES)
    assert (given.monoxide >= 0.99 * least - 1e-12).all() and (given.monoxide <= 1.01 * most + 1e-12).all()


@pytest.mark.compiled
@pytest.mark.parametrize("name", ["sedge_hollow", "yard_burn"])
def test_a_shipped_night_adds_up(name: str) -> None:
    scenario = load(SCENARIOS / f"{name}.toml")
    agrees(scenario, labelled(scenario))


@pytest.mark.parametrize("minutes", [1.0, 5.0, 7.0])
def test_wood_is_counted_once_however_often_a_night_is_told(scenario: Scenario, minutes: float) -> None:
    """Loads at the begin, at a time told, and between two of them; a load in the wrong place would be no gas."""
    given = emitted(scenario, fake_fire.night(minutes=minutes))
    assert given.gas.sum() == pytest.approx(
        emitted(scenario, fake_fire.night(minutes=1.0)).gas.sum(), rel=2e-3
    )
    agrees_in_mass(scenario, fake_fire.night(minutes=minutes))


def agrees_in_mass(scenario: Scenario, dataset: xr.Dataset) -> None:
    assert scenario.wood is not None
    mass = dataset["fuel_mass"].sel(fuel_stage="dry_wood").values
    gone = float(dataset["event_mass"].sum()) * (1.0 - scenario.wood.moisture) - mass[-1]
    assert emitted(scenario, dataset).gas.sum() == pytest.approx((1.0 - CHAR_SHARE) * gone, rel=1e-9)


def test_a_load_at_a_time_told_belongs_before_it(scenario: Scenario) -> None:
    """Nothing goes in the minutes in which only the load comes."""
    night = fake_fire.night(minutes=5.0, loads=(fake_fire.Load(230.0, 3.2, 170.0),))
    given = emitted(scenario, night)
    assert given.gas[:46] == pytest.approx(0.0, abs=1e-12)
    assert given.gas[46] > 0.0


def test_a_load_at_the_begin_is_there_from_the_begin(scenario: Scenario) -> None:
    night = fake_fire.night(minutes=5.0, loads=(fake_fire.Load(0.0, 2.4, 75.0),))
    given = emitted(scenario, night)
    dry = night["fuel_mass"].sel(fuel_stage="dry_wood").values
    assert given.gas[0] == pytest.approx((1.0 - CHAR_SHARE) * (dry[0] - dry[1]), rel=1e-9)


def test_gas_that_does_not_burn_gives_more(scenario: Scenario) -> None:
    clean, smoky = (
        emitted(scenario, fake_fire.night(minutes=5.0, loads=(fake_fire.Load(0.0, 2.4, 75.0, lost),)))
        for lost in (0.05, 0.3)
    )
    assert clean.gas == pytest.approx(smoky.gas)
    assert smoky.monoxide.sum() > 2.0 * clean.monoxide.sum()


def test_glowing_coals_give_off_a_fifth_of_their_mass(scenario: Scenario) -> None:
    night = fake_fire.night(minutes=5.0, loads=(fake_fire.Load(0.0, 2.4, 75.0),))
    given = emitted(scenario, night)
    late = np.arange(given.gas.size) > 20  # the wood is gone after 75 min
    assert given.gas[late] == pytest.approx(0.0, abs=1e-12)
    assert given.coals[late].sum() > 0.05
    assert given.monoxide[late] == pytest.approx(COALS * given.coals[late])


def test_without_loads_nothing_is_given_off(scenario: Scenario) -> None:
    night = fake_fire.night(minutes=30.0)
    bare = night.drop_dims("event").assign(fuel_mass=night["fuel_mass"] * 0.0, energy=night["energy"] * 0.0)
    assert emitted(scenario, bare).monoxide == pytest.approx(0.0)

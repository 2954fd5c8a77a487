"""Wood as a fuel against closed forms and the volumes of EN 13384-1."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.physics.wood import (
    AIR_HEAT,
    CHAR_SHARE,
    COAL_HEAT,
    WATER_HEAT,
    gas_heat,
)
from simtent.scenario.wood import Moisture
from tests.reference.wood_chemistry import net_heating_value, stoichiometric_air

CARBON, HYDROGEN, OXYGEN = 0.500, 0.061, 0.428  # mass shares of dry wood; common practice, no source
MOLAR_VOLUME = 22.414  # m3/kmol at 0 degC and 101325 Pa
AIR_DENSITY = 1.293  # kg/m3, same state

# Closed form of EN ISO 18125 (from memory), 18.5 MJ/kg dry: moisture on the wet basis, MJ/kg moist, within .01.
NET = [(0.0, 18.50), (0.10, 16.41), (0.15, 15.36), (0.20, 14.31), (0.25, 13.26)]
NET += [(0.30, 12.22), (0.40, 10.12), (0.50, 8.03)]


@pytest.mark.parametrize(("moisture", "expected"), NET)
def test_net_heating_value(moisture, expected):
    # The model burns the dry wood with its dry value and boils the water off: together the net value.
    ours = 18.5e6 * (1.0 - moisture) - WATER_HEAT * moisture
    assert ours == pytest.approx(expected * 1e6, abs=0.01e6)
    assert ours == pytest.approx(net_heating_value(18.5e6, moisture))


# EN 13384-1 table B.1, second-hand: kWh per kg of moist wood at two moistures. Both are the same dry wood.
@pytest.mark.parametrize(("moisture", "printed"), [(0.231, 3.70), (0.333, 3.12)])
def test_flue_standard_s_wood(moisture, printed):
    assert net_heating_value(18.06e6, moisture) == pytest.approx(printed * 3.6e6, abs=0.02e6)


# Closed form: M 20 % is u 25 %, M 23.1 % is u 30 %.
@pytest.mark.parametrize(("wet", "dry"), [(0.20, 0.25), (0.231, 0.30)])
def test_moisture_bases(wet, dry):
    read = Moisture(meaning="", usual=("", "")).read
    assert read(f"{100.0 * dry:g} % dry") == pytest.approx(wet, abs=1e-3)
    assert read(f"{100.0 * wet:g} % wet") == pytest.approx(wet, abs=1e-12)


def test_air_needed():
    # Closed form: 1.388 kg of oxygen, 6.00 kg of air per kg of dry wood, 20.28 % of CO2 in the dry flue gas.
    air = stoichiometric_air(CARBON, HYDROGEN, OXYGEN)
    assert air == pytest.approx(6.00, rel=5e-3)
    dioxide = CARBON * MOLAR_VOLUME / 12.011
    nitrogen = 0.791 * air / AIR_DENSITY
    assert dioxide / (dioxide + nitrogen) == pytest.approx(0.2028, rel=5e-3)


def test_air_of_the_flue_standard():
    # EN 13384-1 table B.1, second-hand: 3.45 m3 of air per kg of wood of M 23.1 %, that is 5.80 kg per kg dry,
    # implied by carbon .495 and hydrogen .060.
    printed = 3.45 * AIR_DENSITY / (1.0 - 0.231)
    assert stoichiometric_air(0.495, 0.060, 0.445) == pytest.approx(printed, rel=0.01)


def test_pure_fuels():
    # Closed form: kg of oxygen per kg is 2.664 for carbon and 7.936 for hydrogen.
    assert 0.2314 * stoichiometric_air(1.0, 0.0, 0.0) == pytest.approx(2.664, abs=1e-3)
    assert 0.2314 * stoichiometric_air(0.0, 1.0, 0.0) == pytest.approx(7.936, abs=1e-3)


def test_heat_per_air():
    # 13.1 MJ per kg of oxygen (oxygen-consumption calorimetry, second-hand). Wood by composition gives 3.08 MJ
    # per kg of air.
    assert pytest.approx(0.2314 * 13.1e6, rel=0.02) == AIR_HEAT
    assert pytest.approx(18.5e6 / stoichiometric_air(CARBON, HYDROGEN, OXYGEN), rel=0.02) == AIR_HEAT


def test_water_heat():
    # CoolProp 6 and the standard 2.443 MJ/kg at 25 degC: latent heat of water.
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    latent = coolprop.PropsSI("H", "T", 298.15, "Q", 1, "Water") - coolprop.PropsSI(
        "H", "T", 298.15, "Q", 0, "Water"
    )
    assert pytest.approx(latent, rel=1e-3) == WATER_HEAT


@given(st.floats(17e6, 20e6), st.floats(0.1, 0.3))
def test_gas_and_char_add_up(dry_value, share):
    whole = (1.0 - share) * gas_heat(dry_value, share) + share * COAL_HEAT
    assert whole == pytest.approx(dry_value, rel=1e-12)
    assert gas_heat(dry_value, share) < dry_value


def test_char_carries_its_share():
    # Published: 29.5 % of the energy in char (MaCFP wood set, 57 runs, air-dry).
    assert pytest.approx(0.295, abs=0.02) == CHAR_SHARE * COAL_HEAT / 18.5e6

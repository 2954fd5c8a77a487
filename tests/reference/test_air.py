"""Properties of dry air against CoolProp, fluids and PsychroLib."""

import fluids.atmosphere
import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI

from simtent.physics.air import air_density, standard_pressure
from simtent.physics.constants import CP_AIR

from .other_laws import air_conductivity, air_viscosity

# CV17. Dry air at 101325 Pa: T [K], density [kg/m3], viscosity [Pa s], conductivity [W/(m K)], Prandtl [-].
# Library: CoolProp 8.0.0. Expected agreement of the fits 2 %.
DRY_AIR = [
    (253.15, 1.3956, 1.6201e-5, 0.022812, 0.714),
    (273.15, 1.2931, 1.7218e-5, 0.02436, 0.711),
    (293.15, 1.2046, 1.8206e-5, 0.025874, 0.708),
    (400.0, 0.88231, 2.3055e-5, 0.033453, 0.699),
]


@pytest.mark.parametrize(("temperature", "density", "viscosity", "conductivity", "prandtl"), DRY_AIR)
def test_dry_air_table(temperature, density, viscosity, conductivity, prandtl):
    assert air_density(temperature, 101325.0) == pytest.approx(density, rel=0.002)
    assert air_viscosity(temperature) == pytest.approx(viscosity, rel=0.02)
    assert air_conductivity(temperature) == pytest.approx(conductivity, rel=0.02)
    ours = CP_AIR * air_viscosity(temperature) / air_conductivity(temperature)
    assert ours == pytest.approx(prandtl, rel=0.02)


# Whole range of the model, degC. Library: CoolProp 8.0.0. Agreement as the docstrings promise.
@pytest.mark.parametrize("celsius", [-90.0, -60.0, -20.0, 20.0, 126.85, 300.0, 500.0, 700.0])
def test_fits_over_the_whole_range(celsius):
    def oracle(name):
        return PropsSI(name, "T", celsius + 273.15, "P", 101325.0, "Air")

    cool = celsius <= 130.0
    assert air_density(celsius + 273.15, 101325.0) == pytest.approx(oracle("D"), rel=0.004)
    assert air_viscosity(celsius + 273.15) == pytest.approx(oracle("V"), rel=0.01 if cool else 0.04)
    assert air_conductivity(celsius + 273.15) == pytest.approx(oracle("L"), rel=0.022)
    if cool:
        assert pytest.approx(oracle("C"), rel=0.01) == CP_AIR


def test_density_at_altitude():
    # Library: CoolProp 8.0.0, ideal gas within 0.2 %.
    oracle = PropsSI("D", "T", 263.15, "P", 77000.0, "Air")
    assert air_density(263.15, 77000.0) == pytest.approx(oracle, rel=0.002)


def test_standard_pressure():
    # MA9. Library: PsychroLib 2.5.0 (ASHRAE Handbook Fundamentals 2017 ch. 1), within 1 Pa.
    assert standard_pressure(1000.0) == pytest.approx(89875.0, abs=1.0)
    psychrolib.SetUnitSystem(psychrolib.SI)
    for altitude in (-400.0, 0.0, 500.0, 2317.0, 6000.0):
        assert standard_pressure(altitude) == pytest.approx(
            psychrolib.GetStandardAtmPressure(altitude), abs=0.1
        )
        # Library: fluids 1.3.1, U.S. Standard Atmosphere 1976 over geopotential height: 0.1 % apart up here.
        oracle = fluids.atmosphere.ATMOSPHERE_1976(altitude).P
        assert standard_pressure(altitude) == pytest.approx(oracle, rel=0.001)

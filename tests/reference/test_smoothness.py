"""Every law over its whole range: finite everywhere, fluxes without a step at changes of sign or branch."""

from math import isfinite

import pytest

from simtent.physics.air import air_density, standard_pressure
from simtent.physics.airspace import gap_film, pair_emissivity
from simtent.physics.convection import inside_film, outside_film
from simtent.physics.ground import edge_conductance, snow_conductivity
from simtent.physics.leakage import basic_leakage
from simtent.physics.mixing import mixing_conductivity
from simtent.physics.radiation import black_exchange
from simtent.physics.sky import dew_point, sky_emissivity_clark_allen, sky_temperature

from .other_laws import (
    air_conductivity,
    air_viscosity,
    saturation_pressure_ice,
    saturation_pressure_water,
    sky_emissivity_berdahl_martin,
    slab_transmittance,
    swinbank_sky_temperature,
)

KELVIN = [183.15, 233.15, 263.15, 273.15, 273.15 + 1e-9, 293.15, 373.15, 973.15]
DIFFERENCES = [-790.0, -20.0, -5.0, -1e-3, -1e-12, -5e-324, 0.0, 5e-324, 1e-12, 1e-3, 5.0, 20.0, 790.0]
TILTS = [-1.0, -0.7, -0.5, -1e-12, 0.0, 1e-12, 0.5, 0.7, 1.0]


def fluxes(cos_tilt):
    """Every flux that follows a difference of temperature, as a function of it, with its bound of slope."""
    return {
        "inside": (lambda d: inside_film(d, cos_tilt, 0.8) * d, 20.0),
        "gap": (lambda d: gap_film(d, 0.03, cos_tilt) * d, 20.0),
        "thin gap": (lambda d: gap_film(d, 0.002, cos_tilt) * d, 20.0),
        "leakage": (lambda d: basic_leakage(0.02, d, 0.0, 2.0) * 1300.0 * d, 3000.0),
        "leakage in wind": (lambda d: basic_leakage(0.02, d, 3.0, 2.0) * 1300.0 * d, 3000.0),
        "mixing": (lambda d: mixing_conductivity(d) * d, 60.0),
    }


@pytest.mark.parametrize("cos_tilt", TILTS)
def test_finite_everywhere(cos_tilt):
    for difference in DIFFERENCES:
        for flux, _ in fluxes(cos_tilt).values():
            assert isfinite(flux(difference))
            assert flux(difference) * difference >= 0.0
    for thickness in (1e-4, 0.005, 0.3):
        assert isfinite(gap_film(0.0, thickness, cos_tilt))


@pytest.mark.parametrize("kelvin", KELVIN)
def test_temperatures(kelvin):
    values = [
        air_density(kelvin, 5e4),
        air_conductivity(kelvin),
        air_viscosity(kelvin),
        swinbank_sky_temperature(kelvin),
    ]
    values += [saturation_pressure_ice(kelvin), saturation_pressure_water(kelvin)]
    values += [dew_point(kelvin, humidity) for humidity in (0.0, 0.5, 1.0)]
    values += [sky_emissivity_berdahl_martin(kelvin, 1e5), sky_emissivity_clark_allen(kelvin)]
    values += [sky_temperature(kelvin, dew_point(kelvin, 0.7), cloud) for cloud in (0.0, 0.5, 1.0)]
    assert all(isfinite(value) and value > 0.0 for value in values)
    assert isfinite(black_exchange(kelvin, 183.15))


def test_other_ends():
    assert all(isfinite(outside_film(wind)) for wind in (0.0, 25.0))
    assert all(standard_pressure(altitude) > 0.0 for altitude in (-400.0, 0.0, 6000.0))
    assert all(snow_conductivity(density) > 0.0 for density in (50.0, 155.9, 156.0, 600.0))
    assert isfinite(edge_conductance(2.5, 1e-6, 0.0, 0.1)) and isfinite(
        slab_transmittance(4.0, 8.0, 0.0, 0.1, 5.0)
    )
    assert 0.0 < pair_emissivity(1e-6, 1.0) < pair_emissivity(1.0, 1.0) == 1.0


@pytest.mark.parametrize("cos_tilt", TILTS)
def test_fluxes_are_lipschitz(cos_tilt):
    # A nudge of 1e-6 K anywhere changes a flux by no more than slope x nudge.
    points = [*DIFFERENCES[1:-1], -4.9999995, 4.9999995, 4.658, -0.5, 0.5]
    for name, (flux, slope) in fluxes(cos_tilt).items():
        for point in points:
            assert abs(flux(point + 1e-6) - flux(point)) <= slope * 1e-6 * 1.001, (name, point)


def test_flux_fades_smoothly_into_zero():
    # Closed form: the convective flux goes with |d|^(4/3), so the slope at 0 is 0 from both sides.
    for cos_tilt in TILTS:
        for tiny in (1e-9, -1e-9):
            assert abs(inside_film(tiny, cos_tilt, 1.0)) < 0.002


def test_no_step_in_tilt_where_the_branches_meet():
    # The two branches of the inside film differ by 0.02 % on a wall.
    assert inside_film(10.0, 1e-12, 1.0) == pytest.approx(inside_film(10.0, -1e-12, 1.0), rel=3e-4)

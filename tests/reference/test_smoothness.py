"""Every law over its whole range: finite everywhere, fluxes without a step at changes of sign or branch."""

from itertools import pairwise
from math import isfinite

import pytest

from simtent.assembly.stove import heat_curve
from simtent.physics.air import air_density, standard_pressure
from simtent.physics.airspace import gap_film, pair_emissivity
from simtent.physics.burn import (
    air_limited,
    burnt_share,
    catching,
    dried,
    drying_coefficient,
    flame_feedback,
    free_burn_time,
    rest_rate,
)
from simtent.physics.coals import coal_rate, relight_chance
from simtent.physics.convection import inside_film, outside_film
from simtent.physics.flue import (
    bend_loss,
    damper_loss,
    flue_resistance,
    friction_factor,
    inlet_resistance,
    signed_root,
)
from simtent.physics.flue_gas import flue_carbon_dioxide, flue_gas_enthalpy, flue_gas_heat_capacity
from simtent.physics.ground import edge_conductance, snow_conductivity
from simtent.physics.hot_surface import hot_film
from simtent.physics.mixing import mixing_conductivity
from simtent.physics.pipe_heat import gas_radiation, pipe_film, segment_end
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


# Each law of the fire over the whole range of one argument, with the places where it changes its ways, and a bound
# on the size of its slope there: a step would show as a slope of a million times its size.
SHARES = [-1e-4, -1e-9, 0.0, 1e-12, 1e-6, 1e-4, 1e-3, 0.02, 0.3, 0.99, 1.0, 1.0 + 1e-6]
HOT = [223.15, 298.15, 373.15, 480.0, 650.0, 750.0, 773.15, 773.15 + 1e-7, 873.0, 873.15, 1273.15, 1673.15]
FLOWS = [-5e-3, -1e-5, -1e-9, 0.0, 1e-12, 1e-9, 1e-6, 1e-5, 1e-4, 3e-4, 1e-3, 5e-3, 0.02]
FIRE_LAWS = {
    "rest rate": (rest_rate, SHARES, 1e3),
    "drying of a split": (
        lambda x: drying_coefficient(0.09, x) * x, [-1e-4, 0.0, 1e-6, 1e-3, 0.02, 0.5, 1.0 - 1e-7, 1.0], 600.0,
    ),
    "dried, by water": (lambda x: dried(x, 0.5), SHARES, 2e3),
    "dried, by wood": (lambda x: dried(0.001, x), SHARES, 2e3),
    "catching": (lambda s: catching(s, 0.015), [-10.0, 0.0, 1.0, 64.9, 65.0, 1e4], 0.1),
    "feedback": (lambda t: flame_feedback(t, 0.6), HOT, 0.01),
    "air limit": (air_limited, [0.0, 1e-9, 0.5, 0.99, 1.0, 1.01, 40.0], 1.0),
    "burnt share, by heat": (lambda t: burnt_share(t, 2.5), HOT, 0.01),
    "burnt share, by air": (lambda r: burnt_share(900.0, r), [0.0, 0.9, 1.0, 1.5, 2.0, 2.1, 50.0], 2.0),
    "coals": (lambda m: coal_rate(m, 1e-3, 3e-4), [-1e-4, -1e-9, 0.0, 1e-9, 1e-3, 0.15, 0.5, 3.0], 1e-3),
    "coals, by air": (lambda a: coal_rate(0.3, a, 3e-4), [f for f in FLOWS if f >= 0.0], 1.0),
    "relighting": (lambda m: relight_chance(m, 2.0), [0.0, 1e-3, 0.05, 0.08, 0.2, 1.0], 40.0),
    "heat capacity": (lambda t: flue_gas_heat_capacity(t, 8.0), HOT, 1.0),
    "enthalpy": (lambda t: flue_gas_enthalpy(t, 20.5), HOT, 2e3),
    "dioxide, by heat": (lambda q: flue_carbon_dioxide(q, 3e-3), [0.0, 1e-3, 1.0, 1e3, 9e3, 9.1e3, 3e4], 1.0),
    "dioxide, by air": (lambda a: flue_carbon_dioxide(4e3, a), FLOWS, 3e7),
    "pipe film": (lambda f: pipe_film(f, 600.0, 0.09, 2.5, 1e-3), FLOWS, 1e5),
    "pipe film, by heat": (lambda t: pipe_film(3e-3, t, 0.09, 2.5, 1e-3), HOT, 0.1),
    "gas radiation": (lambda t: gas_radiation(t, 500.0, 8.0), HOT, 0.2),
    "bends": (bend_loss, [0.0, 0.5235987, 0.5235988, 0.7853981, 0.7853982, 1.0471975, 1.0471976, 1.6], 2.0),
    "damper": (damper_loss, [0.0, 1e-3, 0.1, 0.5, 1.0], 1e6),
    "friction": (lambda r: friction_factor(r, 0.01), [20.0, 500.0, 1999.0, 2300.0, 2301.0, 4e3, 1e5], 1.0),
    "pressure lost in a flue": (
        lambda f: f * abs(f) * flue_resistance(f, 600.0, 0.09, 2.5, 1.5, 1e-3, 8.0, 9e4, 1.0), FLOWS, 3e4,
    ),
    "flow for a pressure": (lambda x: signed_root(x, 0.02), [-9.0, -0.02, -1e-9, 0.0, 1e-9, 0.02, 9.0], 10.0),
    "segment's end": (lambda c: segment_end(900.0, 300.0, 1.5, c), [1e-12, 1e-9, 1e-3, 0.5, 5.0, 50.0], 1e3),
    "segment's heat": (
        lambda c: c * (900.0 - segment_end(900.0, 300.0, 1.5, c)), [0.0, 1e-12, 1e-9, 1e-3, 0.5, 5.0], 700.0,
    ),
    "steel": (heat_curve("steel").state, HOT, 3.0),
    "heat capacity of steel": (heat_curve("steel").relative, HOT, 0.01),
    "still air on hot metal": (lambda d: hot_film(d, 0.0, 0.8) * d, DIFFERENCES, 20.0),
    "wind on hot metal": (lambda d: hot_film(d, 5.0, 0.8) * d, DIFFERENCES, 30.0),
}  # fmt: skip


@pytest.mark.parametrize("name", FIRE_LAWS)
def test_a_law_of_the_fire_is_finite_and_has_no_step(name):
    law, points, slope = FIRE_LAWS[name]
    reach = max(abs(points[0]), abs(points[-1]))
    among = [a + (b - a) * k / 50.0 for a, b in pairwise(points) for k in range(51)]
    for point in among:
        assert isfinite(law(point)), point
        nudge = 1e-9 * reach
        moved = law(point + nudge) - law(point)
        assert abs(moved) <= slope * nudge * 1.001 + 1e-12 * abs(law(point)), point


def test_a_hot_film_of_nothing_is_nothing():
    assert free_burn_time(1e-3) > 0.0
    assert hot_film(0.0, 0.0, 1.0) == 0.0
    assert inlet_resistance(1e-6, 1.2, 0.62) > 0.0

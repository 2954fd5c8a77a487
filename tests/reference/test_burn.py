"""How a piece burns: against published free-burning and hot-box laws, closed forms, and practice."""

from itertools import pairwise
from math import isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from simtent.physics.burn import (
    air_limited,
    burnt_share,
    catching,
    dried,
    drying_coefficient,
    flame_feedback,
    free_burn_time,
    hot_box_heat,
)

from .hot_box import film, ignition_delay, loss_per_flux
from .one_piece import burn, two_humps

SHARES = st.floats(0.0, 1.0)
KELVIN = st.floats(220.0, 2000.0)
THICKNESS = st.floats(0.005, 0.2)
SMALL, THUMB, SPLIT = 0.025, 0.050, 0.075  # m


# Babrauskas, SFPE Handbook, second-hand: thickness [m], free burn-out time [min], within .1.
@pytest.mark.parametrize(("thickness", "minutes"), [(SMALL, 10.4), (THUMB, 31.4), (SPLIT, 60.0), (0.1, 95.1)])
def test_free_burn_time(thickness, minutes):
    assert free_burn_time(thickness) / 60.0 == pytest.approx(minutes, abs=0.1)


def burnt_time(begin, end):
    """Share of the free burn-out time that a piece takes from one burnt share to another."""
    return quad(lambda x: 1.0 / two_humps(x), begin, end, points=[0.05, 0.8], limit=300, epsrel=1e-10)[0]


def test_burns_out_in_its_time():
    # Closed form: from 0 to 0.99.
    assert burnt_time(0.0, 0.99) == pytest.approx(1.0, rel=1e-5)


def test_against_the_surface_law():
    # Second-hand, same source: m = m0 (1 - t/t_b)^2, begins at twice the mean rate; a quarter is left at half time.
    # Our first peak is as high (within 12 %); the second hump keeps more for later, as the cone runs do
    # (test_wood_cone.py), so that 46 to 48 % is left at half time.
    assert max(two_humps(x / 1000.0) for x in range(300)) == pytest.approx(2.0, rel=0.12)
    assert burnt_time(0.0, 1.0 - 0.48) < 0.5 < burnt_time(0.0, 1.0 - 0.46)


def test_last_of_a_piece_dies_away():
    # Closed form: near the end the rate falls in proportion to what is left, so the slope stays finite.
    slopes = [two_humps(1.0 - left) / left for left in (1e-3, 1e-6, 1e-9)]
    assert slopes == pytest.approx([slopes[0]] * 3, rel=0.02)
    assert two_humps(1.0) == 0.0
    assert two_humps(0.0) > 0.5


# Albini and Reinhardt 1995, second-hand: density 500, u .20, 1 m/s: firebox [K], thickness [m], minutes (diameter
# over the rate at the start), within 1 %.
HOT_BOX = [(873.0, SMALL, 19.9), (873.0, THUMB, 43.0), (873.0, SPLIT, 67.0)]
HOT_BOX += [(1073.0, SMALL, 7.4), (1073.0, THUMB, 15.8), (1073.0, SPLIT, 24.5)]


@pytest.mark.parametrize(("temperature", "thickness", "minutes"), HOT_BOX)
def test_hot_box(temperature, thickness, minutes):
    flux = hot_box_heat(temperature, film(temperature, thickness))
    assert thickness / (flux * loss_per_flux(500.0, 0.2)) / 60.0 == pytest.approx(minutes, rel=0.01)


def test_moisture_in_the_hot_box():
    # Second-hand, same source: the rate at u .10 over that at .30 is 1.286.
    assert loss_per_flux(500.0, 0.1) / loss_per_flux(500.0, 0.3) == pytest.approx(1.286, abs=1e-3)


@pytest.mark.parametrize("thickness", [SMALL, THUMB, SPLIT])
@pytest.mark.parametrize("moisture", [0.1, 0.2, 0.3])
def test_moisture_slows_a_piece(thickness, moisture):
    # Second-hand, same source: not more than 1 + 1.67 u at one temperature. Ours, where the firebox is held at one
    # temperature, is slowed little (next test): the heat taken by the water cools the firebox besides.
    dry, wet = burn(thickness, 0.0).until(0.05), burn(thickness, moisture).until(0.05)
    assert 1.0 < wet / dry < 1.0 + 1.67 * moisture


@pytest.mark.xfail(strict=True, reason="50 mm at u .30: 1.17 times as long as dry, published 1.50")
def test_moisture_slows_a_piece_as_published():
    ratio = burn(THUMB, 0.3).until(0.05) / burn(THUMB, 0.0).until(0.05)
    assert ratio == pytest.approx(1.50, rel=0.1)


def test_feedback():
    # By construction 1 at 600 degC. Second-hand, hot-box law: a firebox of 800 degC burns 2.7 times as fast as one
    # of 600 degC; our bound takes 12 % off.
    assert flame_feedback(873.0, 0.0) == pytest.approx(1.0, abs=5e-3)
    assert 0.85 * 2.7 < flame_feedback(1073.0, 0.0) < 2.7
    assert flame_feedback(300.0, 0.6) == pytest.approx(0.6, abs=2e-3)


@given(KELVIN, st.floats(0.3, 1.0))
def test_feedback_within_its_bounds(temperature, floor):
    assert floor <= flame_feedback(temperature, floor) <= floor + 3.0 * (1.0 - floor) + 1e-12


@given(KELVIN, KELVIN, st.floats(0.3, 1.0))
def test_hotter_burns_faster(one, other, floor):
    cold, hot = sorted((one, other))
    assert flame_feedback(cold, floor) <= flame_feedback(hot, floor) + 1e-12


# Second-hand, hot-box law: half of its rate not before a log would ignite in a firebox of 800 degC, and not later than
# twice that at 600 degC. Common practice, no source: kindling in half a minute, a thick split in some minutes.
@pytest.mark.parametrize("thickness", [0.010, SMALL, THUMB, 0.090])
def test_catching_takes_as_long_as_ignition(thickness):
    assert catching(ignition_delay(1073.0, thickness, 0.22), thickness) < 0.5
    assert catching(2.0 * ignition_delay(873.0, thickness, 0.22), thickness) > 0.5


def test_ignition_delay_of_the_oracle():
    # Second-hand, same source: delays of 25 to 100 mm pieces differ by 1.2 to 1.5 only.
    assert 1.2 < ignition_delay(873.0, 0.1, 0.2) / ignition_delay(873.0, 0.025, 0.2) < 1.5


def test_catching_begins_and_ends():
    assert catching(-1.0, 0.05) == catching(0.0, 0.05) == 0.0
    assert catching(3600.0, 0.2) == 1.0
    assert catching(60.0, 0.01) > 0.95 > 0.5 > catching(60.0, 0.09)


@given(st.floats(-10.0, 2000.0), st.floats(0.0, 600.0), THICKNESS, THICKNESS)
def test_thicker_catches_later(elapsed, longer, one, other):
    thin, thick = sorted((one, other))
    assert 0.0 <= catching(elapsed, thick) <= catching(elapsed, thin) + 1e-12
    assert catching(elapsed, thin) <= catching(elapsed + longer, thin) + 1e-12 <= 1.0 + 1e-11


@pytest.mark.parametrize("thickness", [0.01, THUMB, 0.1])
def test_drying_against_a_front_that_moves_in(thickness):
    # Plank's equation for a long cylinder of diameter a (from memory, sure): time over latent heat per volume and
    # degree is a / (4 h) + a^2 / (16 k). Ours: the core's share of the volume falls from 1 to 0, over a face of 4 / a
    # per volume.
    inverse = quad(lambda wet: 1.0 / drying_coefficient(thickness, wet), 0.0, 1.0, points=[1e-6, 1e-3])[0]
    film_only = 50.0
    conductivity = 0.12
    plank = thickness / (4.0 * film_only) + thickness**2 / (16.0 * conductivity)
    assert 0.25 * thickness * inverse == pytest.approx(plank, rel=1e-4)


@given(THICKNESS, THICKNESS, SHARES, SHARES)
def test_thicker_and_drier_take_up_less(one, other, wet, wetter):
    thin, thick = sorted((one, other))
    low, high = sorted((wet, wetter))
    assert (
        0.0 < drying_coefficient(thick, low) <= drying_coefficient(thin, high) * (1.0 + 1e-12) <= 50.0 * 1.001
    )


@given(SHARES, SHARES, SHARES, SHARES)
def test_drier_burns_faster(wet, wetter, wood, more):
    low, high = sorted((wet, wetter))
    little, much = sorted((wood, more))
    assert 0.0 <= dried(high, little) <= dried(low, little) + 1e-12
    assert dried(low, little) <= dried(low, much) + 1e-12 <= 1.0 + 1e-8


def test_dried_at_its_ends():
    # All of it dry, or all that is left wet, or half of what is left.
    assert dried(0.0, 1.0) == pytest.approx(1.0, abs=1e-6)
    assert dried(0.0, 0.05) > 0.97
    assert 0.0 < dried(1.0, 1.0) < dried(0.4, 0.4) < 0.03
    assert dried(0.4, 0.8) == pytest.approx(0.5, abs=2e-3)


@given(st.floats(0.0, 1e4))
def test_air_limit(demand):
    # Closed form: never above either limit, at most 2^(1/4) below the least.
    burning = demand * air_limited(demand)
    assert burning <= min(demand, 1.0) * (1.0 + 1e-12)
    assert burning >= min(demand, 1.0) * 0.5**0.25 * (1.0 - 1e-12)


def test_share_burnt_ends():
    # Second-hand (emission model of wildland fires): combustion efficiency .97 flaming and .67 smouldering. With coals
    # that carry .295 of the heat and burn in full, the gas burns .705 of it times its share.
    assert 0.295 + 0.705 * burnt_share(1000.0, 3.0) == pytest.approx(0.97, abs=5e-3)
    assert 0.295 + 0.705 * burnt_share(400.0, 3.0) == pytest.approx(0.67, abs=5e-3)
    assert 0.295 + 0.705 * burnt_share(1000.0, 1.0) == pytest.approx(0.67, abs=5e-3)


@given(KELVIN, KELVIN, st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_hotter_and_airier_burns_more_of_the_gas(one, other, ratio, more):
    cold, hot = sorted((one, other))
    starved, fed = sorted((ratio, more))
    assert 0.5 < burnt_share(cold, starved) <= burnt_share(hot, fed) + 1e-12 < 1.0


# Common practice, no source: sticks 20 min, 50 mm 45 to 60, 75 mm splits 60 to 90 in a throttled stove; within a
# factor 1.5. Throttled: a firebox at 425 degC, air-dry wood.
@pytest.mark.parametrize(("thickness", "minutes"), [(SMALL, 20.0), (THUMB, 52.0), (SPLIT, 75.0)])
def test_throttled_piece(thickness, minutes):
    assert minutes / 1.5 < burn(thickness, 0.22, 700.0).until(0.05) / 60.0 < minutes * 1.5


# As prescribed firebox and air: (thickness [m], moisture, temperature [K], air [kg/s per kg of dry wood]).
@pytest.mark.parametrize("moisture", [0.0, 0.3])
@pytest.mark.parametrize("air", [1.0, 3e-3])
def test_thicker_never_burns_out_sooner(moisture, air):
    times = [burn(thick, moisture, 800.0, air).until(0.05) for thick in (0.01, 0.025, 0.05, 0.09)]
    assert all(earlier < later for earlier, later in pairwise(times))


@pytest.mark.parametrize("thickness", [0.025, 0.09])
def test_wetter_never_burns_out_sooner(thickness):
    times = [burn(thickness, moisture, 800.0).until(0.05) for moisture in (0.0, 0.1, 0.25, 0.5, 1.0)]
    assert all(earlier < later for earlier, later in pairwise(times))


@pytest.mark.parametrize("thickness", [0.025, 0.09])
def test_less_air_never_burns_faster(thickness):
    times = [burn(thickness, 0.22, 800.0, air, hours=9.0).until(0.05) for air in (1.0, 6e-3, 3e-3, 1.5e-3)]
    assert all(earlier < later for earlier, later in pairwise(times))
    # Closed form of the air limit: two fires of half the air take twice as long once it is scarce (within 15 %).
    assert burn(0.01, 0.0, 800.0, 5e-4, hours=20.0).until(0.05) == pytest.approx(
        2.0 * burn(0.01, 0.0, 800.0, 1e-3, hours=20.0).until(0.05), rel=0.15
    )


def test_finite_everywhere():
    for kelvin in (200.0, 600.0, 650.0, 873.0, 1500.0, 2500.0):
        values = [hot_box_heat(kelvin, 12.0), flame_feedback(kelvin, 0.6)]
        values += [burnt_share(kelvin, ratio) for ratio in (0.0, 1.0, 2.0, 1e6)]
        assert all(isfinite(value) and value > 0.0 for value in values)
    for share in (0.0, 5e-324, 1e-9, 1e-6, 0.5, 1.0):
        values = [two_humps(share), drying_coefficient(0.05, share), air_limited(share)]
        values += [dried(share, other) for other in (0.0, 1e-9, 0.5, 1.0)]
        assert all(isfinite(value) and value >= 0.0 for value in values)
    assert isfinite(air_limited(1e6)) and isfinite(free_burn_time(1e-3))


def test_no_steps():
    # A nudge of 1e-6 changes nothing by more than its slope.
    for place in (k / 500.0 for k in range(500)):
        assert abs(two_humps(place + 1e-6) - two_humps(place)) < 20e-6
        assert (
            abs(burnt_share(400.0 + 500.0 * place + 1e-6, 1.6) - burnt_share(400.0 + 500.0 * place, 1.6))
            < 1e-8
        )
        assert abs(burnt_share(900.0, 3.0 * place + 1e-6) - burnt_share(900.0, 3.0 * place)) < 1e-6
        kelvin = 300.0 + 1500.0 * place
        assert abs(flame_feedback(kelvin + 1e-6, 0.6) - flame_feedback(kelvin, 0.6)) < 1e-8
        assert abs(catching(400.0 * place + 1e-6, 0.05) - catching(400.0 * place, 0.05)) < 1e-7

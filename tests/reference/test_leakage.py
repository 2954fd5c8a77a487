"""Leakage through the envelope against worked examples and closed forms."""

from math import sqrt

import pytest
from scipy.constants import g as standard_gravity

from simtent.physics.leakage import basic_leakage


def test_worked_example():
    # AF7. Memory: worked example of the ASHRAE Handbook Fundamentals, 500 cm2, 39 K, 6.7 m/s, shelter class
    # 3, one storey: 0.0580 m3/s, 1 %. The coefficients are published (US DOE Input Output Reference).
    assert basic_leakage(0.05, 39.0, 6.7, 2.5) == pytest.approx(0.0580, rel=0.01)


def test_stack_of_a_low_room():
    # AF8, its stack part: 100 cm2, 25 K, height 2 m, C_s 0.000116. Closed form, 0.5 %.
    assert basic_leakage(0.01, 25.0, 0.0, 2.0) == pytest.approx(0.1 * sqrt(0.000116 * 25.0), rel=0.005)


def test_wind_alone():
    # AF8 with the wind coefficient of class 3 for that of class 2 (0.000246): 6.232 l/s becomes 5.995 l/s.
    # Closed form.
    class_two = sqrt((6.232 / 100.0) ** 2 - (0.000246 - 0.000174) * 2.0**2) * 100.0
    assert basic_leakage(0.01, 25.0, 2.0, 2.0) == pytest.approx(class_two * 1e-3, rel=0.005)


def test_stack_coefficient_from_the_physics():
    # Closed form of the model: C_s = 0.01 [(1 + R/2)/3]^2 g H/T with R 0.5, 293 K:
    # 0.000145 at 2.5 m (1 %), 0.000116 at 2.0 m.
    for height in (2.5, 2.0, 1.5):
        coefficient = 0.01 * ((1.0 + 0.5 / 2.0) / 3.0) ** 2 * standard_gravity * height / 293.0
        expected = 0.1 * sqrt(coefficient * 20.0)
        assert basic_leakage(0.01, 20.0, 0.0, height) == pytest.approx(expected, rel=0.01)


def test_stack_goes_with_the_root_of_the_difference():
    # AF10's stack ratio for exponent 0.5: 40 K against 10 K is 2. Closed form.
    ratio = basic_leakage(0.01, 40.0, 0.0, 2.0) / basic_leakage(0.01, 10.0, 0.0, 2.0)
    assert ratio == pytest.approx(2.0, rel=1e-12)


def test_still_and_isothermal():
    assert basic_leakage(0.02, 0.0, 0.0, 2.0) == 0.0
    assert basic_leakage(0.02, -15.0, 1.0, 2.0) == basic_leakage(0.02, 15.0, 1.0, 2.0)
    # The heat it carries has no kink at 0: flow x difference over difference goes to 0.
    assert basic_leakage(0.02, 1e-8, 0.0, 2.0) < 1e-6

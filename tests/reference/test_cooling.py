"""Bodies that cool by conduction, by radiation alone and by water that runs through, in closed form.

A gas that is warmed in a closed box and so comes under pressure is no claim here: simtent's air keeps the pressure of
the outdoors, and says how much of it would have left.
"""

from functools import partial
from math import atan, atanh, exp

import pytest
from scipy.optimize import brentq

from simtent.network.kernels import add_links, add_rays, add_streams
from simtent.network.solve import solve

from .claims import CLOSED_FORM, case, claims, off
from .cooling import glowing, one_body, tanks, two_bodies
from .sources import MATHEMATICS

SUBJECT = "Bodies that cool"
SIGMA = 5.670374419e-8
cooling = partial(claims, unit="K", digits=7)


@cooling(
    "One body, 40 kJ/K at 300 K, through 20 W/K to 270 K: after half an hour, 1, 1.5 and 2 hours",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-5),
    laws=[solve, add_links],
    cases=[case("exponential", [270.0 + 30.0 * exp(-t / 2000.0) for t in (1800.0, 3600.0, 5400.0, 7200.0)])],
)
def test_one_body():
    return one_body()


def mixed(t):
    """Both bodies at t [s]: their mean by capacity, and what is left of their difference."""
    left = exp(-5.0 * (1.0 / 1e4 + 1.0 / 3e4) * t)
    return 297.5 + 52.5 * left, 297.5 - 17.5 * left


@cooling(
    "Two bodies, 10 kJ/K at 350 K and 30 kJ/K at 280 K, 5 W/K between them",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-5),
    laws=[solve, add_links],
    cases=[
        case("after 500 s", mixed(500.0), 0),
        case("after 1000 s", mixed(1000.0), 1),
        case("after 2000 s", mixed(2000.0), 2),
        case("after a day", (297.5, 297.5), 3),
    ],
)
def test_two_bodies(which):
    return two_bodies()[which]


def test_two_bodies_keep_their_heat():
    assert two_bodies() @ [1e4, 3e4] == pytest.approx([1e4 * 350.0 + 3e4 * 280.0] * 4, rel=1e-12)


def radiating(capacity, start, around, t):
    """Temperature at t of a black plate among black surroundings, from the integral of dT / (T^4 - T0^4) [K]."""

    def passed(kelvin):
        u, v = kelvin / around, start / around
        # The integral in x = T/T0: a logarithm, written as atanh(1/x), and an arc tangent.
        value = atanh(1.0 / u) - atanh(1.0 / v) - (atan(v) - atan(u))
        return capacity / (2.0 * SIGMA * around**3) * value - t

    return brentq(passed, around * (1.0 + 1e-9), start, xtol=1e-11)


MINUTES = (600.0, 1800.0, 3600.0)


@cooling(
    "Black plate of 1 m2 that cools by radiation alone: after 10, 30 and 60 minutes",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-4),
    laws=[solve, add_rays],
    cases=[
        case(
            "5 kJ/K at 600 K, around it 0.001 K: the cube of 1/T rises evenly",
            [(600.0**-3 + 3.0 * SIGMA * t / 5e3) ** (-1.0 / 3.0) for t in MINUTES],
            5e3,
            600.0,
            1e-3,
        ),
        case(
            "50 kJ/K at 600 K, around it 263.15 K",
            [radiating(5e4, 600.0, 263.15, t) for t in MINUTES],
            5e4,
            600.0,
            263.15,
        ),
    ],
)
def test_glowing(capacity, start, around):
    return glowing(capacity, start, around)


def in_series(x):
    """Three tanks when the water has changed x times in each."""
    rest = 20.0 * exp(-x)
    return 280.0 + rest, 280.0 + rest * (1.0 + x), 280.0 + rest * (1.0 + x + x * x / 2.0)


@cooling(
    "Three stirred tanks at 300 K in series, water of 280 K runs through, each is changed once in 1000 s",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-5),
    laws=[solve, add_streams],
    cases=[case(f"after {t:g} s", in_series(t / 1000.0), k) for k, t in enumerate((1000.0, 2000.0, 4000.0))],
)
def test_tanks(which):
    return tanks()[which]

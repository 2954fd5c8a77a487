"""What people feel of a room. Shares of ISO 7730 are for seated, lightly clothed people who are neither warm nor cold.

A met line says that the formula is the standard's, not that it holds for people in a cold camp, who were never asked.
"""

from functools import partial
from math import isnan, log, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.physics import comfort
from simtent.physics.comfort import floor_dissatisfied, operative, vertical_dissatisfied

from .claims import CLOSED_FORM, LIBRARY, MEMORY, SECOND_HAND, between, case, claims, off
from .sources import ISO_7730, ISO_7730_TABLES, MATHEMATICS, PYTHERMALCOMFORT

SUBJECT = "What people feel"
ZERO = 273.15

shares = partial(claims, unit="%", allowed=off(0.1))

# Evaluated apart from simtent from the formula that several unrelated public programs print alike.
VERTICAL = {1: 0.7, 2: 1.7, 3: 3.9, 4: 8.8, 5: 18.5, 6: 34.9, 7: 55.8}
FLOOR = {0: 76.5, 5: 60.2, 10: 40.5, 15: 21.4, 19: 10.4, 23.6: 5.5, 29: 12.1}


@shares(
    "Dissatisfied with air that is warmer at the head than at the ankles",
    ISO_7730,
    SECOND_HAND,
    laws=[vertical_dissatisfied],
    cases=[case(f"{kelvin} K", expected, kelvin) for kelvin, expected in VERTICAL.items()],
)
def test_vertical(kelvin):
    return 100.0 * vertical_dissatisfied(float(kelvin))


@shares(
    "Dissatisfied with the floor's temperature",
    ISO_7730,
    SECOND_HAND,
    laws=[floor_dissatisfied],
    cases=[case(f"{celsius:g} degC", expected, celsius) for celsius, expected in FLOOR.items()],
)
def test_floor(celsius):
    return 100.0 * floor_dissatisfied(celsius + ZERO)


@claims(
    "Difference at which a share is dissatisfied, by the formula turned round",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=off(1e-9),
    laws=[vertical_dissatisfied],
    cases=[
        case(f"{share:g} %", (5.76 - log(100.0 / share - 1.0)) / 0.856, share) for share in (3, 5, 10, 50)
    ],
)
def test_difference_of_a_share(share):
    low, high = 0.0, 8.0 - 1e-12
    while high - low > 1e-12:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if 100.0 * vertical_dissatisfied(middle) > share else (middle, high)
    return low


def least_floor():
    """Temperature of least complaint, by thirds."""
    low, high = 0.0, 40.0
    while high - low > 1e-7:
        third = (high - low) / 3.0
        if floor_dissatisfied(low + third + ZERO) > floor_dissatisfied(high - third + ZERO):
            low += third
        else:
            high -= third
    return low


@claims(
    "The floor that fewest complain of: half of 0.118 over 0.0025",
    MATHEMATICS,
    CLOSED_FORM,
    unit="degC",
    allowed=off(1e-3),
    laws=[floor_dissatisfied],
    cases=[case("light indoor shoes", 0.118 / (2.0 * 0.0025))],
)
def test_best_floor():
    return least_floor()


@claims(
    "Largest difference between ankle and head of the standard's classes",
    ISO_7730,
    SECOND_HAND,
    unit="K",
    allowed=off(0.0),
    cases=[case("class A", 2.0, 0), case("class B", 3.0, 1), case("class C", 4.0, 2)],
)
def test_classes(place):
    return comfort.CLASSES[place].difference


@shares(
    "Shares dissatisfied that the classes allow: with the air's difference, with the floor",
    ISO_7730,
    SECOND_HAND,
    digits=3,
    cases=[case("class A", (3, 10), 0), case("class B", (5, 10), 1), case("class C", (10, 15), 2)],
)
def test_shares_of_classes(place):
    return 100.0 * comfort.CLASSES[place].complain, 100.0 * comfort.CLASSES[place].floor_complain


@shares(
    "Floors at the ends of the classes' ranges: the share their formula gives beside the share allowed",
    ISO_7730_TABLES,
    MEMORY,
    allowed=off(1.0),
    cases=[case("19 degC, A and B", 10, 0), case("17 degC, C", 15, 2)],
)
def test_ends_of_floors(place):
    return 100.0 * floor_dissatisfied(comfort.CLASSES[place].floor[0])


# Air and radiant temperature [degC], speed [m/s]: what the library gave for ISO 7726, for the steps of ASHRAE 55.
OPERATIVE = {
    (20, 10, 0.1): (15.0, 15.0),
    (20, 10, 0.3): (16.339745962155614, 16.0),
    (10, 30, 0.5): (16.18033988749895, 18.0),
    (5, 25, 1.0): (9.805061467040842, 11.0),
    (-5, 15, 0.15): (3.989794855663562, 5.0),
}


def in_words(air, radiant, speed):
    """A case's name."""
    return f"air {air}, around {radiant} degC, {speed:g} m/s"


def felt(air, radiant, speed):
    """Operative temperature [degC]."""
    return operative(air + ZERO, radiant + ZERO, speed) - ZERO


@claims(
    "Operative temperature by the root of the air's speed",
    PYTHERMALCOMFORT,
    LIBRARY,
    unit="degC",
    allowed=off(1e-6),
    laws=[operative],
    cases=[case(in_words(*at), iso, *at) for at, (iso, _) in OPERATIVE.items()],
)
def test_operative(*at):
    return felt(*at)


@claims(
    "How far another standard's steps lie from it, as a part of the difference of air and surroundings: a spread",
    PYTHERMALCOMFORT,
    LIBRARY,
    allowed=between(-0.1, 0.1),
    laws=[operative],
    cases=[case(in_words(*at), None, *at, steps) for at, (_, steps) in OPERATIVE.items()],
)
def test_steps(air, radiant, speed, steps):
    return (steps - felt(air, radiant, speed)) / (air - radiant)


def test_nothing_is_said_from_8_kelvin_up():
    assert 0.74 < vertical_dissatisfied(7.999) < 0.75
    assert isnan(vertical_dissatisfied(8.0)) and isnan(vertical_dissatisfied(float("nan")))
    assert vertical_dissatisfied(-3.0) < 0.001


@given(st.floats(-20.0, 7.8), st.floats(0.01, 0.19))
def test_a_larger_difference_bothers_more(difference, more):
    low, high = vertical_dissatisfied(difference), vertical_dissatisfied(difference + more)
    assert 0.0 <= low < high < 1.0


@given(st.floats(-60.0, 23.0), st.floats(0.1, 0.6))
def test_a_colder_floor_bothers_more(celsius, colder):
    assert 0.05 < floor_dissatisfied(celsius + ZERO) <= floor_dissatisfied(celsius - colder + ZERO) <= 1.0


@given(st.floats(220.0, 330.0), st.floats(220.0, 330.0), st.floats(0.0, 5.0), st.floats(0.0, 1.0))
def test_felt_between_air_and_surroundings(air, radiant, speed, more):
    low, high = sorted((air, radiant))
    found = operative(air, radiant, speed)
    assert low - 1e-9 <= found <= high + 1e-9
    assert abs(operative(air, radiant, speed + more) - air) <= abs(found - air) + 1e-9, "wind favours the air"


@pytest.mark.parametrize("speed", [0.0, 0.05, 0.1])
def test_still_air_is_the_plain_mean(speed):
    # Standards allow the mean for slow air (memory); the formula alone would forget the air where it stands still.
    assert operative(300.0, 280.0, speed) == pytest.approx(290.0)


def test_the_weight_is_a_root():
    # Closed form: at 0.9 m/s the air weighs three times its surroundings.
    assert operative(280.0, 300.0, 0.9) == pytest.approx((sqrt(9.0) * 280.0 + 300.0) / 4.0)

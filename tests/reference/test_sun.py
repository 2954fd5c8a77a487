"""Where the sun stands, against a library, spherical trigonometry and a measured day.

simtent takes a series of 1971: up to 0.4 degrees off the true place in the year asked, without the bending of light by
the air, which makes a seen sunrise some minutes earlier.
"""

import math
from functools import cache, partial

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.physics.sun import DAY, day_angle, declination, outside_the_air, sine_of_height

from .claims import CLOSED_FORM, EXACTLY, LIBRARY, MEMORY, PUBLISHED, case, claims, off, percent
from .sources import DAY_LENGTHS, MATHEMATICS, PVLIB, SURFRAD
from .surfrad import clear_day

SUBJECT = "Where the sun stands"
DAYS = [1, 20, 79, 100, 172, 200, 266, 355, 365]
NINE_DAYS = "nine days from 1 January to 31 December"
PLACE = [sine_of_height, declination, day_angle]

place = partial(claims, unit="degrees", laws=PLACE)


def tilt_of(day):
    """The sun's declination on a day of the year [rad]."""
    return declination(day_angle(float(day)))


def exact_declination(day):
    """By Reda and Andreas 2004 at noon of Greenwich 2031, seen from the equator [degrees]."""
    when = pd.DatetimeIndex([pd.Timestamp("2031-01-01 12:00", tz="UTC") + pd.Timedelta(days=day - 1)])
    overhead = pvlib.solarposition.spa_python(when, 0.0, 0.0)
    azimuth, zenith = (math.radians(float(overhead[name].iloc[0])) for name in ("azimuth", "zenith"))
    return math.degrees(math.asin(math.sin(zenith) * math.cos(azimuth)))


@claims(
    "Declination by the same series (Spencer)",
    PVLIB,
    LIBRARY,
    unit="degrees",
    allowed=off(1e-10),
    laws=[declination, day_angle],
    cases=[case(NINE_DAYS, [math.degrees(pvlib.solarposition.declination_spencer71(day)) for day in DAYS])],
)
def test_declination_by_the_same_series():
    return [math.degrees(tilt_of(day)) for day in DAYS]


@claims(
    "Declination by a more exact algorithm at noon of 2031 (leap years move it; up to 0.56 in other years)",
    PVLIB,
    LIBRARY,
    unit="degrees",
    allowed=off(0.4),
    laws=[declination, day_angle],
    cases=[case(NINE_DAYS, [exact_declination(day) for day in DAYS])],
)
def test_declination_against_the_true_place():
    return [math.degrees(tilt_of(day)) for day in DAYS]


def true_distance(day):
    """Sunshine outside the air by the true distance [W/m2]."""
    when = pd.DatetimeIndex([pd.Timestamp("2031-01-01 12:00") + pd.Timedelta(days=day - 1)])
    return float(pvlib.irradiance.get_extra_radiation(when, method="nrel").iloc[0])


@claims(
    "Sunshine outside the air, solar constant 1366.1 W/m2",
    PVLIB,
    LIBRARY,
    unit="W/m2",
    digits=5,
    allowed=percent(1e-10),
    laws=[outside_the_air, day_angle],
    cases=[
        case(
            f"by the same series, {NINE_DAYS}",
            [float(pvlib.irradiance.get_extra_radiation(day)) for day in DAYS],
        ),
        case(
            f"by the true distance, {NINE_DAYS}", [true_distance(day) for day in DAYS], allowed=percent(0.1)
        ),
    ],
)
def test_sunshine_outside_the_air():
    return [outside_the_air(day_angle(float(day))) for day in DAYS]


@given(st.floats(-89.0, 89.0), st.integers(1, 365), st.floats(-43_200.0, 43_200.0))
def test_height_of_the_sun_against_a_library(latitude, day, since):
    # Library: pvlib 0.16, its own spherical trigonometry from hour angle and declination.
    tilt = tilt_of(day)
    zenith = pvlib.solarposition.solar_zenith_analytical(
        math.radians(latitude), math.radians(since / 240.0), tilt
    )
    found = sine_of_height(math.radians(latitude), tilt, since)
    assert found == pytest.approx(math.cos(float(zenith)), abs=1e-9)


@given(st.floats(-66.0, 66.0), st.integers(1, 365))
def test_noon_height_and_day_length(latitude, day):
    """Closed forms of spherical trigonometry: 90 degrees less the way from latitude to declination; sunset."""
    there, tilt = math.radians(latitude), tilt_of(day)
    noon = math.asin(sine_of_height(there, tilt, 0.0))
    assert noon == pytest.approx(math.pi / 2.0 - abs(there - tilt), abs=1e-6)
    half = DAY / (2.0 * math.pi) * math.acos(-math.tan(there) * math.tan(tilt))
    for sunset in (-half, half):
        assert sine_of_height(there, tilt, sunset) == pytest.approx(0.0, abs=1e-12)


def noon_height(latitude, day):
    """90 degrees less the way from latitude to declination, the declination the library's [degrees]."""
    return 90.0 - abs(latitude - math.degrees(pvlib.solarposition.declination_spencer71(day)))


@place(
    "Height of the sun at noon: 90 degrees less the way from the latitude to the declination",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-4),
    cases=[
        case(f"{latitude:g} N, day {day}", noon_height(latitude, day), latitude, day)
        for latitude in (50.0, 65.0)
        for day in (355, 80, 172)
    ],
)
def test_noon_height(latitude, day):
    return math.degrees(math.asin(sine_of_height(math.radians(latitude), tilt_of(day), 0.0)))


def long_day(latitude, day):
    """Hours from geometric sunrise to sunset, by spherical trigonometry with the library's declination."""
    tilt = pvlib.solarposition.declination_spencer71(day)
    return 24.0 / math.pi * math.acos(-math.tan(math.radians(latitude)) * math.tan(tilt))


def minutes_up(latitude, day):
    """Hours in which the sun's middle is above the horizon, by the minute."""
    tilt, there = tilt_of(day), math.radians(latitude)
    return sum(sine_of_height(there, tilt, 60.0 * m) > 0.0 for m in range(-720, 720)) / 60.0


@claims(
    "Length of the day, the sun's middle above the horizon, no bent light",
    MATHEMATICS,
    CLOSED_FORM,
    unit="h",
    allowed=off(0.05),  # counted by the minute
    laws=PLACE,
    cases=[
        case(f"{latitude:g} N, day {day}", long_day(latitude, day), latitude, day)
        for latitude in (50.0, 65.0)
        for day in (355, 80, 172)
    ],
)
def test_length_of_the_day(latitude, day):
    return minutes_up(latitude, day)


@claims(
    "Length of the day at 50 N in tables",
    DAY_LENGTHS,
    MEMORY,
    unit="h",
    allowed=off(0.1),
    laws=PLACE,
    cases=[
        case("longest", 16.16, 172),
        case("shortest", 7.84, 355),
        case("at the equinox", 12.0, 80),
    ],
)
def test_length_of_the_day_in_the_tables(day):
    return minutes_up(50.0, day)


@claims(
    "Does the sun stay up, or down, for a whole day beyond the polar circle of 66.6 degrees",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=EXACTLY,
    laws=PLACE,
    cases=[
        case("up at 70 N, day 172", True, 172, 70.0, 1.0),
        case("down at 70 N, day 355", True, 355, 70.0, -1.0),
        case("up at 70 S, day 355", True, 355, -70.0, 1.0),
    ],
)
def test_midnight_sun_and_polar_night(day, latitude, sign):
    tilt = tilt_of(day)
    heights = [
        sine_of_height(math.radians(latitude), tilt, since) for since in np.linspace(-DAY / 2, DAY / 2, 97)
    ]
    return min(sign * height for height in heights) > 0.0


@cache
def seen_from_a_place(date):
    """Seconds since solar noon, day of the year and the sun's true height [degrees] at 47 N 11 E, each quarter hour."""
    times = pd.date_range(date, periods=96, freq="15min", tz="UTC")
    exact = pvlib.solarposition.spa_python(times, 47.0, 11.0)["elevation"].to_numpy()
    noon = pvlib.solarposition.sun_rise_set_transit_spa(times[:1], 47.0, 11.0)["transit"].iloc[0]
    return (times - noon).total_seconds().to_numpy(), times[0].day_of_year, exact


@place(
    "Height of the sun at 47 N 11 E every quarter of an hour, unbent, from the library's solar noon",
    PVLIB,
    LIBRARY,
    allowed=off(0.4),
    cases=[
        case(date, seen_from_a_place(date)[2], date) for date in ("2031-01-15", "2031-03-21", "2031-10-20")
    ],
)
def test_seen_from_a_place_with_its_own_noon(date):
    since, day, _ = seen_from_a_place(date)
    there = math.radians(47.0)
    return [math.degrees(math.asin(sine_of_height(there, tilt_of(day + it / DAY), it))) for it in since]


@place(
    "The sun's zenith angle in the record, by the minute (noon known to the minute)",
    SURFRAD,
    PUBLISHED,
    allowed=off(0.3),
    cases=[case("sun more than 5 degrees high", clear_day().zenith)],
)
def test_the_sun_stands_where_the_record_has_it():
    there = math.radians(37.7)
    sines = [sine_of_height(there, tilt_of(1.0 + it / DAY), it) for it in clear_day().since_noon]
    return np.degrees(np.arccos(sines))

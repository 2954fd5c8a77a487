"""The sun's place and strength, against pvlib, closed forms and a measured clear day."""

import gzip
import math

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.physics.sun import DAY, day_angle, declination, outside_the_air, sine_of_height
from simtent.physics.sunshine import clear_sunshine, diffuse_share, on_a_band, ring, through_cloud

from . import surfrad

DAYS = [1, 20, 79, 100, 172, 200, 266, 355, 365]


@pytest.mark.parametrize("day", DAYS)
def test_declination_against_a_library(day):
    # Library: pvlib 0.16, the same series (round-off), and a more exact algorithm at noon of Greenwich 2031
    # (Reda and Andreas 2004). Leap years and the calendar's own drift: 0.36 degrees off that year, 0.56 at most.
    found = declination(day_angle(float(day)))
    assert found == pytest.approx(float(pvlib.solarposition.declination_spencer71(day)), abs=1e-12)
    when = pd.DatetimeIndex([pd.Timestamp("2031-01-01 12:00", tz="UTC") + pd.Timedelta(days=day - 1)])
    overhead = pvlib.solarposition.spa_python(when, 0.0, 0.0)
    azimuth, zenith = (math.radians(float(overhead[name].iloc[0])) for name in ("azimuth", "zenith"))
    exact = math.asin(math.sin(zenith) * math.cos(azimuth))  # seen from the equator
    assert found == pytest.approx(exact, abs=math.radians(0.4))


@pytest.mark.parametrize("day", DAYS)
def test_sunshine_outside_the_air_against_a_library(day):
    # Library: pvlib 0.16, the same series (round-off) and the true distance (0.1 %).
    found = outside_the_air(day_angle(float(day)))
    assert found == pytest.approx(float(pvlib.irradiance.get_extra_radiation(day)), rel=1e-12)
    exact = pvlib.irradiance.get_extra_radiation(
        pd.DatetimeIndex([pd.Timestamp("2031-01-01 12:00") + pd.Timedelta(days=day - 1)]), method="nrel"
    )
    assert found == pytest.approx(float(exact.iloc[0]), rel=1e-3)


@given(st.floats(-89.0, 89.0), st.integers(1, 365), st.floats(-43_200.0, 43_200.0))
def test_height_of_the_sun_against_a_library(latitude, day, since):
    # Library: pvlib 0.16, its own spherical trigonometry from hour angle and declination.
    tilt = declination(day_angle(float(day)))
    zenith = pvlib.solarposition.solar_zenith_analytical(
        math.radians(latitude), math.radians(since / 240.0), tilt
    )
    found = sine_of_height(math.radians(latitude), tilt, since)
    assert found == pytest.approx(math.cos(float(zenith)), abs=1e-9)


@given(st.floats(-66.0, 66.0), st.integers(1, 365))
def test_noon_height_and_day_length(latitude, day):
    """Closed forms of spherical trigonometry: 90 degrees less the way from latitude to declination; sunset."""
    place, tilt = math.radians(latitude), declination(day_angle(float(day)))
    noon = math.asin(sine_of_height(place, tilt, 0.0))
    assert noon == pytest.approx(math.pi / 2.0 - abs(place - tilt), abs=1e-6)
    half = DAY / (2.0 * math.pi) * math.acos(-math.tan(place) * math.tan(tilt))
    for sunset in (-half, half):
        assert sine_of_height(place, tilt, sunset) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("day", "latitude", "up"), [(172, 70.0, True), (355, 70.0, False), (355, -70.0, True)]
)
def test_midnight_sun_and_polar_night(day, latitude, up):
    """Beyond the polar circles, 66.6 degrees, the sun stays up or down for a day round the solstices."""
    tilt = declination(day_angle(float(day)))
    heights = [
        sine_of_height(math.radians(latitude), tilt, since) for since in np.linspace(-DAY / 2, DAY / 2, 97)
    ]
    assert min(heights) > 0.0 if up else max(heights) < 0.0


# Second-hand: Nautical almanacs' rule of thumb that on the equinoxes the day is 12 h everywhere; a year's extremes at
# 50 degrees north 16.16 h and 7.84 h, geometric (from memory of day length tables, 0.1 h).
@pytest.mark.parametrize(("day", "hours"), [(172, 16.16), (355, 7.84), (80, 12.0)])
def test_length_of_the_day_in_the_tables(day, hours):
    tilt, place = declination(day_angle(float(day))), math.radians(50.0)
    minutes = [sine_of_height(place, tilt, 60.0 * m) > 0.0 for m in range(-720, 720)]
    assert sum(minutes) / 60.0 == pytest.approx(hours, abs=0.1)


def test_seen_from_a_place_with_its_own_noon():
    # Library: pvlib 0.16 (Reda and Andreas 2004, without refraction), 47 N 11 E, 2031: the sun's height through three
    # days from our series and the solar noon of the library. Expected agreement 0.4 degrees.
    for date in ("2031-01-15", "2031-03-21", "2031-10-20"):
        times = pd.date_range(date, periods=96, freq="15min", tz="UTC")
        exact = pvlib.solarposition.spa_python(times, 47.0, 11.0)["elevation"].to_numpy()
        noon = pvlib.solarposition.sun_rise_set_transit_spa(times[:1], 47.0, 11.0)["transit"].iloc[0]
        since = (times - noon).total_seconds().to_numpy()
        day = times[0].day_of_year
        found = [
            math.degrees(
                math.asin(sine_of_height(math.radians(47.0), declination(day_angle(day + it / DAY)), it))
            )
            for it in since
        ]
        assert np.abs(found - exact).max() < 0.4


@pytest.mark.parametrize("zenith", [0.0, 30.0, 60.0, 80.0, 89.0, 90.0, 100.0])
def test_clear_sky_against_a_library(zenith):
    # Library: pvlib 0.16, Haurwitz 1945.
    exact = float(pvlib.clearsky.haurwitz(pd.Series([zenith]))["ghi"].iloc[0])
    assert clear_sunshine(math.cos(math.radians(zenith))) == pytest.approx(exact, rel=1e-9, abs=1e-9)


def test_clear_sky_against_another_law():
    # Library: pvlib 0.16, Ineichen and Perez 2002 at sea level with turbidity 3 (a clean temperate sky), sun above 15
    # degrees: two laws fitted to different records, expected agreement 10 %.
    zenith = np.arange(10.0, 75.0, 5.0)
    mass = pvlib.atmosphere.get_relative_airmass(zenith)
    exact = pvlib.clearsky.ineichen(zenith, mass, 3.0, altitude=0.0, dni_extra=1366.1)["ghi"]
    found = [clear_sunshine(math.cos(math.radians(it))) for it in zenith]
    assert found == pytest.approx(np.asarray(exact), rel=0.10)


# The measured day. Source: NOAA SURFRAD daily record of 1 January 2016 (UTC), 37.70 N, 2317 m, attribution in
# tests/data/cold_night. Clear, dry, snow-free or nearly so: it threw back 18 % of the sunshine. Noon: the record's own.
ZENITH, GLOBAL, DIFFUSE = 7, 8, 14  # columns of the SURFRAD daily format


@pytest.fixture(scope="module")
def measured():
    """Minutes with the sun at least 5 degrees up: seconds since solar noon, zenith [deg], global and diffuse [W/m2]."""
    with gzip.open(surfrad.RECORD, "rt") as file:
        rows = np.array([line.split() for line in file.readlines()[surfrad.HEADER_LINES :]], dtype=float)
    rows = rows[rows[:, ZENITH] < 85.0]
    minutes = 60.0 * rows[:, surfrad.HOUR] + rows[:, surfrad.MINUTE]
    noon = (minutes[0] + minutes[-1]) / 2.0
    return 60.0 * (minutes - noon), *(rows[:, column] for column in (ZENITH, GLOBAL, DIFFUSE))


def height_there(since):
    tilt = declination(day_angle(1.0 + since / DAY))
    return sine_of_height(math.radians(37.7), tilt, since)


def test_the_sun_stands_where_the_record_has_it(measured):
    """Zenith to 0.01 degrees in the record; expected agreement 0.3 degrees (noon to the minute, the series)."""
    since, zenith, _, _ = measured
    found = np.degrees(np.arccos([height_there(it) for it in since]))
    assert np.abs(found - zenith).max() < 0.3


@pytest.mark.xfail(strict=True, reason="0.82 of the sunshine measured at noon: the law knows no altitude")
def test_sunshine_of_the_measured_day(measured):
    since, _, there, _ = measured
    found = np.array([clear_sunshine(height_there(it)) for it in since])
    near = np.abs(since) < 3600.0
    assert found[near].mean() == pytest.approx(there[near].mean(), rel=0.1)


def test_sunshine_of_the_measured_day_is_missed_by_no_more(measured):
    """A change alarm on the size of the miss: 0.82 at noon and over the whole day."""
    since, _, there, _ = measured
    found = np.array([clear_sunshine(height_there(it)) for it in since])
    near = np.abs(since) < 3600.0
    assert found[near].mean() / there[near].mean() == pytest.approx(0.82, abs=0.02)
    assert found.mean() / there.mean() == pytest.approx(0.82, abs=0.04)


@pytest.mark.xfail(
    strict=True, reason="a diffuse share of 0.26 at noon where 0.10 was measured: thin, dry air"
)
def test_diffuse_share_of_the_measured_day(measured):
    since, _, there, diffuse = measured
    near = np.abs(since) < 3600.0
    share = np.mean(diffuse[near] / there[near])
    sine = height_there(0.0)
    law = diffuse_share(clear_sunshine(sine) / (outside_the_air(day_angle(1.0)) * sine))
    assert law == pytest.approx(share, abs=0.05)


@pytest.mark.parametrize(("cloud", "left"), [(0.0, 1.0), (0.5, 0.929), (0.75, 0.718), (1.0, 0.25)])
def test_cloud(cloud, left):
    # Kasten and Czeplak 1980, 1 - 0.75 (N/8)^3.4 worked by hand; the law itself from memory.
    assert through_cloud(cloud) == pytest.approx(left, abs=1e-3)


@given(st.floats(0.0, 1.0), st.integers(1, 365))
def test_direct_and_diffuse_against_a_library(clearness, day):
    # Library: pvlib 0.16, Erbs et al. 1982, sun overhead.
    above = outside_the_air(day_angle(float(day)))
    if clearness * above < 1e-3:
        return
    parts = pvlib.irradiance.erbs(clearness * above, 0.0, day)
    k = min(max(clearness, 0.0), 1.0)
    if min(abs(k - 0.22), abs(k - 0.8)) < 1e-9:
        return
    assert diffuse_share(k) == pytest.approx(float(parts["dhi"]) / (clearness * above), rel=1e-9)


def test_the_law_of_clear_skies_stays_below_its_last_branch():
    """At the highest sun, 1098 exp(-0.059) over the least sunshine outside the air."""
    least = min(outside_the_air(day_angle(float(day))) for day in range(1, 366))
    assert clear_sunshine(1.0) / least < 0.8


@given(st.floats(-1.0, 1.0), st.floats(0.0, 1.0))
def test_ring_is_the_mean_over_all_directions(up, sine):
    """A fine sum over 20,000 azimuths of max(0, n.s); the midpoint rule misses by less than 1e-7."""
    azimuth = (np.arange(20_000) + 0.5) * math.pi / 20_000
    lean = math.sqrt(1.0 - up * up) * math.sqrt(1.0 - sine * sine)
    mean = np.maximum(up * sine + lean * np.cos(azimuth), 0.0).mean()
    assert ring(up, sine) == pytest.approx(mean, abs=1e-7)


@given(st.floats(0.0, 1.0))
def test_ring_of_level_and_upright_bands(sine):
    """Closed forms: flat ground sin h, an upright ring cos h / pi, what looks down nothing."""
    assert ring(1.0, sine) == pytest.approx(sine, abs=1e-15)
    assert ring(0.0, sine) == pytest.approx(math.sqrt(1.0 - sine * sine) / math.pi, abs=1e-12)
    assert ring(-1.0, sine) == 0.0
    assert ring(1.0, -sine - 1e-9) == 0.0


@given(st.floats(0.0, 1.0))
def test_a_ball_in_bands_is_lit_by_its_disc(sine):
    """By Archimedes bands of equal height have equal area: 4 pi times the mean of the rings is the shadow pi."""
    heights = (np.arange(4000) + 0.5) / 2000.0 - 1.0
    assert 4.0 * math.pi * np.mean([ring(up, sine) for up in heights]) == pytest.approx(math.pi, rel=1e-4)


@given(st.floats(0.02, 1.0), st.floats(0.1, 5.0), st.floats(0.1, 5.0))
def test_a_cone_and_its_floor_are_lit_by_their_shadow(sine, radius, tall):
    """Seen edge-on by a sun lower than its side, a cone casts its own shadow: the hull of a disc and a point."""
    up = radius / math.hypot(radius, tall)
    side = math.pi * radius * math.hypot(radius, tall) * ring(up, sine)
    floor = math.pi * radius**2 * sine
    reach = tall * math.sqrt(1.0 - sine * sine)  # of the tip, seen from the sun
    half = radius * sine
    if reach <= half:
        assert side == pytest.approx(floor, rel=1e-9)
    else:  # ellipse and the triangle to its tangents
        touch = math.acos(half / reach)
        hull = radius * half * (math.pi - touch + math.tan(touch))
        assert side == pytest.approx(hull, rel=1e-9)


def test_on_a_band_in_words():
    """Level ground gets all of it, an upright band half the sky and half of what the ground throws back."""
    assert on_a_band(1.0, 0.5, 600.0, 100.0, 0.7) == pytest.approx(400.0)
    assert on_a_band(0.0, 0.0, 0.0, 100.0, 0.7) == pytest.approx(50.0 + 35.0)
    assert on_a_band(-1.0, 0.5, 600.0, 100.0, 0.7) == pytest.approx(280.0)
    # Library: pvlib 0.16, an even sky and even ground.
    got = on_a_band(math.cos(math.radians(40.0)), 0.0, 0.0, 100.0, 0.6)
    sky = pvlib.irradiance.isotropic(40.0, 100.0)
    ground = pvlib.irradiance.get_ground_diffuse(40.0, 100.0, albedo=0.6)
    assert got == pytest.approx(float(sky) + float(ground))

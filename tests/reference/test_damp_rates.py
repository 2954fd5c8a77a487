"""How fast vapour settles on fabric as dew or frost, and dries off: rates against cases worked out apart from simtent.

The cases take a difference of vapour densities, each at its own temperature, and so can simtent's coefficient,
`mass_film`. Its law of a surface, `deposition`, takes both at the film's mean temperature, because else dew would begin
some 0.2 K beside the dew point. Where air and fabric are equally cold both are one; 10 K apart the law gives 7 % more.
Wetness of fabric, how melt runs off and how bags hold vapour are assumptions: a met line there is bare mathematics.
"""

from functools import partial
from math import log

import pytest
from CoolProp.CoolProp import HAProps_Aux, PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from simtent.physics import damp
from simtent.physics.constants import CP_AIR
from simtent.physics.damp import (
    EVAPORATION,
    SUBLIMATION,
    deposition,
    drying,
    fogging,
    frozen_share,
    least_film,
    mass_film,
    melting,
    passing,
    running_off,
    wetted,
)
from simtent.physics.ground import FUSION
from simtent.physics.moist import GAS_CONSTANT_VAPOUR, dew_or_frost_point, saturation_pressure

from .claims import CLOSED_FORM, LIBRARY, case, claims, off, percent
from .psychro import psychrolib
from .sources import COOLPROP, DAMP_CASES, MATHEMATICS, PSYCHROLIB

SUBJECT = "Dew and frost"
ZERO = 273.15
SEA_LEVEL = 101325.0
HOUR = 3.6e6  # kg/s in g/h
FILM = 4.0  # W/(m2 K), of every case
DENSITY = 1257.0 / CP_AIR  # kg/m3; the cases take 1257 J/(m3 K) for air

own = partial(claims, source=MATHEMATICS, provenance=CLOSED_FORM)
worked = partial(claims, source=DAMP_CASES, provenance=CLOSED_FORM, digits=4, allowed=percent(3.0))


def density(pressure, celsius):
    """Vapour in air [kg/m3]."""
    return pressure / (GAS_CONSTANT_VAPOUR * (celsius + ZERO))


def saturated(celsius):
    """Vapour at saturation [kg/m3]."""
    return density(saturation_pressure(celsius + ZERO), celsius)


MORE = (
    "{} more: densities at two temperatures make vapour drift to the warmer side even where its pressure is even; "
    "at one temperature the sign turns at the dew point"
)


def by_film(air, humidity, fabric):
    """Rate on densities each at its own temperature [kg/(s m2)]."""
    return mass_film(FILM, DENSITY) * (humidity * saturated(air) - saturated(fabric))


def by_law(air, humidity, fabric):
    """Rate by the law of a surface [kg/(s m2)]."""
    vapour = humidity * saturation_pressure(air + ZERO)
    return deposition(FILM, air + ZERO, fabric + ZERO, vapour, SEA_LEVEL)


@worked(
    "Air of 10 degC and 80 % at fabric of 0 degC: dew on it",
    unit="g/(h m2)",
    laws=[mass_film, deposition],
    cases=[
        case("each density at its own temperature, as the case has it", 30.6, by_film),
        case("by the law of a surface", 30.6, by_law, missed=MORE.format("6.6 %")),
    ],
)
def test_dew(rate):
    return HOUR * rate(10.0, 0.8, 0.0)


@worked(
    "The same: heat that it sets free",
    unit="W/m2",
    laws=[mass_film, deposition],
    cases=[
        case("each density at its own temperature, as the case has it", 21.0, by_film),
        case("by the law of a surface", 21.0, by_law, missed=MORE.format("8 %")),
    ],
)
def test_heat_of_dew(rate):
    return EVAPORATION * rate(10.0, 0.8, 0.0)


AREA, FABRIC = 15.0, -8.0  # m2, degC
OUTSIDE = 0.9 * saturated(-10.0)  # kg/m3
SLEEPERS = 80.0 / HOUR  # kg/s


def frost_of_sleepers(hourly, inside=FABRIC):
    """Frost [kg/s] on fabric of -8 degC that two sleepers breathe to, with air exchanged by so much [m3/h].

    Steady: what they give off and the air brings in is what the air takes out and the fabric takes up.
    """
    flow = hourly / 3600.0

    def settles(vapour):
        return AREA * deposition(FILM, inside + ZERO, FABRIC + ZERO, vapour, SEA_LEVEL)

    def left_over(vapour):
        return SLEEPERS + flow * (OUTSIDE - density(vapour, inside)) - settles(vapour)

    return settles(brentq(left_over, 0.0, 5000.0, xtol=1e-9))


FLOWS = {5: (75, 598), 20: (61, 486), 80: (21, 172)}


@worked(
    "Two sleepers, 80 g/h, 15 m2 of fabric and air inside at -8 degC, -10 degC and 90 % outside: frost",
    unit="g/h",
    laws=[deposition],
    cases=[case(f"{flow} m3/h", grams, flow) for flow, (grams, _) in FLOWS.items()],
)
def test_frost_of_sleepers(flow):
    return HOUR * frost_of_sleepers(flow)


@worked(
    "The same in eight hours",
    unit="g",
    laws=[deposition],
    cases=[case(f"{flow} m3/h", grams, flow) for flow, (_, grams) in FLOWS.items()],
)
def test_frost_of_a_night(flow):
    return 8.0 * HOUR * frost_of_sleepers(flow)


@worked(
    "The same: exchange of air above which no frost grows",
    unit="m3/h",
    laws=[deposition],
    cases=[case("80 g/h over 0.607 g/m3", 132.0)],
)
def test_frost_free():
    return brentq(frost_of_sleepers, 5.0, 1000.0)


@own(
    "The law of a surface over the case's form where air and surface are equally warm: the densities of air they take",
    allowed=percent(1e-6),
    laws=[deposition, mass_film],
    cases=[
        case(f"{t:g} degC", 1257.0 / (CP_AIR * SEA_LEVEL / (287.055 * (t + ZERO))), t)
        for t in (-20.0, 0.0, 15.0)
    ],
)
def test_one_temperature(celsius):
    return by_law(celsius, 1.3, celsius) / by_film(celsius, 1.3, celsius)


@claims(
    "Heat that sublimes ice at 0 degC, from the slope of vapour's pressure over pure ice (Clausius and Clapeyron)",
    COOLPROP,
    LIBRARY,
    unit="MJ/kg",
    digits=5,
    allowed=percent(0.2),
    cases=[
        case(
            f"slope at {t:g} degC",
            1e-6
            * 461.52
            * (t + ZERO) ** 2
            * log(
                HAProps_Aux("p_ws", t + ZERO + 0.05, SEA_LEVEL, 0.0)[0]
                / HAProps_Aux("p_ws", t + ZERO - 0.05, SEA_LEVEL, 0.0)[0]
            )
            / 0.1,
            t,
        )
        for t in (-0.5, -20.0)
    ],
)
def test_sublimation(_):
    return 1e-6 * SUBLIMATION


@claims(
    "Heat that evaporates water at 0 degC",
    COOLPROP,
    LIBRARY,
    unit="MJ/kg",
    digits=5,
    allowed=percent(0.1),
    cases=[
        case(
            "at 0.01 degC",
            1e-6 * (PropsSI("H", "T", 273.16, "Q", 1, "Water") - PropsSI("H", "T", 273.16, "Q", 0, "Water")),
        )
    ],
)
def test_evaporation():
    assert pytest.approx(EVAPORATION + FUSION) == SUBLIMATION
    return 1e-6 * EVAPORATION


WET_BULBS = (
    (-20, 0.7),
    (-10, 0.8),
    (-10, 0.3),
    (0.5, 0.9),
    (10, 0.8),
    (20, 0.5),
    (25, 0.1),
    (50, 0.5),
    (50, 0.05),
)


def wet_bulb(celsius, humidity):
    """Temperature of a hung wet thing by what it gives off [degC]."""
    latent = (
        EVAPORATION if psychrolib.GetTWetBulbFromRelHum(celsius, humidity, SEA_LEVEL) > 0.0 else SUBLIMATION
    )
    vapour = humidity * saturation_pressure(celsius + ZERO)
    return celsius - latent * drying(FILM, celsius + ZERO, vapour, SEA_LEVEL, latent) / FILM


@claims(
    "Wet bulb: how cold drying makes a wet thing, iced below 0 degC; heat and mass cross its film alike",
    PSYCHROLIB,
    LIBRARY,
    unit="degC",
    digits=5,
    allowed=off(0.05),
    laws=[drying, mass_film],
    cases=[
        case(f"{t:g} degC, {100 * rh:g} %", psychrolib.GetTWetBulbFromRelHum(t, rh, SEA_LEVEL), t, rh)
        for t, rh in WET_BULBS
    ],
)
def test_wet_bulb(*at):
    return wet_bulb(*at)


@claims(
    "The least film: 5 cm of still air at 0 degC",
    COOLPROP,
    LIBRARY,
    unit="W/(m2 K)",
    allowed=percent(5.0),
    laws=[least_film],
    cases=[case("no convection", PropsSI("L", "T", ZERO, "P", SEA_LEVEL, "Air") / 0.05, 0.0)],
)
def test_still_air(film):
    return least_film(film)


@own(
    "Share of ice, summed over equal distances from 0 degC to either side",
    allowed=off(1e-12),
    laws=[frozen_share],
    cases=[case(f"{k:g} K", 1.0, k) for k in (0.0, 0.05, 0.1, 0.19, 0.3, 10.0)],
)
def test_ice_gives_way_evenly(away):
    return frozen_share(ZERO + away) + frozen_share(ZERO - away)


@own(
    "Share of a surface that is wet: by how much of what lies on it, beside the half-way amount",
    allowed=percent(1e-9),
    laws=[wetted],
    cases=[case(f"{m:g} g/m2", m / (m + 1.0), 1e-3 * m) for m in (0.1, 1.0, 9.0, 1000.0)],
)
def test_wetted(mass):
    assert wetted(-mass) == -wetted(mass)
    return wetted(mass)


@own(
    "Time in which ice of 0.2 kg/m2 on fabric held at a temperature melts to 1 g/m2",
    unit="s",
    allowed=percent(0.01),
    laws=[melting, wetted],
    # m' = -k m / (m + h) with k = 40 T / heat of melting: k t = m0 - m1 + h ln(m0 / m1).
    cases=[
        case(f"{over:g} K", FUSION / (40.0 * over) * (0.199 + 1e-3 * log(200.0)), over) for over in (0.5, 5.0)
    ],
)
def test_melting(over):
    return quad(lambda ice: FUSION / melting(ZERO + over, ice, 0.0), 1e-3, 0.2, epsrel=1e-9)[0]


def time_of(rate, low, high):
    """Time in which a rate [1/s or kg/(s m2)] takes an amount from high to low [s]."""
    return quad(lambda x: 1.0 / rate(x), low, high, epsrel=1e-10, limit=200)[0]


@own(
    "Time in which water that is too much runs off, and vapour that is too much turns to fog",
    unit="s",
    allowed=percent(0.01),
    laws=[running_off, fogging, wetted],
    cases=[
        case(
            "water, 50 to 5 g/m2 over what is held",
            60.0 * (log(10.0) + 1e-3 * (1.0 / 5e-3 - 1.0 / 5e-2)),
            lambda: time_of(lambda x: running_off(0.1 + x, 0.1), 5e-3, 5e-2),
        ),
        case(
            "vapour, 1 to 0.1 g/kg over saturation",
            10.0 * (log(10.0) + 1e-5 * (1.0 / 1e-4 - 1.0 / 1e-3)),
            lambda: time_of(lambda x: fogging(4e-3 + x, 4e-3), 1e-4, 1e-3),
        ),
    ],
)
def test_excess_goes(time):
    return time()


@own(
    "What gets out of a bag, as a part of the smaller of what is given and what there is room for",
    allowed=percent(0.1),
    laws=[passing],
    cases=[
        case("room for three times as much", 1.0, 1e-6, 3e-6),
        case("room for a third", 1.0, 3e-6, 1e-6),
        case("both alike", 2.0**-0.125, 2e-6, 2e-6),
    ],
)
def test_passing(given_off, room):
    return passing(given_off, room) / min(given_off, room)


FILMS = st.floats(0.1, 30.0)
CELSIUS = st.floats(-40.0, 40.0)


@given(FILMS, CELSIUS, st.floats(0.01, 1.0), st.floats(1e-6, 30.0), st.floats(50e3, 105e3))
def test_the_sign_turns_exactly_at_the_dew_or_frost_point(film, celsius, humidity, away, pressure):
    air = celsius + ZERO
    vapour = humidity * saturation_pressure(air)
    point = dew_or_frost_point(vapour)
    assert deposition(film, air, point - away, vapour, pressure) > 0.0
    assert deposition(film, air, point + away, vapour, pressure) < 0.0
    # At the point itself nothing but the tolerance to which it is found, 1e-7 K.
    steep = deposition(film, air, point - 1e-6, vapour, pressure)
    assert abs(deposition(film, air, point, vapour, pressure)) < 0.1 * steep


@pytest.mark.parametrize("celsius", [-30.0, -8.0, -0.01, 0.0, 0.01, 0.02, 6.71, 25.0])
def test_nothing_settles_from_saturated_air_on_what_is_as_cold(celsius):
    kelvin = celsius + ZERO
    assert deposition(5.0, kelvin, kelvin, saturation_pressure(kelvin), SEA_LEVEL) == 0.0


@given(CELSIUS, CELSIUS, st.floats(0.0, 1.0), st.floats(0.01, 10.0))
def test_a_colder_surface_takes_more(celsius, fabric, humidity, colder):
    vapour = humidity * saturation_pressure(celsius + ZERO)
    warm, cold = (
        deposition(FILM, celsius + ZERO, t + ZERO, vapour, SEA_LEVEL) for t in (fabric, fabric - colder)
    )
    # Where it takes anything: off a warm wet surface a wider film's lower density moves the other way.
    assert cold > warm or warm < 0.0


@given(st.floats(0.0, 400.0), st.floats(0.0, 400.0))
def test_more_air_leaves_less_frost(flow, more):
    assert frost_of_sleepers(flow + more) <= frost_of_sleepers(flow) + 1e-12


@pytest.mark.parametrize(("inside", "grams"), [(-3.0, 23.7), (2.0, 26.2), (10.0, 30.3)])
def test_warmer_air_inside_leaves_more_frost(inside, grams):
    """How far the sleepers' case depends on the air inside, which it does not name: 21 g/h become 24 to 30."""
    assert HOUR * frost_of_sleepers(80.0, inside) == pytest.approx(grams, abs=0.1)


@given(FILMS, st.floats(-30.0, 60.0), st.floats(0.0, 0.999))
def test_drying_is_the_balance_of_a_wet_bulb(film, celsius, humidity):
    air, vapour = celsius + ZERO, humidity * saturation_pressure(celsius + ZERO)
    latent = SUBLIMATION if celsius < 0.0 else EVAPORATION
    mass = film / (CP_AIR * SEA_LEVEL / 287.055) / GAS_CONSTANT_VAPOUR
    wet = brentq(
        lambda t: film * (air - t) - latent * mass * (saturation_pressure(t) - vapour), 180.0, air + 1e-9
    )
    found = drying(film, air, vapour, SEA_LEVEL, latent)
    assert found == pytest.approx(film * (air - wet) / latent, rel=1e-3, abs=1e-10)


def test_nothing_dries_in_saturated_air():
    assert drying(FILM, 283.15, saturation_pressure(283.15), SEA_LEVEL, EVAPORATION) == 0.0
    assert drying(FILM, 283.15, 1.2 * saturation_pressure(283.15), SEA_LEVEL, EVAPORATION) == 0.0


@given(st.just(0.0) | st.floats(1e-9, 1e-4), st.floats(-1e-5, 0.0) | st.floats(1e-12, 1e-4))
def test_no_more_leaves_a_bag_than_is_given_or_there_is_room_for(given_off, room):
    least = max(min(given_off, room), 0.0)
    assert 0.0 <= passing(given_off, room) <= least * (1.0 + 1e-9)
    assert passing(given_off, room) >= 0.91 * least


@given(st.floats(0.0, 50.0))
def test_the_least_film_is_a_floor(film):
    assert max(film, damp.LEAST_FILM) <= least_film(film) * (1.0 + 1e-12)
    assert least_film(film) <= 1.1 * max(film, damp.LEAST_FILM)


def test_ice_melts_above_zero_and_water_freezes_below():
    assert melting(ZERO + 1.0, 0.1, 0.0) > 0.0 == melting(ZERO + 1.0, 0.0, 0.1)
    assert melting(ZERO - 1.0, 0.0, 0.1) < 0.0 == melting(ZERO - 1.0, 0.1, 0.0)
    assert melting(ZERO, 0.1, 0.1) == 0.0 == running_off(0.1, 0.2) == fogging(3e-3, 4e-3)

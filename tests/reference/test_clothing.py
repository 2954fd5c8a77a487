"""Clothing that awake people need in the cold, by ISO 11079. Its equations were seen in public programs only.

Those, and the library asked here, let clothing widen the body by 1.197 per m2 K/W. simtent takes 1.97, which a paper of
2025 has, and which alone meets the standard's table to its digit; asked with 1.197 it gives the library's own numbers.
None of it knows cold feet, a sleeping bag or who is unwell.
"""

from functools import partial
from math import exp, inf, sqrt
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.physics import clothed as body_module
from simtent.physics.clothed import MINIMAL, NEUTRAL, Activity, Strain, Surroundings, clothed
from simtent.physics.clothing import CLO, HEAT_DEBT, beyond, limited_exposure, required

from .claims import CLOSED_FORM, LIBRARY, SECOND_HAND, case, claims, off, percent
from .sources import ANGELOVA, ISO_11079, MATHEMATICS, PYTHERMALCOMFORT

SUBJECT = "Clothing in the cold"
ZERO = 273.15
LIBRARYS_WIDENING = 1.197

needed = partial(claims, unit="clo", laws=[required, clothed], digits=3)
lasting = partial(claims, unit="h", laws=[limited_exposure, clothed], digits=3)


def person(air, radiant, speed, humidity, metabolic, permeability, walking):
    """Surroundings and activity from degC, m/s, %, W/m2 and l/(s m2)."""
    around = Surroundings(air + ZERO, radiant + ZERO, speed, humidity / 100.0)
    return around, Activity(metabolic, walking, permeability / 1e3)


def clo_needed(*asked):
    """Required insulation, minimal and neutral, then basic insulation, minimal and neutral [clo]."""
    minimal, neutral = (required(*person(*asked), strain) for strain in (MINIMAL, NEUTRAL))
    return [x / CLO for x in (minimal.required, neutral.required, minimal.basic, neutral.basic)]


def hours(clo, *asked):
    """Limited exposure, minimal and neutral [h]."""
    return [limited_exposure(*person(*asked), strain, clo * CLO) / 3600.0 for strain in (MINIMAL, NEUTRAL)]


# Of the standard's table: air, radiant [degC], speed [m/s], M [W/m2], clo worn; required, basic [clo], hours (or 8 and
# more). Humidity 85 %, 8 l/(s m2); neutral.
TABLE = [
    ((0, 0, 2, 90), 2.5, 2.6, 3.1, 2.3),
    ((0, 0, 2, 145), 2.5, 1.5, 1.8, inf),
    ((-10, -10, 2, 90), 2.5, 3.5, 4.4, 0.7),
    ((-10, 0, 2, 145), 2.4, 1.9, 2.4, inf),
    ((-20, -20, 2, 115), 4.2, 3.4, 4.2, inf),
    ((-20, -20, 7, 115), 4.2, 3.5, 5.9, 1.1),
    ((-30, -30, 2, 115), 4.2, 4.0, 5.0, 2.2),
    ((-30, -30, 5, 175), 4.2, 2.6, 4.0, inf),
]
FIRST, THIRD = TABLE[0][0], TABLE[2][0]
SLOWER = "the table's walking was not printed where it was seen; with this work's least, 0.17 m/s, it is "
MISSES = {
    ("basic", FIRST): f"0.17 clo off: {SLOWER}3.1 clo",
    ("hours", FIRST): f"0.4 h off: {SLOWER}2.3 h",
    ("hours", THIRD): "0.09 h off, not explained; in 2.4 clo it would be met",
}


def of_table(air, radiant, speed, metabolic, walking=0.5):
    """The table's inputs, all of them."""
    return air, radiant, speed, 85.0, metabolic, 8.0, max(walking, 0.0052 * (metabolic - 58.0))


def named(air, radiant, speed, metabolic):
    """A case's name."""
    around = "" if air == radiant else f", around {radiant}"
    return f"{air} degC{around}, {speed:g} m/s, {metabolic} W/m2"


def rows(kind, values):
    """Cases of the table."""
    return [case(named(*at), value, *at, missed=MISSES.get((kind, at))) for at, value in values]


@needed(
    "Required clothing while worn, the table's printed digit",
    ISO_11079,
    SECOND_HAND,
    allowed=off(0.0501),
    cases=rows("required", [(at, worn) for at, _, worn, _, _ in TABLE]),
)
def test_required_of_the_table(*at):
    return clo_needed(*of_table(*at))[1]


@needed(
    "Required basic clothing, the table's printed digit",
    ISO_11079,
    SECOND_HAND,
    allowed=off(0.0501),
    cases=rows("basic", [(at, basic) for at, _, _, basic, _ in TABLE]),
)
def test_basic_of_the_table(*at):
    return clo_needed(*of_table(*at))[3]


@lasting(
    "Exposure in too little clothing, the table's printed digit",
    ISO_11079,
    SECOND_HAND,
    allowed=off(0.0501),
    cases=[
        case(f"{named(*at)}, {clo:g} clo", printed, clo, *at, missed=MISSES.get(("hours", at)))
        for at, clo, _, _, printed in TABLE
        if printed < inf
    ],
)
def test_hours_of_the_table(clo, *at):
    return hours(clo, *of_table(*at))[1]


@claims(
    "Exposure that the table calls 8 h and more",
    ISO_11079,
    SECOND_HAND,
    allowed=off(0.0),
    laws=[limited_exposure],
    cases=[case(f"{named(*at)}, {clo:g} clo", True, clo, *at) for at, clo, _, _, t in TABLE if t == inf],
)
def test_unlimited_of_the_table(clo, *at):
    return bool(hours(clo, *of_table(*at))[1] >= 8.0)


# 80 W/m2, 0.14 m/s (the standard's 0.4), 61 %, 5 l/(s m2): minimal and neutral [h] by the air [degC].
SLOW_WORK = {
    2.28: {-5: (1.7, 1.27), -10: (1.08, 0.89), -20: (0.62, 0.55), -30: (0.44, 0.4)},
    1.53: {-5: (0.67, 0.56), -10: (0.51, 0.45), -20: (0.35, 0.32), -30: (0.26, 0.24)},
}


@lasting(
    "Exposure of slow work in slow air, minimal and neutral",
    ANGELOVA,
    SECOND_HAND,
    allowed=percent(6.0),
    cases=[
        case(f"{clo:g} clo, {air} degC", printed, clo, air)
        for clo, by_air in SLOW_WORK.items()
        for air, printed in by_air.items()
    ],
)
def test_slow_work(clo, air):
    return hours(clo, air, air, 0.14, 61.0, 80.0, 5.0, 0.0)


# Asked of the library: air, radiant [degC], speed [m/s], humidity [%], M [W/m2], permeability [l/(s m2)], walking
# [m/s]; clo worn; what it gave unrounded, its limits off: required and basic, each minimal and neutral [clo]; hours.
ASKED = [
    ((-15, -15, 2, 55, 175, 50, 1.1), 2.8, (1.5611, 1.858, 2.2062, 2.6414), (inf, inf)),
    ((0, 0, 0.4, 60, 58.15, 8, 0.0008), 3.0, (3.7462, 4.1285, 3.8629, 4.2573), (3.1034, 2.1275)),
    ((0, 0, 0.4, 60, 58.15, 50, 0.0008), 3.0, (3.7462, 4.1285, 3.9619, 4.3653), (2.7845, 1.96)),
    ((-10, -10, 0.4, 60, 58.15, 8, 0.001), 5.0, (5.0758, 5.4562, 5.2346, 5.627), (inf, 6.6926)),
    ((0, 0, 0.4, 60, 47.5, 8, 0.0), 3.0, (4.7499, 5.1538, 4.8978, 5.3143), (1.7205, 1.41)),
    ((-10, 0, 2, 85, 145, 8, 0.5), 2.4, (1.5985, 1.9066, 1.9444, 2.3354), (inf, inf)),
    ((10, 30, 1, 50, 70, 8, 0.1), 1.0, (1.2335, 1.6009, 1.3367, 1.7433), (2.9774, 1.342)),
    ((-30, -30, 5, 85, 115, 8, 0.3), 2.5, (3.7453, 4.0754, 5.6109, 6.1193), (0.3827, 0.3286)),
    ((5, 5, 0.4, 40, 80, 100, 0.12), 1.5, (2.0475, 2.4037, 2.2247, 2.6101), (1.5736, 1.0254)),
    ((-40, -40, 10, 80, 230, 1, 0.9), 3.0, (2.0788, 2.356, 3.1716, 3.6451), (4.0804, 1.0848)),
]


def at_work(at, *_):
    """A case's name."""
    air, radiant, speed, _, metabolic, permeability, walking = at
    around = "" if air == radiant else f", around {radiant}"
    return (
        f"{air} degC{around}, {speed:g} m/s, {metabolic:g} W/m2, {permeability:g} l/(s m2), {walking:g} m/s"
    )


@needed(
    "Required and basic clothing, minimal and neutral; the library widens the body by less",
    PYTHERMALCOMFORT,
    LIBRARY,
    allowed=percent(4.0),
    cases=[case(at_work(*row), row[2], *row[0]) for row in ASKED],
)
def test_clothing_of_a_library(*asked):
    return clo_needed(*asked)


@needed(
    "The same, with the library's widening: its own numbers, which its steps find to 0.002 clo",
    PYTHERMALCOMFORT,
    LIBRARY,
    allowed=off(0.002),
    cases=[case(at_work(*row), row[2], *row[0]) for row in ASKED],
)
def test_clothing_with_the_librarys_widening(*asked):
    with patch.object(body_module, "WIDER", LIBRARYS_WIDENING):
        return clo_needed(*asked)


@lasting(
    "Exposure, minimal and neutral, where it is limited; with the library's widening",
    PYTHERMALCOMFORT,
    LIBRARY,
    allowed=percent(0.5),
    cases=[
        case(f"{row[1]:g} clo, {at_work(*row)}", min(row[3]), row[1], *row[0])
        for row in ASKED
        if min(row[3]) < inf
    ],
)
def test_exposure_with_the_librarys_widening(clo, *asked):
    with patch.object(body_module, "WIDER", LIBRARYS_WIDENING):
        return min(hours(clo, *asked))


@claims(
    "Outside the standard's limits, where the library gives no number; ours stays, and says so",
    PYTHERMALCOMFORT,
    LIBRARY,
    allowed=off(0.0),
    laws=[beyond],
    cases=[
        case("0 degC, 0.4 m/s, 58.15 W/m2", False, {}),
        case("in air of 0.3 m/s", True, {"speed": 0.3}),
        case("asleep, 47.5 W/m2", True, {"metabolic": 47.5, "walking": 0.0}),
        case("12 degC", True, {"air": 12.0}),
        case("walking 1.3 m/s", True, {"walking": 1.3}),
    ],
)
def test_limits(changed):
    asked = {"air": 0.0, "radiant": 0.0, "speed": 0.4, "humidity": 60.0, "metabolic": 58.15}
    asked |= {"permeability": 8.0, "walking": 0.0008} | changed
    outside = beyond(*person(**asked))
    assert set(outside) == set(changed) - ({"walking"} if asked["walking"] == 0.0 else set())
    assert clo_needed(*asked.values())[1] > 2.0
    return bool(outside)


# Without sweat, and with surroundings as cold as the air, the balance is a square in the insulation.
DRY = Strain(33.0, 0.0, 0.0, 0.0)


def dry_heat(air, made):
    """Heat that must go through the clothing: made, less breath [W/m2]."""

    def vapour(celsius):
        return 0.1333 * exp(18.6686 - 4030.183 / (celsius + 235.0))

    breath = 29.0 + 0.2 * air
    return made - 0.0173 * made * (vapour(breath) - 0.5 * vapour(air)) - 0.0014 * made * (breath - air)


def still_film(speed):
    """Resistance of the air around [m2 K/W] of who walks no more than 90 W/m2 asks for."""
    return 0.092 * exp(-0.15 * speed - 0.22 * 0.0052 * 32.0) - 0.0045


def dry_clo(air, speed):
    """The insulation in closed form [clo], 90 W/m2."""
    heat, film, over = dry_heat(air, 90.0), still_film(speed), 33.0 - air
    a, b, c = 1.97 * heat, heat - 1.97 * over, heat * film - over
    return (-b + sqrt(b * b - 4.0 * a * c)) / (2.0 * a) / CLO


def dry_hours(clo, air, speed):
    """The exposure in closed form [h]; worn and basic are one where film and losses of wind are put aside."""
    worn, film = clo * CLO, still_film(speed)
    wider = 1.0 + 1.97 * worn
    return 40.0 / (wider * (33.0 - air) / (film + wider * worn) - dry_heat(air, 90.0))


PLACES = [(0.0, 0.4), (-20.0, 0.4), (-20.0, 6.0), (8.0, 1.0)]


@needed(
    "A dry body in surroundings as cold as the air: a square",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-6),
    cases=[case(f"{air:g} degC, {speed:g} m/s", dry_clo(air, speed), air, speed) for air, speed in PLACES],
)
def test_dry_body(air, speed):
    around, doing = person(air, air, speed, 50.0, 90.0, 8.0, 0.0)
    return required(around, doing, DRY).required / CLO


@lasting(
    "The same in 1 clo, as it is while worn",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=percent(1e-6),
    cases=[
        case(f"{air:g} degC, {speed:g} m/s", dry_hours(1.0, air, speed), air, speed) for air, speed in PLACES
    ],
)
def test_dry_exposure(air, speed):
    around, doing = person(air, air, speed, 50.0, 90.0, 8.0, 0.0)
    basic = clothed(around, doing, DRY).basic(CLO)
    return limited_exposure(around, doing, DRY, basic) / 3600.0


AIRS = st.floats(-45.0, 10.0)
SPEEDS = st.floats(0.0, 10.0)
WORKS = st.floats(45.0, 250.0)
HUMIDITIES = st.floats(0.0, 1.0)
FABRICS = st.floats(0.001, 0.2)
STRAINS = st.sampled_from([NEUTRAL, MINIMAL])


@st.composite
def people(draw):
    """Surroundings, activity and strain."""
    air = ZERO + draw(AIRS)
    around = Surroundings(air, air + draw(st.floats(-15.0, 40.0)), draw(SPEEDS), draw(HUMIDITIES))
    return around, Activity(draw(WORKS), draw(st.floats(0.0, 1.2)), draw(FABRICS)), draw(STRAINS)


@given(people())
def test_there_is_one_root(who):
    around, doing, strain = who
    body, worn = clothed(around, doing, strain), required(around, doing, strain).required
    assert all(body.surplus(worn * k / 8.0) < 0.0 for k in range(8) if worn > 0.0)
    assert all(body.surplus(worn + 0.05 * k) > 0.0 for k in range(1, 30))


@given(people(), st.floats(1e-3, 20.0))
def test_colder_or_less_work_needs_more(who, less):
    around, doing, strain = who
    now = required(around, doing, strain)
    colder = around._replace(air=around.air - less, radiant=around.radiant - less)
    assert required(colder, doing, strain).required >= now.required
    idler = doing._replace(metabolic=doing.metabolic - less)
    assert required(around, idler, strain).required >= now.required - 1e-12


@given(people(), st.floats(0.01, 3.0))
def test_wind_through_the_fabric_asks_for_more_garments(who, wind):
    around, doing, strain = who
    windy = around._replace(speed=max(around.speed, 0.4) + wind, radiant=around.air)
    calm = around._replace(radiant=around.air)
    assert required(windy, doing, strain).basic >= required(calm, doing, strain).basic - 1e-9


@given(people())
def test_what_is_required_lasts_and_less_does_not(who):
    around, doing, strain = who
    basic = required(around, doing, strain).basic
    assert limited_exposure(around, doing, strain, 1.02 * basic + 0.01) == inf
    if basic > 0.2:
        short = limited_exposure(around, doing, strain, 0.9 * basic)
        assert 0.0 < limited_exposure(around, doing, strain, 0.8 * basic) < short < inf


@given(people(), st.floats(0.0, 1.2))
def test_basic_and_worn_are_each_others_inverse(who, basic):
    body = clothed(*who)
    worn = body.while_worn(basic)
    if worn > 0.0:
        assert body.basic(worn) == pytest.approx(basic, abs=1e-9)


@given(people())
def test_less_strain_asks_for_more(who):
    around, doing, _ = who
    assert required(around, doing, NEUTRAL).required >= required(around, doing, MINIMAL).required


def test_nothing_is_required_where_a_naked_body_is_too_warm():
    hot = Surroundings(308.15, 308.15, 0.4, 0.5)
    assert required(hot, Activity(120.0), NEUTRAL) == (0.0, 0.0)
    assert limited_exposure(hot, Activity(120.0), NEUTRAL, 0.0) == inf


def test_clothing_thicker_than_any_lasts_too():
    cold, doing = Surroundings(230.0, 233.0, 0.0, 0.0), Activity(45.0, 1.0, 0.125)
    assert limited_exposure(cold, doing, NEUTRAL, 20.0) == inf
    assert limited_exposure(cold, doing, NEUTRAL, 0.0) < 600.0


def test_slow_air_and_standing_still_count_as_the_least():
    slow, least = (Surroundings(263.15, 263.15, speed, 0.5) for speed in (0.0, 0.4))
    stroll = Activity(110.0, 0.0052 * 52.0)
    assert required(slow, Activity(110.0), NEUTRAL) == required(least, stroll, NEUTRAL)


def test_the_debt_is_forty_watt_hours():
    around, doing = Surroundings(253.15, 253.15, 0.4, 0.5), Activity(70.0)
    body = clothed(around, doing, MINIMAL)
    worn = body.while_worn(CLO)
    time = limited_exposure(around, doing, MINIMAL, CLO)
    # Closed form: all that leaves through the clothing beyond what is to leave, over the time, is the debt.
    through = body.left(worn) + HEAT_DEBT / time
    assert body.dry(worn, body.skin - worn * through) == pytest.approx(through, rel=1e-9)
    assert pytest.approx(40.0 * 3600.0) == HEAT_DEBT


@pytest.mark.parametrize(
    ("around", "doing", "basic", "told"),
    [
        ({}, {"metabolic": 0.0}, 0.1, "metabolic heat"),
        ({}, {"metabolic": float("nan")}, 0.1, "metabolic heat"),
        ({}, {"permeability": 0.0}, 0.1, "permeability"),
        ({}, {"permeability": 8.0}, 0.1, "permeability"),
        ({"humidity": 55.0}, {}, 0.1, "humidity"),
        ({}, {"work": 80.0}, 0.1, "no clothing"),
        ({}, {}, -0.1, "insulation"),
    ],
)
def test_what_cannot_be(around, doing, basic, told):
    where = Surroundings(263.15, 263.15, 0.4, 0.5)._replace(**around)
    what = Activity(80.0)._replace(**doing)
    with pytest.raises(ValueError, match=told):
        limited_exposure(where, what, NEUTRAL, basic)

"""Carbon monoxide from fire, its concentration, fresh air for sleepers and openings of houses.

The emission of flames is that of open burning in the woods, taken for a stove as an upper bracket; what share of it
ever comes inside nobody knows. The rule for openings was written for houses; none for tents was found.
"""

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assess.fresh_air import needed, opening_for
from simtent.physics.emission import FROM_COALS, from_flames, milligrams_per_ppm, parts_per_million

from .claims import CLOSED_FORM, MEMORY, PUBLISHED, SECOND_HAND, between, case, claims, off, percent
from .sources import EMISSIONS, MATHEMATICS, PERSILY, PRACTICE_OF_THE_TRADE, RESIDENTIAL_CODE

SUBJECT = "Carbon monoxide given off, fresh air, openings"
ATMOSPHERE = 101325.0

exactly = partial(claims, source=MATHEMATICS, provenance=CLOSED_FORM)


@claims(
    "Carbon monoxide of flames by the combustion efficiency, 961 - 984 times it",
    EMISSIONS,
    SECOND_HAND,
    unit="g/kg",
    allowed=off(0.1),
    laws=[from_flames],
    cases=[
        case(f"efficiency {share:g}", expected, share)
        for share, expected in ((0.97, 6.5), (0.9, 75.4), (0.67, 301.7))
    ],
)
def test_emission(share):
    return 1000.0 * from_flames(share)


@claims(
    "Carbon monoxide of glowing charcoal, 200 to 280 g/kg",
    PRACTICE_OF_THE_TRADE,
    MEMORY,
    unit="g/kg",
    allowed=between(200.0, 280.0),
    cases=[case("coals", None)],
)
def test_emission_of_coals():
    return 1000.0 * FROM_COALS


@exactly(
    "Mass of 1 ppm of carbon monoxide in a cubic metre of air, 28.01 p / (R T), at 101.325 kPa",
    unit="mg/m3",
    allowed=off(0.0006),  # rounding
    laws=[milligrams_per_ppm],
    cases=[case("0 degC", 1.250, 0.0), case("20 degC", 1.164, 20.0), case("25 degC", 1.145, 25.0)],
)
def test_mass_of_a_ppm(celsius):
    return milligrams_per_ppm(celsius + 273.15, ATMOSPHERE)


@exactly(
    "A tenth of 100 g/kg from 1 kg/h into 30 m3/h of air at 20 degC, at last",
    unit="ppm",
    allowed=percent(0.5),
    laws=[milligrams_per_ppm],
    cases=[case("333 mg/m3", 286.0)],
)
def test_steady_room():
    return 1e3 * 10.0 / 30.0 / milligrams_per_ppm(293.15, ATMOSPHERE)


@exactly(
    "ppm of a share by mass, by the two molar masses: the same as through the gas law",
    unit="ppm",
    allowed=percent(0.01),
    laws=[parts_per_million, milligrams_per_ppm],
    cases=[case("1e-4 kg/kg at 10 degC, 80 kPa", 1e-4 / 28.010 * 28.966 * 1e6)],
)
def test_share_by_mass():
    density = 80e3 * 28.966e-3 / (8.314462618 * 283.15)
    through_the_gas_law = 1e6 * 1e-4 * density / milligrams_per_ppm(283.15, 80e3)
    assert through_the_gas_law == pytest.approx(parts_per_million(1e-4), rel=1e-9)
    return parts_per_million(1e-4)


BTU = 1055.05585262  # J, international table


@claims(
    "Each of two openings, low and high, to the outdoors: 1 square inch for 4000 Btu/h",
    RESIDENTIAL_CODE,
    PUBLISHED,
    unit="mm2",
    allowed=percent(0.1),
    laws=[opening_for],
    digits=5,
    cases=[
        case("1 kW, 550 mm2", 550.0, 1000.0),
        case("4000 Btu/h, 1 in2 = 645.16 mm2", 645.16, 4000.0 * BTU / 3600.0),
        case("2 kW", 1100.0, 2000.0),
        case("6 kW", 3300.0, 6000.0),
    ],
)
def test_openings(watts):
    return 1e6 * opening_for(watts)


@claims(
    "Fresh air for two sleepers of 12 L/h of carbon dioxide each, outdoors 420 ppm",
    PERSILY,
    CLOSED_FORM,
    unit="m3/h",
    allowed=off(0.05),  # rounding, here and below
    laws=[needed],
    cases=[
        case("1000 ppm", 41.0, 1000, allowed=off(0.5)),
        case("1500 ppm", 22.0, 1500, allowed=off(0.5)),
        case("2500 ppm", 11.5, 2500),
        case("5000 ppm", 5.2, 5000),
    ],
)
def test_fresh_air(ppm):
    return needed(2, ppm)


def sleeper(mass, slope, base):
    """Carbon dioxide of a sleeper [L/h at 0 degC]: 0.000569 RQ BMR M L/s, BMR [MJ/d] by the mass [kg]."""
    return 3600.0 * 0.000569 * 0.85 * (slope * mass + base) * 0.95


@claims(
    "Carbon dioxide of one sleeper, 0.000569 RQ BMR M L/s with RQ 0.85, M 0.95; simtent takes 12 L/h for anybody",
    PERSILY,
    MEMORY,
    unit="L/h",
    allowed=percent(3.0),
    laws=[needed],
    cases=[case("a man of 73 kg", sleeper(73.0, 0.048, 3.653))],
)
def test_one_sleeper():
    return 1000.0 * needed(1, 420.0 + 1e6)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_worse_burning_gives_off_no_less(one, other):
    worse, better = sorted((one, other))
    assert from_flames(worse) >= from_flames(better) > 0.0


@given(st.integers(1, 10), st.floats(500.0, 40_000.0), st.floats(1.0, 1000.0))
def test_a_laxer_limit_needs_less_air_and_more_people_more(people, limit, more):
    assert needed(people, limit + more) < needed(people, limit) < needed(people + 1, limit)

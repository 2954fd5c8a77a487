"""Heat stored in sheet metal against the table of the steel standard and closed forms of cooling."""

import pytest
from scipy.integrate import quad

from simtent.physics.convection import inside_film
from simtent.physics.radiation import black_exchange
from tests.reference.metals import DENSITY, enthalpy, specific_heat

METALS = ["steel", "titanium"]


# EN 1993-1-2 3.4.1.2 (from memory): 440, 530, 606 J/(kg K) at 20, 200, 400 degC; rounding 0.5.
@pytest.mark.parametrize(
    ("celsius", "expected"), [(20.0, 440.0), (200.0, 530.0), (400.0, 606.0), (600.0, 760.0)]
)
def test_steel(celsius, expected):
    assert specific_heat("steel", celsius + 273.15) == pytest.approx(expected, abs=0.6)


# Handbook figures (from memory), carbon steel: 434, 487, 559, 685 J/(kg K) at 300, 400, 600, 800 K; within 9 %.
@pytest.mark.parametrize(
    ("kelvin", "expected"), [(300.0, 434.0), (400.0, 487.0), (600.0, 559.0), (800.0, 685.0)]
)
def test_steel_against_a_handbook(kelvin, expected):
    assert specific_heat("steel", kelvin) == pytest.approx(expected, rel=0.09)


# Handbook figures (from memory), pure titanium: 522, 551, 591, 633 J/(kg K) at 300, 400, 600, 800 K: the constant
# stands in their middle, 12 % off at the ends.
@pytest.mark.parametrize(
    ("kelvin", "expected"), [(300.0, 522.0), (400.0, 551.0), (600.0, 591.0), (800.0, 633.0)]
)
def test_titanium_against_a_handbook(kelvin, expected):
    assert specific_heat("titanium", kelvin) == pytest.approx(expected, rel=0.12)


def test_sheet():
    # 1 mm of steel stores 3.5 to 4.8 kJ/(m2 K) from 20 to 400 degC (closed form); titanium about a third less.
    steel = [specific_heat("steel", t + 273.15) * DENSITY["steel"] * 1e-3 for t in (20.0, 400.0)]
    assert steel == pytest.approx([3450.0, 4760.0], rel=0.01)
    titanium = specific_heat("titanium", 473.15) * DENSITY["titanium"] * 1e-3
    assert titanium == pytest.approx(2520.0, rel=0.05)


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("celsius", [-60.0, -10.0, 20.0, 300.0, 600.0, 900.0])
def test_enthalpy_is_the_integral_of_heat_capacity(celsius, metal):
    points = [873.15] if celsius > 600.0 else None
    expected, _ = quad(lambda kelvin: specific_heat(metal, kelvin), 273.15, celsius + 273.15, points=points)
    assert enthalpy(metal, celsius + 273.15) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("metal", METALS)
def test_positive_and_never_falling(metal):
    capacities = [specific_heat(metal, float(kelvin)) for kelvin in range(200, 1300, 10)]
    assert capacities[0] > 300.0
    assert capacities == sorted(capacities)
    assert specific_heat(metal, 873.15 + 1e-6) == pytest.approx(specific_heat(metal, 873.15 - 1e-6))


# Empty steel body cooling from 300 to 60 degC in air and surroundings of 10 degC, emissivity .85, 1.31 d^(4/3) (closed
# form): mass [kg], area [m2], seconds. Within 2 %.
@pytest.mark.parametrize(
    ("mass", "area", "expected"), [(3.0, 0.35, 513.0), (6.0, 0.5, 719.0), (12.0, 0.8, 899.0)]
)
def test_cooling_of_an_empty_body(mass, area, expected):
    def pace(kelvin):
        difference = kelvin - 283.15
        flux = 0.85 * black_exchange(kelvin, 283.15) + inside_film(difference, 0.0, 1.0) * difference
        slope = enthalpy("steel", kelvin + 0.01) - enthalpy("steel", kelvin - 0.01)
        return mass * slope / 0.02 / (area * flux)

    seconds, _ = quad(pace, 333.15, 573.15)
    assert seconds == pytest.approx(expected, rel=0.02)

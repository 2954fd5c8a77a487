"""Heat lost up the stack: our enthalpy against the analyser form and the form of the stove standard.

1 kg of wood per hour, 20 % moist (wet basis), 18.5 MJ/kg dry, carbon .50, hydrogen .061 of it; room at 20 degC.
The stack gas is 1 kg of wood and its air, stoichiometric 6.0 kg per kg of dry wood; burnt whole, no carbon monoxide.
"""

import pytest

from simtent.physics.flue_gas import flue_carbon_dioxide, flue_gas_enthalpy

MOISTURE, DRY_HEAT, CARBON, HYDROGEN = 0.20, 18.5e6, 0.50, 0.061
ROOM = 20.0
WOOD = 1.0 / 3600.0  # kg/s
HEAT = WOOD * ((1.0 - MOISTURE) * DRY_HEAT - MOISTURE * 2.443e6)  # W

# degC, O2 [%], CO2 [%], air ratio [-]; then the loss in % by the analyser form (common practice), by EN 13384's heat
# capacity (second-hand) and by the form of EN 13240 (from memory); closed form of each.
TABLE = [
    (200.0, 13.0, 7.73, 2.63, 17.2, 18.1, 17.8),
    (300.0, 13.0, 7.73, 2.63, 26.8, 28.5, 28.0),
    (300.0, 16.0, 4.83, 4.20, 42.8, 43.7, 42.9),
    (400.0, 10.0, 10.63, 1.91, 26.4, 29.6, 29.1),
    (400.0, 13.0, 7.73, 2.63, 36.3, 39.1, 38.4),
    (500.0, 8.0, 12.57, 1.62, 28.2, 33.0, 32.3),
]


def analyser(celsius, oxygen):
    """Loss in % by the analyser form, wood: A2 .765, B 0 (common practice)."""
    return (celsius - ROOM) * 0.765 / (21.0 - oxygen)


def stove_standard(celsius, dioxide):
    """Loss in % by the form of EN 13240 (from memory), no carbon monoxide, no residue."""
    x, c = celsius / 1000.0, dioxide / 100.0
    dry = 0.361 + 0.008 * x + 0.034 * x**2
    dry += (0.085 + 0.19 * x - 0.14 * x**2) * c + (0.03 * x - 0.2 * x**2) * c**2
    vapour = 0.414 + 0.038 * x + 0.034 * x**2
    carbon, hydrogen, water = (100.0 * (1.0 - MOISTURE) * CARBON, 100.0 * (1.0 - MOISTURE) * HYDROGEN, 20.0)
    per_kelvin = 3.6 * dry * carbon / (0.536 * dioxide)
    per_kelvin += 3.6 * vapour * 1.244 * (9.0 * hydrogen + water) / 100.0
    return (celsius - ROOM) * per_kelvin * 1e3 * WOOD / HEAT * 100.0


def gas_flow(air_ratio):
    """Stack gas and the air in it [kg/s]."""
    air = air_ratio * 6.0 * (1.0 - MOISTURE) * WOOD
    return air + WOOD, air


def ours(celsius, air_ratio):
    """Loss [W] by the enthalpy of the flue gas."""
    gas, air = gas_flow(air_ratio)
    dioxide = flue_carbon_dioxide(HEAT, air)
    warm, cold = (flue_gas_enthalpy(t + 273.15, dioxide) for t in (celsius, ROOM))
    return gas * (warm - cold)


@pytest.mark.parametrize(
    ("celsius", "oxygen", "dioxide", "air_ratio", "siegert", "enthalpy", "standard"), TABLE
)
def test_stack_loss_table(celsius, oxygen, dioxide, air_ratio, siegert, enthalpy, standard):
    assert 21.0 / (21.0 - oxygen) == pytest.approx(air_ratio, abs=0.006)
    assert analyser(celsius, oxygen) == pytest.approx(siegert, abs=0.06)
    assert stove_standard(celsius, dioxide) == pytest.approx(standard, abs=0.06)
    loss = ours(celsius, 21.0 / (21.0 - oxygen)) / HEAT * 100.0
    assert loss == pytest.approx(enthalpy, abs=0.15)
    # Independent routes: within 0.9 points of the stove standard's, 5 of the analyser's, which runs low when hot.
    assert loss == pytest.approx(stove_standard(celsius, dioxide), abs=0.9)
    assert 0.0 < loss - analyser(celsius, oxygen) < 5.0


@pytest.mark.parametrize(
    ("celsius", "oxygen", "dioxide", "air_ratio", "siegert", "enthalpy", "standard"), TABLE
)
def test_dioxide_of_the_table(celsius, oxygen, dioxide, air_ratio, siegert, enthalpy, standard):
    _, air = gas_flow(21.0 / (21.0 - oxygen))
    assert flue_carbon_dioxide(HEAT, air) == pytest.approx(dioxide, rel=0.01)


def test_middle_of_the_methods():
    # HB2. 300 degC, 13 % O2: 26.8 % by the analyser form, 25.5 to 28.5 % across methods (common practice).
    assert analyser(300.0, 13.0) == pytest.approx(26.8, abs=0.1)
    assert ours(300.0, 21.0 / 8.0) / HEAT * 100.0 == pytest.approx(28.5, abs=0.1)


def test_stack_gas_of_one_kilogram_an_hour():
    # HB4. Closed form: 3.61 g/s, 1.285 kW, 32.3 % at an air ratio of 2.5 and 350 degC; 2 %.
    assert pytest.approx(3975.0, rel=1e-3) == HEAT
    assert gas_flow(2.5)[0] == pytest.approx(3.61e-3, rel=0.02)
    assert ours(350.0, 2.5) == pytest.approx(1285.0, rel=0.02)
    assert analyser(350.0, 21.0 - 21.0 / 2.5) == pytest.approx(30.1, abs=0.1)


def test_loss_grows_with_air_and_temperature():
    losses = [[ours(celsius, ratio) for ratio in (1.6, 2.5, 5.0)] for celsius in (150.0, 300.0, 600.0)]
    assert all(row == sorted(row) for row in losses)
    assert all(list(column) == sorted(column) for column in zip(*losses, strict=True))

"""Heat lost up the stack, three ways.

1 kg of wood per hour, 20 % moist (wet basis), 18.5 MJ/kg dry, carbon .50, hydrogen .061 of it; room at 20 degC. The
stack gas is 1 kg of wood and its air, 6.0 kg per kg of dry wood times the air ratio; burnt whole, no carbon monoxide.
The loss is a share of the net heat, 3.975 kW. simtent takes the enthalpy of the gas; the analyser's short form runs low
in hot gas, by 5 points at 500 degC, and is no law here. The stove standard's form is remembered.
"""

from functools import partial

import pytest

from simtent.physics.flue_gas import flue_carbon_dioxide, flue_gas_enthalpy

from .claims import CLOSED_FORM, MEMORY, PRACTICE, SECOND_HAND, between, case, claims, off, percent
from .sources import ANALYSER, EN_13240, EN_13384, MATHEMATICS

SUBJECT = "Stack loss"
MOISTURE, DRY_HEAT, CARBON, HYDROGEN = 0.20, 18.5e6, 0.50, 0.061
ROOM = 20.0
WOOD = 1.0 / 3600.0  # kg/s
SET_FREE = WOOD * (1.0 - MOISTURE) * DRY_HEAT  # W, as the fire counts it
HEAT = SET_FREE - WOOD * MOISTURE * 2.443e6  # W, net

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
    dioxide = flue_carbon_dioxide(SET_FREE, air)
    warm, cold = (flue_gas_enthalpy(t + 273.15, dioxide) for t in (celsius, ROOM))
    return gas * (warm - cold)


def of_oxygen(celsius, oxygen):
    """Loss in % by the enthalpy, at a measured share of oxygen."""
    return ours(celsius, 21.0 / (21.0 - oxygen)) / HEAT * 100.0


lost = partial(claims, unit="% of the heat", laws=[flue_gas_enthalpy])


def rows(column, missed=None):
    """A case for each row of the table, with one of its columns expected."""
    return [
        case(
            f"{row[0]:g} degC, {row[1]:g} % O2",
            row[column],
            row[0],
            row[1],
            missed=(missed or {}).get(row[:2]),
        )
        for row in TABLE
    ]


@lost(
    "Loss by the flue standard's heat capacity",
    EN_13384,
    SECOND_HAND,
    allowed=off(0.15),
    cases=rows(5, {(400.0, 10.0): "by .01: our gas has 2.8 % more carbon dioxide, see below"}),
)
def test_by_heat_capacity(celsius, oxygen):
    return of_oxygen(celsius, oxygen)


@lost(
    "Loss by the stove standard's form",
    EN_13240,
    MEMORY,
    allowed=off(0.9),
    cases=rows(6),
)
def test_by_the_stove_standard(celsius, oxygen):
    return of_oxygen(celsius, oxygen)


@lost(
    "Loss by the analyser's form, .765 (t - t_room) / (21 - O2)",
    ANALYSER,
    PRACTICE,
    allowed=off(5.0),
    cases=rows(4),
)
def test_by_the_analyser(celsius, oxygen):
    return of_oxygen(celsius, oxygen)


@lost(
    "Loss across methods at 300 degC and 13 % O2: a spread",
    ANALYSER,
    PRACTICE,
    allowed=between(25.5, 28.5),
    cases=[case("analyser 26.8 %", None, missed="at the upper edge, that of the enthalpy")],
)
def test_middle_of_the_methods():
    return of_oxygen(300.0, 13.0)


@claims(
    "Loss of 1 kg an hour at an air ratio of 2.5 and 350 degC, 3.61 g/s of gas",
    MATHEMATICS,
    CLOSED_FORM,
    unit="kW",
    allowed=percent(2.0),
    laws=[flue_gas_enthalpy],
    cases=[case("32.3 % of 3.975 kW", 1.285)],
)
def test_stack_gas_of_one_kilogram_an_hour():
    return ours(350.0, 2.5) / 1e3


MORE = "3.03 MJ per kg of air where this wood has 3.08, and 20.5 % at most where it has 20.3"
DIOXIDE = {row[1]: row[2] for row in TABLE}


@claims(
    "Dry carbon dioxide at a measured share of oxygen, 20.3 (21 - O2) / 21",
    ANALYSER,
    PRACTICE,
    unit="vol %",
    allowed=percent(1.0),
    laws=[flue_carbon_dioxide],
    cases=[case(f"{oxygen:g} % O2", dioxide, oxygen, missed=MORE) for oxygen, dioxide in DIOXIDE.items()],
)
def test_dioxide(oxygen):
    return flue_carbon_dioxide(SET_FREE, gas_flow(21.0 / (21.0 - oxygen))[1])


@pytest.mark.parametrize(
    ("celsius", "oxygen", "dioxide", "air_ratio", "siegert", "enthalpy", "standard"), TABLE
)
def test_the_table_itself(celsius, oxygen, dioxide, air_ratio, siegert, enthalpy, standard):
    assert 21.0 / (21.0 - oxygen) == pytest.approx(air_ratio, abs=0.006)
    assert analyser(celsius, oxygen) == pytest.approx(siegert, abs=0.06)
    assert stove_standard(celsius, dioxide) == pytest.approx(standard, abs=0.06)
    # Independent routes: within 0.9 points of the stove standard's, 5 of the analyser's, which runs low when hot.
    loss = of_oxygen(celsius, oxygen)
    assert loss == pytest.approx(stove_standard(celsius, dioxide), abs=0.9)
    assert 0.0 < loss - analyser(celsius, oxygen) < 5.0


def test_the_kilogram_itself():
    assert pytest.approx(3975.0, rel=1e-3) == HEAT
    assert gas_flow(2.5)[0] == pytest.approx(3.61e-3, rel=0.02)
    assert analyser(300.0, 13.0) == pytest.approx(26.8, abs=0.1)
    assert of_oxygen(300.0, 13.0) == pytest.approx(28.5, abs=0.1)
    assert analyser(350.0, 21.0 - 21.0 / 2.5) == pytest.approx(30.1, abs=0.1)


@pytest.mark.parametrize(("oxygen", "dioxide"), DIOXIDE.items())
def test_dioxide_of_net_heat(oxygen, dioxide):
    # Were all the heat set free net heat.
    assert flue_carbon_dioxide(HEAT, gas_flow(21.0 / (21.0 - oxygen))[1]) == pytest.approx(dioxide, rel=0.01)


def test_loss_grows_with_air_and_temperature():
    losses = [[ours(celsius, ratio) for ratio in (1.6, 2.5, 5.0)] for celsius in (150.0, 300.0, 600.0)]
    assert all(row == sorted(row) for row in losses)
    assert all(list(column) == sorted(column) for column in zip(*losses, strict=True))

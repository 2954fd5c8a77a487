"""Heat from the flue's gas to its pipe.

The larger of a laminar and a turbulent law, smoothly. The pipe as a whole is worked out by the chimney standard's
equations, where simtent follows it piece by piece. Soot's radiation is left out.
"""

from functools import partial

import ht
import numpy as np
from fluids.friction import Colebrook
from scipy.constants import Stefan_Boltzmann
from scipy.integrate import solve_ivp

from simtent.physics.flue_gas import (
    flue_gas_conductivity,
    flue_gas_heat_capacity,
    flue_gas_viscosity,
)
from simtent.physics.pipe_heat import gas_radiation, pipe_film, segment_end
from simtent.physics.rounding import larger

from .claims import CLOSED_FORM, LIBRARY, MEMORY, SECOND_HAND, between, case, claims, off, percent
from .pipe import DIAMETER, DIOXIDE, LENGTH, along_the_pipe, flow_at
from .sources import EN_13384, GREY_GASES, HT, MATHEMATICS

SUBJECT = "Heat from flue gas to its pipe"
FLOW = 0.0036  # kg/s
WORKED = dict(
    zip(("film", "through", "cooling", "mean", "end"), along_the_pipe(FLOW, 573.15, 273.15), strict=True)
)


def lost():
    """Heat that the worked pipe loses [W]."""
    return FLOW * flue_gas_heat_capacity(WORKED["mean"], DIOXIDE) * (573.15 - WORKED["end"])


@claims(
    "Worked pipe: 3.6 g/s at 300 degC into 2.5 m of 76 mm, roughness 1 mm, around it 0 degC and a film of 8 W/(m2 K)",
    EN_13384,
    SECOND_HAND,
    allowed=percent(1.0),
    laws=[pipe_film, flue_gas_heat_capacity],
    cases=[
        case("film inside, W/(m2 K)", 4.76, lambda: WORKED["film"]),
        case("through the wall, W/(m2 K)", 2.98, lambda: WORKED["through"]),
        case("cooling number", 0.4528, lambda: WORKED["cooling"]),
        case("mean temperature, degC", 241.3, lambda: WORKED["mean"] - 273.15),
        case("exit temperature, degC", 190.8, lambda: WORKED["end"] - 273.15),
        case("heat lost, W", 430.0, lost),
    ],
)
def test_worked_pipe(what):
    return what()


def nusselt(flow, kelvin, length):
    """Nusselt number of a smooth pipe."""
    return pipe_film(flow, kelvin, DIAMETER, length, 0.0) * DIAMETER / flue_gas_conductivity(kelvin)


PRANDTL = flue_gas_viscosity(450.0) * flue_gas_heat_capacity(450.0, 8.0) / flue_gas_conductivity(450.0)

library = partial(claims, source=HT, provenance=LIBRARY, laws=[pipe_film])


@library(
    "Nusselt number of laminar flow in 2.5 m of smooth pipe, gas at 450 K, Hausen",
    allowed=percent(1.0),  # the turbulent law is blended in
    cases=[
        case(
            f"Re {number:g}",
            ht.conv_internal.laminar_entry_thermal_Hausen(number, PRANDTL, LENGTH, DIAMETER),
            number,
        )
        for number in (100.0, 300.0, 600.0)
    ],
)
def test_laminar_film(number):
    return nusselt(flow_at(number, 450.0), 450.0, LENGTH)


@library(
    "Nusselt number of turbulent flow in a long smooth pipe, gas at 450 K, Gnielinski",
    allowed=percent(6.0),
    cases=[
        case(
            f"Re {number:g}",
            ht.conv_internal.turbulent_Gnielinski(number, PRANDTL, Colebrook(number, 0.0)),
            number,
        )
        for number in (5e3, 1e4, 5e4)
    ],
)
def test_turbulent_film(number):
    return nusselt(flow_at(number, 450.0), 450.0, 100.0)


@claims(
    "Nusselt number of still gas, pure conduction in a long pipe",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=percent(1.0),
    laws=[pipe_film],
    cases=[case("gas at 450 K, 2.5 m", 3.66)],
)
def test_film_without_flow():
    return nusselt(0.0, 450.0, LENGTH)


@claims(
    "The larger of two laws where one passes into the other, (a^8 + b^8)^(1/8), by a vector norm",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-12),
    laws=[larger],
    cases=[
        case(f"{one:g} and {other:g}", float(np.linalg.norm([one, other], 8)), one, other)
        for one, other in ((1.0, 1.0), (1.0, 2.0), (0.0, 3.0))
    ],
)
def test_larger_of_two(one, other):
    return larger(one, other)


HOT, COLD = 900.0, 500.0  # K, gas and wall


@claims(
    "Radiation of gas at 900 K to a pipe at 500 K, emissivity .08: emissivity x sigma (T^4 - T_wall^4) / (T - T_wall)",
    MATHEMATICS,
    CLOSED_FORM,
    unit="W/(m2 K)",
    allowed=percent(1e-6),
    laws=[gas_radiation],
    cases=[
        case("8 % CO2", 0.08 * Stefan_Boltzmann * (HOT**4 - COLD**4) / (HOT - COLD), 8.0),
        case("none: air does not shine", 0.0, 0.0),
    ],
)
def test_gas_radiation(dioxide):
    return gas_radiation(HOT, COLD, dioxide)


@claims(
    "Emissivity of flue gas with 8 % of carbon dioxide in pipes of 70 to 130 mm, 600 to 950 K: a spread",
    GREY_GASES,
    MEMORY,
    allowed=between(0.07, 0.10),
    laws=[gas_radiation],
    cases=[case("one number for all", None)],
)
def test_emissivity():
    return gas_radiation(HOT, COLD, 8.0) * (HOT - COLD) / (Stefan_Boltzmann * (HOT**4 - COLD**4))


def integrated(capacity_flow):
    """Gas at the end of a wall of 400 K, m c dT/dx = -k (T - T_wall), 700 K at its beginning, k 2 W/K [K]."""
    return solve_ivp(
        lambda x, gas: -2.0 * (gas - 400.0) / capacity_flow, (0.0, 1.0), [700.0], rtol=1e-10, atol=1e-10
    ).y[0, -1]


@claims(
    "Gas of 700 K along a wall of 400 K, 2 W/K, by integration in steps",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=percent(1e-5),
    laws=[segment_end],
    cases=[case(f"{flow:g} W/K of gas", integrated(flow), flow) for flow in (0.5, 3.0, 20.0)],
)
def test_gas_cools_along_a_wall(capacity_flow):
    return segment_end(700.0, 400.0, 2.0, capacity_flow)


@claims(
    "Ten pieces in a row over one of their length",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=percent(1e-10),
    laws=[segment_end],
    cases=[case("one wall temperature", 1.0)],
)
def test_segments_in_a_row_are_one():
    gas = 700.0
    for _ in range(10):
        gas = segment_end(gas, 400.0, 0.3, 3.0)
    return gas / segment_end(700.0, 400.0, 3.0, 3.0)

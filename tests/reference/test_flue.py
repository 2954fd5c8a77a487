"""Draught, friction and flow of a stove pipe.

Equations of the chimney standard, their numbers worked out beforehand; friction against a library. Where the inlet is
small the flow is slow: below a Reynolds number of 2300 the standard keeps the pipe's film as it is there, simtent turns
to laminar flow, so its gas stays warmer and draws 3 to 10 % more air. Real pipes there are uncertain by a factor of
two: see what is not validated. Bends are taken as the standard has them in short runs of pipe. The damper's losses are
remembered.
"""

from functools import lru_cache, partial
from itertools import pairwise
from math import log, pi, radians, sin, sqrt

import pytest
from fluids.flow_meter import C_Reader_Harris_Gallagher, discharge_coefficient_to_K
from fluids.friction import Colebrook, friction_laminar
from scipy.optimize import brentq

from simtent.physics.air import air_density
from simtent.physics.flue import (
    bend_loss,
    damper_loss,
    draught,
    flue_resistance,
    friction_factor,
    inlet_resistance,
    pipe_reynolds,
    signed_root,
)
from simtent.physics.flue_gas import flue_gas_viscosity

from .claims import CLOSED_FORM, LIBRARY, MEMORY, SECOND_HAND, between, case, claims, off, percent
from .pipe import (
    BENDS,
    DIAMETER,
    DIOXIDE,
    LENGTH,
    PRESSURE,
    ROUGHNESS,
    along_the_pipe,
    flow_at,
    gas_density,
)
from .sources import ASHRAE, EN_13384, FLUIDS, IDELCHIK, MATHEMATICS

SUBJECT = "Draught and friction of the flue"
FLOW, MEAN = 0.0036, 241.3 + 273.15  # kg/s, K
ICE = 273.15

standard = partial(claims, source=EN_13384, provenance=SECOND_HAND)


def resistance(
    length=LENGTH, losses=1.0, *, flow=FLOW, kelvin=MEAN, pressure=PRESSURE, allowance=1.0, rough=ROUGHNESS
):
    """Resistance of a pipe [Pa/(kg/s)2]."""
    return flue_resistance(flow, kelvin, DIAMETER, length, losses, rough, DIOXIDE, pressure, allowance)


@standard(
    "Worked pipe: 3.6 g/s of gas with 8 % CO2 at 241.3 degC in 2.5 m of 76 mm, roughness 1 mm, 101325 Pa",
    allowed=percent(1.0),
    laws=[pipe_reynolds, friction_factor, flue_resistance, draught, air_density],
    cases=[
        case("density, kg/m3", 0.6844, lambda: gas_density(MEAN)),
        case("speed, m/s", 1.160, lambda: FLOW / (gas_density(MEAN) * pi / 4.0 * DIAMETER**2)),
        case("Reynolds number", 2396.0, lambda: pipe_reynolds(FLOW, MEAN, DIAMETER)),
        case("friction factor", 0.0567, lambda: friction_factor(2396.0, ROUGHNESS / DIAMETER)),
        case("pressure loss with one more dynamic pressure, Pa", 1.32, lambda: resistance() * FLOW**2),
        case(
            "density of the air outside, -10 degC, kg/m3",
            1.3414,
            lambda: air_density(263.15, PRESSURE),
            allowed=percent(0.1),
        ),
        case(
            "draught of 2.5 m, -10 degC outside, Pa",
            16.11,
            lambda: draught(2.5, air_density(263.15, PRESSURE), gas_density(MEAN)),
            allowed=percent(0.5),
        ),
    ],
)
def test_worked_pipe(what):
    return what()


FLUE = (60.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0)  # degC
DRAUGHTS = (
    (1.5, -10.0, FLUE, (4.2, 5.9, 7.5, 8.8, 9.8, 10.7, 12.0)),
    (2.0, -10.0, FLUE, (5.6, 7.8, 10.0, 11.7, 13.1, 14.3, 16.1)),
    (2.5, -10.0, FLUE, (7.0, 9.8, 12.5, 14.6, 16.4, 17.8, 20.1)),
    (3.0, -10.0, FLUE, (8.4, 11.7, 15.0, 17.6, 19.7, 21.4, 24.1)),
    (2.5, 10.0, FLUE[:-1], (4.7, 7.4, 10.2, 12.3, 14.1, 15.5)),
    (2.5, -30.0, (60.0, 150.0, 250.0), (9.7, 15.2, 19.1)),
)

SHORTER = {6: ", flue to 300 degC", 3: ", flue 60 150 250 degC"}


def pull(height, outdoors, flue):
    """Draught [Pa] of a height [m] of gas at its mean temperature; both in degC."""
    return draught(height, air_density(outdoors + ICE, PRESSURE), gas_density(flue + ICE))


@standard(
    "Draught by height and temperature outside; mean flue from 60 to 400 degC (60 100 150 200 250 300 400)",
    unit="Pa",
    provenance=CLOSED_FORM,
    allowed=off(0.06),
    laws=[draught],
    cases=[
        case(
            f"{height:g} m, outside {outdoors:g} degC" + SHORTER.get(len(flue), ""),
            list(row),
            height,
            outdoors,
            flue,
        )
        for height, outdoors, flue, row in DRAUGHTS
    ],
)
def test_draught_table(height, outdoors, flue):
    return [pull(height, outdoors, celsius) for celsius in flue]


@claims(
    "Draught by the handbook's form, .0342 p H (1/T_out - 1/T_flue)",
    ASHRAE,
    MEMORY,
    unit="Pa",
    allowed=percent(0.5),
    laws=[draught],
    cases=[
        case(
            "2.5 m, -10 and 250 degC, 101325 Pa",
            0.0342 * PRESSURE * 2.5 * (1.0 / 263.15 - 1.0 / 523.15),
        )
    ],
)
def test_draught_by_the_handbook():
    return pull(2.5, -10.0, 250.0)


@standard(
    "Draught of gas as cold as the air outside: only the gas constants differ",
    unit="Pa",
    provenance=CLOSED_FORM,
    allowed=off(0.1),
    laws=[draught],
    cases=[case("2.5 m, -10 degC", 0.0)],
)
def test_no_draught_without_warmth():
    return pull(2.5, -10.0, -10.0)


@claims(
    "Air through an inlet, Cd .62, 1.29 kg/m3: Cd A sqrt(2 rho dp)",
    MATHEMATICS,
    CLOSED_FORM,
    unit="kg/h",
    allowed=off(0.0061),
    laws=[inlet_resistance, signed_root],
    cases=[
        *(
            case(f"1 cm2 at {pascal:g} Pa", flow, 1.0, pascal)
            for pascal, flow in ((5.0, 0.80), (10.0, 1.13), (12.0, 1.24), (15.0, 1.39))
        ),
        case("10 cm2 at 12 Pa", 12.4, 10.0, 12.0, allowed=percent(1.0)),
    ],
)
def test_inlet(area, pascal):
    return 3600.0 * signed_root(pascal / inlet_resistance(1e-4 * area, 1.29, 0.62), 1e-12)


OPERATING = ((2.0, 0.68), (5.0, 1.91), (10.0, 3.79), (15.0, 5.33), (20.0, 6.57), (30.0, 8.25))
LAMINAR = "the table's pipe film stays as at a Reynolds number of 2300, ours turns laminar"


@lru_cache
def operating_flow(inlet):
    """Flow [g/s] at which the draught is used up by pipe and inlet [cm2]."""
    outdoors, room = air_density(263.15, PRESSURE), air_density(283.15, PRESSURE)

    def surplus(flow):
        mean = along_the_pipe(flow, 623.15, 263.15)[3]
        losses = resistance(losses=2.0, flow=flow, kelvin=mean) + inlet_resistance(inlet * 1e-4, room, 0.62)
        return draught(2.5, outdoors, gas_density(mean)) - losses * flow**2

    return brentq(surplus, 1e-5, 0.05) * 1e3


@standard(
    "Flow through inlet and pipe: 76 mm, 2.5 m, gas enters at 350 degC, room 10, outside -10 degC, losses 2, Cd .62",
    unit="g/s",
    provenance=CLOSED_FORM,
    allowed=percent(1.0),
    laws=[draught, flue_resistance, inlet_resistance],
    cases=[
        case(f"inlet of {inlet:g} cm2", flow, inlet, missed=LAMINAR if inlet < 10.0 else None)
        for inlet, flow in OPERATING
    ],
)
def test_operating_point(inlet):
    return operating_flow(inlet)


@pytest.mark.parametrize(("inlet", "expected"), OPERATING)
def test_operating_point_roughly(inlet, expected):
    assert operating_flow(inlet) == pytest.approx(expected, rel=0.11)


@claims(
    "Friction factor of rough pipe beside Colebrook's, at Re 4e3, 1e4, 1e5, 1e6",
    FLUIDS,
    LIBRARY,
    allowed=percent(0.1),
    laws=[friction_factor],
    cases=[
        case(
            f"roughness over diameter {relative:g}",
            [Colebrook(number, relative) for number in (4e3, 1e4, 1e5, 1e6)],
            relative,
        )
        for relative in (0.0, 1e-4, 1e-3, 0.0132, 0.05)
    ],
)
def test_rough_pipe(relative):
    return [friction_factor(number, relative) for number in (4e3, 1e4, 1e5, 1e6)]


@claims(
    "Friction factor of laminar flow, roughness over diameter .0132",
    FLUIDS,
    LIBRARY,
    allowed=percent(0.1),
    laws=[friction_factor],
    cases=[case(f"Re {number:g}", friction_laminar(number), number) for number in (20.0, 100.0, 300.0)],
)
def test_laminar_pipe(number):
    return friction_factor(number, 0.0132)


@claims(
    "Pressure loss of 1 m at Re 100, 500 K: 128 mu m / (pi rho D^4)",
    MATHEMATICS,
    CLOSED_FORM,
    unit="Pa",
    allowed=percent(3.0),
    laws=[flue_resistance],
    cases=[
        case(
            "smooth pipe of 76 mm",
            128.0
            * flue_gas_viscosity(500.0)
            * flow_at(100.0, 500.0)
            / (pi * gas_density(500.0) * DIAMETER**4),
        )
    ],
)
def test_laminar_pressure_loss():
    flow = flow_at(100.0, 500.0)
    return resistance(1.0, 0.0, flow=flow, kelvin=500.0, rough=0.0) * flow**2


SAME = partial(resistance, flow=0.003, kelvin=500.0)
AREA = pi / 4.0 * DIAMETER**2


@claims(
    "Resistance by its parts, one over the other",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-12),
    laws=[flue_resistance, inlet_resistance],
    cases=[
        case("2.5 m over 1.5 and 1 m", 1.0, lambda: SAME(2.5, 3.0) / (SAME(1.5, 1.0) + SAME(1.0, 2.0))),
        case("allowance of 1.5", 1.5, lambda: SAME(2.5, 3.0, allowance=1.5) / SAME(2.5, 3.0)),
        case("half the pressure", 2.0, lambda: SAME(2.5, 3.0, pressure=PRESSURE / 2.0) / SAME(2.5, 3.0)),
        case(
            "one dynamic pressure over an orifice of the pipe's section, Cd 1",
            1.0,
            lambda: SAME(0.0, 1.0) / inlet_resistance(AREA, gas_density(500.0), 1.0),
        ),
    ],
)
def test_resistance_by_its_parts(what):
    return what()


@standard(
    "Loss of a bend, 2 to 30 diameters of pipe behind it",
    allowed=off(1e-8),
    laws=[bend_loss],
    cases=[case(f"{degrees:g} degrees", loss, degrees) for degrees, loss in BENDS.items()],
)
def test_bends(degrees):
    return bend_loss(radians(degrees))


@standard(
    "Loss of a bend, 30 diameters of pipe and more behind it",
    allowed=percent(1.0),
    laws=[bend_loss],
    cases=[
        case(
            f"{degrees:g} degrees",
            loss,
            degrees,
            missed=None if degrees == 10.0 else "higher: there is one law, that for short runs of pipe",
        )
        for degrees, loss in ((10.0, 0.1), (30.0, 0.2), (45.0, 0.3), (60.0, 0.5), (90.0, 1.2))
    ],
)
def test_bends_in_long_pipe(degrees):
    return bend_loss(radians(degrees))


DAMPERS = ((0.0, 0.3), (20.0, 1.5), (40.0, 11.0), (60.0, 118.0), (70.0, 750.0))


@claims(
    "Loss of a plate that turns in the pipe",
    IDELCHIK,
    MEMORY,
    allowed=percent(7.0),
    laws=[damper_loss],
    cases=[case(f"{degrees:g} degrees", loss, degrees) for degrees, loss in DAMPERS],
)
def test_damper(degrees):
    return damper_loss(1.0 - sin(radians(degrees)))


def orifice(degrees):
    """Loss of an orifice plate in the pipe that leaves as much of it open as the turned plate does."""
    bore = DIAMETER * sqrt(1.0 - sin(radians(degrees)))
    discharge = C_Reader_Harris_Gallagher(DIAMETER, bore, 0.7, 30e-6, 0.01)
    return discharge_coefficient_to_K(DIAMETER, bore, discharge)


@claims(
    "Loss of a plate that turns in the pipe beside an orifice that leaves as much open",
    FLUIDS,
    LIBRARY,
    allowed=percent(20.0),
    laws=[damper_loss],
    cases=[case(f"{degrees:g} degrees", orifice(degrees), degrees) for degrees in (30.0, 40.0, 60.0, 70.0)],
)
def test_damper_beside_an_orifice(degrees):
    return damper_loss(1.0 - sin(radians(degrees)))


@claims(
    "Loss of a closed plate with a gap of 2 % of the section: a spread of sharp edges, contraction .60 to .65",
    IDELCHIK,
    MEMORY,
    allowed=between((1.0 / (0.65 * 0.02) - 1.0) ** 2, (1.0 / (0.60 * 0.02) - 1.0) ** 2),
    laws=[damper_loss],
    cases=[case("closed", None, missed="the form follows the five printed losses, not this one")],
)
def test_shut_damper():
    return damper_loss(0.0)


@pytest.mark.parametrize(("degrees", "expected"), DAMPERS)
def test_damper_is_kept(degrees, expected):
    assert damper_loss(1.0 - sin(radians(degrees))) == pytest.approx(expected, rel=0.07)


def test_damper_between_the_table():
    # Halfway in angle the table's logarithms lie on a straight line within 25 %. The form is fitted to the table (7 %).
    for (low, first), (high, second) in pairwise(DAMPERS):
        share = 1.0 - sin(radians(0.5 * (low + high)))
        assert log(damper_loss(share)) == pytest.approx(0.5 * (log(first) + log(second)), abs=0.25)
    assert 5e3 < damper_loss(0.0) < 1.5e4


def test_the_handbook_form_itself():
    handbook = 0.0342 * PRESSURE * 2.5 * (1.0 / 263.15 - 1.0 / 523.15)
    assert handbook == pytest.approx(16.36, abs=0.05)
    assert pull(2.5, -10.0, 250.0) == pytest.approx(handbook, rel=0.005)
    assert sqrt(12.0 / inlet_resistance(1e-3, 1.29, 0.62)) * 3600.0 == pytest.approx(12.4, rel=0.01)

"""Heat from flue gas to its pipe."""

from math import exp, pow

from simtent import compiled
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.flue import friction_factor, pipe_reynolds
from simtent.physics.flue_gas import flue_gas_conductivity, flue_gas_heat_capacity, flue_gas_viscosity
from simtent.physics.rounding import larger

TYPICAL_DIOXIDE = 8.0
"""Dry carbon dioxide at which the Prandtl number is taken [volume %]: it moves by 3 % between 0 and 12."""

GAS_EMISSIVITY, GAS_HALF = 0.12, 4.0
"""Emissivity of flue gas full of carbon dioxide [-], and the volume % at which it is half of that."""


def pipe_film(flow: float, temperature: float, diameter: float, length: float, roughness: float) -> float:
    """Convection coefficient between flue gas and its pipe.

    Parameters
    ----------
    flow : float
        Mass flow of the gas [kg/s], of either sign.
    temperature : float
        Mean gas temperature [K].
    diameter : float
        Inner diameter [m].
    length : float
        Length of the pipe from its beginning to its end [m], not of a part of it.
    roughness : float
        Mean height of the inner roughness [m].

    Returns
    -------
    float
        Convection coefficient, mean over the length [W/(m2 K)].

    Source
    ------
    Turbulent: EN 13384-1 (second-hand, memory), Nu = (psi/psi_smooth)^.67 x .0214 (Re^.8 - 100) Pr^.4
    [1 + (D/L)^.67]. Laminar: Hausen 1943, Nu = 3.66 + .0668 Gz/(1 + .04 Gz^(2/3)), Gz = Re Pr D/L (memory).

    Notes
    -----
    The larger of the two counts, smoothly, in the sum of eighth powers. Smooth, the same for both directions of
    flow; 3.7 k/D or a little more at none. Left out: radiation of hot gas and soot.

    Examples
    --------
    >>> round(pipe_film(0.0036, 514.5, 0.076, 2.5, 0.001), 1)
    4.8
    """
    conductivity = flue_gas_conductivity(temperature)
    prandtl = (
        flue_gas_viscosity(temperature) * flue_gas_heat_capacity(temperature, TYPICAL_DIOXIDE) / conductivity
    )
    reynolds = pipe_reynolds(flow, temperature, diameter)
    slender = diameter / length
    rougher = friction_factor(reynolds, roughness / diameter) / friction_factor(reynolds, 0.0)
    turbulent = 0.0214 * max(pow(reynolds, 0.8) - 100.0, 0.0) * pow(prandtl, 0.4)
    turbulent *= pow(rougher, 0.67) * (1.0 + pow(slender, 0.67))
    graetz = reynolds * prandtl * slender
    laminar = 3.66 + 0.0668 * graetz / (1.0 + 0.04 * pow(graetz, 2.0 / 3.0))
    return conductivity / diameter * larger(laminar, turbulent)


def gas_radiation(gas: float, wall: float, dioxide: float) -> float:
    """Radiation of flue gas to its pipe, as a coefficient.

    Parameters
    ----------
    gas : float
        Gas temperature [K].
    wall : float
        Wall temperature [K].
    dioxide : float
        Dry carbon dioxide in the gas [volume %], with as much vapour as wood gives.

    Returns
    -------
    float
        Coefficient [W/(m2 K)], 0 without carbon dioxide and vapour.

    Source
    ------
    Grey gas of emissivity 0.08 at 8 % in pipes of 70 to 130 mm: 0.07 to 0.10 by a weighted sum of grey gases at 950 to
    600 K (coefficients from memory). Soot is left out.
    """
    emissivity = GAS_EMISSIVITY * dioxide / (dioxide + GAS_HALF)
    return emissivity * STEFAN_BOLTZMANN * (gas + wall) * (gas * gas + wall * wall)


def segment_end(gas: float, wall: float, conductance: float, capacity_flow: float) -> float:
    """Temperature of the gas at the end of a piece of pipe whose wall has one temperature.

    Parameters
    ----------
    gas : float
        Gas temperature where it enters [K].
    wall : float
        Wall temperature [K].
    conductance : float
        Heat transfer coefficient times inner surface [W/K], above 0.
    capacity_flow : float
        Mass flow times specific heat [W/K], of either sign.

    Returns
    -------
    float
        Gas temperature where it leaves [K], between the two.

    Source
    ------
    Closed form of m c dT/dx = -k (T - T_w); EN 13384-1 (second-hand).

    Notes
    -----
    Smooth; without flow the gas takes the wall's temperature.

    Examples
    --------
    >>> segment_end(600.0, 400.0, 2.0, 0.0)
    400.0
    """
    return wall + (gas - wall) * exp(-conductance / max(abs(capacity_flow), 1e-9))


compiled.compile_module(globals())

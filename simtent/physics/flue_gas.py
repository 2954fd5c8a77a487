"""Properties of the flue gas of wood: a function of temperature and of the dry carbon dioxide in it."""

from simtent import compiled
from simtent.physics.constants import ICE_POINT
from simtent.physics.rounding import larger
from simtent.physics.wood import AIR_HEAT

DIOXIDE_MOST = 20.5
"""Dry carbon dioxide where all the oxygen is used up [volume %]; EN 13384-1 table B.1 (second-hand)."""

REFERENCE_CELSIUS = 25.0
"""Temperature at which heating values hold and flue gas has no enthalpy here [degC]."""

TOP_CELSIUS = 500.0
"""Above this the chimney standard's heat capacity runs too high [degC]."""

HOT_SLOPE = 0.20
"""Rise of the heat capacity above TOP_CELSIUS [J/(kg K2)]."""

NO_AIR = 10.0
"""Heat that the air could set free, below which it counts as none [W]; 3 mg/s of air."""

NO_HEAT = 1.0
"""Heat below which there is no fire [W]; keeps the quotient of nothing by nothing at 0."""


def flue_gas_heat_capacity(temperature: float, dioxide: float) -> float:
    """Specific heat of wood's flue gas, water vapour included.

    Parameters
    ----------
    temperature : float
        Gas temperature [K].
    dioxide : float
        Dry carbon dioxide [volume %]; 0 is air.

    Returns
    -------
    float
        Specific heat at constant pressure [J/(kg K)].

    Source
    ------
    To 500 degC EN 13384-1 Annex B, wood of 23.1 % moisture (second-hand): [1011 + .05 t + .0003 t^2
    + (15.4 + .016 t - 1.1e-5 t^2) s]/(1 + .0111 s), t in degC. Above, a straight line of slope 0.20 J/(kg K2),
    fitted to a mixture of ideal gases of the CoolProp library.

    Notes
    -----
    Range -70 to 1400 degC, 0 to 20.5 %. The standard's polynomial is 1 % above the mixture at 500 degC, 9 % at
    1000 degC; with the line 1 % to 1000 degC and 3 % at 1400 degC. Continuous; its slope steps at 500 degC.

    Examples
    --------
    >>> round(flue_gas_heat_capacity(573.15, 8.0))
    1108
    """
    celsius = temperature - ICE_POINT
    t = min(celsius, TOP_CELSIUS)
    top = 1011.0 + t * (0.05 + 0.0003 * t) + (15.4 + t * (0.016 - 1.1e-5 * t)) * dioxide
    return top / (1.0 + 0.0111 * dioxide) + HOT_SLOPE * (celsius - t)


def flue_gas_enthalpy(temperature: float, dioxide: float) -> float:
    """Sensible enthalpy of wood's flue gas above 25 degC; the water in it stays vapour.

    Parameters
    ----------
    temperature : float
        Gas temperature [K].
    dioxide : float
        Dry carbon dioxide [volume %]; 0 is air.

    Returns
    -------
    float
        Enthalpy above that at 25 degC [J/kg].

    Source
    ------
    Closed form: the integral of `flue_gas_heat_capacity`.

    Notes
    -----
    Range as there. Continuous with its first derivative.

    Examples
    --------
    >>> round(flue_gas_enthalpy(298.15, 8.0)), round(flue_gas_enthalpy(573.15, 8.0) / 1e3)
    (0, 296)
    """
    celsius = temperature - ICE_POINT
    t, r = min(celsius, TOP_CELSIUS), REFERENCE_CELSIUS
    one, two, three = t - r, (t * t - r * r) / 2.0, (t * t * t - r * r * r) / 3.0
    gas = 1011.0 * one + 0.05 * two + 0.0003 * three
    gas += (15.4 * one + 0.016 * two - 1.1e-5 * three) * dioxide
    above = celsius - t
    at_top = flue_gas_heat_capacity(t + ICE_POINT, dioxide)
    return gas / (1.0 + 0.0111 * dioxide) + above * (at_top + 0.5 * HOT_SLOPE * above)


def flue_gas_constant(dioxide: float) -> float:
    """Specific gas constant of wood's flue gas, water vapour included.

    Parameters
    ----------
    dioxide : float
        Dry carbon dioxide [volume %]; 0 is air.

    Returns
    -------
    float
        Gas constant [J/(kg K)].

    Source
    ------
    EN 13384-1 Annex B, wood (second-hand): 288 (1 - .0001 s).

    Notes
    -----
    Range 0 to 20.5 %. Smooth.

    Examples
    --------
    >>> round(flue_gas_constant(8.0), 2)
    287.77
    """
    return 288.0 * (1.0 - 0.0001 * dioxide)


def flue_gas_conductivity(temperature: float) -> float:
    """Thermal conductivity of flue gas.

    Parameters
    ----------
    temperature : float
        Gas temperature [K].

    Returns
    -------
    float
        Conductivity [W/(m K)].

    Source
    ------
    EN 13384-1 Annex B (second-hand): .0223 + 6.5e-5 t, t in degC.

    Notes
    -----
    Range -70 to 1000 degC: within 10 % of air. Smooth.
    """
    return 0.0223 + 6.5e-5 * (temperature - ICE_POINT)


def flue_gas_viscosity(temperature: float) -> float:
    """Dynamic viscosity of flue gas.

    Parameters
    ----------
    temperature : float
        Gas temperature [K].

    Returns
    -------
    float
        Viscosity [Pa s].

    Source
    ------
    EN 13384-1 Annex B (second-hand): 15e-6 + 47e-9 t - 20e-12 t^2, t in degC.

    Notes
    -----
    Range -70 to 1000 degC: 8 to 17 % below air, as it was published. Smooth.
    """
    celsius = temperature - ICE_POINT
    return 15e-6 + celsius * (47e-9 - 20e-12 * celsius)


def flue_carbon_dioxide(heat: float, air: float) -> float:
    """Dry carbon dioxide in the flue gas of a fire.

    Parameters
    ----------
    heat : float
        Heat set free by the fire [W], 0 or more.
    air : float
        Air that flows to it [kg/s].

    Returns
    -------
    float
        Dry carbon dioxide [volume %], 0 to 20.5.

    Source
    ------
    EN 13384-1 Annex B: s = 20.5 / air ratio (second-hand); air ratio = 3.03e6 air / heat (oxygen consumption,
    13.1 MJ per kg).

    Notes
    -----
    Smooth. Where more heat comes than the air can set free it goes to 20.5; within 0.2 % of the quotient at an air
    ratio of 1.7, within 3 mg/s of no air (or of reversed air) it goes to 0.

    Examples
    --------
    >>> round(flue_carbon_dioxide(4000.0, 0.0034), 2)
    7.96
    """
    possible = AIR_HEAT * max(air, 0.0)
    most = larger(larger(heat, possible), NO_HEAT)
    blown = possible * possible / (possible * possible + NO_AIR * NO_AIR)
    return DIOXIDE_MOST * blown * heat / most


compiled.compile_module(globals())

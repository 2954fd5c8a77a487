"""Draught and friction of a stove pipe, and the orifice through which air enters."""

from math import log10, pi, pow, sqrt

from simtent import compiled
from simtent.physics.constants import GRAVITY
from simtent.physics.flue_gas import flue_gas_constant, flue_gas_viscosity
from simtent.physics.rounding import larger

TURBULENT = 2300.0
"""Reynolds number below which rough-pipe friction stays as it is there; EN 13384-1 (second-hand)."""

STILL = 20.0
"""Reynolds number over which the flow passes smoothly through 0."""

PLATE_GAP = 0.02
"""Share of the pipe that stays open around a closed plate; common practice, no source."""


def pipe_reynolds(flow: float, temperature: float, diameter: float) -> float:
    """Reynolds number of a flow in a pipe, either way.

    Parameters
    ----------
    flow : float
        Mass flow of the gas [kg/s], of either sign.
    temperature : float
        Gas temperature [K].
    diameter : float
        Inner diameter [m].

    Returns
    -------
    float
        Reynolds number [-], never quite 0.

    Source
    ------
    Definition; rounded over 20 about no flow.
    """
    plain = 4.0 * flow / (pi * diameter * flue_gas_viscosity(temperature))
    return sqrt(plain * plain + STILL * STILL)


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Friction factor of a pipe, laminar to fully rough.

    Parameters
    ----------
    reynolds : float
        Reynolds number [-], above 0.
    relative_roughness : float
        Mean height of the roughness over the diameter [-], 0 to 0.05.

    Returns
    -------
    float
        Pressure loss over dynamic pressure per diameter of length (Darcy's) [-].

    Source
    ------
    Laminar 64 / Re. Turbulent: Colebrook 1939, as EN 13384-1 uses it (second-hand), with the Reynolds number not
    below 2300. Start from Haaland 1983 (memory), two substitutions.

    Notes
    -----
    The larger of the two counts, smoothly, in the sum of eighth powers: a rough, short, jointed pipe loses more
    around Re 2000 than a long smooth one. Within 0.1 % of Colebrook above Re 4000, of 64 / Re below 300. Smooth.

    Examples
    --------
    >>> round(friction_factor(1e5, 0.001), 4)
    0.0222
    """
    over = reynolds - TURBULENT
    turbulent = 0.5 * (reynolds + TURBULENT + sqrt(over * over + 4e4))
    rough = relative_roughness / 3.7
    root = -1.8 * log10(6.9 / turbulent + pow(rough, 1.11))
    root = -2.0 * log10(rough + 2.51 * root / turbulent)
    root = -2.0 * log10(rough + 2.51 * root / turbulent)
    return larger(64.0 / reynolds, 1.0 / (root * root))


def bend_loss(angle: float) -> float:
    """Loss coefficient of a bend.

    Parameters
    ----------
    angle : float
        Change of direction [rad], 0 or more.

    Returns
    -------
    float
        Pressure loss over dynamic pressure [-].

    Source
    ------
    EN 13384-1 table B.8 (second-hand), sharp bends with 2 to 30 diameters of pipe behind them: .1 .3 .4 .7 1.6 at
    10 30 45 60 90 degrees; straight lines between them.

    Notes
    -----
    Behind 30 diameters and more the table has .1 .2 .3 .5 1.2. Above 90 degrees the last line goes on. Continuous;
    its slope steps at the table's angles.

    Examples
    --------
    >>> from math import pi
    >>> round(bend_loss(pi / 4), 6), round(bend_loss(pi / 2), 6)
    (0.4, 1.6)
    """
    degrees = angle * 180.0 / pi
    if degrees < 30.0:
        return 0.01 * degrees
    if degrees < 45.0:
        return 0.3 + (degrees - 30.0) * 0.1 / 15.0
    if degrees < 60.0:
        return 0.4 + (degrees - 45.0) * 0.3 / 15.0
    return 0.7 + (degrees - 60.0) * 0.9 / 30.0


def damper_loss(open_share: float) -> float:
    """Loss coefficient of a round plate that turns in the pipe.

    Parameters
    ----------
    open_share : float
        Share of the pipe's section that the plate leaves open, seen along the pipe [-], 0 to 1.

    Returns
    -------
    float
        Pressure loss over dynamic pressure of the full pipe [-].

    Source
    ------
    Idelchik's handbook, butterfly valve (from memory): .3 1.5 11 118 750 at 0 20 40 60 70 degrees; the plate leaves
    1 - sin(angle) open. Form: a jet contracted to C times the opening that spreads out again, (1/(C share) - 1)^2,
    C fitted to the five values.

    Notes
    -----
    Within 7 % of them. C is .65 at full opening, .51 nearly shut, where sharp edges have .60 to .65.
    Bounded: a gap of 2 % stays around a closed plate, about 10,000. Smooth, falls steadily.

    Examples
    --------
    >>> round(damper_loss(1.0), 3), round(damper_loss(0.357), 1)
    (0.3, 10.3)
    """
    free = sqrt(open_share * open_share + PLATE_GAP * PLATE_GAP)
    root = sqrt(free)
    contraction = 0.41859 + root * (0.67960 - 0.45218 * root)
    loss = 1.0 / (contraction * free) - 1.0
    return loss * loss


def flue_resistance(
    flow: float,
    temperature: float,
    diameter: float,
    length: float,
    losses: float,
    roughness: float,
    dioxide: float,
    pressure: float,
    allowance: float,
) -> float:
    """Resistance of a piece of pipe: pressure per square of the mass flow.

    Parameters
    ----------
    flow : float
        Mass flow of the gas [kg/s], of either sign.
    temperature : float
        Mean gas temperature [K].
    diameter : float
        Inner diameter [m].
    length : float
        Length [m].
    losses : float
        Sum of the loss coefficients in it [-].
    roughness : float
        Mean height of the inner roughness [m].
    dioxide : float
        Dry carbon dioxide in the gas [volume %].
    pressure : float
        Air pressure [Pa].
    allowance : float
        Factor on all losses [-]: 1 for the likely flow, 1.2 to 1.5 by chimney standards to be on the long side.

    Returns
    -------
    float
        Resistance [Pa/(kg/s)2].

    Source
    ------
    EN 13384-1: P_R = S_E (psi L/D + sum zeta) rho w^2/2 (memory).

    Notes
    -----
    Smooth, the same for both directions; bounded as the flow goes to 0, where the loss goes with its square instead of
    itself below a Reynolds number of 20.
    """
    area = 0.25 * pi * diameter * diameter
    density = pressure / (flue_gas_constant(dioxide) * temperature)
    psi = friction_factor(pipe_reynolds(flow, temperature, diameter), roughness / diameter)
    return allowance * (psi * length / diameter + losses) / (2.0 * density * area * area)


def draught(height: float, density_outdoors: float, density_gas: float) -> float:
    """Pressure by which a column of warm gas is drawn up.

    Parameters
    ----------
    height : float
        Height of the column [m].
    density_outdoors : float
        Density of the air outside beside it [kg/m3].
    density_gas : float
        Density of the gas in it [kg/m3].

    Returns
    -------
    float
        Draught, positive upward [Pa].

    Source
    ------
    Hydrostatics; EN 13384-1 (second-hand): g H (rho_L - rho_m).

    Notes
    -----
    Smooth.

    Examples
    --------
    >>> round(draught(2.5, 1.3414, 0.6844), 2)
    16.11
    """
    return GRAVITY * height * (density_outdoors - density_gas)


def inlet_resistance(area: float, density: float, coefficient: float) -> float:
    """Resistance of an opening: pressure per square of the mass flow.

    Parameters
    ----------
    area : float
        Free area [m2], above 0.
    density : float
        Density of what flows through it [kg/m3].
    coefficient : float
        Discharge coefficient [-], 0.60 to 0.65 for sharp edges.

    Returns
    -------
    float
        Resistance [Pa/(kg/s)2].

    Source
    ------
    Orifice law, m = Cd A sqrt(2 rho dP).

    Notes
    -----
    Smooth.
    """
    effective = coefficient * area
    return 1.0 / (2.0 * density * effective * effective)


def signed_root(x: float, small: float) -> float:
    """Square root that keeps the sign, smooth through 0.

    Parameters
    ----------
    x : float
        Argument [any unit].
    small : float
        Width of the smooth passage through 0 [the same unit], above 0.

    Returns
    -------
    float
        x / (x^2 + small^2)^(1/4) [root of that unit].

    Source
    ------
    Closed form, a smoothing chosen here: odd, straight for |x| far below small, 0.25 (small/x)^2 too little far above.

    Examples
    --------
    >>> round(signed_root(-9.0, 1e-6), 6)
    -3.0
    """
    return x / sqrt(sqrt(x * x + small * small))


compiled.compile_module(globals())

"""Two published models of how much air leaks through a small building: bounds for our own pressures and openings."""

from dataclasses import dataclass
from math import hypot, sqrt

STOREY_HEIGHT = 2.5  # m, for which the coefficients of one storey stand

# (l/s)2/(cm4 (m/s)2) by shelter class, 1 open to 5 heavily obstructed; published, as the stack coefficient.
BASIC_WIND = {1: 0.000319, 2: 0.000246, 3: 0.000174, 4: 0.000104, 5: 0.000032}
BASIC_STACK = 0.000145  # (l/s)2/(cm4 K)


@dataclass(frozen=True)
class Enhanced:
    """Coefficients of the enhanced model: stack [Pa/K to the n], wind [Pa s2/m2 to the n], shelter [-]."""

    stack: float
    wind: float
    shelter: float


NO_FLUE = Enhanced(stack=0.054, wind=0.156, shelter=0.70)
FLUE = Enhanced(stack=0.069, wind=0.142, shelter=0.86)


def basic_leakage(area: float, difference: float, wind: float, height: float, shelter_class: int) -> float:
    """Volume flow by the basic model.

    Parameters
    ----------
    area : float
        Effective leakage area at 4 Pa [m2].
    difference : float
        Mean inside minus outdoor air temperature [K], of either sign.
    wind : float
        Wind speed [m/s].
    height : float
        Height of the room [m].
    shelter_class : int
        Shelter from wind [-], 1 open to 5 heavily obstructed.

    Returns
    -------
    float
        Volume flow [m3/s].

    Source
    ------
    Sherman and Grimsrud, V = (A_L/1000) sqrt(C_s dT + C_w U^2) with the coefficients for one storey of the US DOE Input
    Output Reference. C_s goes with the height: closed form of the same model.
    """
    stack = BASIC_STACK * height / STOREY_HEIGHT * abs(difference)
    return 10.0 * area * sqrt(stack + BASIC_WIND[shelter_class] * wind * wind)


def enhanced_leakage(
    flow_at_one: float, exponent: float, difference: float, wind: float, kind: Enhanced
) -> tuple[float, float, float]:
    """Volume flows by the enhanced model: of the stack alone, of the wind alone, together.

    Parameters
    ----------
    flow_at_one : float
        Volume flow at 1 Pa [m3/s].
    exponent : float
        Exponent of the pressure [-].
    difference : float
        Mean inside minus outdoor air temperature [K], 0 or more.
    wind : float
        Wind speed [m/s].
    kind : Enhanced
        Coefficients [-].

    Returns
    -------
    tuple[float, float, float]
        Volume flows [m3/s].

    Source
    ------
    Walker and Wilson's model (AIM-2), coefficients of a one-storey house on a slab, shelter class 3, of the US DOE
    Input Output Reference: V^2 = (c C_s dT^n)^2 + (c C_w (s U)^(2n))^2.
    """
    stack = flow_at_one * kind.stack * difference**exponent
    breeze = flow_at_one * kind.wind * (kind.shelter * wind) ** (2.0 * exponent)
    return stack, breeze, hypot(stack, breeze)


def flow_at_one_pascal(area: float, exponent: float, density: float) -> float:
    """Volume flow at 1 Pa of a leakage area at 4 Pa.

    Parameters
    ----------
    area : float
        Leakage area at 4 Pa, discharge coefficient 1 [m2].
    exponent : float
        Exponent of the pressure [-].
    density : float
        Density of the air [kg/m3].

    Returns
    -------
    float
        Volume flow [m3/s].

    Source
    ------
    Definition of the leakage area: V = L sqrt(2 p / rho) at 4 Pa.
    """
    return area * sqrt(8.0 / density) * 0.25**exponent

"""How much clothing an awake person needs in the cold, and how long too little of it lasts: ISO 11079.

The standard is for people at work outdoors, 58 to 400 W/m2 in air below 10 degC that moves by 0.4 m/s or more (`beyond`
names what is not so). It knows neither sleeping bags nor cold feet and fingers, and who is wet, ill, tired or a child
needs more.
"""

from math import inf
from typing import NamedTuple

from scipy.optimize import brentq

from simtent.physics.clothed import (
    FASTEST_AIR,
    FASTEST_WALK,
    SLOWEST_AIR,
    Activity,
    Strain,
    Surroundings,
    clothed,
)
from simtent.physics.constants import ICE_POINT

CLO = 0.155
"""One clo [m2 K/W], a definition."""
HEAT_DEBT = 144e3
"""Heat that a body may lose on the whole [J/m2], 40 Wh/m2: ISO 11079, through public programs."""


class Insulation(NamedTuple):
    """Of clothing [m2 K/W].

    required  as it must be while worn, moved and blown through
    basic     as it is stated of garments, measured still
    """

    required: float
    basic: float


def required(around: Surroundings, doing: Activity, strain: Strain) -> Insulation:
    """Clothing in which an awake person stays in balance for any time.

    Parameters
    ----------
    around : Surroundings
        Air and radiant temperature [K], speed [m/s], relative humidity [-].
    doing : Activity
        Metabolic heat and work [W/m2], walking and the fabric's permeability [m/s].
    strain : Strain
        `NEUTRAL` or `MINIMAL`: skin [degC] and its wet share [-].

    Returns
    -------
    Insulation
        Required and basic insulation [m2 K/W]; 0 where a naked body would already be too warm.

    Raises
    ------
    ValueError
        If metabolic heat, permeability or humidity is no possible number.

    Source
    ------
    ISO 11079:2007, second-hand through two public programs and a library: heat made less work, breath and sweat leaves
    by radiation and convection from the clothing's surface.

    Notes
    -----
    Slow air counts as 0.4 m/s, and nobody stands stiller than 0.0052 (M - 58) m/s, 1.2 m/s at most, as in the public
    programs. Those let insulation widen the body by 1.197 per m2 K/W; 1.97 stands in a paper of 2025 on this standard
    (second-hand), and with it 21 of 24 values of the standard's own table come out to the printed digit, against 14.
    It asks for some 2 % more.

    Examples
    --------
    Slow work in a breeze at -15 degC, in clo:

    >>> from simtent.physics.clothed import NEUTRAL
    >>> clothes = required(Surroundings(258.15, 258.15, 2.0, 0.55), Activity(175.0, 1.1, 0.05), NEUTRAL)
    >>> round(clothes.required / CLO, 1), round(clothes.basic / CLO, 1)
    (1.9, 2.7)
    """
    body = clothed(around, doing, strain)
    if body.surplus(0.0) >= 0.0:
        return Insulation(0.0, 0.0)
    high = CLO
    while body.surplus(high) < 0.0:
        high *= 2.0
    worn: float = brentq(body.surplus, 0.0, high, xtol=1e-12)
    return Insulation(worn, body.basic(worn))


def limited_exposure(around: Surroundings, doing: Activity, strain: Strain, basic: float) -> float:
    """Time after which an awake person in too little clothing has lost as much heat as a body may.

    Parameters
    ----------
    around : Surroundings
        Air and radiant temperature [K], speed [m/s], relative humidity [-].
    doing : Activity
        Metabolic heat and work [W/m2], walking and the fabric's permeability [m/s].
    strain : Strain
        `NEUTRAL` or `MINIMAL`: skin [degC] and its wet share [-].
    basic : float
        Insulation of the clothing as it is stated of garments [m2 K/W].

    Returns
    -------
    float
        Time [s]; infinite where nothing is lost on the whole.

    Raises
    ------
    ValueError
        If metabolic heat, permeability, humidity or insulation is no possible number.

    Source
    ------
    ISO 11079:2007, second-hand as in `required`: 40 Wh/m2 over what is lost. The standard calls 8 h and more unlimited.

    Examples
    --------
    >>> from simtent.physics.clothed import NEUTRAL
    >>> windy = Surroundings(253.15, 253.15, 7.0, 0.85)
    >>> round(limited_exposure(windy, Activity(115.0, 0.5), NEUTRAL, 4.2 * CLO) / 3600.0, 1)
    1.1
    """
    if not basic >= 0.0:
        raise ValueError(f"insulation of clothing is {basic} m2 K/W, 0 or more is possible")
    body = clothed(around, doing, strain)
    worn = body.while_worn(basic)
    # The clothing's surface is neither warmer nor colder than all of these.
    ends = sorted((body.skin, body.air, body.radiant))
    surface: float = brentq(
        lambda kelvin: body.skin - kelvin - worn * body.dry(worn, kelvin), ends[0], ends[2]
    )
    lost = body.dry(worn, surface) - body.left(worn)
    return HEAT_DEBT / lost if lost > 0.0 else inf


def beyond(around: Surroundings, doing: Activity) -> tuple[str, ...]:
    """What lies outside the limits that the standard sets itself.

    Parameters
    ----------
    around : Surroundings
        Air and radiant temperature [K], speed [m/s], relative humidity [-].
    doing : Activity
        Metabolic heat and work [W/m2], walking and the fabric's permeability [m/s].

    Returns
    -------
    tuple of str
        Names of fields of the two that lie outside; empty [-] where all is within.

    Source
    ------
    ISO 11079:2007, second-hand through a library: air up to 10 degC, 0.4 to 18 m/s, 58 to 400 W/m2, walking up to 1.2
    m/s. Standing still is not named: `required` takes the least movement for it.
    """
    limits = (
        ("air", around.air, 0.0, ICE_POINT + 10.0),
        ("speed", around.speed, SLOWEST_AIR, FASTEST_AIR),
        ("metabolic", doing.metabolic, 58.0, 400.0),
        ("walking", doing.walking, 0.0, FASTEST_WALK),
    )
    return tuple(name for name, value, low, high in limits if not low <= value <= high)

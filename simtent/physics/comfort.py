"""What people feel of a room: air and radiation in one temperature, and how many complain of what is local.

The two shares are for seated, lightly clothed people in buildings who are neither warm nor cold: in a cold camp they
compare one night with another and judge none.
"""

from math import exp, nan, sqrt
from typing import NamedTuple

from simtent.physics.constants import ICE_POINT

HEAD, ANKLE = 1.1, 0.1
"""Heights between which the air's difference counts for a seated person [m]; ISO 7730, from memory."""
LARGEST_DIFFERENCE = 8.0
"""The share dissatisfied with a difference is given below this [K]; ISO 7730, second-hand."""
STILL = 0.1
"""Air speed below which convection over a person is that of still air [m/s]: our choice, see `operative`."""


class Class(NamedTuple):
    """What a class of rooms may have at most.

    name         A, B or C
    difference   of the air between ankle and head [K]
    complain     share dissatisfied with that difference [-]
    floor        coldest and warmest floor [K]
    floor_complain  share dissatisfied with the floor [-]
    """

    name: str
    difference: float
    complain: float
    floor: tuple[float, float]
    floor_complain: float


CLASSES = (
    Class("A", 2.0, 0.03, (ICE_POINT + 19.0, ICE_POINT + 29.0), 0.10),
    Class("B", 3.0, 0.05, (ICE_POINT + 19.0, ICE_POINT + 29.0), 0.10),
    Class("C", 4.0, 0.10, (ICE_POINT + 17.0, ICE_POINT + 31.0), 0.15),
)
"""Limits of ISO 7730, Annex A: differences and shares second-hand through public programs, floors from memory."""


def vertical_dissatisfied(difference: float) -> float:
    """Share of people who complain that the head is warmer than the ankles.

    Parameters
    ----------
    difference : float
        Air at the head (1.1 m) less air at the ankles (0.1 m), seated [K].

    Returns
    -------
    float
        Share, 0 to 1 [-]; not a number from 8 K up, where the standard says nothing.

    Source
    ------
    ISO 7730:2005, second-hand through public programs: 1 / (1 + exp(5.76 - 0.856 d)), d below 8 K.

    Notes
    -----
    For seated, lightly clothed people who are neither warm nor cold as a whole. Air warmer at the ankles bothers fewer;
    the law then gives less than 0.4 %.

    Examples
    --------
    >>> round(vertical_dissatisfied(3.0), 3), vertical_dissatisfied(8.0)
    (0.039, nan)
    """
    if not difference < LARGEST_DIFFERENCE:
        return nan
    return 1.0 / (1.0 + exp(5.76 - 0.856 * difference))


def floor_dissatisfied(temperature: float) -> float:
    """Share of people who complain of a floor that is too cold or too warm under light shoes.

    Parameters
    ----------
    temperature : float
        Of the floor's surface [K].

    Returns
    -------
    float
        Share, 0.055 at 23.6 degC to 1 [-].

    Source
    ------
    ISO 7730:2005, second-hand through public programs: 1 - 0.94 exp(-1.387 + 0.118 t - 0.0025 t2), t in degC.

    Notes
    -----
    For people in light indoor shoes who sit or stand. The standard draws it from about 5 to 40 degC (from memory);
    below, the formula goes on towards 1, beyond what anybody was asked.

    Examples
    --------
    >>> round(floor_dissatisfied(283.15), 3)
    0.405
    """
    t = temperature - ICE_POINT
    return 1.0 - 0.94 * exp(-1.387 + t * (0.118 - 0.0025 * t))


def operative(air: float, radiant: float, speed: float) -> float:
    """Operative temperature: the even warmth in which a person would lose as much by convection and radiation.

    Parameters
    ----------
    air : float
        Temperature of the air [K].
    radiant : float
        Mean temperature of what the person sees [K].
    speed : float
        Of the air over the person [m/s]; below 0.1 m/s it is taken for that.

    Returns
    -------
    float
        Operative temperature, between the two [K].

    Source
    ------
    ISO 7726, through a library's code: weights sqrt(10 v) and 1. Convection grows with the root of the air's speed and
    equals radiation at 0.1 m/s.

    Notes
    -----
    In air that stands still the weights would leave radiation alone; yet a warm body always has its own rising air. So
    0.1 m/s is the least, our choice: the plain mean, as standards allow it for slow air. Smooth above that.

    Examples
    --------
    >>> round(operative(293.15, 283.15, 0.1) - 273.15, 2), round(operative(283.15, 303.15, 0.5) - 273.15, 2)
    (15.0, 16.18)
    """
    convection = sqrt(10.0 * max(speed, STILL))
    return (convection * air + radiant) / (convection + 1.0)

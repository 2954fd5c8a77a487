"""How a piece of wood burns: its time and two humps, what fire and air do to it, what stays unburnt."""

from math import exp, log, sqrt

from simtent import compiled
from simtent.physics.constants import STEFAN_BOLTZMANN

# Humps over the burnt share, read off eight runs of 25 mm pine in a cone calorimeter (MaCFP wood calibration set).
FIRST_AT, FIRST_WIDTH, FIRST_HEIGHT = 0.05, 0.07, 1.4
SECOND_AT, SECOND_WIDTH, SECOND_HEIGHT = 0.81, 0.14, 0.70
LAST = 0.08  # share left at which the rate has died away to 0.7 of itself
UNIT = 0.92405  # makes the time from 0 to 0.99 burnt the free burn-out time

CHARRING = 650.0  # K, of a charring face (log burn-out law of Albini and Reinhardt 1995, second-hand)
HOT_BOX = 873.0  # K, at which the feedback is 1
BOX_FILM = 12.0  # W/(m2 K), convection to pieces of some 90 mm by the same law at 1 m/s; 21 at 25 mm
ROUNDED = 30.0  # K, over which the feedback sets in
MOST = 3.0  # bound of the feedback over that at 600 degC; the law gives 2.7 at 800 degC

FACE_FILM = 50.0  # W/(m2 K), convection and radiation to a piece in the fire; from memory
SHELL = 0.12  # W/(m K), dry wood and char across the grain; from memory
LEAST_DRY = 1e-3  # rounds this off where wood and water both run out

# Burnt share of the gas, such that gas and coals (29.5 % of the heat, burnt in full) give the combustion
# efficiencies .67 of smouldering and .97 of flaming wood (published emission model of wildland fuels, second-hand).
SMOULDERING, FLAMING = 0.53, 0.957
# Means of the firebox [K] between which flames take hold: an assumption, fitted to no data.
COLD, HOT = 480.0, 750.0
# Air ratios between which they do: just enough, and the middle of hot flaming (from memory).
STARVED, PLENTY = 1.0, 2.0


def ramp(x: float) -> float:
    """Pass from 0 to 1, level at both ends.

    Parameters
    ----------
    x : float
        Place between the ends [-]; outside 0 to 1 it stays.

    Returns
    -------
    float
        Value [-].

    Source
    ------
    Closed form (cubic).
    """
    s = min(max(x, 0.0), 1.0)
    return s * s * (3.0 - 2.0 * s)


def free_burn_time(thickness: float) -> float:
    """Time in which a piece burns out in the open.

    Parameters
    ----------
    thickness : float
        Diameter of a round, thickness of a split [m].

    Returns
    -------
    float
        Time [s].

    Source
    ------
    D / (2 v), v = 2.2e-6 D^-0.6 m/s: Babrauskas, SFPE Handbook, second-hand.
    """
    return float(thickness**1.6 / 4.4e-6)


def rest_rate(burnt: float) -> float:
    """Rate of burning over the mean rate and over the share still left, by the share already burnt.

    Parameters
    ----------
    burnt : float
        Share of the wood that has turned to gas and char [-], 0 to 1; a little beyond, it goes on smoothly.

    Returns
    -------
    float
        Rate times the free burn-out time, over the wood left [-]; the time from 0 to 0.99 is the free burn-out time.

    Source
    ------
    First peak 2.4 and second 1.6 times the plateau between: means of the MaCFP wood calibration set (25 mm pine in a
    cone calorimeter, one face, about a 50 mm piece heated on both). The form is ours.
    """
    left = 1.0 - burnt
    first = FIRST_HEIGHT * exp(-(((burnt - FIRST_AT) / FIRST_WIDTH) ** 2))
    second = SECOND_HEIGHT * exp(-(((burnt - SECOND_AT) / SECOND_WIDTH) ** 2))
    return UNIT * (1.0 + first + second) / sqrt(left * left + LAST * LAST)


def hot_box_heat(temperature: float, film: float) -> float:
    """Heat from hot surroundings to a charring face.

    Parameters
    ----------
    temperature : float
        Of the surroundings [K].
    film : float
        Convection coefficient [W/(m2 K)].

    Returns
    -------
    float
        Heat flux [W/m2], falling to 0 below 650 K, rounded over 30 K.

    Source
    ------
    Film and radiation to a face at 650 K: Albini and Reinhardt 1995, second-hand.
    """
    above = temperature - CHARRING
    driving = 0.5 * (above + sqrt(above * above + ROUNDED * ROUNDED))
    squares = temperature * temperature + CHARRING * CHARRING
    return driving * (film + 0.5 * STEFAN_BOLTZMANN * (temperature + CHARRING) * squares)


def flame_feedback(temperature: float, floor: float) -> float:
    """Rate of burning in a firebox over that in the open.

    Parameters
    ----------
    temperature : float
        Of the firebox [K].
    floor : float
        What a piece's own flames sustain in a cold box [-], 0 to 1; 0.5 to 0.75, an assumption.

    Returns
    -------
    float
        Factor [-]: the floor in a cold firebox, 1 at 600 degC (0.997 of the part above the floor), rising with
        the temperature towards floor + 3 (1 - floor).

    Source
    ------
    Hot-box law as `hot_box_heat`; that the law alone puts a small fire out, and the floor that mends it, are
    assumptions.
    """
    ratio = hot_box_heat(temperature, BOX_FILM) / hot_box_heat(HOT_BOX, BOX_FILM)
    bounded = ratio / sqrt(sqrt(1.0 + (ratio / MOST) ** 4))
    return floor + (1.0 - floor) * bounded


def catching(elapsed: float, thickness: float) -> float:
    """Share of its rate to which a piece has caught.

    Parameters
    ----------
    elapsed : float
        Time since it lay on flames or coals [s]; below 0 it has not caught.
    thickness : float
        Of the piece [m].

    Returns
    -------
    float
        Factor [-], 0 to 1 in a minute for kindling, in five for splits of 90 mm.

    Source
    ------
    Common practice, no source.
    """
    return ramp(elapsed / (20.0 + 3000.0 * thickness))


def drying_coefficient(thickness: float, wet_share: float) -> float:
    """Heat that reaches the wet core of a round piece, per area of its face and kelvin above boiling.

    Parameters
    ----------
    thickness : float
        Diameter [m].
    wet_share : float
        Water left over water at the start [-], 0 to 1: the core's share of the volume.

    Returns
    -------
    float
        Coefficient [W/(m2 K)].

    Source
    ------
    Conduction through the dry shell of a cylinder, in series with a film: closed form. Conductivity and film from
    memory.

    Notes
    -----
    Smooth down to a millionth of the water, below which it stays.
    """
    core = min(max(wet_share, 1e-6), 1.0)
    shell = 0.25 * thickness * log(1.0 / core) / SHELL
    return 1.0 / (1.0 / FACE_FILM + shell)


def dried(wet_share: float, wood_share: float) -> float:
    """Share of its rate that a piece can burn at, by how much of what is left is dry.

    Parameters
    ----------
    wet_share : float
        Water left over water at the start [-], 0 to 1; 0 for dry wood.
    wood_share : float
        Dry matter left over that at the start [-], 0 to 1.

    Returns
    -------
    float
        Factor [-]: the share of what is left that is dry, 0 to 1, rounded where only a few thousandths are left.

    Source
    ------
    The front of drying runs before that of burning: common practice, no source. The form is ours.
    """
    ahead = wood_share - wet_share
    free = 0.5 * (ahead + sqrt(ahead * ahead + LEAST_DRY * LEAST_DRY))
    return free * (1.0 + LEAST_DRY) / (free + wet_share + LEAST_DRY)


def air_limited(demand: float) -> float:
    """Share of the wanted rate that the air allows.

    Parameters
    ----------
    demand : float
        Wanted rate over the rate that the air can feed [-], 0 or more.

    Returns
    -------
    float
        Factor [-]: 1 in plenty of air, 1 / demand where air is short.

    Source
    ------
    The least of two limits, rounded by fourth powers: closed form.
    """
    return 1.0 / sqrt(sqrt(1.0 + demand**4))


def burnt_share(temperature: float, air_ratio: float) -> float:
    """Share of the gas's heat that is set free in the firebox; the rest leaves up the flue.

    Parameters
    ----------
    temperature : float
        Mean temperature of the firebox [K].
    air_ratio : float
        Air taken in over air needed [-].

    Returns
    -------
    float
        Share [-], 0.53 smouldering or starved of air to 0.957 in hot flames.

    Source
    ------
    Ends from combustion efficiencies .67 and .97 of smouldering and flaming wood (second-hand); the temperatures
    and air ratios between them are assumptions.
    """
    hot = ramp((temperature - COLD) / (HOT - COLD))
    fed = ramp((air_ratio - STARVED) / (PLENTY - STARVED))
    return SMOULDERING + (FLAMING - SMOULDERING) * hot * fed


compiled.compile_module(globals())

"""Water on surfaces: vapour that condenses, freezes, sublimes or dries there, ice that melts, bags that stay damp."""

from simtent import compiled
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR, ICE_POINT
from simtent.physics.ground import FUSION
from simtent.physics.moist import GAS_CONSTANT_VAPOUR, saturation_pressure
from simtent.physics.rounding import larger

EVAPORATION = 2500.9e3
"""Heat that evaporates water at 0 degC [J/kg]; from memory, IAPWS."""

SUBLIMATION = EVAPORATION + FUSION
"""Heat that sublimes ice at 0 degC [J/kg]: what melts it and what evaporates it."""

LEAST_FILM = 0.5  # W/(m2 K), convection where nothing moves the air: 5 cm of still air
FREEZES_WITHIN = 0.2  # K, to either side of 0 degC, over which ice gives way to water
HALF_WET = 1e-3  # kg/m2, of water or ice on a surface of which half is bare
MELT_FILM = 40.0  # W/(m2 K), from fabric into ice that melts on it, or water that freezes; an assumption
RUNS_OFF = 60.0  # s, in which water that a surface cannot hold runs off
FOGS_IN = 10.0  # s, in which air gives off as fog what it holds over saturation
FOG_CORNER = 1e-5  # kg/kg
NOTHING = 1e-30  # kg/s, whose eighth power is still a number
NEWTON_STEPS = 8


def mass_film(film: float, density: float) -> float:
    """Coefficient of mass transfer that goes with one of convection.

    Parameters
    ----------
    film : float
        Convection coefficient [W/(m2 K)].
    density : float
        Of the air [kg/m3].

    Returns
    -------
    float
        Coefficient on a difference of vapour density [m/s].

    Source
    ------
    Heat and mass cross a film alike (Lewis relation with Lewis number 1): h / (rho c_p), closed form.

    Notes
    -----
    With the Lewis number of water vapour in air (0.87, from memory) it would be 10 % more.
    """
    return film / (density * CP_AIR)


def deposition(film: float, air: float, surface: float, vapour: float, pressure: float) -> float:
    """Vapour that a surface takes from the air beside it, or gives to it where it is wet.

    Parameters
    ----------
    film : float
        Convection coefficient [W/(m2 K)].
    air : float
        Temperature of the air [K].
    surface : float
        Temperature of the surface [K].
    vapour : float
        Pressure of the air's vapour [Pa].
    pressure : float
        Pressure of the air [Pa].

    Returns
    -------
    float
        Rate [kg/(s m2)], positive onto the surface; 0 where the surface is at the air's dew or frost point.

    Source
    ------
    `mass_film` on a difference of vapour densities, both taken at the mean temperature of the film: a difference of
    densities each at its own temperature would turn its sign beside the dew point, by 0.2 K where air and surface are
    10 K apart.

    Examples
    --------
    Air of 10 degC and 80 % over fabric of 0 degC, in g/(h m2):

    >>> round(3.6e6 * deposition(4.0, 283.15, 273.15, 982.4, 101325.0), 1)
    32.6
    """
    mean = 0.5 * (air + surface)
    over = (vapour - saturation_pressure(surface)) / (GAS_CONSTANT_VAPOUR * mean)
    return mass_film(film, air_density(mean, pressure)) * over


def least_film(film: float) -> float:
    """Convection that carries vapour: never less than still air conducts, whatever the film of heat.

    Parameters
    ----------
    film : float
        Convection coefficient [W/(m2 K)].

    Returns
    -------
    float
        The larger of it and 0.5, rounded where they meet [W/(m2 K)].

    Source
    ------
    5 cm of still air, an assumption; it also keeps the slope of natural convection finite where it begins.
    """
    return larger(film, LEAST_FILM)


def frozen_share(temperature: float) -> float:
    """Share of ice in what condenses on a surface or dries off it.

    Parameters
    ----------
    temperature : float
        Temperature of the surface [K].

    Returns
    -------
    float
        Share, 1 in frost, 0 in thaw [-].

    Source
    ------
    Ice below 0 degC, water above, a smooth passage over 0.2 K to either side: our choice.
    """
    s = 0.5 * (ICE_POINT + FREEZES_WITHIN - temperature) / FREEZES_WITHIN
    if s <= 0.0:
        return 0.0
    if s >= 1.0:
        return 1.0
    return s * s * (3.0 - 2.0 * s)


def wetted(mass: float) -> float:
    """Share of a surface that water or ice on it covers.

    Parameters
    ----------
    mass : float
        Water or ice on the surface [kg/m2].

    Returns
    -------
    float
        Share [-]; below 0 where a solver overshot nothing, so that what dries then turns round.

    Source
    ------
    m / (m + 1 g/m2), an assumption: the last gram dries more slowly.
    """
    return mass / (abs(mass) + HALF_WET)


def melting(temperature: float, ice: float, water: float) -> float:
    """Heat that melts ice on a surface.

    Parameters
    ----------
    temperature : float
        Temperature of the surface [K].
    ice : float
        Ice on the surface [kg/m2].
    water : float
        Water on the surface [kg/m2].

    Returns
    -------
    float
        Heat taken from the surface [W/m2], negative where water freezes.

    Source
    ------
    Conduction from the fabric into what lies on it, 40 W/(m2 K), an assumption: the fabric stays within some kelvins of
    0 degC until the ice is gone.
    """
    over = temperature - ICE_POINT
    return MELT_FILM * over * wetted(ice if over > 0.0 else water)


def running_off(water: float, holds: float) -> float:
    """Water that runs off or drips from a surface.

    Parameters
    ----------
    water : float
        Water on the surface [kg/m2].
    holds : float
        Water that it can hold [kg/m2].

    Returns
    -------
    float
        Rate [kg/(s m2)], 0 while it holds all.

    Source
    ------
    What is too much is gone within a minute or so: an assumption.
    """
    excess = water - holds
    if excess <= 0.0:
        return 0.0
    return excess / RUNS_OFF * wetted(excess)


def fogging(ratio: float, saturated: float) -> float:
    """Vapour that turns to fog where air holds more than saturation, by mass of air.

    Parameters
    ----------
    ratio : float
        Humidity ratio of the air [kg/kg].
    saturated : float
        Humidity ratio at saturation over water [kg/kg].

    Returns
    -------
    float
        Rate [kg/(s kg)].

    Source
    ------
    What is too much turns to droplets within some ten seconds: an assumption. Rounded over 1e-5 kg/kg.
    """
    excess = ratio - saturated
    if excess <= 0.0:
        return 0.0
    return excess / FOGS_IN * excess / (excess + FOG_CORNER)


def drying(film: float, air: float, vapour: float, pressure: float, latent: float) -> float:
    """Water that a hung wet thing gives off, which draws all heat for it from the air around.

    Parameters
    ----------
    film : float
        Convection coefficient [W/(m2 K)].
    air : float
        Temperature of the air [K].
    vapour : float
        Pressure of the air's vapour [Pa].
    pressure : float
        Pressure of the air [Pa].
    latent : float
        Heat that evaporates it, or sublimes it [J/kg].

    Returns
    -------
    float
        Rate [kg/(s m2)], 0 in saturated air.

    Source
    ------
    Balance of a wet bulb, closed form: what convection brings, h (T - T_w), is what evaporation takes. By Newton from
    the air's temperature.
    """
    mass = mass_film(film, air_density(air, pressure)) / (GAS_CONSTANT_VAPOUR * air)  # kg/(s m2 Pa)
    if vapour >= saturation_pressure(air):
        return 0.0
    wet = air
    for _ in range(NEWTON_STEPS):
        saturated = saturation_pressure(wet)
        steepness = saturated * latent / (GAS_CONSTANT_VAPOUR * wet * wet)  # Clausius and Clapeyron, Pa/K
        taken = latent * mass * (saturated - vapour)
        wet += (film * (air - wet) - taken) / (film + latent * mass * steepness)
    return film * (air - wet) / latent


def passing(given: float, room: float) -> float:
    """What gets out of a sleeping bag of the vapour that skin gives off into it.

    Parameters
    ----------
    given : float
        What the skin gives off [kg/s].
    room : float
        What the air can take from the shell before the shell itself is saturated [kg/s].

    Returns
    -------
    float
        The smaller of the two, rounded where they meet [kg/s]; 0 where the air can take none. The rest condenses or
        freezes inside the bag.

    Source
    ------
    Conservation of water; rounded as `rounding.larger` does it.
    """
    if given < NOTHING or room < NOTHING:
        return 0.0
    return given * room / larger(given, room)


compiled.compile_module(globals())

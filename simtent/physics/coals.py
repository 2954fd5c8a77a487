"""The bed of coals: how fast it burns away, and whether it lights the next load."""

from math import exp, log, sqrt

from simtent import compiled

AIR_PER_COAL = 11.0  # kg of air that burn 1 kg of char of 95 % carbon
COAL_AIR_RATIO = 2.0  # air taken in over air needed, over coals; 3 to 6 at a leaky door, from memory
LEAST_COALS = 0.05  # kg that light a load however small it was; common practice, no source
SHARE_NEEDED = 0.04  # of the last dry load; 3 to 5 %, common practice, no source
EVEN_ODDS = 0.1845  # width of the odds over the logarithm of the coals: 90 % at half as many again as needed


def coal_rate(coals: float, air: float, rate: float) -> float:
    """Coals that burn, by how much there is and by the air that reaches them.

    Parameters
    ----------
    coals : float
        Mass of the bed [kg].
    air : float
        Air that flows in [kg/s].
    rate : float
        Share of the bed that burns in plenty of air [1/s]; 5e-5 to 5e-4 by common practice.

    Returns
    -------
    float
        Coals burnt [kg/s]: the lesser of the two limits, rounded where they meet.

    Source
    ------
    Air limit m = m_air / (11 x 2): closed form, with an air ratio of 2 over coals (from memory).
    """
    plenty, short = rate * coals, air / (AIR_PER_COAL * COAL_AIR_RATIO)
    squares = sqrt(plenty**4 + short**4)
    return plenty * short / sqrt(squares + 1e-30)


def relight_chance(coals: float, last_load: float) -> float:
    """Chance that what glows lights a load put on now. An assumption, to be narrowed by logged nights.

    Parameters
    ----------
    coals : float
        Mass of what glows or burns [kg].
    last_load : float
        Dry wood of the last load [kg].

    Returns
    -------
    float
        Probability [-]: one half at 4 % of the last load or 50 g, whichever is more; 90 % at half as many again.

    Source
    ------
    Without a match from 3 to 5 % of the last dry load and some 50 g on: common practice, no source. The width of
    the odds is an assumption.
    """
    share = SHARE_NEEDED * last_load
    needed = sqrt(sqrt(share**4 + LEAST_COALS**4))
    if coals < 1e-6:
        return 0.0
    return 1.0 / (1.0 + exp(-log(coals / needed) / EVEN_ODDS))


compiled.compile_module(globals())

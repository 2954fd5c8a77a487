"""Long-wave exchange between black bodies; emissivity and view enter as a factor in m2."""

from simtent import compiled
from simtent.physics.constants import STEFAN_BOLTZMANN


def black_exchange(warm: float, cold: float) -> float:
    """Net black-body flux between two temperatures.

    Parameters
    ----------
    warm : float
        Temperature of the emitting body [K].
    cold : float
        Temperature of the receiving body [K].

    Returns
    -------
    float
        sigma (warm^4 - cold^4), positive from the first to the second [W/m2].

    Source
    ------
    Stefan-Boltzmann law.

    Notes
    -----
    Written as a product so that no digits are lost where the two are close. Smooth.
    """
    return STEFAN_BOLTZMANN * (warm - cold) * (warm + cold) * (warm * warm + cold * cold)


compiled.compile_module(globals())

"""The larger of two, where one law passes into another."""

from math import sqrt

from simtent import compiled


def larger(one: float, other: float) -> float:
    """The larger of two numbers, rounded where they meet.

    Parameters
    ----------
    one : float
        A number, 0 or more [any unit].
    other : float
        Another [the same unit].

    Returns
    -------
    float
        Eighth root of the sum of their eighth powers [that unit]: 9 % more than either where they are alike, 5e-4 more
        than the larger where that is twice the other.

    Source
    ------
    Closed form, a smoothing chosen here.

    Notes
    -----
    Smooth but where both are 0.

    Examples
    --------
    >>> round(larger(1.0, 2.0), 4), larger(0.0, 3.0)
    (2.001, 3.0)
    """
    return sqrt(sqrt(sqrt(_eighth_power(one) + _eighth_power(other))))


def _eighth_power(x: float) -> float:
    """x^8, by squares: a tenth of the time of `pow`."""
    square = x * x
    fourth = square * square
    return fourth * fourth


compiled.compile_module(globals())

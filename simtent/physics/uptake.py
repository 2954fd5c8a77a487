"""How blood takes up carbon monoxide: the nonlinear equation of Coburn, Forster and Kane, solved exactly in steps."""

from math import exp
from typing import NamedTuple

AFFINITY = 218.0
"""Affinity of blood for carbon monoxide over that for oxygen [-]."""
OXYGEN_CAPACITY = 1.38
"""Oxygen that a gram of haemoglobin binds [mL/g]."""
MADE_IN_THE_BODY = 0.007
"""Carbon monoxide that the body makes itself [mL/min]."""
WATER_VAPOUR = 47.0
"""Vapour pressure in the lungs [mmHg]."""
OXYGEN_DROP = 49.0
"""Pressure of oxygen breathed in, over that in the blood of the lungs [mmHg]."""
OXYGEN_IN_AIR = 0.21
"""Share of oxygen in the air [-]."""
SEA_LEVEL = 760.0
"""Standard pressure [mmHg]."""
CLOSE, MOST_ROUNDS = 1e-14, 200


class Body(NamedTuple):
    """What of a person decides the uptake.

    diffusing    what the lungs pass at a pressure difference of carbon monoxide, at sea level [mL/(min mmHg)]
    ventilation  air that reaches the alveoli, at body temperature, saturated [mL/min]
    blood        volume [mL]
    haemoglobin  [g per 100 mL of blood]
    """

    diffusing: float
    ventilation: float
    blood: float = 5500.0
    haemoglobin: float = 16.0

    @property
    def capacity(self) -> float:
        """Carbon monoxide that the blood can hold [mL per mL of blood]."""
        return OXYGEN_CAPACITY * self.haemoglobin / 100.0


REST, LIGHT, MODERATE = Body(20.0, 6000.0), Body(25.0, 12000.0), Body(30.0, 18000.0)
"""Activities: second-hand, Coburn, Forster and Kane through a public implementation of their equation."""


class Rates(NamedTuple):
    """The equation dc/dt = gain - loss c / (capacity - c) of the content c [mL/mL], times in minutes.

    gain      [mL/(mL min)]
    loss      [mL/(mL min)]
    capacity  [mL/mL]
    """

    gain: float
    loss: float
    capacity: float


def uptake_rates(body: Body, share: float, pressure: float) -> Rates:
    """Numbers of the uptake equation in air of one content of carbon monoxide.

    Parameters
    ----------
    body : Body
        Diffusing capacity [mL/(min mmHg)], ventilation [mL/min], blood [mL], haemoglobin [g per 100 mL].
    share : float
        Carbon monoxide in the dry air, share of the volume [-].
    pressure : float
        Of the air [mmHg].

    Returns
    -------
    Rates
        Gain and loss [mL/(mL min)], capacity [mL/mL].

    Raises
    ------
    ValueError
        If the air holds no oxygen that the blood could take up, or the share is not from 0 to 1.

    Source
    ------
    Coburn, Forster and Kane, second-hand through a public implementation: M 218, water vapour 47 mmHg, drop 49 mmHg,
    0.007 mL/min made in the body, ventilation brought to dry gas, diffusing capacity that rises as oxygen falls.
    """
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"share of carbon monoxide is {share}, from 0 to 1 is possible")
    dry = pressure - WATER_VAPOUR
    breathed = share * dry
    oxygen = OXYGEN_IN_AIR * (dry - breathed) - OXYGEN_DROP
    if oxygen <= 0.0:
        raise ValueError(
            f"at {pressure:.0f} mmHg with {share:.2g} carbon monoxide no oxygen reaches the blood"
        )
    diffusing = body.diffusing / (1.0 + 0.0031 * (OXYGEN_IN_AIR * dry - 150.0))
    ventilation = body.ventilation * dry / SEA_LEVEL * 273.15 / 310.15
    resistance = body.blood * (1.0 / diffusing + dry / ventilation)
    return Rates(
        MADE_IN_THE_BODY / body.blood + breathed / resistance, oxygen / (AFFINITY * resistance), body.capacity
    )


def settled_share(rates: Rates) -> float:
    """Share of the blood's haemoglobin that carries carbon monoxide after a very long time.

    Parameters
    ----------
    rates : Rates
        From `uptake_rates` [mL/(mL min), mL/mL].

    Returns
    -------
    float
        Share, below 1 [-].

    Source
    ------
    Closed form: where gain and loss of the uptake equation are even.
    """
    return rates.gain / (rates.gain + rates.loss)


def carried_after(share: float, rates: Rates, minutes: float) -> float:
    """Share of the blood's haemoglobin that carries carbon monoxide after a time in one air.

    Parameters
    ----------
    share : float
        Share at the beginning, from 0 to below 1 [-].
    rates : Rates
        From `uptake_rates` [mL/(mL min), mL/mL].
    minutes : float
        Time, 0 or more [min].

    Returns
    -------
    float
        Share, from 0 to below 1 [-].

    Source
    ------
    Closed form. With k = gain + loss, s the settled share and x = s - share the equation becomes
    t = capacity / k (ln(x0 / x) (1 - s) + x0 - x), solved for ln(x0 / x) by a guarded Newton.
    """
    settled = settled_share(rates)
    away = settled - share
    span = minutes * (rates.gain + rates.loss) / rates.capacity
    if away == 0.0 or span <= 0.0:
        return share
    return settled - away * exp(-_decades(away, 1.0 - settled, span))


def _decades(away: float, free: float, span: float) -> float:
    """The rising root n of free n + away (1 - exp(-n)) = span."""
    # From above (away > 0) the line without the second part bounds it, from below the other way about.
    low, high = (
        (max(span - away, 0.0) / free, span / free) if away > 0.0 else (span / free, (span - away) / free)
    )
    n = 0.5 * (low + high)
    for _ in range(MOST_ROUNDS):
        over = free * n + away * (1.0 - exp(-n)) - span
        low, high = (low, n) if over > 0.0 else (n, high)
        step = n - over / (free + away * exp(-n))
        n_next = step if low <= step <= high else 0.5 * (low + high)
        if abs(n_next - n) <= CLOSE * (1.0 + n_next):
            return n_next
        n = n_next
    return n

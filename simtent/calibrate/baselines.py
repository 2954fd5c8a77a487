"""What a prediction must beat: the same rise as on other nights, and one resistor with one capacitor.

Both are found from fit nights and predict one sensor of another night from what was known of it: its outdoor
temperature and its loads. They know neither heights nor settings nor what the fire does with its wood.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from simtent.network.arrays import Array

# Where the search begins: tents and huts; burns from a handful of sticks to a damped load (own choice).
FIRST_TIMES = (600.0, 3600.0, 14400.0)  # s
FIRST_BURNS = (1800.0, 5400.0, 14400.0)  # s
TIMES = (30.0, 4.0 * 86400.0)  # s, within which both are sought
BURNS = (300.0, 12.0 * 3600.0)
SMALL = 1e-12


@dataclass(frozen=True)
class Night:
    """One sensor's night.

    seconds       [m] s, strictly rising, of its readings, on any clock that all arrays of the night share
    kelvin        [m] K, read
    outdoors      [m] K, outdoor air at these times
    load_seconds  [n] s, rising, when wood was put on
    load_heat     [n] J, what each load can give off: its dry mass times its heating value

    Raises ValueError where lengths differ, times do not rise, or there are no two readings or no load.
    """

    seconds: Array
    kelvin: Array
    outdoors: Array
    load_seconds: Array
    load_heat: Array

    def __post_init__(self) -> None:
        if not self.seconds.size == self.kelvin.size == self.outdoors.size >= 2:
            raise ValueError("seconds, kelvin and outdoors want the same length, two or more")
        if not self.load_seconds.size == self.load_heat.size >= 1:
            raise ValueError("load_seconds and load_heat want the same length, one or more")
        if np.any(np.diff(self.seconds) <= 0.0) or np.any(np.diff(self.load_seconds) < 0.0):
            raise ValueError("times must rise")


def persistence(nights: Sequence[Night], seconds: Array, outdoors: Array, first_load: float) -> Array:
    """The mean rise above outdoors at the same time since the first load, on top of tonight's outdoors [K].

    seconds, outdoors  [m] s and K, times asked for and tonight's outdoor air at them
    first_load         s, when tonight's first load was put on, on the clock of `seconds`

    A night counts where it has readings; before all and after all of them the nearest mean holds. Raises ValueError
    without nights.
    """
    if not nights:
        raise ValueError("persistence needs a night to go by")
    since = seconds - first_load
    begins, ends = zip(*((it.seconds[[0, -1]] - it.load_seconds[0]) for it in nights), strict=True)
    held = np.clip(since, min(begins), max(ends))
    rises = np.full((len(nights), seconds.size), np.nan)
    for row, night in zip(rises, nights, strict=True):
        own = night.seconds - night.load_seconds[0]
        there = (held >= own[0]) & (held <= own[-1])
        row[there] = np.interp(held[there], own, night.kelvin - night.outdoors)
    counted = np.maximum(np.sum(~np.isnan(rises), axis=0), 1)
    return np.asarray(outdoors + np.nansum(rises, axis=0) / counted)


@dataclass(frozen=True)
class OneResistor:
    """dT/dt = (T_out + g P - T) / tau, P the heat of each load spread evenly over the time b after it.

    tau   s, resistance times capacity
    g     K/W, warmth for each watt
    b     s, burn time
    miss  K, root mean square of what is left over on the fit nights
    """

    tau: float
    g: float
    b: float
    miss: float = 0.0

    def predict(self, seconds: Array, outdoors: Array, load_seconds: Array, load_heat: Array) -> Array:
        """Temperature at the times [m], from as cold as outdoors at the first of them [K].

        seconds, outdoors        [m] s, rising, and K; the outdoor air goes straight from one to the next
        load_seconds, load_heat  [n] s and J; loads may lie before the first time or after the last
        """
        followed = _followed(seconds, outdoors, self.tau)
        return followed + self.g * _warmed(seconds, load_seconds, load_heat, self.tau, self.b)


def one_resistor(nights: Sequence[Night]) -> OneResistor:
    """The most fitting tau, g and b by least squares from several starts. Raises ValueError without nights."""
    if not nights:
        raise ValueError("one resistor needs a night to be found from")

    def parts(logs: Array) -> tuple[Array, Array]:
        """What is read beyond the outdoors followed, and the warmth of 1 K/W, of all nights in a row [K]."""
        tau, b = np.exp(logs)
        rises = [it.kelvin - _followed(it.seconds, it.outdoors, tau) for it in nights]
        warmths = [_warmed(it.seconds, it.load_seconds, it.load_heat, tau, b) for it in nights]
        return np.concatenate(rises), np.concatenate(warmths)

    def left(logs: Array) -> Array:
        """What is left over with the best g of these tau and b: g enters in proportion."""
        rise, warmth = parts(logs)
        return np.asarray(rise - _best(rise, warmth) * warmth)

    bounds = np.log([[TIMES[0], BURNS[0]], [TIMES[1], BURNS[1]]])
    starts = [np.log([tau, b]) for tau in FIRST_TIMES for b in FIRST_BURNS]
    ends = [least_squares(left, start, bounds=bounds, diff_step=1e-5) for start in starts]
    best = min(ends, key=lambda it: float(it.cost))
    tau, b = np.exp(best.x)
    return OneResistor(float(tau), _best(*parts(best.x)), float(b), float(np.sqrt(np.mean(best.fun**2))))


def _best(rise: Array, warmth: Array) -> float:
    """The g of least squares, not below 0."""
    return max(0.0, float(rise @ warmth) / max(float(warmth @ warmth), SMALL))


def _followed(seconds: Array, outdoors: Array, tau: float) -> Array:
    """How a thing without heat follows the outdoor air, from equal at the first time; exact for straight lines [K]."""
    behind = np.zeros(seconds.size)  # outdoors minus what follows
    steps, slopes = np.diff(seconds), np.diff(outdoors) / np.diff(seconds)
    kept, lags = np.exp(-steps / tau), slopes * tau
    for at, (keep, lag) in enumerate(zip(kept.tolist(), lags.tolist(), strict=True)):
        behind[at + 1] = lag + (behind[at] - lag) * keep
    return np.asarray(outdoors - behind)


def _warmed(seconds: Array, load_seconds: Array, load_heat: Array, tau: float, b: float) -> Array:
    """Warmth of all loads at 1 K/W, from 0 at the first time: the sum of exact answers to their pulses [K]."""
    first, warmth = float(seconds[0]), np.zeros(seconds.size)
    for at, heat in zip(load_seconds.tolist(), load_heat.tolist(), strict=True):
        begin, end = max(at, first), max(at + b, first)
        warmth += heat / b * (_risen(seconds - begin, tau) - _risen(seconds - end, tau))
    return warmth


def _risen(since: Array, tau: float) -> Array:
    """Answer to a step from 0 to 1, `since` seconds after it."""
    return np.asarray(-np.expm1(-np.maximum(since, 0.0) / tau))

"""What logs cannot tell, in words: numbers that stay at what was believed, and numbers known only together."""

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from simtent.calibrate.posterior import Posterior
from simtent.calibrate.sought import Sought

TOGETHER = 0.85  # correlation from which two numbers are known only together
OPEN = 0.3  # of a belief's deviation, from which a number counts as open
NEAR_END = 0.02  # deviations
GAINS = frozenset({"model.walls", "model.leak_area", "model.ground"})
SOURCES = frozenset({"model.heat", "model.gas_side", "model.burn_rate", "model.inlet", "wood.moisture"})


def flagged(known: Posterior) -> tuple[str, ...]:
    """Numbers of the scenario whose bell curve is not to be trusted: they trade with others, or end at a bound."""
    deviations = known.deviations
    correlations = np.abs(known.covariance / np.outer(deviations, deviations)) - np.eye(deviations.size)
    trading = (correlations > TOGETHER) & (deviations > OPEN) & (deviations[:, None] > OPEN)
    return tuple(
        one.name
        for k, one in enumerate(known.sought)
        if one.keys and (trading[k].any() or min(abs(float(known.z[k]) - end) for end in one.ends) < NEAR_END)
    )


def left_open(known: Posterior) -> tuple[str, ...]:
    """A sentence for each thing that the readings leave open."""
    return (*_alike(known), *_untouched(known), *_at_the_end(known))


def _alike(known: Posterior) -> Iterator[str]:
    """Pairs of numbers of the scenario, or of its sensors, that trade for each other."""
    deviations = known.deviations
    correlations = known.covariance / np.outer(deviations, deviations)
    open_ones = [k for k, one in enumerate(known.sought) if deviations[k] > OPEN and one.name]
    for j, k in combinations(open_ones, 2):
        if abs(correlations[j, k]) > TOGETHER:
            yield _pair(known.sought[j], known.sought[k], float(correlations[j, k]))


def _pair(one: Sought, other: Sought, correlation: float) -> str:
    names = {*one.keys, *other.keys}
    if names & GAINS and names & SOURCES:
        return (
            f"Heat loss and stove output ({one.name}, {other.name}) can only be found together: hang a thermometer on "
            "the stove, weigh the loads, or log a night with an electric heater of known power."
        )
    how = "their quotient" if correlation > 0.0 else "their product"
    if not (one.factor and other.factor):
        how = "what they do together"
    return f"{one.name} and {other.name} act alike on these readings: {how} is known better than either."


def _untouched(known: Posterior) -> Iterator[str]:
    names = [one.name for one in known.sought if not known.narrowed(one.name)]
    if names:
        yield f"These stay at what was believed before, the readings say next to nothing of them: {', '.join(names)}."


def _at_the_end(known: Posterior) -> Iterator[str]:
    for one, z in zip(known.sought, known.z, strict=True):
        if min(abs(float(z) - end) for end in one.ends) < NEAR_END:
            yield f"{one.name} ended at the end of what is allowed: its interval means little, look for another cause."

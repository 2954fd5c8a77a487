"""A scenario's priors moved by any number of deviations at once, as replacements."""

from collections.abc import Iterable, Mapping
from typing import Any

from simtent.scenario.beliefs import bounds
from simtent.scenario.free import free
from simtent.scenario.numbers import in_unit
from simtent.scenario.priors import Prior
from simtent.scenario.scenario import Scenario


def moved(scenario: Scenario, moves: Iterable[tuple[Prior, float]]) -> Mapping[str, Any]:
    """Replacements that move each prior by its deviations, within what is allowed; several may move the same number."""
    numbers = dict[str, float]()
    for prior, deviations in moves:
        for key, written in (prior.high if deviations > 0.0 else prior.low).items():
            now = free(scenario, key)
            there, here = in_unit(now, written), numbers.get(key, now.number)
            if now.number > 0.0 and there > 0.0 and now.unit != "K" and "deg" not in now.unit:
                numbers[key] = here * (there / now.number) ** abs(deviations)
            else:
                numbers[key] = here + (there - now.number) * abs(deviations)
    changes = dict[str, Any]()
    for key, number in numbers.items():
        it = free(scenario, key)
        least, most = bounds(it.declared)
        changes |= it.replacement(min(max(number, least), most))
    return changes

"""Numbers that logs have told of, and that were changed since."""

from collections.abc import Iterator
from math import isclose

from simtent.scenario.free import free
from simtent.scenario.numbers import in_unit, is_away
from simtent.scenario.odd import Look, Oddity
from simtent.scenario.toml_lines import dotted_key

AS_GOOD_AS = 1e-6  # of the number, for what was rounded when it was written


def odd_fitted(look: Look) -> Iterator[Oddity]:
    """An oddity for every number that is no more what [fitted] found."""
    fitted = look.scenario.fitted
    for found in fitted.found if fitted else ():
        if is_away(look.scenario, found.key):
            continue
        it = free(look.scenario, found.key)
        wanted = in_unit(it, found.value)
        if isclose(it.number, wanted, rel_tol=AS_GOOD_AS, abs_tol=AS_GOOD_AS * it.size):
            continue
        yield look.odd(
            dotted_key(found.key),
            f"the logs in [fitted] said {found.value}, and here it is another number",
            "What the logs leave open was found around their number, and the range of a night is made of that.",
            "Take the change away, or fit again with this number kept fixed.",
        )

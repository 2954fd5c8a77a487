"""How many generated nights a test solves: a few in the fast part, all where the slow part comes by.

A whole night costs a thousand times what a law does. Tests of them are marked `generated` beside their count; the fast
part runs them on the first few examples, `HYPOTHESIS_PROFILE=speedy pytest -m "slow or generated"` (as CI does) on all.
"""

import os
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import Phase, settings

# To make a failing night simpler takes many nights, minutes: the night that failed is told as it is.
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
PROFILE = os.environ.get("HYPOTHESIS_PROFILE")  # as it was asked for; without one, the fast part


def some(few: int, *, of: int | None = None) -> Callable[[Any], Any]:
    """Decorator: run `few` examples in the fast part, else `of` them (by the profile, if it is left out)."""

    def decorated(test: Any) -> Any:
        examples = few if PROFILE is None else of
        test = settings(phases=PHASES, **({} if examples is None else {"max_examples": examples}))(test)
        return pytest.mark.generated(test)

    return decorated

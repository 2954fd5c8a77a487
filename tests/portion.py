"""How many generated nights a test solves: a few in the fast part, all where the slow part comes by.

A whole night costs a thousand times what a law does. Tests of them are marked `generated` beside their count; the fast
part runs them on the first few examples, `HYPOTHESIS_PROFILE=speedy pytest -m "slow or generated"` (as CI does) on 25,
the profiles default and thorough on 200 and 2,000.
"""

import os
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import Phase, settings, target

# To make a failing night simpler takes many nights, minutes: the night that failed is told as it is.
# `target` looks on near the nights that came nearest to the edge of what a test allows.
PHASES = (Phase.explicit, Phase.reuse, Phase.generate, Phase.target)
PROFILE = os.environ.get("HYPOTHESIS_PROFILE")  # as it was asked for; without one, the fast part


def some(few: int, *, of: int | None = None) -> Callable[[Any], Any]:
    """Decorator: run `few` examples in the fast part, else as many as the profile says.

    `of` is a ceiling for comparisons of solvers, which solve a night many times and hold no law.
    """

    def decorated(test: Any) -> Any:
        examples = few if PROFILE is None else of
        test = settings(phases=PHASES, **({} if examples is None else {"max_examples": examples}))(test)
        return pytest.mark.generated(test)

    return decorated


def within(value: float, limit: float, what: str) -> None:
    """Assert that a value stays within its limit; Hypothesis looks on where it comes nearest.

    `--hypothesis-show-statistics` tells the worst under `what`.
    """
    assert value <= limit, f"{value:.3g} > {limit:g}: {what}"
    target(float(value), label=what)

"""Claims: what somebody else says, beside what simtent makes of it. Each is a test and a line of README.md at once.

A group of claims has one title, source and provenance; its cases are data. `@claims(...)` stands over a function that
takes the inputs of one case and returns what simtent obtains; the test it becomes holds that to the margin and to the
line that README.md keeps of it (`python -m tests.reference.page` writes them anew).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
import pytest

# Provenance, from the strongest to the weakest. The last two never fail a test by their margin: they stand on the page.
CLOSED_FORM = "closed form"  # mathematics, evaluated apart from simtent
LIBRARY = "library"  # a general-purpose library was asked
PUBLISHED = "published"  # printed in the document named
SECOND_HAND = "second-hand"  # a document's value, seen through others' code, tests or quotation
MEMORY = "memory"  # remembered, the document was not seen
PRACTICE = "common practice"  # no source
PROVENANCES = (CLOSED_FORM, LIBRARY, PUBLISHED, SECOND_HAND, MEMORY, PRACTICE)
WEAK = (MEMORY, PRACTICE)

MET, MISSED, AGREES, DIFFERS = "met", "missed", "agrees", "differs"

Value = float | bool | Sequence[float]


class Source(NamedTuple):
    """A document or library: a short key for tables, and what it is, with its edition as far as known."""

    key: str
    text: str


class Margin(NamedTuple):
    """How far apart: a part of what is expected, or a difference in its unit; or bounds that need nothing expected."""

    rel: float = 0.0
    off: float = 0.0
    low: float = -math.inf
    high: float = math.inf

    @property
    def bounds(self) -> bool:
        """Whether there are bounds instead of an expected value."""
        return self.low > -math.inf or self.high < math.inf

    def holds(self, obtained: Value, expected: Value | None) -> bool:
        """Whether every number obtained lies within; what is no number does not."""
        found = np.asarray(obtained, dtype=float)
        if self.bounds:
            return bool(np.all((found >= self.low) & (found <= self.high)))
        wanted = np.asarray(expected, dtype=float)
        return bool(np.all(np.abs(found - wanted) <= self.rel * np.abs(wanted) + self.off))


def percent(share: float) -> Margin:
    """Within a percentage of what is expected."""
    return Margin(rel=share / 100.0)


def off(difference: float) -> Margin:
    """Within a difference, in the claim's unit."""
    return Margin(off=difference)


def between(low: float, high: float) -> Margin:
    """A range; nothing else is expected."""
    return Margin(low=low, high=high)


def at_most(high: float) -> Margin:
    """For differences, shares and residuals that ought to be small."""
    return Margin(high=high)


def at_least(low: float) -> Margin:
    """For orders of convergence, margins and the like."""
    return Margin(low=low)


EXACTLY = Margin()


@dataclass(frozen=True)
class Case:
    """One line: its name, what is expected (None with bounds), inputs; its own margin; why it is missed, if it is."""

    name: str
    wanted: Value | Callable[[], Value] | None
    inputs: tuple[Any, ...]
    allowed: Margin | Callable[[], Margin] | None = None
    missed: str | None = None

    @cached_property
    def expected(self) -> Value | None:
        """What is expected; what takes long to find is found here, not while tests are collected."""
        return self.wanted() if callable(self.wanted) else self.wanted


def case(
    name: str,
    expected: Value | Callable[[], Value] | None,
    *inputs: Any,
    allowed: Margin | Callable[[], Margin] | None = None,
    missed: str | None = None,
) -> Case:
    """A case by its name, what is expected (or a function that finds it) and the inputs of the function below."""
    return Case(name, expected, inputs, allowed, missed)


@dataclass(frozen=True)
class Claims:
    """Cases that share title, source, provenance, unit and margin; `laws` are the functions of simtent they hold."""

    module: str
    title: str
    source: Source
    provenance: str
    unit: str
    allowed: Margin
    laws: tuple[Callable[..., Any], ...]
    cases: tuple[Case, ...]
    digits: int
    obtain: Callable[..., Value]

    def margin(self, one: Case) -> Margin:
        """The margin of a case."""
        allowed = self.allowed if one.allowed is None else one.allowed
        return allowed() if callable(allowed) else allowed

    def verdict(self, one: Case, obtained: Value) -> str:
        """What became of a case; a weak provenance gives a comparison, not a verdict."""
        holds = self.margin(one).holds(obtained, one.expected)
        if self.provenance in WEAK:
            return AGREES if holds else DIFFERS
        return MET if holds else MISSED


REGISTRY: dict[str, list[Claims]] = {}


def claims(
    title: str,
    source: Source,
    provenance: str,
    *,
    cases: Sequence[Case],
    allowed: Margin,
    unit: str = "",
    laws: Sequence[Callable[..., Any]] = (),
    digits: int = 4,
    marks: Sequence[pytest.MarkDecorator] = (),
) -> Callable[[Callable[..., Value]], Callable[..., None]]:
    """Decorator: make tests of a function that obtains one case from its inputs, and lines of README.md."""
    assert provenance in PROVENANCES, provenance
    names = [one.name for one in cases]
    assert len(set(names)) == len(names), f"{title}: two cases have one name"

    def decorated(obtain: Callable[..., Value]) -> Callable[..., None]:
        group = Claims(
            obtain.__module__,
            title,
            source,
            provenance,
            unit,
            allowed,
            tuple(laws),
            tuple(cases),
            digits,
            obtain,
        )
        REGISTRY.setdefault(obtain.__module__, []).append(group)

        def test(one: Case) -> None:
            hold(group, one)

        test.__name__, test.__doc__, test.__module__ = obtain.__name__, obtain.__doc__, obtain.__module__
        for mark in marks:
            test = mark(test)
        return pytest.mark.parametrize("one", cases, ids=names)(test)

    return decorated


def hold(group: Claims, one: Case) -> None:
    """Hold a case to its margin and to the line README.md keeps; a miss that is declared must still be one."""
    from .page import assert_fresh  # noqa: PLC0415  the page reads the registry of this module

    obtained = group.obtain(*one.inputs)
    verdict = group.verdict(one, obtained)
    told = f"{group.title}, {one.name}: obtained {obtained}, expected {one.expected}, {group.margin(one)}"
    if one.missed is None:
        assert verdict != MISSED, told
    else:
        assert verdict in (MISSED, DIFFERS), f"{told}: no longer missed, take the note away"
    assert_fresh(group, one, obtained)
    if one.missed is not None:
        pytest.xfail(f"{told}: {one.missed}")

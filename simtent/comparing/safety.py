"""Findings of two nights held against each other."""

import re
from collections.abc import Iterable

from simtent.assess.findings import LEVELS, Finding

TELLING = re.compile(
    r"\([^)]*\)|[\d.,]+"
)  # what differs between two findings of one matter: causes and numbers
GRAVE = LEVELS[1:]


def added(those: Iterable[Finding], others: Iterable[Finding]) -> tuple[Finding, ...]:
    """Cautions among those whose matter is none of the others', or a less grave one there."""
    known = dict[tuple[str, str], int]()
    for it in others:
        known[_matter(it)] = max(LEVELS.index(it.level), known.get(_matter(it), 0))
    return tuple(
        it for it in those if it.level in GRAVE and known.get(_matter(it), -1) < LEVELS.index(it.level)
    )


def _matter(finding: Finding) -> tuple[str, str]:
    words = " ".join(TELLING.sub(" ", finding.what).split())
    return finding.where, words

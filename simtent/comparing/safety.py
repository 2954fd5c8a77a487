"""Findings of two nights held against each other."""

import re
from collections.abc import Iterable

from simtent.assess.findings import LEVELS, Finding

TELLING = re.compile(
    r"\([^)]*\)|[\d.,]+"
)  # what differs between two findings of one matter: causes and numbers
GRAVE = LEVELS[1:]


def added(those: Iterable[Finding], others: Iterable[Finding]) -> tuple[Finding, ...]:
    """Cautions among those whose matter, at their level, is none of the others'."""
    known = {_matter(it) for it in others}
    return tuple(it for it in those if it.level in GRAVE and _matter(it) not in known)


def _matter(finding: Finding) -> tuple[str, str, str]:
    words = " ".join(TELLING.sub(" ", finding.what).split())
    return finding.level, finding.where, words

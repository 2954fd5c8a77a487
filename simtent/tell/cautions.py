"""The block of cautions that stands before everything else."""

from collections.abc import Iterable

from simtent.assess.cautions import HEADLINE
from simtent.assess.findings import Finding
from simtent.tell.words import paragraph, sentence

TITLE = "CAUTIONS. Read these first; nothing below takes any of them back."
FOUND = "FOUND IN THIS NIGHT, beside the cautions above."


def block(findings: Iterable[Finding], title: str = TITLE) -> list[str]:
    """Lines of at most 80 characters: each finding's level, place, matter, limit with source, what to do."""
    lines = [title, ""]
    for finding in findings:
        head = finding.level.upper().ljust(8)
        lines += paragraph(_matter(finding), first=f"{head} ", rest=" " * 9)
        lines += paragraph(f"-> {finding.todo}", first=" " * 9, rest=" " * 12)
    return lines


def headline() -> list[str]:
    """The cautions in three short lines, where no scenario says which hold; they stand first all the same."""
    return [f"{'CAUTION'.ljust(8)} {line}" for line in HEADLINE]


def _matter(finding: Finding) -> str:
    place = ", ".join(part for part in (finding.where, finding.when) if part)
    parts = [sentence(f"{place}: {finding.what}" if place else finding.what)]
    if finding.number:
        parts.append(sentence(f"Found: {finding.number}"))
    if finding.limit:
        parts.append(sentence(f"Limit: {finding.limit} ({finding.source})"))
    return " ".join(parts)

"""Findings and cautions as lists: level, place and time, what, found, limit with its source, what to do."""

from collections.abc import Iterable

from simtent.assess.findings import Finding
from simtent.tell.page.markup import Markup, tag
from simtent.tell.words import sentence

MARKS = {
    "stop": "STOP",
    "caution": "CAUTION",
    "note": "NOTE",
}  # words, so that no colour alone tells them apart


def findings(found: Iterable[Finding]) -> Markup:
    """A list of findings, in their order."""
    return tag("ul", *(_item(finding) for finding in found), class_="findings")


def _item(finding: Finding) -> Markup:
    place = ", ".join(part for part in (finding.where, finding.when) if part)
    head = [tag("b", MARKS[finding.level], class_="level"), " "]
    matter = sentence(f"{place}: {finding.what}" if place else finding.what)
    parts = [tag("p", *head, matter)]
    if finding.number:
        parts.append(tag("p", tag("b", "Found: "), sentence(finding.number)))
    parts.append(tag("p", tag("b", "What to do: "), finding.todo))
    if finding.limit:
        limit = tag("p", sentence(f"{finding.limit} ({finding.source})"))
        parts.append(tag("details", tag("summary", "Limit and source"), limit))
    return tag("li", *parts, class_=finding.level)

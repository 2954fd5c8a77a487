"""Words that no text may use as a verdict, and what every text on carbon monoxide has to say."""

import re
from collections.abc import Iterable
from dataclasses import fields

from simtent.assess.findings import Finding

# A browser's word for style and script that stand in the page itself is not one for people.
VERDICT = re.compile(
    r"\b(?!unsafe-inline)(un)?safe(ly|r|st)?\b|\bno (risk|danger)\b|\bok(ay)? to\b|\bharmless\b|"
    r"\ball clear\b|\bgreen light\b",
    re.IGNORECASE,
)
# "safety" stands in a guarantee that is not given, and in the names of two sources.
SAFETY = re.compile(
    r"\b(not a|no|none of it is a|neither is a) safety guarantee|National Ag Safety Database|"
    r"US Army safety article",
    re.IGNORECASE,
)
MONOXIDE = re.compile(r"carbon monoxide", re.IGNORECASE)
MUST = {
    "an alarm": re.compile(r"\balarm\b", re.IGNORECASE),
    "open vents": re.compile(r"\bvents? (stay )?open\b|\bventilation open\b", re.IGNORECASE),
    "no guarantee": re.compile(r"\b(not a|no|none of it is a|neither is a) safety guarantee", re.IGNORECASE),
}  # fmt: skip


def text_of(finding: Finding) -> str:
    """All that a finding says."""
    return " | ".join(getattr(finding, field.name) for field in fields(finding))


def wrong(text: str) -> list[str]:
    """What a text says that none may, or leaves out that it must say."""
    text = " ".join(text.split())  # on a page a sentence runs over several lines
    found = [f"verdict: {hit.group(0)}" for hit in VERDICT.finditer(text)]
    if "safety" in SAFETY.sub("", text).lower():
        found.append("safety, without saying that none is guaranteed")
    if MONOXIDE.search(text):
        found += [f"carbon monoxide without {what}" for what, words in MUST.items() if not words.search(text)]
    return found


def wrong_of(findings: Iterable[Finding]) -> list[str]:
    """What is wrong with a night's findings, one by one and together."""
    whole = list(findings)
    found = [f"{fault}: {text_of(it)}" for it in whole for fault in wrong(text_of(it))]
    found += [
        f"nothing to do, or no source: {text_of(it)}"
        for it in whole
        if not (it.what and it.todo and it.source)
    ]
    last = text_of(whole[-1]) if whole else ""
    deferring = (
        "manuals of the makers",
        "local codes",
        "licensed people",
        "come before anything printed here",
    )
    return found + [f"it does not end by deferring: no {words}" for words in deferring if words not in last]

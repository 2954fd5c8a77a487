"""What a look through a scenario file has found."""

from collections.abc import Sequence

from simtent.scenario.odd import Oddity
from simtent.scenario.scenario import Scenario
from simtent.tell.words import paragraph, sentence

TITLE = "ODDITIES. Each is allowed and may be right; look at each before you trust a night."
END = "no faults found in the file"
INDENT = " " * 4


def checked(scenario: Scenario, found: Sequence[Oddity]) -> list[str]:
    """Lines of at most 80 characters: what the readers mended, every oddity with its place, and the verdict."""
    lines = [*_mended(scenario)]
    if found:
        lines += [*paragraph(TITLE), ""]
    for oddity in found:
        lines += [*_told(oddity), ""]
    many = f"{len(found)} {'oddity' if len(found) == 1 else 'oddities'}" if found else "no oddities"
    return [*lines, *paragraph(f"{scenario.path}: {many}; {END}")]


def _told(oddity: Oddity) -> list[str]:
    place = oddity.file if oddity.line is None else f"{oddity.file}:{oddity.line}"
    value = "" if oddity.value is None else f" = {oddity.value}"
    return [
        *paragraph(f"{place}, {oddity.key}{value}"),
        *paragraph(sentence(oddity.what), first=INDENT, rest=INDENT),
        *paragraph(sentence(oddity.why), first=INDENT, rest=INDENT),
        *paragraph(f"-> {sentence(oddity.todo)}", first=INDENT, rest=f"{INDENT}   "),
    ]


def _mended(scenario: Scenario) -> list[str]:
    if not scenario.repairs:
        return []
    told = [line for repair in scenario.repairs for line in paragraph(repair, first=INDENT, rest=INDENT)]
    return ["MENDED while the files were read.", "", *told, ""]

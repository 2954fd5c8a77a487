"""A comparison in words: what each variant changes, the table, cautions that come and go, where the heat went."""

from collections.abc import Iterator, Sequence

from simtent.assess.findings import Finding
from simtent.comparing.compared import Compared
from simtent.comparing.nights import Night
from simtent.comparing.ranked import Bought
from simtent.comparing.usual import like_usual
from simtent.tell.changes_us import change_in_us
from simtent.tell.compared_energy import energies
from simtent.tell.differences import tables
from simtent.tell.usual_words import WHY, best, ranking
from simtent.tell.words import paragraph, sentence
from simtent.units import System

NONE = "None of them differs in what is looked for; that is no word on what is not."
AT_THE_COT = ("cot_mean", "cot_lowest")
CAUTIONS = "CAUTIONS THAT A VARIANT ADDS OR TAKES AWAY. Those above hold for every one."


def told(found: Compared, system: System, rows: Sequence[Bought] = (), currency: str = "") -> list[str]:
    """Lines of at most 80 characters; with a ranking it comes first, and only its best are told in full."""
    lines = [*ranking(rows, system, currency), ""] if rows else []
    full = best(found, rows) if rows else found
    lines += [line for night in full.variants for line in _changed(night, system, usual=bool(rows))]
    lines += ["", *tables(full, system), ""]
    if not rows and (why := _why_colder(found)):
        lines += [*why, ""]
    lines += [*cautions(found), ""]
    return [*lines, *energies(full, system)]


def cautions(found: Compared) -> list[str]:
    """Lines on the cautions that differ; that there are none is said too, and is no verdict."""
    lines = [*paragraph(CAUTIONS)]
    for night in found.variants:
        lines += _cautions(found, night)
    if len(lines) == 1:
        lines.append(NONE)
    return lines


def _why_colder(found: Compared) -> list[str]:
    """Why a variant that is like a usual change is colder at the cot, where it is: people expect the contrary."""
    lines: list[str] = []
    for night in found.variants:
        row = like_usual(found.scenario, night.variant)
        colder = [found.difference(night.name, number) for number in AT_THE_COT]
        if row and any(it.apart and it.amount < 0.0 for it in colder):
            lines += paragraph(f"{night.name}: {sentence(row.why)}", rest="    ")
    return [*paragraph(WHY), *lines] if lines else []


def changed(night: Night, system: System, *, usual: bool = False) -> str:
    """What a variant changes, as the file says it; a usual change, which nobody typed, in the units asked for."""
    if night.variant.same:
        return "says the same as the base: it is the same night."
    changes = night.variant.changes
    if usual and system == "us":
        shelter = night.variant.scenario.shelter
        changes = tuple(change_in_us(it, shelter.shape if shelter else None) for it in changes)
    return "; ".join(changes)


def _changed(night: Night, system: System, *, usual: bool) -> list[str]:
    between = " " if night.variant.same else ": "
    return paragraph(f"{night.name}{between}{changed(night, system, usual=usual)}", rest="    ")


def _cautions(found: Compared, night: Night) -> Iterator[str]:
    for word, those in (("adds", found.added(night.name)), ("takes away", found.removed(night.name))):
        for it in those:
            yield from paragraph(f"{night.name} {word}: {_matter(it)}", rest="    ")
            if word == "adds":
                yield from paragraph(f"-> {it.todo}", first="    ", rest="       ")


def _matter(it: Finding) -> str:
    place = ", ".join(part for part in (it.where, it.when) if part)
    number = f" Found: {it.number}." if it.number else ""
    return f"{it.level.upper()} {sentence(f'{place}: {it.what}' if place else it.what)}{number}"

"""README.md beside this file: every claim, what was obtained, and what is not validated.

`python -m tests.reference.page` writes it; with names of modules it obtains their claims alone anew; `--check` compares
(each claim's test holds its own line, too).
"""

import re
import sys
from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache
from importlib import import_module
from inspect import getdoc
from pathlib import Path

from .claims import DIFFERS, MISSED, PROVENANCES, REGISTRY, Case, Claims, Value
from .numbers import allowed_cell, expected_cell, obtained_cell, same_cell
from .unproven import NOT_VALIDATED

FILE = Path(__file__).with_name("README.md")
COMMAND = "python -m tests.reference.page"
HEAD = ("case", "expected", "obtained", "allowed", "verdict")
OBTAINED = HEAD.index("obtained")
NO_CLAIMS = ("| case |", "| --- ")

# Modules of this folder, in the order of the page. Each has SUBJECT, and a docstring that is printed under it.
CHAPTERS = {
    "Surfaces and air": ("test_convection", "test_hot_surface", "test_airspace", "test_skin"),
    "Radiation": ("test_radiation", "test_seen", "test_sky", "test_sun", "test_sunshine"),
    "Air": (
        "test_air",
        "test_moist_air",
        "test_damp_rates",
        "test_plume",
        "test_filling_box",
        "test_smearing",
        "test_current",
        "test_opening",
        "test_neutral_plane",
        "test_leakage",
        "test_leakage_bounds",
    ),
    "Ground": ("test_semi_infinite", "test_ground", "test_edge", "test_slab", "test_melting"),
    "Wood and fire": (
        "test_wood",
        "test_burn",
        "test_coals",
        "test_wood_cone",
        "test_cone_halves",
        "test_metal",
    ),
    "Flue": ("test_flue_gas", "test_stack_loss", "test_flue", "test_pipe_heat"),
    "Whole networks": ("test_rooms", "test_walls", "test_grid", "test_linear_networks", "test_cooling"),
    "What could hurt somebody": (
        "test_uptake",
        "test_alarms",
        "test_facing",
        "test_cloth",
        "test_emission",
    ),
    "What people feel": ("test_comfort", "test_clothing", "test_bags"),
    "Numbers found from readings": ("test_identify",),
    "Solvers": ("test_stiff_problems", "test_events", "test_whole_nights", "test_refinement"),
    "Known faults of reference libraries": ("test_known_faults",),
}

INTRODUCTION = f"""# What simtent was checked against

Every value here comes from outside simtent: a document, a library, a measurement, or mathematics done apart from it.
Beside it stands what simtent obtains today. The lines are written by `{COMMAND}`; the tests
(`pytest tests/reference`) hold each claim to its margin and to its line here.

A line's verdict is *met* or *missed*. Where the value is only remembered, or a fact of the trade without a source, it
is *agrees* or *differs*: such a value proves nothing and fails no test. Where published laws disagree among themselves
a range is all that can be asked, and is called a spread. A closed ledger or a met closed form shows that simtent
computes what it says, not that a tent behaves so: see [what is not validated](#what-is-not-validated).

Provenance: *closed form*, mathematics evaluated apart from simtent; *library*, asked of a general-purpose library;
*published*, printed in the document named; *second-hand*, a document's value seen through others' code or quotation;
*memory*, remembered; *common practice*, no source."""


def modules() -> list[str]:
    """Names of the modules with claims, in the page's order."""
    return [name for names in CHAPTERS.values() for name in names]


def groups_of(name: str) -> list[Claims]:
    """The claims of a module of this folder."""
    full = f"{__package__}.{name}"
    import_module(full)
    return REGISTRY.get(full, [])


def cells(group: Claims, one: Case, obtained: Value) -> tuple[str, ...]:
    """A line's cells."""
    allowed = group.margin(one)
    verdict = group.verdict(one, obtained)
    if verdict in (MISSED, DIFFERS):
        verdict = f"**{verdict}**" + ("" if one.missed is None else f": {one.missed}")
    return (
        one.name,
        expected_cell(group, one.expected, allowed),
        obtained_cell(group, one.expected, obtained),
        allowed_cell(group, allowed),
        verdict,
    )


def line(parts: Iterable[str]) -> str:
    """A line of a table."""
    return "| " + " | ".join(part.replace("|", "\\|") for part in parts) + " |"


def heading(group: Claims) -> str:
    """What stands over a group's table."""
    return f"**{group.title}** ({group.source.key}; {group.provenance})"


def table(group: Claims) -> Iterator[str]:
    """A group's lines."""
    yield from (heading(group), "", line(HEAD), line("---" for _ in HEAD))
    for one in group.cases:
        yield line(cells(group, one, group.obtain(*one.inputs)))
    yield ""


def title(name: str) -> str:
    """What stands over a module's part of the page."""
    return f"### {getattr(import_module(f'{__package__}.{name}'), 'SUBJECT', name)}"


def part(name: str) -> str:
    """A module's part of the page, every claim of it obtained now."""
    module = import_module(f"{__package__}.{name}")
    tables = [text for group in groups_of(name) for text in table(group)]
    return "\n".join([title(name), "", getdoc(module) or "", "", *tables]).rstrip()


def body(anew: Collection[str]) -> str:
    """All chapters; parts of modules that are not to be obtained anew are taken from the page as it is."""
    all_groups()  # what takes long comes first: another writer's page is read as late as can be
    now = {name: part(name) for name in modules() if name in anew}
    text, old = [], parts_of(kept_text())
    for chapter, names in CHAPTERS.items():
        text.append(f"## {chapter}")
        text += [now.get(name, old.get(title(name), title(name))) for name in names]
    return "\n\n".join(text)


def all_groups() -> list[Claims]:
    """Every group of the page."""
    return [group for name in modules() for group in groups_of(name)]


def tally(text: str) -> str:
    """How many claims of which provenance were met, missed and so on, counted from the lines themselves."""
    kept = lines_of(text)
    rows = [line(("provenance", "claims", "met or agreeing", "missed or differing")), line(["---"] * 4)]
    for provenance in PROVENANCES:
        verdicts = [
            kept.get((heading(group), one.name), ("not obtained yet",))[-1]
            for group in all_groups()
            if group.provenance == provenance
            for one in group.cases
        ]
        bad = sum(verdict.startswith("**") for verdict in verdicts)
        rows.append(line((provenance, str(len(verdicts)), str(len(verdicts) - bad), str(bad))))
    return "\n".join(rows)


def misses(text: str) -> str:
    """Every line that is missed or differs, once more in one list."""
    found = [
        (over, cells_of) for (over, _), cells_of in lines_of(text).items() if cells_of[-1].startswith("**")
    ]
    told = [
        f"- {over.split('**')[1]}, {name}: expected {expected}, obtained {obtained}; {verdict.replace('**', '')}."
        for over, (name, expected, obtained, _, verdict) in found
    ]
    return "\n".join(told) or "None."


def laws() -> str:
    """How many claims hold a law, and in which subjects they stand."""
    held: dict[str, dict[str, int]] = {}
    for name in modules():
        for group in groups_of(name):
            for law in group.laws:
                subjects = held.setdefault(f"{law.__module__.removeprefix('simtent.')}.{law.__name__}", {})
                subject = title(name).removeprefix("### ")
                subjects[subject] = subjects.get(subject, 0) + len(group.cases)
    rows = [line(("law", "claims")), line(["---"] * 2)]
    for law, subjects in sorted(held.items()):
        rows.append(line((f"`{law}`", "; ".join(f"{subject} ({n})" for subject, n in subjects.items()))))
    return "\n".join(rows)


def sources() -> str:
    """Keys of the documents and what they stand for."""
    found = dict(sorted({group.source.key: group.source.text for group in all_groups()}.items()))
    return "\n".join(f"- *{key}*: {text}." for key, text in found.items())


def page(anew: Collection[str]) -> str:
    """The page as it ought to be now, with the claims of some modules obtained anew."""
    inner = body(anew)
    parts = [
        INTRODUCTION,
        tally(inner),
        inner,
        "## What is missed",
        misses(inner),
        NOT_VALIDATED.strip(),
        "## Which law is held by what",
        laws(),
        "## Sources",
        sources(),
    ]
    return "\n\n".join(parts) + "\n"


def parts_of(text: str) -> dict[str, str]:
    """A page's parts by what stands over them."""
    found = {}
    for piece in re.split(r"\n(?=##)", text):
        over, _, _ = piece.partition("\n")
        found[over] = piece.rstrip()
    return found


def lines_of(text: str) -> dict[tuple[str, str], tuple[str, ...]]:
    """Cells of every line by its group's heading and its name."""
    found, over = {}, ""
    for row in text.splitlines():
        if row.startswith(("**", "#")):
            over = row
        elif over.startswith("**") and row.startswith("| ") and not row.startswith(NO_CLAIMS):
            cells_of = tuple(cell.strip().replace("\\|", "|") for cell in re.split(r"(?<!\\) \| ", row[2:-2]))
            found[over, cells_of[0]] = cells_of
    return found


@lru_cache
def kept_text() -> str:
    """README.md as it is."""
    return FILE.read_text(encoding="utf-8") if FILE.exists() else ""


@lru_cache
def kept() -> dict[tuple[str, str], tuple[str, ...]]:
    """The lines that README.md holds."""
    return lines_of(kept_text())


def fresh(now: tuple[str, ...], then: tuple[str, ...] | None, group: Claims, one: Case) -> bool:
    """Whether a line is what it ought to be, up to the last digit obtained."""
    if then is None or len(then) != len(now):
        return False
    others = [(a, b) for k, (a, b) in enumerate(zip(now, then, strict=True)) if k != OBTAINED]
    return all(a == b for a, b in others) and same_cell(then[OBTAINED], now[OBTAINED], group.margin(one))


def assert_fresh(group: Claims, one: Case, obtained: Value) -> None:
    """A claim's line stands in README.md as it is now."""
    now, then = cells(group, one, obtained), kept().get((heading(group), one.name))
    assert fresh(now, then, group, one), f"README.md says {then}, now {now}: run {COMMAND}"


def differences(now: str) -> list[str]:
    """What of README.md is not as it ought to be."""
    found = lines_of(now)
    stale = [
        f"{kept().get(key)} ought to be {found[key]}"
        for group in all_groups()
        for one in group.cases
        if not fresh(found[key := (heading(group), one.name)], kept().get(key), group, one)
    ]
    stale += [f"{key} is claimed no longer" for key in kept().keys() - found.keys()]
    return stale or (
        [] if prose(now) == prose(kept_text()) else ["what stands between the claims has changed"]
    )


def prose(text: str) -> list[str]:
    """The page without its claims."""
    claimed = {line(parts) for parts in lines_of(text).values()}
    return [row for row in text.splitlines() if row not in claimed]


def main(arguments: list[str]) -> int:
    """Write the page, all of it or the parts of modules named; with --check tell what is not as it ought to be."""
    names = [name for name in arguments if name != "--check"]
    if unknown := [name for name in names if name not in modules()]:
        print(f"no modules with claims: {', '.join(unknown)}")
        return 2
    now = page(names or modules())
    if "--check" not in arguments:
        FILE.write_text(now, encoding="utf-8")
        return 0
    stale = differences(now)
    print("\n".join(stale) or f"{FILE.name}: {len(kept())} claims as they are now")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

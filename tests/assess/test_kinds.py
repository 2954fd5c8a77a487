"""Every kind of finding is declared once, and no finding is told that is not."""

import ast
import re
from pathlib import Path

import pytest

import simtent.errors
from simtent.assess import (
    air_findings,
    close_findings,
    closeness,
    comfort_findings,
    kinds,
    spill_findings,
    stove,
)
from simtent.assess.findings import LEVELS
from simtent.assess.kinds import IN_A_NIGHT, STANDING, Kind
from simtent.tell.outputs_reference import reference

PACKAGE = Path(simtent.errors.__file__).parent
MAKERS = {
    "assess/findings.py",  # the record read back
    "assess/kinds.py",  # made from a declaration
    "tell/answers/head.py",  # the headline, where no scenario is asked about
}


def made_in(path: Path) -> list[int]:
    """Lines on which a module makes findings by itself."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and (getattr(node.func, "id", "") == "Finding" or getattr(node.func, "attr", "") == "Finding")
    ]


def used() -> set[str]:
    """Names of the kinds that some module makes findings of."""
    text = "".join(path.read_text(encoding="utf-8") for path in sorted(PACKAGE.glob("assess/*.py")))
    return set(re.findall(r"\bkinds\.([A-Z_]+)\.found\(", text))


def test_no_module_makes_a_finding_of_its_own() -> None:
    files = {path.relative_to(PACKAGE).as_posix(): path for path in PACKAGE.rglob("*.py")}
    assert {name for name, path in files.items() if made_in(path)} == MAKERS


def test_every_kind_is_listed_once_and_used() -> None:
    declared = {name: it for name, it in vars(kinds).items() if isinstance(it, Kind)}
    listed = [*STANDING, *IN_A_NIGHT]
    assert len(listed) == len(set(listed)) and set(listed) == set(declared.values())
    assert len({it.key for it in listed}) == len(listed)
    assert used() == set(declared)
    for it in listed:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", it.key) and it.told and it.source
        assert it.levels == tuple(level for level in LEVELS if level in it.levels)


def test_a_level_that_is_not_declared_is_refused() -> None:
    with pytest.raises(ValueError, match="vents has no level 'stop'"):
        kinds.VENTS.found(level="stop", what="w", todo="t")
    with pytest.raises(ValueError, match="hot-jack has no level None"):
        kinds.HOT_JACK.found(what="w", todo="t")


def test_a_finding_has_what_is_declared_and_what_is_found() -> None:
    made = kinds.COOL_FLUE.found(
        what="w", todo="t", where="pipe", when="now", number="1", limit="2", detail=", more"
    )
    assert (made.level, made.what, made.todo, made.where) == ("caution", "w", "t", "pipe")
    assert made.source == f"{kinds.COOL_FLUE.source}, more" and (made.when, made.number) == ("now", "1")


def test_limits_that_are_told_are_those_that_are_held() -> None:
    """Numbers in the reference are those that the findings are found by."""
    zero = 273.15
    for kind, numbers in {
        kinds.COOL_FLUE: (stove.COOL_FLUE,),
        kinds.STOVE_GLOWS: (stove.GLOWS,),
        kinds.WEAK_DRAUGHT: (stove.LEAST_DRAUGHT,),
        kinds.CLOTH_CLOSE: (
            close_findings.CLOSE - zero, close_findings.TOO_CLOSE - zero, 1000.0 * closeness.HOUSE_STOVE,
            close_findings.MOST_FLUX / 1000.0,
        ),
        kinds.WOOD_CLOSE: (close_findings.WOOD_LIMIT - zero, 1000.0 * closeness.HOUSE_STOVE),
        kinds.HOT_JACK: (close_findings.JACK_AIM, close_findings.JACK_MOST),
        kinds.MELTS_IN: (1000.0 * close_findings.TOLD_MELT,),
        kinds.METER_SHOWED: (spill_findings.CEILING,),
        kinds.LITTLE_AIR: (air_findings.STUFFY, air_findings.LIMIT),
        kinds.BAG_LABEL: (comfort_findings.MARGIN,),
    }.items():  # fmt: skip
        for number in numbers:
            assert re.search(rf"\b{number:.0f} (degC|Pa|mm|ppm|kW|K)|\b{number:.0f}\b", kind.told), (
                kind.key,
                number,
            )


def test_the_reference_tells_every_kind() -> None:
    page = reference()
    for it in (*STANDING, *IN_A_NIGHT):
        assert f"- **{it.key}** ({', '.join(it.levels)}): told {it.told}." in page
        assert it.source[1:] in page

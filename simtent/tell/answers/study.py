"""What `simtent study` answers: many nights, each output by factor, what matters most."""

from collections.abc import Iterator, Sequence
from typing import Literal

import xarray as xr

from simtent.scenario.scenario import Scenario
from simtent.surveys.effects import Effect, Group
from simtent.surveys.opened import Column, Opened
from simtent.surveys.outputs import Output
from simtent.tell import study_cells as cells
from simtent.tell import study_words
from simtent.tell.answers.head import Around, Document, OfScenario
from simtent.tell.answers.quantities import Plain
from simtent.tell.answers.told import Told
from simtent.units import System


class GroupTold(Told):
    """The cases in which a factor has a level, or a number between two others."""

    level: str
    """the level; empty for numbers"""
    low: Plain | None
    """lowest number of the factor; null for levels"""
    high: Plain | None
    """highest number of it"""
    cases: int
    """how many were solved"""
    mean: Plain
    """of the output; null without a case"""
    lowest: Plain
    """of the output"""
    highest: Plain
    """of the output"""


class ByFactor(Told):
    """An output by the levels of a factor, all others as they come."""

    factor: str
    """its name"""
    groups: list[GroupTold]
    """by rising number, or in the order of its levels"""


class Index(Told):
    """How much a factor moves an output, by a method of the trade; null where the method does not say."""

    factor: str
    """its name"""
    mean: Plain | None
    """Morris: mean change of the output over the whole span of the factor"""
    size: Plain | None
    """Morris: mean size of that change, whatever its sign"""
    size_half: Plain | None
    """half the width of its interval"""
    depends: Plain | None
    """Morris: how much that change depends on the others, or on where the factor stands"""
    alone: Plain | None
    """Sobol: share of the output's variance by itself"""
    alone_half: Plain | None
    """half the width of its interval"""
    together: Plain | None
    """Sobol: the same with all others"""
    together_half: Plain | None
    """half the width of its interval"""


class OutputTold(Told):
    """What the study says of one output."""

    output: str
    """what was asked"""
    factors: list[ByFactor]
    """the factor with the largest reach first"""
    indices: list[Index]
    """empty where the study's cases give none"""


class Failed(Told):
    """A night that failed."""

    case: int
    """counted from 0"""
    levels: dict[str, str]
    """its factors"""
    reason: str
    """why"""


class StudyAnswer(Document):
    """A study. No night of it is judged by itself; a factor matters within the levels given and no others."""

    format: Literal["simtent.study"] = "simtent.study"
    version: Literal[1] = 1
    study: str
    """its name"""
    scenarios: list[OfScenario]
    """the scenarios whose nights were solved"""
    method: str
    """how its cases were laid out"""
    cases: int
    """how many nights it has"""
    solved: int
    """how many were solved"""
    outputs: list[OutputTold]
    """each output"""
    failed: list[Failed]
    """nights that failed; they are left out"""


def answer(
    around: Around, found: Opened, answers: Sequence[study_words.Answer], bases: Sequence[Scenario]
) -> StudyAnswer:
    """The document of a study."""
    about, system = found.dataset.attrs, around.system
    names = " and ".join(base.name for base in bases)
    return StudyAnswer(
        **around.head([("", study_words.occasion(found, names)), ("", study_words.NOT_JUDGED)]),
        study=str(found.design["study"]),
        scenarios=[OfScenario.of(base) for base in bases],
        method=str(found.design["method"]),
        cases=int(about["cases"]),
        solved=int(about["solved"]),
        outputs=[_output(it, system) for it in answers],
        failed=list(_failed(found)),
    )


def _output(it: study_words.Answer, system: System) -> OutputTold:
    return OutputTold(
        output=str(it.output),
        factors=[_by_factor(it.output, effect, system) for effect in it.effects],
        indices=[] if it.indices is None else list(_indices(it.output, it.indices, system)),
    )


def _by_factor(of: Output, effect: Effect, system: System) -> ByFactor:
    return ByFactor(
        factor=effect.column.name, groups=[_group(of, effect.column, it, system) for it in effect.groups]
    )


def _group(of: Output, column: Column, it: Group, system: System) -> GroupTold:
    def told(value: float) -> Plain:
        return Plain.in_unit(cells.value(of, value, system), cells.unit(of, system) or "1")

    def number(value: float) -> Plain | None:
        if it.label:
            return None
        return Plain.in_unit(cells.factor(column, value, system), cells.unit_of(column, system) or "1")

    return GroupTold(
        level=it.label,
        low=number(it.low),
        high=number(it.high),
        cases=int(it.cases),
        mean=told(it.mean),
        lowest=told(it.lowest),
        highest=told(it.highest),
    )


def _indices(of: Output, found: xr.Dataset, system: System) -> Iterator[Index]:
    for name in found["factor"].values.tolist():
        row = found.sel(factor=name)

        def change(key: str, row: xr.Dataset = row) -> Plain | None:
            if key not in row:
                return None
            unit = cells.change_unit(of, system)
            return Plain.in_unit(cells.change(of, float(row[key]), system), unit or "1")

        def share(key: str, row: xr.Dataset = row) -> Plain | None:
            return Plain.in_unit(float(row[key]), "1") if key in row else None

        yield Index(
            factor=name,
            mean=change("mu"),
            size=change("mu_star"),
            size_half=change("mu_star_confidence"),
            depends=change("sigma"),
            alone=share("S1"),
            alone_half=share("S1_confidence"),
            together=share("ST"),
            together_half=share("ST_confidence"),
        )


def _failed(found: Opened) -> Iterator[Failed]:
    dataset = found.dataset
    for case, state in enumerate(dataset["state"].values.tolist()):
        if state == "failed":
            levels = {it.name: str(dataset[it.name].values[case]) for it in found.columns}
            yield Failed(case=case, levels=levels, reason=str(dataset["reason"].values[case]))

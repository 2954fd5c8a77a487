"""A study as a page: what matters most, a sentence for each output; outputs by factor, picture, texts."""

from collections.abc import Iterator, Sequence

from simtent.assess.findings import Finding
from simtent.scenario.scenario import Scenario
from simtent.surveys.effects import Effect, Group
from simtent.surveys.opened import Opened
from simtent.tell import study_cells as cells
from simtent.tell import study_picture, study_words
from simtent.tell.page import assumed, copied
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import Markup, breakable, joined, paragraphs, tag
from simtent.tell.page.picture import picture
from simtent.tell.page.tables import Line, grouped, table
from simtent.tell.study_words import Answer
from simtent.tell.words import sentence
from simtent.units import System

WORDS = "Each output by factor as bars, the longest on top: the tables on this page have their numbers"
MOST_TOLD = 3  # outputs in the answer
BY_LEVEL = "By level, or by parts of a span; mean, lowest and highest of the nights."


def page(
    bases: Sequence[Scenario],
    found: Opened,
    answers: Sequence[Answer],
    text: str,
    system: System,
    always: Sequence[Finding],
) -> Page:
    """Everything that the page holds.

    text  of the study file
    """
    first = bases[0]
    names = " and ".join(base.name for base in bases)
    failed = list(study_words.failed(found))
    return Page(
        scenario=first.name,
        about=[f"{study_words.occasion(found, names)} Calculated, not measured."],
        answer=" ".join(answer(it, system) for it in answers[:MOST_TOLD]),
        found=(),
        always=always,
        parts=[
            *(Part(f"output{k}", _title(it, system), _output(it, system)) for k, it in enumerate(answers, 1)),
            Part("picture", "The study as a picture",
                 picture("study", WORDS, lambda: study_picture.draw(first, found, answers, system))),
            *([Part("failed", "Nights that failed", paragraphs(failed))] if failed else []),
            Part("sure", "What this does not say", paragraphs([study_words.NOT_JUDGED])),
            *_texts(bases, text),
        ],
    )  # fmt: skip


def answer(it: Answer, system: System) -> str:
    """What matters most to an output."""
    effects = [effect for effect in it.effects if any(group.cases for group in effect.groups)]
    if it.indices is not None and "ST" in it.indices:
        most = study_words.by_size(it.indices, "ST")[0]
        share = study_words.share_cells(most)[1]
        if share == "-":
            return f"{it.output} is the same in all nights."
        return f"{most['factor'].item()} brings about {share} of what varies in {it.output}, with the others."
    if it.indices is not None:
        most = study_words.by_size(it.indices, "mu_star")[0]
        size = study_words.move_cells(it, most, system)[1]
        unit = cells.unit(it.output, system)
        return (
            f"{most['factor'].item()} moves {it.output} most, by {size} {unit}".rstrip() + " over its span."
        )
    if not effects or effects[0].reach == 0.0:
        return f"No factor moves {it.output}."
    return _reach(it, effects[0], system)


def _reach(it: Answer, effect: Effect, system: System) -> str:
    """From which mean to which the first factor takes an output."""
    low, high = study_words.ends(effect)
    unit = cells.unit(it.output, system)
    first, last = (
        (
            f"{cells.shown(it.output, group.mean, system)} {unit}".rstrip(),
            cells.group(effect.column, group, system),
        )
        for group in (low, high)
    )
    (mean, level), (highest, other) = first, last
    return f"{effect.column.name} moves {it.output} most: {mean} in the mean with {level}, {highest} with {other}."


def _title(it: Answer, system: System) -> str:
    unit = cells.unit(it.output, system)
    return f"{it.output}{f' [{unit}]' if unit else ''}"


def _output(it: Answer, system: System) -> Markup:
    head = ("level", "nights", "mean", "lowest", "highest")
    groups = [
        (breakable(effect.column.name), [_line(it, effect, group, system) for group in effect.groups])
        for effect in it.effects
    ]
    return joined([*_indices(it, system), grouped(BY_LEVEL, head, groups)])


def _line(it: Answer, effect: Effect, group: Group, system: System) -> Line:
    numbers = (cells.shown(it.output, value, system) for value in (group.mean, group.lowest, group.highest))
    return Line(cells.group(effect.column, group, system), (f"{group.cases}", *numbers))


def _indices(it: Answer, system: System) -> Iterator[Markup]:
    """Sobol's shares or Morris' moves, the largest first."""
    indices = it.indices
    if indices is None:
        return
    if "ST" in indices:
        rows = study_words.by_size(indices, "ST")
        lines = [Line(breakable(str(row["factor"].item())), study_words.share_cells(row)) for row in rows]
        yield table(
            f"{study_words.about_shares(indices)}.", ("factor", "by itself", "with others"), lines, "beside"
        )
        if not indices["ST"].notnull().all():
            yield tag("p", study_words.SAME)
        return
    rows = study_words.by_size(indices, "mu_star")
    lines = [
        Line(breakable(str(row["factor"].item())), study_words.move_cells(it, row, system)) for row in rows
    ]
    yield table(
        f"{study_words.about_moves(indices)}.", ("factor", "mean", "size", "depends"), lines, "beside"
    )


def _texts(bases: Sequence[Scenario], text: str) -> Iterator[Part]:
    """What was assumed, versions, and the texts to copy: of the study, then of each scenario."""
    many = len(bases) > 1
    for k, base in enumerate(bases, 1):
        of = f" of {base.name}" if many else ""
        yield Part(f"assumed{k if many else ''}", f"What was assumed{of}", assumed.section(base))
    yield copied.of_versions()
    kept = "Kept in files, both give this answer again with the same version of simtent."
    body = joined([tag("p", kept), copied.with_button("survey", "Text of the study file", text)])
    yield Part("survey", "The study's text", body)
    for k, base in enumerate(bases, 1):
        of = f" {base.name}" if many else ""
        told = sentence(f"text of the scenario{of}").rstrip(".")
        name = f"scenario{k if many else ''}"
        yield Part(
            name, f"The scenario's text{f':{of}' if of else ''}", copied.with_button(name, told, base.given)
        )

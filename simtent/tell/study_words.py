"""A study in words: how many nights, what matters most, each output by factor, what failed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap

import xarray as xr

from simtent.surveys.designs import METHODS
from simtent.surveys.effects import Effect, Group
from simtent.surveys.opened import Opened
from simtent.surveys.outputs import Output
from simtent.tell import study_cells as cells
from simtent.tell.words import paragraph
from simtent.units import System

MOST_FAILED = 5  # cases that are told one by one
SAME = "It is the same in all nights: nothing varies that could be shared out."
NOT_JUDGED = (
    "No night of a study is judged by itself: ask simtent night for what could hurt in one. A factor matters within "
    "the levels given here and no others; what the model leaves out matters too, and is in none of these numbers."
)


@dataclass(frozen=True)
class Answer:
    """What a study says of one output.

    output   what was asked
    effects  by each factor, the one with the largest reach first
    indices  of `sensitivity`, where the study's cases give them
    """

    output: Output
    effects: tuple[Effect, ...]
    indices: xr.Dataset | None


def told(found: Opened, answers: Sequence[Answer], scenarios: str, system: System) -> list[str]:
    """Lines of at most 80 characters: the study, each output, what failed."""
    lines = [*paragraph(occasion(found, scenarios))]
    for answer in answers:
        lines += ["", *_answer(answer, system)]
    lines += ["", *(line for text in failed(found) for line in paragraph(text))]
    lines += [""] if found.dataset.attrs["failed"] else []
    return [*lines, *paragraph(NOT_JUDGED)]


def counted(size: int, factors: int, method: str, scenarios: str) -> str:
    """How many nights a study has, before it begins."""
    return f"{size:,} nights of {scenarios}: {_factors(factors)}, by {method} ({METHODS[method]})"


def _factors(count: int) -> str:
    return f"{count} factor{'s' if count != 1 else ''}"


def occasion(found: Opened, scenarios: str) -> str:
    """Which study this is: how many nights, solved and failed, of how many factors, by which method."""
    about, design = found.dataset.attrs, found.design
    seed = "" if design["method"] == "grid" else f", seed {design['seed']}"
    invented = " Invented scenario: it describes no real camp." if about["invented"] else ""
    return (
        f"Study {design['study']} of {scenarios}: {about['cases']:,} nights, {about['solved']:,} solved, "
        f"{about['failed']:,} failed; {_factors(len(found.columns))} by {design['method']}{seed}.{invented}"
    )


def _answer(answer: Answer, system: System) -> Iterator[str]:
    unit = cells.unit(answer.output, system)
    yield f"{answer.output}{f' [{unit}]' if unit else ''}"
    if answer.indices is not None:
        yield from _shares(answer.indices) if "ST" in answer.indices else _moves(answer, system)
        yield ""
    yield f"{'factor':<{cells.ROOM + 1}}{'level':<22}{'nights':>6}{'mean':>8}{'lowest':>8}{'highest':>8}"
    for effect in answer.effects:
        name = cells.moved(effect.column.name)
        for group in effect.groups:
            numbers = "".join(
                cells.shown(answer.output, it, system).rjust(8)
                for it in (group.mean, group.lowest, group.highest)
            )
            *above, level = wrap(cells.group(effect.column, group, system), 21) or [""]
            for part in above:
                yield f"{name:<{cells.ROOM + 1}}{part}"
                name = ""
            yield f"{name:<{cells.ROOM + 1}}{level:<22}{group.cases:>6}{numbers}"
            name = ""


def ends(effect: Effect) -> list[Group]:
    """The groups of the lowest and of the highest mean."""
    solved = [group for group in effect.groups if group.cases]
    return [min(solved, key=lambda it: it.mean), max(solved, key=lambda it: it.mean)]


def _shares(indices: xr.Dataset) -> Iterator[str]:
    """Sobol indices, the largest first, each with half its interval."""
    yield from paragraph(f"{about_shares(indices)}:")
    yield f"{'factor':<{cells.ROOM + 1}}{'by itself':>18}{'with others':>18}"
    for it in by_size(indices, "ST"):
        one, every = share_cells(it)
        yield f"{cells.moved(str(it['factor'].values)):<{cells.ROOM + 1}}{one:>18}{every:>18}"
    if not indices["ST"].notnull().all():
        yield from paragraph(SAME)


def about_shares(indices: xr.Dataset) -> str:
    """What Sobol indices are, and what these rest on."""
    return (
        "Share of what varies that each factor brings about, by itself and together with the others; +- half the "
        f"{100.0 * indices.attrs['confidence']:.0f} % interval, from {_groups(indices)}"
    )


def share_cells(it: xr.Dataset) -> list[str]:
    """A factor's shares: by itself, with others."""
    return [
        f"{100.0 * float(it[name]):.0f} % +- {100.0 * float(it[f'{name}_confidence']):.0f}"
        if it[name].notnull()
        else "-"
        for name in ("S1", "ST")
    ]


def _moves(answer: Answer, system: System) -> Iterator[str]:
    """Morris' means and spread, the largest first."""
    indices = answer.indices
    assert indices is not None
    yield from paragraph(f"{about_moves(indices)}:")
    yield f"{'factor':<{cells.ROOM + 1}}{'mean':>10}{'size':>18}{'depends':>10}"
    for it in by_size(indices, "mu_star"):
        mean, size, apart = move_cells(answer, it, system)
        yield f"{cells.moved(str(it['factor'].values)):<{cells.ROOM + 1}}{mean:>10}{size:>18}{apart:>10}"


def about_moves(indices: xr.Dataset) -> str:
    """What Morris' numbers are, and what these rest on."""
    return (
        "What moving a factor over its whole span does: the mean, the mean of its size with half its "
        f"{100.0 * indices.attrs['confidence']:.0f} % interval, and how much that depends on the others or on where "
        f"it stands; from {_groups(indices)}"
    )


def move_cells(answer: Answer, it: xr.Dataset, system: System) -> list[str]:
    """What moving a factor does: the mean, its size with half its interval, how much that depends."""
    mean, size, half, apart = (
        cells.shown_change(answer.output, float(it[name]), system)
        for name in ("mu", "mu_star", "mu_star_confidence", "sigma")
    )
    return [mean, f"{size} +- {half}", apart]


def _groups(indices: xr.Dataset) -> str:
    about = indices.attrs
    left = f" ({about['left_out']} left out: a night in them failed)" if about["left_out"] else ""
    return f"{about['groups']} groups of nights{left}, seed {about['seed']}"


def by_size(indices: xr.Dataset, name: str) -> list[xr.Dataset]:
    """The indices of each factor, the largest first."""
    order = (-indices[name].fillna(-1.0)).argsort().values.tolist()
    return [indices.isel(factor=n) for n in order]


def failed(found: Opened) -> Iterator[str]:
    """Cases that failed, with their reasons, a sentence each."""
    dataset = found.dataset
    those = [n for n, state in enumerate(dataset["state"].values.tolist()) if state == "failed"]
    for case in those[:MOST_FAILED]:
        levels = ", ".join(f"{it.name} {dataset[it.name].values[case]}" for it in found.columns)
        yield f"Case {case} failed ({levels}): {dataset['reason'].values[case]}"
    more = len(those) - MOST_FAILED
    rest = f"{more} more failed. " if more > 0 else ""
    if those:
        yield f"{rest}They are left out above; --retry-failed tries them once more."

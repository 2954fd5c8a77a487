"""The picture of a study: for each output a bar for each factor, the longest on top."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from simtent.scenario.scenario import Scenario
from simtent.surveys.effects import Effect
from simtent.surveys.opened import Opened
from simtent.tell import frame, look
from simtent.tell import study_cells as cells
from simtent.tell.study_words import Answer
from simtent.units import System

MOST_OUTPUTS, MOST_FACTORS = 3, 10
ROW, HEAD, GAP = 0.36, 0.36, 0.5  # in, of a bar with its name; of an output's title; below it for its axis
TOP, FOOT = 1.08, 0.80  # in, of cautions and name; of what stands at the foot
BAR = 0.30  # of a row's height
RIM = [withStroke(linewidth=2.5, foreground="white")]  # so that no line of the grid strikes a text out
ONE_WAY = 0.9  # of the size of a change, that its mean has at least where it goes one way
LONGEST_WAY = 40  # letters
LETTER, LONGEST = 0.019, 20  # share of the width that a letter takes; letters at a bar's end


def to_bytes(
    scenario: Scenario, found: Opened, answers: Sequence[Answer], system: System, form: str = "png"
) -> bytes:
    """Draw it; the picture as a file that says whose it is."""
    return frame.as_file(scenario, lambda: draw(scenario, found, answers, system), form)


def draw(scenario: Scenario, found: Opened, answers: Sequence[Answer], system: System) -> Figure:
    """The picture: cautions, an output below the other."""
    shown = answers[:MOST_OUTPUTS]
    rows = min(len(found.columns), MOST_FACTORS)
    each = HEAD + ROW * rows + GAP
    height = TOP + each * len(shown) + FOOT
    figure = frame.blank(height)
    for n, answer in enumerate(shown):
        bottom = height - TOP - each * n - HEAD - ROW * rows
        axes = figure.add_axes((look.EDGE, bottom / height, 1.0 - 2.0 * look.EDGE, ROW * rows / height))
        _output(axes, answer, rows, system)
        title = f"{answer.output}{_title(answer)}"
        figure.text(look.EDGE, (bottom + ROW * rows + 0.10) / height, title, weight="bold", va="bottom")
    about = found.dataset.attrs
    bars = "mean changes" if found.design["method"] == "morris" else "bars join means"
    frame.heading(figure, scenario, f"{about['solved']:,} nights by {found.design['method']}: {bars}")
    frame.footing(figure, scenario)
    return figure


def _title(answer: Answer) -> str:
    if answer.indices is None:
        return ""
    return ": share of what varies" if "ST" in answer.indices else ": size of change"


def _output(axes: Axes, answer: Answer, rows: int, system: System) -> None:
    """The bars of one output."""
    if answer.indices is not None and "mu_star" in answer.indices:
        _sizes(axes, answer, rows, system)
    else:
        _reaches(axes, answer, rows, system)
    axes.set_ylim(rows - 0.5, -0.5)
    axes.set_yticks([])
    axes.grid(visible=False, axis="y")
    axes.grid(visible=True, axis="x")
    axes.ticklabel_format(axis="x", style="plain", useOffset=False)
    unit = cells.unit(answer.output, system)
    axes.set_xlabel(unit, color=look.QUIET, size=look.SMALLEST_TEXT, labelpad=1.0)


def _reaches(axes: Axes, answer: Answer, rows: int, system: System) -> None:
    """From the lowest mean to the highest of each factor, with the levels at both ends: a tornado."""
    ordered = _ordered(answer)[:rows]
    ends = [_ends(effect) for effect in ordered]
    names = [
        [cells.middle(effect.column, group, system)[:LONGEST] for group in two]
        for effect, two in zip(ordered, ends, strict=True)
    ]
    _limits(axes, [[cells.value(answer.output, it.mean, system) for it in two] for two in ends], names)
    for row, (effect, two) in enumerate(zip(ordered, ends, strict=True)):
        left, right = (cells.value(answer.output, group.mean, system) for group in two)
        axes.barh(row + 0.18, right - left, BAR, left, color=look.COT_BAND, edgecolor=look.COT, lw=0.8)
        how: dict[str, Any] = {
            "size": look.SMALLEST_TEXT, "va": "center", "color": look.QUIET, "path_effects": RIM,
        }  # fmt: skip
        _at(axes, left, row + 0.18, names[row][0], "right", how)
        _at(axes, right, row + 0.18, names[row][1], "left", how)
        unit = cells.unit_of(effect.column, system)
        name = f"{effect.column.name}{f' [{unit}]' if unit else ''}{_share(answer, effect)}"
        axes.text(
            0.0, row - 0.22, name, size=look.SMALLEST_TEXT,
            va="center", path_effects=RIM, transform=axes.get_yaxis_transform(),
        )  # fmt: skip


def _limits(axes: Axes, ends: Sequence[Sequence[float]], names: Sequence[Sequence[str]]) -> None:
    """Limits of the axis that leave room for what stands at both ends of the bars."""
    left, right = (LETTER * (2 + max(len(two[side]) for two in names)) for side in (0, 1))
    low, high = min(two[0] for two in ends), max(two[1] for two in ends)
    width = (high - low or 1.0) / (1.0 - left - right)
    axes.set_xlim(low - left * width, high + right * width)


def _at(axes: Axes, at: float, row: float, text: str, side: str, how: dict[str, Any]) -> None:
    """What stands at a bar's end, apart from it."""
    away = -3 if side == "right" else 3
    axes.annotate(text, (at, row), xytext=(away, 0), textcoords="offset points", ha=side, **how)


def _ordered(answer: Answer) -> list[Effect]:
    """Effects, the largest index first where there are any, else the longest reach."""
    if answer.indices is None:
        return list(answer.effects)
    shares = answer.indices["ST"].fillna(-1.0)
    return sorted(answer.effects, key=lambda it: -float(shares.sel(factor=it.column.name)))


def _ends(effect: Effect) -> list[Any]:
    """The groups of the lowest and of the highest mean."""
    solved = [group for group in effect.groups if group.cases]
    return [min(solved, key=lambda it: it.mean), max(solved, key=lambda it: it.mean)]


def _share(answer: Answer, effect: Effect) -> str:
    """The share of the variance with others, with half its interval."""
    if answer.indices is None:
        return ""
    it = answer.indices.sel(factor=effect.column.name)
    if not np.isfinite(it["ST"]):
        return ""
    return f": {100.0 * float(it['ST']):.0f} % +- {100.0 * float(it['ST_confidence']):.0f}"


def _sizes(axes: Axes, answer: Answer, rows: int, system: System) -> None:
    """Mean sizes of Morris' changes, with their intervals."""
    indices = answer.indices
    assert indices is not None
    order = (-indices["mu_star"]).argsort().values.tolist()[:rows]
    for row, n in enumerate(order):
        it = indices.isel(factor=n)
        size, half = (
            cells.change(answer.output, float(it[name]), system) for name in ("mu_star", "mu_star_confidence")
        )
        axes.barh(row + 0.18, size, BAR, color=look.COT_BAND, edgecolor=look.COT, lw=0.8)
        axes.errorbar(size, row + 0.18, xerr=half, color=look.INK, lw=1.0, capsize=2.5)
        name = str(it["factor"].values)
        axes.text(
            0.0, row - 0.22, f"{name}{_way(answer, name, it)}", size=look.SMALLEST_TEXT, va="center",
            path_effects=RIM, transform=axes.get_yaxis_transform(),
        )  # fmt: skip
    axes.set_xlim(left=0.0)


def _way(answer: Answer, name: str, index: xr.Dataset) -> str:
    """Which way the output goes, where it goes one way nearly always."""
    mean = float(index["mu"])
    if abs(mean) < ONE_WAY * float(index["mu_star"]) or mean == 0.0:
        return ""
    labels = next(it.column.labels for it in answer.effects if it.column.name == name)
    if labels:
        best = labels[-1] if mean > 0.0 else labels[0]
        return f": highest with {best}"[:LONGEST_WAY] if len(labels) == 2 else ""
    return ": rises with it" if mean > 0.0 else ": falls with it"

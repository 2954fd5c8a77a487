"""The picture of a study: for each output a bar for each factor, the longest on top."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from simtent.scenario.scenario import Scenario
from simtent.surveys.effects import Effect
from simtent.surveys.opened import Opened
from simtent.tell import frame, look, study_words
from simtent.tell import study_cells as cells
from simtent.tell.study_words import Answer
from simtent.tell.wrapping import wrapped
from simtent.units import System

MOST_OUTPUTS, MOST_FACTORS = 3, 10
HEAD, LINE, BAR, APART, GAP = (
    0.20,
    0.135,
    0.14,
    0.09,
    0.5,
)  # in: a title's line, a name's, a bar, below it, an axis
TOP, FOOT = 1.08, 0.80  # in, of cautions and name; of what stands at the foot
RIM = [withStroke(linewidth=2.5, foreground="white")]  # so that no line of the grid strikes a text out
ONE_WAY = 0.9  # of the size of a change, that its mean has at least where it goes one way
LETTER, LONGEST = (
    0.019,
    14,
)  # share of the width that a letter takes; letters at a bar's end, of more stand above it


@dataclass(frozen=True)
class Row:
    """A factor's bar: the lines above it, what is drawn, and how much room it takes [in]."""

    lines: Sequence[str]
    drawn: Callable[[Axes, float], None]

    @property
    def height(self) -> float:
        """With what is kept clear below it."""
        return LINE * len(self.lines) + BAR + APART


@dataclass(frozen=True)
class Panel:
    """An output: its title in lines, its rows, and the axis' ends; None for from 0 to what is needed."""

    answer: Answer
    title: Sequence[str]
    rows: Sequence[Row]
    ends: tuple[float, float] | None

    @property
    def above(self) -> float:
        """What its title takes [in]."""
        return HEAD * len(self.title)

    @property
    def inner(self) -> float:
        """What its rows take [in]."""
        return sum(row.height for row in self.rows)

    @property
    def height(self) -> float:
        """All it takes, its axis too [in]."""
        return self.above + self.inner + GAP


def to_bytes(
    scenario: Scenario, found: Opened, answers: Sequence[Answer], system: System, form: str = "png"
) -> bytes:
    """Draw it; the picture as a file that says whose it is."""
    return frame.as_file(scenario, lambda: draw(scenario, found, answers, system), form)


def draw(scenario: Scenario, found: Opened, answers: Sequence[Answer], system: System) -> Figure:
    """The picture: cautions, an output below the other."""
    room = 72.0 * frame.width() * (1.0 - 2.0 * look.EDGE)
    panels = [_panel(answer, system, room) for answer in answers[:MOST_OUTPUTS]]
    height = TOP + sum(panel.height for panel in panels) + FOOT
    figure = frame.blank(height)
    top = height - TOP
    for panel in panels:
        bottom = top - panel.above - panel.inner
        axes = figure.add_axes((look.EDGE, bottom / height, 1.0 - 2.0 * look.EDGE, panel.inner / height))
        _drawn(axes, panel, system)
        figure.text(
            look.EDGE,
            (bottom + panel.inner + 0.05) / height,
            "\n".join(panel.title),
            weight="bold",
            va="bottom",
        )
        top -= panel.height
    about = found.dataset.attrs
    bars = "mean changes" if found.design["method"] == "morris" else "bars join means"
    frame.heading(figure, scenario, f"{about['solved']:,} nights by {found.design['method']}: {bars}")
    frame.footing(figure, scenario)
    return figure


def _panel(answer: Answer, system: System, room: float) -> Panel:
    title = wrapped(f"{answer.output}{_title(answer)}", look.TEXT, room, bold=True)
    if answer.indices is not None and "mu_star" in answer.indices:
        return Panel(answer, title, _sizes(answer, system, room), None)
    return Panel(answer, title, *_reaches(answer, system, room))


def _title(answer: Answer) -> str:
    if answer.indices is None:
        return ""
    return ": share of what varies" if "ST" in answer.indices else ": size of change"


def _drawn(axes: Axes, panel: Panel, system: System) -> None:
    """The bars of one output, below each other in inches from the top."""
    top = 0.0
    if panel.ends:
        axes.set_xlim(*panel.ends)
    for row in panel.rows:
        for k, line in enumerate(row.lines):
            axes.text(
                0.0, top + (k + 0.5) * LINE, line, size=look.SMALLEST_TEXT, va="center", path_effects=RIM,
                transform=axes.get_yaxis_transform(),
            )  # fmt: skip
        row.drawn(axes, top + LINE * len(row.lines) + 0.5 * BAR)
        top += row.height
    if not panel.ends:
        axes.set_xlim(left=0.0)
    axes.set_ylim(top, 0.0)
    axes.set_yticks([])
    axes.grid(visible=False, axis="y")
    axes.grid(visible=True, axis="x")
    axes.ticklabel_format(axis="x", style="plain", useOffset=False)
    unit = cells.unit(panel.answer.output, system)
    axes.set_xlabel(unit, color=look.QUIET, size=look.SMALLEST_TEXT, labelpad=1.0)


def _reaches(answer: Answer, system: System, room: float) -> tuple[list[Row], tuple[float, float]]:
    """From the lowest mean to the highest of each factor, with the levels at both ends: a tornado."""
    ordered = _ordered(answer)[:MOST_FACTORS]
    ends = [study_words.ends(effect) for effect in ordered]
    every = [
        [cells.middle(effect.column, group, system) if effect.reach else "" for group in two]
        for effect, two in zip(ordered, ends, strict=True)
    ]
    beside = [two if max(map(len, two)) <= LONGEST else ["", ""] for two in every]
    rows = []
    for effect, two, names, short in zip(ordered, ends, every, beside, strict=True):
        unit = cells.unit_of(effect.column, system)
        name = f"{effect.column.name}{f' [{unit}]' if unit else ''}{_share(answer, effect)}"
        name += "" if effect.reach else ": no difference"
        lines = wrapped(name, look.SMALLEST_TEXT, room)
        if names != short:
            for side, text in zip(("left", "right"), names, strict=True):
                lines += wrapped(f"{side}: {text}", look.SMALLEST_TEXT, room)
        values = [cells.value(answer.output, group.mean, system) for group in two]
        rows.append(Row(lines, partial(_reach, values, short)))
    limits = [[cells.value(answer.output, it.mean, system) for it in two] for two in ends]
    return rows, _limits(limits, beside)


def _reach(values: Sequence[float], names: Sequence[str], axes: Axes, at: float) -> None:
    """A bar from one mean to another, with its ends' names."""
    left, right = values
    axes.barh(at, right - left, BAR, left, color=look.COT_BAND, edgecolor=look.COT, lw=0.8)
    how: dict[str, Any] = {
        "size": look.SMALLEST_TEXT, "va": "center", "color": look.QUIET, "path_effects": RIM,
    }  # fmt: skip
    _at(axes, left, at, names[0], "right", how)
    _at(axes, right, at, names[1], "left", how)


def _limits(ends: Sequence[Sequence[float]], names: Sequence[Sequence[str]]) -> tuple[float, float]:
    """Limits of the axis that leave room for what stands at both ends of the bars."""
    left, right = (LETTER * (2 + max(len(two[side]) for two in names)) for side in (0, 1))
    low, high = min(two[0] for two in ends), max(two[1] for two in ends)
    width = (high - low or 1.0) / (1.0 - left - right)
    return low - left * width, high + right * width


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


def _share(answer: Answer, effect: Effect) -> str:
    """The share of the variance with others, with half its interval."""
    if answer.indices is None:
        return ""
    it = answer.indices.sel(factor=effect.column.name)
    if not np.isfinite(it["ST"]):
        return ""
    return f": {100.0 * float(it['ST']):.0f} % +- {100.0 * float(it['ST_confidence']):.0f}"


def _sizes(answer: Answer, system: System, room: float) -> list[Row]:
    """Mean sizes of Morris' changes, with their intervals."""
    assert answer.indices is not None
    rows = []
    for it in study_words.by_size(answer.indices, "mu_star")[:MOST_FACTORS]:
        size, half = (
            cells.change(answer.output, float(it[name]), system) for name in ("mu_star", "mu_star_confidence")
        )
        name = str(it["factor"].values)
        lines = wrapped(f"{name}{_way(answer, name, it)}", look.SMALLEST_TEXT, room)
        rows.append(Row(lines, partial(_size, size, half)))
    return rows


def _size(size: float, half: float, axes: Axes, at: float) -> None:
    axes.barh(at, size, BAR, color=look.COT_BAND, edgecolor=look.COT, lw=0.8)
    axes.errorbar(size, at, xerr=half, color=look.INK, lw=1.0, capsize=2.5)


def _way(answer: Answer, name: str, index: xr.Dataset) -> str:
    """Which way the output goes, where it goes one way nearly always."""
    mean = float(index["mu"])
    if abs(mean) < ONE_WAY * float(index["mu_star"]) or mean == 0.0:
        return ""
    labels = next(it.column.labels for it in answer.effects if it.column.name == name)
    if labels:
        best = labels[-1] if mean > 0.0 else labels[0]
        return f": highest with {best}" if len(labels) == 2 else ""
    return ": rises with it" if mean > 0.0 else ": falls with it"

"""The night hour by hour, in a table of 80 columns."""

from collections.abc import Sequence
from itertools import pairwise

import xarray as xr

from simtent.scenario.scenario import Scenario
from simtent.tell.curves import Curve, curve
from simtent.tell.wished import Wished
from simtent.tell.words import WIDTH, clock, degree_number, degree_unit, full_hours, paragraph, whole
from simtent.units import System, number, unit_name

FIRST_SHOWN = ("cot", "head", "floor", "waist")  # where there is no room for every level
REMARK = 17  # width kept for what stands beside a row


def hourly(scenario: Scenario, dataset: xr.Dataset, system: System) -> list[str]:
    """Lines of the table: outdoors, the levels from the ground up, mean heat until the next row, a remark.

    A row stands at the begin, at every full hour of the camp's clock, at bed and rise time and at the end.
    """
    wished, night = Wished.of(scenario), scenario.night
    marks = {m for m in (0.0, wished.bed, wished.rise, night.seconds) if m is not None}
    moments = sorted(marks | set(full_hours(night)))
    levels, left_out = _levels(dataset)
    columns = {"outdoors": curve(dataset, "outdoor_temperature")}
    columns |= {level: curve(dataset, "level_temperature", level=level) for level in levels}
    heat = _mean_heat(dataset, moments, system)
    names = [*columns, "heat"]
    units = [*[degree_unit(system)] * len(columns), unit_name("power", system)]
    lines = [_row("time", names, names, ""), _row("", units, names, "")]
    for moment, power in zip(moments, heat, strict=True):
        cells = [whole(degree_number(column.at(moment), system)) for column in columns.values()]
        remark = _remark(moment, wished, columns)
        lines.append(_row(clock(night, moment), [*cells, power], names, remark))
    note = "heat: mean from this row to the next."
    if left_out:
        note += f" Levels only in the file: {', '.join(left_out)}."
    return [*lines, "", *paragraph(note)]


def _levels(dataset: xr.Dataset) -> tuple[list[str], list[str]]:
    """The levels that fit, lowest first, and the others."""
    by_height = [str(name) for name in dataset.sortby("level_height")["level"].values]
    room = WIDTH - REMARK - len(_row("time", ["outdoors", "heat"], ["outdoors", "heat"], ""))
    chosen = []
    for name in sorted(by_height, key=lambda n: (n not in FIRST_SHOWN, n)):
        room -= _width(name)
        if room >= 0:
            chosen.append(name)
    return [n for n in by_height if n in chosen], [n for n in by_height if n not in chosen]


def _mean_heat(dataset: xr.Dataset, moments: Sequence[float], system: System) -> list[str]:
    """Mean power from each moment to the next, from the energy ledger; nothing after the last."""
    given = curve(dataset, "energy", account="source")
    pairs = pairwise(moments)
    means = [(given.at(after) - given.at(now)) / (after - now) for now, after in pairs]
    return [*(whole(number(mean, "power", system), -1) for mean in means), ""]


def _remark(moment: float, wished: Wished, columns: dict[str, Curve]) -> str:
    words = []
    if moment == wished.bed:
        words.append("bed")
    if moment == wished.rise:
        words.append("rise")
    asleep = wished.in_bed[0] <= moment <= wished.in_bed[1]
    if asleep and wished.cot_at_least is not None and columns["cot"].at(moment) < wished.cot_at_least:
        words.append("cot too cold")
    up = wished.bed is None or moment < wished.bed
    if up and wished.head_at_most is not None and columns["head"].at(moment) > wished.head_at_most:
        words.append("head too hot")
    return ", ".join(words)


def _row(time: str, cells: Sequence[str], names: Sequence[str], remark: str) -> str:
    numbers = "".join(cell.rjust(_width(name)) for cell, name in zip(cells, names, strict=True))
    return f"{time:<5}{numbers}  {remark}".rstrip()


def _width(name: str) -> int:
    return max(len(name), 5) + 2

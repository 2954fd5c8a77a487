"""The night hour by hour, in a table of 80 columns."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from textwrap import wrap

import xarray as xr

from simtent.assess.curves import Curve, curve, seconds_of
from simtent.assess.loads import wood_on_fire
from simtent.assess.moments import clock, full_hours
from simtent.scenario.scenario import Scenario
from simtent.tell.wished import Wished
from simtent.tell.words import TIED, WIDTH, degree_number, degree_unit, paragraph, tied, whole, wood_mass
from simtent.units import System, number, unit_name

FIRST_SHOWN = ("cot", "head", "floor", "waist")  # where there is no room for every level
REMARK = 17  # width kept at least for what stands beside a row
OF_STOVE = {"stove": "stove_temperature", "flue": "flue_gas_temperature", "pipe": "pipe_temperature"}
TIME = 5  # width of the clock


@dataclass(frozen=True, slots=True)
class Column:
    """One column of numbers: its name, unit, and the number at a moment [s from begin].

    value  the number itself, in SI or degC; None where the column is empty then
    """

    name: str
    unit: str
    cell: Callable[[float], str]
    value: Callable[[float], float | None]

    @property
    def width(self) -> int:
        """Characters it takes."""
        return _width(self.name)


@dataclass(frozen=True, slots=True)
class Row:
    """One moment of the table [s from begin], and what is said beside its numbers."""

    moment: float
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Hours:
    """The table itself: its columns, its rows in time, and what its columns mean."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: tuple[str, ...]


def hourly(scenario: Scenario, dataset: xr.Dataset, system: System) -> list[str]:
    """Lines of the table: temperatures from the ground up, mean heat until the next row, wood, coals, a remark."""
    given = hours(scenario, dataset, system)
    columns = given.columns
    lines = [_row("time", [c.name for c in columns], columns), _row("", [c.unit for c in columns], columns)]
    for row in given.rows:
        text = _row(
            clock(scenario.night, row.moment), [column.cell(row.moment) for column in columns], columns
        )
        lines += _remarked(text, columns, row.remarks)
    return [*lines, "", *paragraph(" ".join(given.notes))]


def hours(scenario: Scenario, dataset: xr.Dataset, system: System) -> Hours:
    """The table of a night.

    A row stands at the begin, at every full hour of the camp's clock, at bed and rise time, at the end, and
    at whatever is done at a stove.
    """
    wished, night = Wished.of(scenario), scenario.night
    asked = {m for m in (0.0, wished.bed, wished.rise, night.seconds) if m is not None}
    marks = asked | set(full_hours(night))
    done = _done(dataset, marks, system)
    moments = sorted(marks | set(done))
    fuel = _fuel(dataset, system)
    _, left_out = _levels(dataset, sum(column.width for column in fuel))
    curves = {name: it for name, it in temperatures(dataset).items() if name not in left_out}
    columns = [_temperature(name, given, system) for name, given in curves.items()]
    columns += [_heat(dataset, moments, system), *fuel]
    rows = (Row(at, (*_remarks(at, wished, curves), *done.get(at, ()))) for at in moments)
    return Hours(tuple(columns), tuple(rows), tuple(_notes(dataset, left_out)))


def temperatures(dataset: xr.Dataset) -> dict[str, Curve]:
    """Outdoor air and that of every level, from the ground up [degC]; in the open stove, flue gas and pipe."""
    found = {"outdoors": curve(dataset, "outdoor_temperature")}
    if "level" not in dataset.dims:
        return found | {name: curve(dataset, variable) for name, variable in OF_STOVE.items()}
    return found | {
        str(level): curve(dataset, "level_temperature", level=str(level))
        for level in dataset.sortby("level_height")["level"].values
    }


def _notes(dataset: xr.Dataset, left_out: Sequence[str]) -> list[str]:
    notes = ["heat: mean from this row to the next."]
    if "fuel_mass" in dataset:
        notes.append("wood, coals: what is on the fire.")
    if "level" not in dataset.dims:
        notes.append("flue: its gas at the collar; pipe: its hottest metal.")
    if left_out:
        notes.append(f"Levels only in the file: {', '.join(left_out)}.")
    return notes


def _levels(dataset: xr.Dataset, taken: int) -> tuple[list[str], list[str]]:
    """The levels that fit beside what else is shown, lowest first, and the others."""
    if "level" not in dataset.dims:
        return [], []
    by_height = [str(name) for name in dataset.sortby("level_height")["level"].values]
    room = WIDTH - REMARK - taken - TIME - _width("outdoors") - _width("heat") - 2
    chosen = []
    for name in sorted(by_height, key=lambda n: (n not in FIRST_SHOWN, n)):
        room -= _width(name)
        if room >= 0:
            chosen.append(name)
    return [n for n in by_height if n in chosen], [n for n in by_height if n not in chosen]


def _width(name: str) -> int:
    return max(len(name), 5) + 2


def _temperature(name: str, given: Curve, system: System) -> Column:
    return Column(name, degree_unit(system), lambda t: whole(degree_number(given.at(t), system)), given.at)


def _heat(dataset: xr.Dataset, moments: Sequence[float], system: System) -> Column:
    """Mean power from each moment to the next, from the energy ledger; nothing after the last."""
    accounts = [name for name in ("source", "fire", "unburnt") if name in dataset["account"].values]
    given = [curve(dataset, "energy", account=name) for name in accounts]
    means = {}
    for now, after in pairwise(moments):
        means[now] = sum(sums.at(after) - sums.at(now) for sums in given) / (after - now)
    shown = {now: whole(number(mean, "power", system), -1) for now, mean in means.items()}
    return Column("heat", unit_name("power", system), lambda t: shown.get(t, ""), means.get)


def _fuel(dataset: xr.Dataset, system: System) -> list[Column]:
    if "fuel_mass" not in dataset:
        return []
    unit = unit_name("mass", system)
    wood, given = wood_on_fire(dataset), curve(dataset, "fuel_mass", fuel_stage="coals")

    def coals(t: float) -> float:
        return max(given.at(t), 0.0)

    return [
        Column("wood", unit, lambda t: f"{number(wood.at(t), 'mass', system):.1f}", wood.at),
        Column("coals", unit, lambda t: f"{number(coals(t), 'mass', system):.2f}", coals),
    ]


def _done(dataset: xr.Dataset, marks: Iterable[float], system: System) -> dict[float, list[str]]:
    """What is done at stove and door, by the moment of its row [s]: one row for each minute of the clock.

    The steps of a known source are left out: there may be hundreds.
    """
    found: dict[float, list[str]] = {}
    if "event" not in dataset.dims:
        return found
    fire = "fuel_mass" in dataset
    rows = {round(mark / 60.0): mark for mark in marks}
    masses, words = dataset["event_mass"].values.tolist(), dataset["event_what"].values.tolist()
    moments = seconds_of(dataset, dataset["event_time"].values).tolist()
    for moment, mass, what in zip(moments, masses, words, strict=True):
        if not fire and not what.startswith("door"):
            continue
        row = rows.setdefault(round(moment / 60.0), moment)
        told = what.replace("load", f"load {wood_mass(mass, system)}", 1) if mass > 0.0 else what
        found.setdefault(row, []).append(told)
    return found


def _remarks(moment: float, wished: Wished, curves: dict[str, Curve]) -> list[str]:
    words = []
    if moment == wished.bed:
        words.append("bed")
    if moment == wished.rise:
        words.append("rise")
    asleep = wished.in_bed[0] <= moment <= wished.in_bed[1]
    if asleep and wished.cot_at_least is not None and curves["cot"].at(moment) < wished.cot_at_least:
        words.append("cot too cold")
    up = wished.bed is None or moment < wished.bed
    if up and wished.head_at_most is not None and curves["head"].at(moment) > wished.head_at_most:
        words.append("head too hot")
    return words


def _row(time: str, cells: Sequence[str], columns: Sequence[Column]) -> str:
    numbers = "".join(cell.rjust(column.width) for cell, column in zip(cells, columns, strict=True))
    return f"{time:<{TIME}}{numbers}".rstrip()


def _remarked(row: str, columns: Sequence[Column], remarks: Sequence[str]) -> list[str]:
    """The row with what is to be said beside it, on as many lines as that takes."""
    width = TIME + sum(column.width for column in columns)
    lines = wrap(tied(", ".join(remarks)), WIDTH - width - 2, break_on_hyphens=False) or [""]
    starts = [row, *[""] * (len(lines) - 1)]
    both = zip(starts, lines, strict=True)
    return [f"{start:<{width}}  {line}".rstrip().replace(TIED, " ") for start, line in both]

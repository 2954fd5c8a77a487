"""Nights that differ in one thing, side by side: a table of what it changes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import xarray as xr

from simtent.assess import damp
from simtent.assess.comfort import sleeping
from simtent.assess.curves import curve
from simtent.scenario.scenario import Scenario
from simtent.tell.heights_levels import head_over_floor
from simtent.tell.wished import Wished
from simtent.tell.words import degree_number, degree_unit, paragraph, two_figures, whole
from simtent.units import System, number, unit_name

LABEL, CELL = 16, 8  # widths of the columns


@dataclass(frozen=True, slots=True)
class Other:
    """One of the nights compared: how it is called, what was simulated, what came out.

    value  what was changed, as a number where it is one
    given  whether it is the night of the file
    """

    words: str
    scenario: Scenario
    dataset: xr.Dataset
    value: float | None = None
    given: bool = False


@dataclass(frozen=True, slots=True)
class Comparison:
    """Nights that differ in one thing: what that is, the nights, and what holds whatever they show."""

    what: str
    nights: tuple[Other, ...]
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name in two lines, and the cell of a night."""

    name: tuple[str, str]
    cell: Callable[[Other], str]


def compared(comparison: Comparison, system: System) -> list[str]:
    """Lines of at most 80 characters: a row for each night; `notes` say what the columns mean."""
    columns = _columns(comparison, system)
    lines = [
        f"{head:<{LABEL}}" + "".join(column.name[k].rjust(CELL) for column in columns)
        for k, head in enumerate((comparison.what, degree_unit(system)))
    ]
    for night in comparison.nights:
        words = f"{night.words} (file)" if night.given else night.words
        lines.append(
            f"{_short(words):<{LABEL}}" + "".join(column.cell(night).rjust(CELL) for column in columns)
        )
    return [*lines, *paragraph(comparison.caution)]


def notes(comparisons: Sequence[Comparison], system: System) -> list[str]:
    """What the columns of all those tables mean; nothing without a table."""
    if not comparisons:
        return []
    note = "coldest: in bed. over: head over floor, at most."
    if comparisons[0].nights[0].scenario.crew.bag is not None:
        note += " comfort: hours felt below what the bag's label calls so."
    if damp.counted(comparisons[0].nights[0].dataset):
        note += (
            " on skin: frost and water left in the morning; in bags: gained by then, an estimate; both in "
            f"{unit_name('water', system)}."
        )
    note += " Nights without a range: those that differ by a degree or two are alike."
    return ["", *paragraph(note)]


def coldest(night: Other, level: str) -> float:
    """The lowest temperature of the air at a level in bed [degC]."""
    air = curve(night.dataset, "level_temperature", level=level)
    return air.between(*Wished.of(night.scenario).in_bed).lowest()[1]


def hottest(night: Other) -> float:
    """The highest temperature of the air at the head [degC]."""
    return curve(night.dataset, "level_temperature", level="head").highest()[1]


def most_over(night: Other) -> float:
    """The most that the head is warmer than the floor [K]."""
    return head_over_floor(night.dataset).highest()[1]


def hours_below_comfort(night: Other) -> float | None:
    """Felt below what the bag's label calls comfort [h]; None without a bag."""
    return sleeping(night.scenario, night.dataset, night.scenario.levels["cot"]).hours_below_comfort


def in_bags(night: Other) -> float:
    """Water that the bags gained until people rise [kg]."""
    return damp.account(night.dataset, "stored_bag").at(Wished.of(night.scenario).in_bed[1])


def felt_coldest(night: Other) -> float:
    """The lowest felt temperature at the cot in bed [degC]."""
    felt = curve(night.dataset, "operative_temperature", level="cot")
    return felt.between(*Wished.of(night.scenario).in_bed).lowest()[1]


def left_on_skin(night: Other) -> dict[str, float]:
    """Frost and liquid water on the skin as people rise [kg]."""
    return damp.on_skin(night.dataset, Wished.of(night.scenario).in_bed[1])


def _columns(comparison: Comparison, system: System) -> Sequence[Column]:
    def degrees_of(celsius: float) -> str:
        return whole(degree_number(celsius, system))

    def over(night: Other) -> str:
        return whole(number(most_over(night), "temperature_difference", system))

    columns = [
        Column(("cot", "coldest"), lambda night: degrees_of(coldest(night, "cot"))),
        Column(("felt", "coldest"), lambda night: degrees_of(felt_coldest(night))),
        Column(("floor", "coldest"), lambda night: degrees_of(coldest(night, "floor"))),
        Column(("head", "hottest"), lambda night: degrees_of(hottest(night))),
        Column(("", "over"), over),
    ]
    if comparison.nights[0].scenario.crew.bag is not None:
        columns.append(Column(("h below", "comfort"), _hours_below_comfort))
    if damp.counted(comparison.nights[0].dataset):
        columns += [
            Column(("water", "on skin"), lambda night: _water(sum(left_on_skin(night).values()), system)),
            Column(("water", "in bags"), lambda night: _water(in_bags(night), system)),
        ]
    return columns


def _hours_below_comfort(night: Other) -> str:
    hours = hours_below_comfort(night)
    return "" if hours is None else f"{hours:.1f}"


def _water(mass: float, system: System) -> str:
    shown = number(mass, "water", system)
    return whole(shown) if system == "si" else two_figures(shown)


def _short(words: str) -> str:
    return words if len(words) < LABEL else f"{words[: LABEL - 2]}."

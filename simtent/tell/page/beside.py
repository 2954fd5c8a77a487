"""Nights side by side as tables of a page: three variants beside the base, each difference over its range."""

from collections.abc import Sequence

from simtent.comparing.asked import Number
from simtent.comparing.compared import Compared
from simtent.comparing.nights import Night
from simtent.comparing.ranked import Bought
from simtent.tell import compared_energy, usual_words
from simtent.tell.differences import blocks, cell, ends, label, notes, rows, shown
from simtent.tell.page.markup import Markup, breakable, joined, paragraphs, tag
from simtent.tell.page.tables import Line, table
from simtent.tell.words import sentence
from simtent.units import System, unit_name

KIND = "beside turned"


def differences(found: Compared, system: System) -> Markup:
    """What people ask of the base, and by how much each variant differs."""
    tables = (_differences(found, those, system) for those in blocks(found.variants))
    return joined([*tables, paragraphs([notes(found)])])


def energies(found: Compared, system: System) -> Markup:
    """The energy accounts side by side."""
    tables = (
        table(
            f"In {unit_name('energy', system)}{_named(found, those)}.",
            _head("account", those),
            [
                Line(compared_energy.WORDS.get(name, name), compared_energy.cells(found, those, name, system))
                for name in compared_energy.rows(found, system)
            ],
            KIND,
        )
        for those in blocks(found.variants)
    )
    return joined([*tables, paragraphs([compared_energy.NOTE])])


def ranking(bought: Sequence[Bought], system: System, currency: str) -> Markup:
    """The usual changes by what they buy, and what the columns mean."""
    tables = (
        table(
            sentence(title.capitalize()),
            ["change", *(" ".join(it).strip() for it in usual_words.columns(title, system, currency, those))],
            [Line(breakable(usual_words.name_of(it)), usual_words.cells_of(it, system)) for it in those],
            KIND,
        )
        for title, those in usual_words.parted(bought)
    )
    return joined([*tables, paragraphs([usual_words.NOTES])])


def _differences(found: Compared, those: Sequence[Night], system: System) -> Markup:
    lines = [
        Line(
            label(it, system),
            [
                shown(found.base.values[it.name], it, system, signed=False),
                *(_cell(found, night, it, system) for night in those),
            ],
        )
        for it in rows(found)
    ]
    return table(
        f"Variant minus base, its range below{_named(found, those)}.", _head("number", those), lines, KIND
    )


def _cell(found: Compared, night: Night, it: Number, system: System) -> Markup:
    difference = found.difference(night.name, it.name)
    within = ends(difference, it, system)
    amount = tag("b", cell(difference, it, system))
    return joined([amount, tag("span", within, class_="range")], " ") if within else amount


def _head(first: str, those: Sequence[Night]) -> list[str]:
    return [first, "base", *(breakable(night.name) for night in those)]


def _named(found: Compared, those: Sequence[Night]) -> str:
    """Which variants a table has, where it does not have all of them."""
    return "" if len(those) == len(found.variants) else f": {', '.join(night.name for night in those)}"

"""The night from floor to peak in words: levels, layering, what keeps the floor cold, comfort, damp, comparisons."""

from collections.abc import Iterable, Sequence

import xarray as xr

from simtent.assess.curves import curve
from simtent.balance import Balances
from simtent.scenario.scenario import Scenario
from simtent.tell.compared import Comparison, compared, notes
from simtent.tell.heights_cold import cold
from simtent.tell.heights_comfort import comfort
from simtent.tell.heights_damp import dampness
from simtent.tell.heights_levels import layering, levels_table
from simtent.tell.heights_picture import Shown
from simtent.tell.wished import Wished
from simtent.tell.words import paragraph
from simtent.units import System

LABEL = 25  # width of the left column


def usual_moments(scenario: Scenario, dataset: xr.Dataset) -> list[Shown]:
    """The times whose profiles are drawn where none are asked for: head hottest, cot coldest in bed."""
    hottest = curve(dataset, "level_temperature", level="head").highest()[0]
    both = [Shown(hottest, "head hottest"), Shown(coldest(scenario, dataset), "cot coldest in bed")]
    return sorted(both, key=lambda shown: shown.seconds)


def coldest(scenario: Scenario, dataset: xr.Dataset) -> float:
    """When the cot is coldest in bed [s from begin]."""
    return curve(dataset, "level_temperature", level="cot").between(*Wished.of(scenario).in_bed).lowest()[0]


def told(
    scenario: Scenario,
    dataset: xr.Dataset,
    found: Balances,
    why: str,
    comparisons: Sequence[Comparison],
    system: System,
) -> list[str]:
    """Lines of at most 80 characters.

    found, why  the balance of the lowest air and the floor, and why at its moment; "" where it was asked for
    """
    below = below_levels(scenario, dataset, found, why, comparisons, system)
    return [*levels_table(scenario, dataset, system), "", *below]


def below_levels(
    scenario: Scenario,
    dataset: xr.Dataset,
    found: Balances,
    why: str,
    comparisons: Sequence[Comparison],
    system: System,
) -> list[str]:
    """The lines below the table of levels, as by `told`."""
    lines = [*_sentences(layering(scenario, dataset, system))]
    lines += ["", *cold(scenario, found, system, why), ""]
    lines += _sentences(comfort(scenario, dataset, system))
    lines += ["", *_sentences(dampness(scenario, dataset, system))]
    for comparison in comparisons:
        lines += ["", *compared(comparison, system)]
    return [*lines, *notes(comparisons, system)]


def _sentences(pairs: Iterable[tuple[str, str]]) -> Sequence[str]:
    lines: list[str] = []
    for label, text in pairs:
        lines += paragraph(text, first=label.ljust(LABEL), rest=" " * LABEL)
    return lines

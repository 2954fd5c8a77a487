"""The whole story of a comparison on one page."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import xarray as xr

from simtent.comparing.compared import Compared
from simtent.comparing.dataset import to_dataset
from simtent.comparing.draws import drawn
from simtent.comparing.nights import nights
from simtent.comparing.usual import applied
from simtent.driver import SWIFT
from simtent.errors import Fault, InputError
from simtent.network.solve import Accuracy
from simtent.scenario.scenario import Scenario
from simtent.scenario.varied import BASE, HOW, Variant, beside, of_changes, of_text, of_variant, twice

Variants = str | Iterable[str] | Mapping[str, Scenario | Mapping[str, Any]] | None
Progress = Callable[[str], None]
DRAWS = 20


def compare(
    scenario: Scenario,
    variants: Variants = None,
    *,
    usual: bool = False,
    draws: int = DRAWS,
    seed: int = 0,
    accuracy: Accuracy = SWIFT,
    progress: Progress = lambda _line: None,
) -> xr.Dataset:
    """Hold variants of a scenario against it: the same night, the same draws of what nobody knows.

    Parameters
    ----------
    scenario : Scenario
        The base.
    variants : optional
        Names of the scenario's own [variants] or texts such as "mat: shelter.floor.mat=20 mm closed-cell foam"; or a
        mapping of names to scenarios or to replacements by dotted keys. Without it all of the scenario's own, or
        with `usual` none.
    usual : bool
        Also the usual changes that apply to the scenario, see `simtent.comparing.usual`.
    draws : int
        How often what nobody has measured, or what logs leave open, is drawn for the range of each difference; 0 for
        none.
    seed : int
        Of the draws.
    accuracy : Accuracy
        How the whole nights are solved.
    progress : callable
        Is told a line now and then.

    Returns
    -------
    xarray.Dataset
        value(variant, number) with unit(number), the base first as "base"; difference, difference_low,
        difference_high and apart(variant, number): variant minus base, the range of eight draws in ten, and whether
        the two can be told apart; same(variant): whether it says the same as the base; drawn(variant, draw, number);
        energy(variant, account) [J]; level_temperature(variant, level, time) [degC], of the levels that all of them
        name; findings_added and findings_removed(variant), a line each; carried(variant) [kg] for usual changes.

    Raises
    ------
    InputError
        There is no variant, two have one name, or what one says is no scenario.
    SolveError
        A night cannot be solved.
    """
    changes = applied(scenario) if usual else ()
    given = (
        () if usual and variants is None else wanted(scenario, variants, [it.usual.name for it in changes])
    )
    those = (*given, *(it.variant for it in changes))
    found = compared(scenario, those, draws=draws, seed=seed, accuracy=accuracy, progress=progress)
    return to_dataset(found, {it.usual.name: it.mass for it in changes})


def wanted(scenario: Scenario, variants: Variants = None, others: Iterable[str] = ()) -> tuple[Variant, ...]:
    """The variants that are asked for, all built, beside others of those names; InputError with every fault."""
    found, faults = list[Variant](), list[Fault]()
    for make in _makers(scenario, variants):
        try:
            found.append(make())
        except InputError as error:
            faults += error.faults
    faults += twice([*(it.name for it in found), *others])
    if not found and not faults:
        faults.append(Fault("no variant is given", str(scenario.path), todo=HOW))
    if faults:
        raise InputError(faults)
    return tuple(found)


def compared(
    scenario: Scenario,
    variants: Sequence[Variant],
    *,
    draws: int = DRAWS,
    seed: int = 0,
    accuracy: Accuracy = SWIFT,
    progress: Progress = lambda _line: None,
) -> Compared:
    """As `compare`, of variants that are built; as values instead of a Dataset."""
    base = Variant(BASE, scenario, (), same=True)
    those = [base, *variants]
    own = [it for it in those if it is base or not it.same]
    solved = {
        night.name: night for night in nights(own, accuracy, lambda name: progress(f"Simulating {name}"))
    }
    # One that says the same as the base has its night.
    whole = tuple(solved.get(it.name, replace(solved[BASE], variant=it)) for it in those)
    shared = drawn(whole, draws, seed, lambda done, all_: _tell(progress, done, all_))
    return Compared(whole, shared)


def _makers(scenario: Scenario, variants: Variants) -> list[Callable[[], Variant]]:
    if variants is None:
        return [partial(of_variant, scenario, name) for name in scenario.variants]
    if isinstance(variants, str):
        variants = [variants]
    if not isinstance(variants, Mapping):
        return [partial(of_text, scenario, text) for text in variants]
    return [
        partial(beside, scenario, name, it)
        if isinstance(it, Scenario)
        else partial(of_changes, scenario, name, it)
        for name, it in variants.items()
    ]


def _tell(progress: Progress, done: int, of: int) -> None:
    if done % 50 == 0 and done < of:
        progress(f"{done} of {of} nights drawn for the ranges")

"""What `simtent compare` is asked for: variants from the file, from options, from other files; prices."""

import argparse
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.load import load
from simtent.scenario.nearest import nearest
from simtent.scenario.varied import HOW, Variant, beside, of_text, of_variant, twice
from simtent.verbs.outputs import settings

if TYPE_CHECKING:
    from simtent.comparing.usual import Applied
    from simtent.scenario.scenario import Scenario

PRICE = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([^\d\s]{0,5})\s*")
HOW_PRICED = 'Write for example --price "liner=180 EUR"'


@dataclass(frozen=True)
class Asked:
    """What is compared.

    usual   the usual changes that apply, if they were asked for; they are among the variants
    prices  by names of variants, all in `currency`
    """

    variants: tuple[Variant, ...]
    usual: "tuple[Applied, ...]"
    prices: dict[str, float]
    currency: str


def faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    """Everything that is wrong with what is asked for; without a scenario nothing can be told."""
    if scenario is None:
        return []
    try:
        asked(options, scenario)
    except InputError as error:
        return list(error.faults)
    return []


def asked(options: argparse.Namespace, scenario: "Scenario") -> Asked:
    """What is compared, every variant built; InputError with every fault."""
    if scenario.shelter is None:
        todo = "Give it a shelter, or ask: simtent night"
        what = "a stove in the open has no cot and no floor that could be compared"
        raise InputError(Fault(what, str(options.file), key="shelter", todo=todo))
    usual = _usual(scenario) if options.usual else ()
    found, wrong = _made(_makers(options, scenario))
    variants = (*found, *(it.variant for it in usual))
    wrong += twice(it.name for it in variants)
    if not variants and not wrong:
        wrong.append(Fault("no variant is given", str(options.file), key="variants", todo=HOW))
    prices, currency, unpaid = _prices(options, [it.name for it in variants])
    if wrong := [*wrong, *unpaid]:
        raise InputError(wrong)
    return Asked(variants, usual, prices, currency)


def _usual(scenario: "Scenario") -> "tuple[Applied, ...]":
    from simtent.comparing.usual import applied  # noqa: PLC0415

    return applied(scenario)


def _makers(options: argparse.Namespace, scenario: "Scenario") -> list[Callable[[], Variant]]:
    """What makes each variant; those of the file itself where no other is named."""
    makers: list[Callable[[], Variant]] = [partial(of_text, scenario, text) for text in options.variant]
    makers += [partial(_of_file, options, scenario, path) for path in options.others]
    if makers or options.usual:
        return makers
    return [partial(of_variant, scenario, name) for name in scenario.variants]


def _made(makers: list[Callable[[], Variant]]) -> tuple[list[Variant], list[Fault]]:
    found, wrong = list[Variant](), list[Fault]()
    for make in makers:
        try:
            found.append(make())
        except InputError as error:
            wrong += error.faults
    return found, wrong


def _of_file(options: argparse.Namespace, scenario: "Scenario", path: Path) -> Variant:
    """Another file, with the same overlays and settings, under the name of its file."""
    other = load(path, overlays=options.overlays, settings=settings(options))
    return beside(scenario, path.stem, replace(other, variants=scenario.variants))


def _prices(options: argparse.Namespace, names: list[str]) -> tuple[dict[str, float], str, list[Fault]]:
    """Prices by names of variants, their currency, and what is wrong with them."""
    prices, currencies, wrong = dict[str, float](), dict[str, None](), list[Fault]()
    if options.price and not options.usual:
        wrong.append(Fault("a price counts in a ranking", "--price", todo="Add --usual, or leave it out"))
    for text in options.price:
        name, _, amount = text.partition("=")
        read = PRICE.fullmatch(amount)
        if not read or float(read[1]) <= 0.0:
            wrong.append(Fault("a price above 0 is wanted", "--price", value=text, todo=HOW_PRICED))
        elif name.strip() not in names:
            todo = nearest(name.strip(), names) or "Take the name of a variant"
            what, allowed = "no variant that is compared has this name", ", ".join(names)
            wrong.append(Fault(what, "--price", value=name.strip(), allowed=allowed, todo=todo))
        else:
            prices[name.strip()] = float(read[1])
            currencies[read[2]] = None
    if len(currencies) > 1:
        todo = "Give all prices in one currency"
        wrong.append(Fault("prices in several currencies", "--price", value=", ".join(currencies), todo=todo))
    return prices, next(iter(currencies), ""), wrong

"""A plan as a partial scenario, which every verb takes by --with."""

from collections.abc import Iterable, Mapping
from typing import Any

from simtent.marked import mark
from simtent.planning.draft import replacements
from simtent.planning.outcome import Plan
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import DEFAULT, plant_table
from simtent.scenario.write import toml_text

ABOUT = (
    "# A stoking plan, laid over the scenario by --with: its loads take the place of all loads, settings and rules.",
    "# Calculated, not measured. The makers' manuals come first; carbon monoxide alarm on, vents open.",
)


def text(plan: Plan, scenario: Scenario) -> str:
    """The overlay of a scenario's plan as TOML, with lines that say what it is."""
    return written(replacements(plan.chosen.draft, scenario, plan.choices, relit=plan.relit), scenario, ABOUT)


def written(laid: Mapping[str, Any], scenario: Scenario, about: Iterable[str]) -> str:
    """Replacements under [stoking] as an overlay, with lines that say what it is."""
    head = [
        mark("stoke", scenario.name),
        *about,
        *(["# The scenario is invented."] if scenario.invented else []),
    ]
    stoking = {key.removeprefix("stoking."): it for key, it in laid.items()}
    return "\n".join(head) + "\n\n" + toml_text(plant_table({"stoking": stoking}, lambda _at: DEFAULT))

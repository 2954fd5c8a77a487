"""A stoking plan made up by hand, for what is told of it: no night is simulated."""

from pathlib import Path

from simtent.planning.choices import choices_of
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits
from simtent.planning.outcome import Option, Plan
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests import fake_fire
from tests.tell.cards import measured


def plan(folder: Path, coldest: float = 6.0) -> tuple[Scenario, Plan]:
    """Scenario and plan of two wake-ups, beside one of a single wake-up that misses the wish."""
    path = folder / "paper.toml"
    path.write_text(fake_fire.SCENARIO)
    scenario = load(path)
    choices, limits = choices_of(scenario), Limits.of(scenario)
    options = tuple(_option(choices, wake_ups, coldest) for wake_ups in (1, 2))
    return scenario, Plan(
        scenario=scenario,
        choices=choices,
        limits=limits,
        options=options,
        chosen=options[-1],
        promised=options[-1].night,
        dataset=fake_fire.night(),
        stops=(),
        relit=False,
        held={},
        why=None,
        relight=None,
        nights=120,
        stopped=False,
    )


def _option(choices, wake_ups: int, coldest: float) -> Option:
    each = (choices.rise - choices.bed) / (wake_ups + 1)
    puts = [
        Put(choices.bed + k * each, choices.loads[-1], choices.levers[k % 2]) for k in range(wake_ups + 1)
    ]
    night = measured(choices, coldest - 4.0 * (wake_ups < 2), odds=(2.0,) * len(puts))
    return Option(wake_ups, Draft(tuple(puts)), night, {} if wake_ups > 1 else {"cot": 2.0})

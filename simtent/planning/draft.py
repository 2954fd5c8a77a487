"""A plan as plain data: what is put on, when, and at which marks; and the scenario in which it is done."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from simtent.planning.choices import CATCHING, Choices, Levers
from simtent.scenario.clock import clock_text
from simtent.scenario.scenario import Scenario
from simtent.scenario.timed import TimedLoad, TimedSetting
from simtent.scenario.turns import Pieces, Steps


@dataclass(frozen=True, order=True, slots=True)
class Put:
    """A load: when [s from the begin], what, and how the levers stand once it has caught."""

    at: float
    pieces: Pieces
    levers: Levers


@dataclass(frozen=True, order=True, slots=True)
class Draft:
    """The loads after the first, in the order of time."""

    puts: tuple[Put, ...]

    def wake_ups(self, choices: Choices) -> int:
        """How often somebody gets up between bed and rise."""
        return sum(choices.bed < put.at < choices.rise for put in self.puts)

    def with_put(self, index: int, put: Put) -> "Draft":
        """The same with one load changed."""
        return Draft((*self.puts[:index], put, *self.puts[index + 1 :]))

    def and_put(self, *puts: Put) -> "Draft":
        """The same with loads more."""
        return Draft(tuple(sorted((*self.puts, *puts))))


def replacements(
    draft: Draft, scenario: Scenario, choices: Choices, *, relit: bool = False
) -> dict[str, Any]:
    """What lays a draft over a scenario: its loads take the place of all loads, settings and rules.

    The first load stays as it is, and so does what is done before the choices begin, and from rise on; with `relit` the
    first load of these is lit by hand.
    """
    assert scenario.stoking is not None
    loads, settings = scenario.stoking.loads, scenario.stoking.settings
    done = [load_row(scenario, it) for it in loads if it.at <= choices.done_till]
    later = [load_row(scenario, it) for it in loads if it.at >= choices.rise]
    turned = [
        setting_row(scenario, it) for it in settings if it.at >= choices.rise or it.at <= choices.done_till
    ]
    if relit and later:
        later[0] |= {"lit": True}
    rows = [*done, *(put_row(put, scenario, choices) for put in draft.puts), *later]
    return {"stoking.load": rows, "stoking.set": turned or "none", "stoking.rule": "none"}


def load_row(scenario: Scenario, load: TimedLoad) -> dict[str, Any]:
    """A load as it stands in the scenario, as a table of [[stoking.load]]."""
    row: dict[str, Any] = {"at": clock_at(scenario, load.at), "pieces": _pieces(load.pieces)}
    row |= _turned(load.air, load.damper)
    return row | ({"lit": True} if load.lit else {}) | ({"catches": True} if load.catches else {})


def setting_row(scenario: Scenario, setting: TimedSetting) -> dict[str, Any]:
    """A setting as it stands in the scenario, as a table of [[stoking.set]]."""
    return {"at": clock_at(scenario, setting.at), **_turned(setting.air, setting.damper)}


def put_row(put: Put, scenario: Scenario, choices: Choices) -> dict[str, Any]:
    """A load as a table of [[stoking.load]]."""
    row: dict[str, Any] = {"at": clock_at(scenario, put.at), "pieces": _pieces(put.pieces)}
    if put.at == choices.seen_glowing:
        row["catches"] = True
    for lever in ("air", "damper"):
        wide, mark = getattr(choices.wide, lever), getattr(put.levers, lever)
        if mark is None:
            continue
        caught = [{"for": f"{CATCHING / 60.0:g} min", "mark": wide}, {"mark": mark}]
        row[lever] = mark if mark == wide else caught
    return row


def _turned(air: Steps, damper: Steps) -> dict[str, Any]:
    return {lever: _steps(steps) for lever, steps in (("air", air), ("damper", damper)) if steps}


def _steps(steps: Sequence[Any]) -> Any:
    """Marks in turn, as they are written."""
    if len(steps) == 1:
        return steps[0].mark
    lasts = [f"{(after.after - it.after) / 60.0!r} min" for it, after in pairwise(steps)]
    return [
        *({"for": time, "mark": it.mark} for it, time in zip(steps, lasts, strict=False)),
        {"mark": steps[-1].mark},
    ]


def _pieces(pieces: Pieces) -> dict[str, Any]:
    """Counts as they are, masses with their unit."""
    return {name: it if isinstance(it, int) else f"{it!r} kg" for name, it in pieces}


def clock_at(scenario: Scenario, seconds: float) -> str:
    """A moment [s from the begin] as the scenario's file writes it."""
    return clock_text(scenario.night.span.clock_at(seconds).time())

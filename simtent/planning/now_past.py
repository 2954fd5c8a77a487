"""What was put on until now, as somebody at night tells it, laid over the loads of the scenario's file."""

from dataclasses import dataclass, replace
from typing import Any

from simtent.planning.choices import APART
from simtent.planning.draft import clock_at, load_row, setting_row
from simtent.scenario.scenario import Scenario
from simtent.scenario.timed import TimedLoad
from simtent.scenario.turns import Pieces

EARLY = 1800.0  # s by which a load may come before its time in the file and still be that load; own choice
LATE = 3600.0  # s after it; own choice


@dataclass(frozen=True)
class Left:
    """Wood that is left, in pieces.

    kinds  by kind; nothing of kinds that it does not name
    count  of whichever kind; None where kinds are told, or nothing is
    """

    kinds: Pieces | None = None
    count: int | None = None

    def beyond(self, taken: dict[str, float]) -> float:
        """How many pieces more than there are are taken."""
        if self.count is not None:
            return max(sum(taken.values()) - self.count, 0.0)
        if self.kinds is None:
            return 0.0
        there = dict(self.kinds)
        return sum(max(count - there.get(name, 0), 0.0) for name, count in taken.items())

    def without(self, taken: dict[str, float]) -> "Left":
        """What is left once pieces are taken; whole pieces only, and none below zero."""
        if self.count is not None:
            return replace(self, count=max(int(self.count - sum(taken.values())), 0))
        if self.kinds is None:
            return self
        rest = ((name, max(int(count - taken.get(name, 0)), 0)) for name, count in self.kinds)
        return replace(self, kinds=tuple(rest))


@dataclass(frozen=True)
class Seen:
    """What somebody knows who is awake; moments in seconds from the night's begin.

    at       now
    last     when the last load was put on; None for the file's last until now
    load     what it was; None for what the file says
    cot      what a thermometer at the cot reads [degC]; None where nobody looked
    glowing  whether coals glow; None where nobody looked
    left     wood that is left
    """

    at: float
    last: float | None = None
    load: Pieces | None = None
    cot: float | None = None
    glowing: bool | None = None
    left: Left = Left()


@dataclass(frozen=True)
class Past:
    """What was done until now.

    scenario  with that, and what the file does from rise on; nothing between
    loads     put on until now, in the order of time
    missed    of the file, due until now, and taken as not put on
    moved     the load of the file that the last one was, where it came early or late
    ahead     of the file, due from now on, before rise
    """

    scenario: Scenario
    loads: tuple[TimedLoad, ...]
    missed: tuple[TimedLoad, ...]
    moved: TimedLoad | None
    ahead: tuple[TimedLoad, ...]


def past_of(scenario: Scenario, seen: Seen, rise: float) -> Past:
    """What was put on until now, and the scenario in which nothing else is done before rise.

    The last load is one of the file's that comes up to an hour late, or early by less than half an hour; those before
    it were put on as the file says, those after it were not. One that is none of these is one more: no load that
    somebody has put on is lost for it.
    """
    assert scenario.stoking is not None
    of_file = scenario.stoking.loads
    due = [it for it in of_file if it.at < seen.at]
    last = seen.last if seen.last is not None else due[-1].at
    match = _matched(of_file, last)
    before = list(of_file[: of_file.index(match)]) if match else [it for it in of_file if it.at <= last]
    steps = match or before[-1]
    put_on = replace(steps, at=last, pieces=seen.load or steps.pieces, lit=match is of_file[0])
    done = [before_it if n == 0 else replace(before_it, catches=True) for n, before_it in enumerate(before)]
    if before and seen.glowing is not False:
        put_on = replace(put_on, catches=True)  # somebody sees to it that a load takes
    loads = (*done, put_on)
    others = [it for it in of_file if it is not match and it.at > last]
    return Past(
        scenario=scenario.replace(_laid(scenario, loads, seen.at, rise)),
        loads=loads,
        missed=tuple(it for it in others if it.at < seen.at),
        moved=match if match is not None and match.at != last else None,
        ahead=tuple(it for it in others if seen.at <= it.at < rise),
    )


def counted(load: Pieces, scenario: Scenario) -> dict[str, float]:
    """Pieces of a load by kind; a mass [kg] as so many pieces."""
    wood = scenario.wood
    assert wood is not None
    return {name: it if isinstance(it, int) else it / wood.piece_mass(name) for name, it in load}


def lit_again(past: Past, at: float) -> Scenario:
    """The scenario of what was done, with the first load's pieces lit by hand at a moment [s]."""
    scenario = past.scenario
    assert scenario.stoking is not None
    kindling = replace(scenario.stoking.loads[0], at=at, lit=True)
    loads = sorted((*scenario.stoking.loads, kindling), key=lambda it: it.at)
    return scenario.replace("stoking.load", [load_row(scenario, it) for it in loads])


def _matched(of_file: tuple[TimedLoad, ...], last: float) -> TimedLoad | None:
    """The load of the file that the last one was; None where it was one more."""
    late = next((it for it in reversed(of_file) if it.at <= last), None)
    early = next((it for it in of_file if last < it.at < last + EARLY), None)
    if early and (late is None or early.at - last < last - late.at):
        return early
    most = APART if late is of_file[0] else LATE
    return None if late is None or last - late.at >= most else late


def _laid(scenario: Scenario, loads: tuple[TimedLoad, ...], now: float, rise: float) -> dict[str, Any]:
    assert scenario.stoking is not None
    later = [it for it in scenario.stoking.loads if it.at >= rise]
    moments = {clock_at(scenario, it.at) for it in loads}
    turned = [
        setting_row(scenario, it)
        for it in scenario.stoking.settings
        if (loads[0].at < it.at <= now or it.at >= rise) and clock_at(scenario, it.at) not in moments
    ]
    return {
        "stoking.load": [load_row(scenario, it) for it in (*loads, *later)],
        "stoking.set": turned or "none",
        "stoking.rule": "none",
    }

"""Clock times that are asked for by an option, checked against the night."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.clock import read_clock

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario


def hour_faults(option: str, asked: Sequence[str], scenario: "Scenario | None") -> list[Fault]:
    """What is wrong with the times after an option; without a night only how they are written."""
    try:
        for clock in asked:
            read_clock(clock)
            if scenario:
                scenario.night.seconds_at(clock)
    except InputError as error:
        return [replace(fault, file=option) for fault in error.faults]
    return []


def once_faults(option: str, asked: Sequence[str]) -> list[Fault]:
    """A fault where more than one time is given for a picture of one."""
    if len(asked) <= 1:
        return []
    todo = "Run once for each, with another --out"
    return [Fault(f"one time is wanted, {len(asked)} are given", file=option, todo=todo)]

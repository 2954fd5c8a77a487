"""The short texts of stoking: how much is put on, and to which marks levers are turned."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.quantity import Reader
from simtent.units import show, to_si

MOST_PIECES = 200
MASS_ALLOWED = (0.01, 100.0)  # kg, of one kind in one load
LONGEST_STEP = 12.0 * 3600.0  # s
STEP_EXAMPLE = '[{ for = "10 min", mark = "wide" }, { mark = "one" }]'


@dataclass(frozen=True, slots=True)
class Step:
    """A lever turned to a mark, some time after a load or with it [s]."""

    after: float
    mark: str


Pieces = tuple[tuple[str, int | float], ...]
Steps = tuple[Step, ...]


@dataclass(frozen=True, kw_only=True)
class Amount(Reader):
    """How much of one kind of pieces: a count, or a mass as text."""

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> int | float:
        """A whole number of pieces, or a mass [kg] as a float."""
        if isinstance(value, str):
            mass = to_si(value, "mass")
            low, high = MASS_ALLOWED
            if not low <= mass <= high:
                allowed = f"{show(low, 'mass', 'si')} to {show(high, 'mass', 'si')}"
                raise InputError(Fault("out of range", allowed=allowed, todo="Give a mass in this range"))
            return mass
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_PIECES:
            todo = 'Write a whole number without quotes, or a mass as "2.1 kg"'
            allowed = f"1 to {MOST_PIECES} pieces"
            raise InputError(Fault("a count of pieces or a mass is wanted", allowed=allowed, todo=todo))
        return value


@dataclass(frozen=True, kw_only=True)
class Turns(Reader):
    """A mark of a lever, or several after one another."""

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> Steps:
        """The steps, the first at once; InputError where one is not clear."""
        if isinstance(value, str) and value:
            return (Step(0.0, value),)
        if not isinstance(value, tuple) or not value:
            todo = f'Write a mark in quotes, "wide", or several: {STEP_EXAMPLE}'
            raise InputError(Fault("a mark of the lever is wanted", todo=todo))
        faults: list[Fault] = []
        steps: list[Step] = []
        after = 0.0
        for position, entry in enumerate(value):
            try:
                lasts, mark = _entry(entry, last=position == len(value) - 1)
            except InputError as error:
                faults += [
                    replace(it, key=f"{position}.{it.key}" if it.key else f"{position}")
                    for it in error.faults
                ]
            else:
                steps.append(Step(after, mark))
                after += lasts
        if faults:
            raise InputError(faults)
        return tuple(steps)


def _entry(entry: Any, *, last: bool) -> tuple[float, str]:
    """How long one of several marks holds [s], and the mark; the last holds on."""
    if not isinstance(entry, Mapping):
        raise InputError(Fault("a table is wanted", todo=f"Write for example {STEP_EXAMPLE}"))
    if unknown := next((key for key in entry if key not in ("for", "mark")), None):
        raise InputError(
            Fault(f'unknown key "{unknown}"', key=unknown, allowed="for, mark", todo="Leave it out")
        )
    mark, lasts = entry.get("mark"), entry.get("for")
    if not isinstance(mark, str) or not mark:
        raise InputError(
            Fault("a mark of the lever is wanted", key="mark", todo=f"Write for example {STEP_EXAMPLE}")
        )
    if last:
        if lasts is not None:
            todo = 'Leave "for" out here, or add the mark that comes after it'
            raise InputError(Fault("the last mark holds on, it has no duration", key="for", todo=todo))
        return 0.0, mark
    if not isinstance(lasts, str):
        what = "every mark but the last says how long it holds"
        raise InputError(Fault(what, key="for", todo=f"Write for example {STEP_EXAMPLE}"))
    try:
        seconds = to_si(lasts, "duration")
    except InputError as error:
        raise InputError(replace(fault, key="for") for fault in error.faults) from None
    if not 0.0 < seconds <= LONGEST_STEP:
        allowed = f"over 0 min, up to {LONGEST_STEP / 3600.0:g} h"
        todo = "Give a duration in this range"
        raise InputError(Fault("out of range", key="for", value=lasts, allowed=allowed, todo=todo))
    return seconds, mark

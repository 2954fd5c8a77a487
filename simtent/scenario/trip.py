"""[[trip]] and [carry]: the nights that wood is counted for, and how it is carried."""

from dataclasses import replace
from datetime import date
from typing import Annotated

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.night import Day
from simtent.scenario.outdoors import AIR_OUTSIDE, WIND, OutdoorFile
from simtent.scenario.quantity import Quantity, Words, text_default
from simtent.scenario.section import Section


class TripNight(Section):
    """A night of a trip; what is not given is as [outdoors] has it."""

    evening: Annotated[date, Day(meaning="date on which that night begins")]
    low: Annotated[
        float | None,
        replace(AIR_OUTSIDE, prior=None, meaning="that night's low, at the hour of outdoors.low, else 06:00"),
    ] = None
    high: Annotated[
        float | None,
        replace(AIR_OUTSIDE, prior=None, meaning="that day's high, at the hour of outdoors.high, else 15:00"),
    ] = None
    wind: Annotated[
        float | None, replace(WIND, prior=None, meaning="wind of that night at the height of the shelter")
    ] = None
    file: Annotated[
        OutdoorFile | None,
        Words(meaning="dated columns of that night's weather, in place of low and high; as outdoors.file"),
    ] = None

    def check_together(self, _span: Span | None) -> None:
        """Low and high together, the right way up, or a file."""
        given = {name: getattr(self, name) for name in ("low", "high", "file")}
        there = [name for name, it in given.items() if it is not None]
        if there in (["low"], ["high"]):
            other = "high" if there == ["low"] else "low"
            todo = f'Add {other} = "..."'
            raise InputError(Fault(f"{there[0]} without {other}", key=there[0], todo=todo))
        if "file" in there and len(there) > 1:
            what = f"{' and '.join(there)} at once"
            raise InputError(Fault(what, key="file", allowed="low and high | file", todo="Keep one"))
        if self.low is not None and self.high is not None and self.low > self.high:
            todo = "Exchange them, or correct one"
            raise InputError(Fault("the low is above the high", key="low", todo=todo))


class Carry(Section):
    """How wood is carried to camp, and how much is taken to be sure."""

    sled_load: Annotated[
        float | None,
        Quantity(
            kind="mass", unit_si="kg", unit_us="lb", allowed=("500 g", "1000 kg"), usual=("10 kg", "150 kg"),
            meaning="wood that one way to camp carries, as it is, moist; without it no ways are counted",
        ),
    ] = None  # fmt: skip
    margin: Annotated[
        float,
        Quantity(
            kind="share", unit_si="%", unit_us="%", allowed=("0 %", "200 %"), usual=("10 %", "50 %"),
            meaning="wood that is taken beyond what the nights come to; the default is our own choice",
        ),
    ] = text_default("20 %")  # fmt: skip

"""[[log]]: a night that was logged, or a burn in the open: its file, its clock, and where its sensors hung."""

from dataclasses import dataclass
from datetime import date, tzinfo
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field

from simtent.errors import Fault, InputError
from simtent.scenario.dated import InputPath
from simtent.scenario.night import Day, Zone
from simtent.scenario.quantity import Quantity, Reader, Words, text_default
from simtent.scenario.section import Section

PLACES = ("outdoors", "stove", "pipe")  # where a sensor may hang beside the named levels
_AHEAD = Quantity(
    kind="duration", unit_si="min", unit_us="min", allowed=("-48 h", "48 h"), usual=("-10 min", "10 min"),
    meaning="how far the logger's clock was ahead of the true time at its first reading; behind it, less than 0",
)  # fmt: skip
_DRIFT = Quantity(
    kind="duration", unit_si="s", unit_us="s", allowed=("-1 h", "1 h"), usual=("-10 s", "10 s"),
    meaning="time that the logger's clock gains in a day, counted from its first reading; less than 0 where it loses",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Headers(Reader):
    """The header of a column, or two of them."""

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> tuple[str, ...]:
        """The headers; InputError unless there are one or two."""
        headers = (value,) if isinstance(value, str) else value
        texts = isinstance(headers, tuple) and all(isinstance(it, str) and it.strip() for it in headers)
        if texts and 1 <= len(headers) <= 2:
            return tuple(headers)
        todo = 'Write time = "Date/Time", or time = ["Date", "Time"] where date and clock stand apart'
        raise InputError(Fault("the header of one column is wanted, or of two", todo=todo))


class Log(Section):
    """The file of a logger; of one night there may be several, each with a clock of its own."""

    evening: Annotated[date, Day(meaning="date on which the logged night began")]
    file: Annotated[Path, InputPath(meaning="the logger's CSV file, relative to the file that names it")]
    sensors: Annotated[
        dict[
            str,
            Annotated[str, Words(meaning="where the sensor hung: a named level, outdoors, stove or pipe")],
        ],
        Words(meaning="header of each column that counts, with the place where its sensor hung"),
    ]
    time: Annotated[
        tuple[str, ...],
        Headers(meaning="header of the column of times; two where date and clock stand apart"),
    ] = text_default("when")
    unit: Annotated[
        Literal["degF", "degC", "K", "header", "guess"],
        Words(
            meaning="unit of the temperatures; by what the header says, or guessed by what is likely, "
            "which is told, and refused where two units are"
        ),
    ] = "header"
    zone: Annotated[
        tzinfo | None, Zone(meaning="zone of the file's times where they name none; without it, the night's")
    ] = None
    clock_ahead: Annotated[float, _AHEAD] = text_default("0 min")
    drift: Annotated[float, _DRIFT] = text_default("0 s")
    logger: Annotated[
        str | None,
        Words(
            meaning="name of the device, where nights were read by different ones: logs of one name share the lag "
            "and offset of each sensor; without names all logs are of one device"
        ),
    ] = None
    shelter: Annotated[
        Literal["as given", "in the open"],
        Words(meaning='whether it was logged in this shelter; "none" means a burn in the open'),
    ] = "as given"

    notes: Annotated[
        Path | None,
        InputPath(
            meaning="CSV file of what was noted that night, by the watch: time, load, air, damper, coals, remark"
        ),
    ] = None
    with_: Annotated[
        Path | None,
        Field(alias="with"),
        InputPath(meaning="partial scenario file that holds for that night alone: another heat, another mat"),
    ] = None

    @property
    def in_the_open(self) -> bool:
        """Whether the stove burned in the open."""
        return self.shelter == "in the open"

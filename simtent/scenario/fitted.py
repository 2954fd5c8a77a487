"""[fitted]: what logged nights said, as the fit wrote it: the numbers found, what stays open, what is missed."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.night import AIR
from simtent.scenario.quantity import Count, Factor, Quantity, Reader, Words, table_default
from simtent.scenario.section import Section

LEAST_SPAN = 3.0  # K; logs of one temperature tell as little of others as logs within 3 K


@dataclass(frozen=True, kw_only=True)
class Written(Reader):
    """A value of another field, as it stands there: text with its unit, or a plain number."""

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> str | float:
        """The value as it is written."""
        if isinstance(value, str) and value.strip():
            return value.strip()
        if isinstance(value, int | float) and not isinstance(value, bool):
            return float(value)
        todo = 'Write it as in its own field, for example "155 cm2" or 1.06'
        raise InputError(Fault("a value of that number is wanted", todo=todo))


@dataclass(frozen=True, kw_only=True)
class Many(Words):
    """A list, or a table whose keys are given in quotes.

    written  how it stands behind the equals sign; "" for a table of its own
    """

    written: str = ""

    takes_text = False


class Found(Section):
    """One number that logs were asked about."""

    key: Annotated[str, Words(meaning="dotted key of the number")]
    value: Annotated[str | float, Written(meaning="its most likely value, as the scenario takes it")]
    low: Annotated[str | float, Written(meaning="low end of the interval that holds it in nine cases of ten")]
    high: Annotated[str | float, Written(meaning="high end of that interval")]
    before: Annotated[str, Words(meaning="how far it was thought to be off before, one standard deviation")]
    source: Annotated[str, Words(meaning="who thought so")]
    told: Annotated[
        Literal["your log narrows this", "stays at what was believed before"],
        Words(meaning="whether the logs say more of it than was believed before"),
    ]


class Axis(Section):
    """One standard deviation along one of the independent directions of what logs leave open."""

    times: Annotated[
        dict[
            str,
            Annotated[
                float, Factor(allowed=(0.01, 100.0), usual=(0.3, 3.0), meaning="factor on it; down: divided")
            ],
        ],
        Many(
            written='{ "model.walls" = 1.06 }',
            meaning="factors on numbers that move together, by their keys in quotes",
        ),
    ] = table_default()
    plus: Annotated[
        dict[str, Annotated[str | float, Written(meaning="added to that number; down: taken off")]],
        Many(
            written='{ "outdoors.shift" = "0.3 K" }',
            meaning="what is added to numbers that may be 0 or below, by their keys in quotes",
        ),
    ] = table_default()

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of all numbers that it moves."""
        return (*self.times, *self.plus)


def _of_logs(meaning: str) -> Quantity:
    return Quantity(kind="temperature", unit_si="degC", unit_us="degF", allowed=AIR, meaning=meaning)


class Fitted(Section):
    """What a fit to logged nights found; written by the fit, seldom by hand."""

    logs: Annotated[
        tuple[Annotated[str, Words(meaning="evening and file of a log")], ...],
        Many(written='["2031-01-24 porch_night.csv"]', meaning="the logs that were read"),
    ]
    readings: Annotated[
        int, Count(allowed=(1, 10**9), usual=(1, 10**5), meaning="how many of their readings were used")
    ]
    version: Annotated[str, Words(meaning="version of simtent that made the fit")]
    coldest: Annotated[float, _of_logs("coldest outdoor air in the logs")]
    warmest: Annotated[float, _of_logs("warmest outdoor air in the logs")]
    found: Annotated[tuple[Found, ...], Many(meaning="the numbers that were asked about")] = ()
    axis: Annotated[
        tuple[Axis, ...],
        Many(
            meaning="what the logs leave open: directions that are independent, each of one standard deviation"
        ),
    ] = ()
    beyond: Annotated[
        dict[
            str,
            Annotated[
                float,
                Quantity(
                    kind="share", unit_si="%", unit_us="%", allowed=("0 %", "100 %"),
                    meaning="what readings there miss beyond all numbers, as a share of the rise above outdoors",
                ),
            ],
        ],
        Many(written='{ cot = "4 %" }', meaning="levels, stove or pipe, each with what no number explains"),
    ] = table_default()  # fmt: skip

    def check_together(self, _span: Span | None) -> None:
        """The coldest is not above the warmest, no number is found twice, an axis moves something once."""
        faults = [*self._faults()]
        if faults:
            raise InputError(faults)

    def _faults(self) -> Iterator[Fault]:
        if self.coldest > self.warmest:
            yield Fault("the coldest is above the warmest", key="coldest", todo="Exchange the two")
        keys = [it.key for it in self.found]
        for number, key in enumerate(keys):
            if key in keys[:number]:
                yield Fault(
                    "this number is found twice", key=f"found.{number}.key", todo="Keep one of the two"
                )
        for number, axis in enumerate(self.axis):
            if not axis.keys:
                todo = 'Write times = { "model.walls" = 1.06 }, or leave the axis out'
                yield Fault("an axis that moves nothing", key=f"axis.{number}", todo=todo)

    def outside(self, coldest: float, warmest: float) -> float:
        """How far a night between two outdoor temperatures leaves those that were logged [K], 0 where it does not."""
        return max(self.coldest - coldest, warmest - self.warmest, 0.0)

    def widened(self, outside: float) -> float:
        """Factor on what is missed, for a night so far outside [K] of what was logged: own choice, no source."""
        return 1.0 + outside / max(self.warmest - self.coldest, LEAST_SPAN)

    def missed(self, level: str) -> float:
        """Share of a level's rise above outdoors that is missed beyond all numbers [-], within what was logged.

        A level without a share of its own takes the largest of the others: no sensor hung there.
        """
        of_levels = {name: share for name, share in self.beyond.items() if name not in ("stove", "pipe")}
        return of_levels.get(level, max(of_levels.values(), default=0.0))

"""The one declaration of a field: kind, units, allowed range, prior, meaning and source.

File reader, error texts, documentation and generated test scenarios all read it.
"""

import math
import re
from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Literal, get_args

from pydantic import GetCoreSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from simtent.errors import Fault, InputError
from simtent.scenario.around import units_of
from simtent.scenario.written import least, most
from simtent.units import System, UnitError, exact, kind_words, known_units, to_si

NO_SOURCE = "common practice, no source"
OWN_CHOICE = "own choice, no source"
IN_RANGE = "Give a value in this range"

# Words by which a text is seen to be in US units, to print its allowed range in the same.
US_WORDS = re.compile(
    r"(?<![A-Za-z])(degF|°F|F|ft|foot|feet|in|inch|inches|yd|mi|miles|lb|lbs|oz|Btu|mph|us)(?![A-Za-z])|['\"]"
)


@dataclass(frozen=True, slots=True)
class Spread:
    """How far a field may be off before anything was measured: one standard deviation.

    way     "relative", "factor", or "plus": in the SI unit of the field, for what may be 0 or below
    source  where it comes from
    text    as people read it, where it is added
    """

    way: Literal["relative", "factor", "plus"]
    amount: float
    source: str = OWN_CHOICE
    text: str = ""

    @classmethod
    def relative(cls, share: float, source: str = OWN_CHOICE) -> "Spread":
        """Times 1 - share to 1 + share."""
        return cls("relative", share, source)

    @classmethod
    def factor(cls, factor: float, source: str = OWN_CHOICE) -> "Spread":
        """Divided by the factor to multiplied by it."""
        return cls("factor", factor, source)

    @classmethod
    def kelvins(cls, amount: float, source: str = OWN_CHOICE) -> "Spread":
        """So many kelvins less and more."""
        return cls("plus", amount, source, f"+-{amount:.3g} K")

    @classmethod
    def points(cls, share: float, source: str = OWN_CHOICE) -> "Spread":
        """So much of the whole less and more: 0.2 is 20 % of it."""
        return cls("plus", share, source, f"+-{100.0 * share:g} % of the whole")

    def low(self, value: float) -> float:
        """The value one standard deviation below."""
        if self.way == "plus":
            return value - self.amount
        return value * (1.0 - self.amount) if self.way == "relative" else value / self.amount

    def high(self, value: float) -> float:
        """The value one standard deviation above."""
        if self.way == "plus":
            return value + self.amount
        return value * (1.0 + self.amount) if self.way == "relative" else value * self.amount

    @property
    def logarithmic(self) -> float:
        """One standard deviation of the natural logarithm; ValueError where it is added."""
        if self.way == "plus":
            raise ValueError(f"{self} is added, not multiplied")
        return math.atanh(self.amount) if self.way == "relative" else math.log(self.amount)

    def __str__(self) -> str:
        if self.way == "plus":
            return self.text
        return f"+-{100.0 * self.amount:g} %" if self.way == "relative" else f"x{self.amount:g}"


@dataclass(frozen=True, kw_only=True)
class Declared:
    """What a field means and where that comes from."""

    meaning: str
    source: str = NO_SOURCE

    # Whether the raw value is text, so that text from the command line is taken as it stands.
    takes_text = True


@dataclass(frozen=True, kw_only=True)
class Words(Declared):
    """A field that is a word, a list or a truth value; its type says which."""


@dataclass(frozen=True, kw_only=True)
class Reader(Declared, ABC):
    """A field whose raw value is turned into something else by `read`."""

    @abstractmethod
    def read(self, value: Any, context: Any) -> Any:
        """The field's value; InputError if the raw value is none."""

    def __get_pydantic_core_schema__(
        self, source: Any, _handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        schema = core_schema.with_info_plain_validator_function(
            lambda value, info: told_to_pydantic(lambda: self.read(value, info.context))
        )
        return core_schema.nullable_schema(schema) if type(None) in get_args(source) else schema


@dataclass(frozen=True, kw_only=True)
class Quantity(Reader):
    """A number with a unit, written as text and held in SI.

    kind              what it measures, a kind of `units`
    unit_si, unit_us  the units it is usually written in
    allowed           lowest and highest value, as text; outside is refused
    usual             lowest and highest usual value, as text
    spread            how far it may be off, counted in every night's range; None where nothing varies it
    prior             how far a fit may move it; counted in no night's range, and `spread` where there is none
    """

    kind: str
    unit_si: str
    unit_us: str
    allowed: tuple[str, str] | None = None
    usual: tuple[str, str] | None = None
    spread: Spread | None = None
    prior: Spread | None = None

    def read(self, value: Any, context: Any = None) -> float:
        """The value in SI.

        InputError tells the range in the units of what was typed, since those are compared: inches beside inches.
        Where nothing typed has a unit it tells it in those asked for, which `context` knows.
        """
        system = units_of(context)
        if not isinstance(value, str | int | float) or isinstance(value, bool):
            raise InputError(
                Fault(
                    f"{kind_words(self.kind)} is wanted", allowed=self.range_text(system), todo=self.example()
                )
            )
        if self.kind == "share" and isinstance(value, int | float) and 0.0 < value <= 1.0:
            todo = f'Write "{100.0 * value:g} %"'
            raise InputError(Fault(f"{value:g} has no unit", allowed=self.range_text(system), todo=todo))
        try:
            number = to_si(value if isinstance(value, str) else f"{value:g}", self.kind)
        except UnitError as error:
            raise self._with_units_that_fit(error, system) from None
        bounds = self.bounds()
        if bounds and not bounds[0] <= number <= bounds[1]:
            raise InputError(
                Fault("out of range", allowed=self.range_text(_system(str(value))), todo=IN_RANGE)
            )
        return number

    def bounds(self) -> tuple[float, float] | None:
        """Lowest and highest allowed value in SI."""
        return _bounds(self.kind, *self.allowed) if self.allowed else None

    def _with_units_that_fit(self, error: UnitError, system: System) -> UnitError:
        """The error with units that bring its number into the allowed range, where only the unit is missing."""
        if not error.digits or error.faults[0].todo is None:
            return error
        found = [self._unit_that_fits(error.digits, system) for system in ("si", "us")]
        ways = " or ".join(dict.fromkeys(f'"{error.digits} {unit}"' for unit in found if unit))
        todo = (
            f"Write {ways}"
            if ways
            else f"Write a number in the range {self.range_text(system)}, with its unit"
        )
        return UnitError(replace(error.faults[0], todo=todo), error.digits)

    def _unit_that_fits(self, digits: str, system: System) -> str | None:
        """The field's own unit, or else that which brings the number nearest to the middle of what is usual."""
        own = self.unit_us if system == "us" else self.unit_si
        others = [unit for unit in known_units(self.kind) if _system(unit) == system]
        fitting = {
            unit: value
            for unit in (own, *others)
            if (value := self._allowed_as(f"{digits} {unit}")) is not None
        }
        if own in fitting:
            return own
        ends = self.usual or self.allowed
        middle = sum(_bounds(self.kind, *ends)) / 2.0 if ends else 0.0
        return min(fitting, key=lambda unit: abs(fitting[unit] - middle), default=None)

    def _allowed_as(self, text: str) -> float | None:
        """The text as a value in SI, if it is one that is allowed."""
        try:
            value = to_si(text, self.kind)
        except UnitError:
            return None
        low, high = self.bounds() or (-math.inf, math.inf)
        return value if low <= value <= high else None

    def range_text(self, system: System = "si") -> str | None:
        """The allowed range as people write it."""
        return self.ends_text(self.allowed, system) if self.allowed else None

    def ends_text(self, ends: tuple[str, str], system: System) -> str:
        """A range of this field as people write it; what is rounded is rounded inward, so that both ends are in it."""
        if system == "si" or self.unit_us == self.unit_si:
            return " to ".join(ends)
        low, high = _bounds(self.kind, *ends)
        return f"{least(low, self.kind, self.unit_us)} to {most(high, self.kind, self.unit_us)}"

    def text(self, value: float) -> str:
        """A value in SI as text that reads back as the same number."""
        return exact(value, self.kind)

    def example(self) -> str:
        """How the value is written."""
        return f"Write a number and its unit in quotes, in {self.unit_si} or {self.unit_us}"


@dataclass(frozen=True, kw_only=True)
class Factor(Reader):
    """A plain number without unit; `spread` and `prior` as of a `Quantity`."""

    allowed: tuple[float, float]
    usual: tuple[float, float] | None = None
    spread: Spread | None = None
    prior: Spread | None = None

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> float:
        """The number."""
        low, high = self.allowed
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            todo = "Write it without unit and without quotes"
            raise InputError(Fault("a plain number is wanted", allowed=self.range_text(), todo=todo))
        if not low <= value <= high:
            raise InputError(Fault("out of range", allowed=self.range_text(), todo=IN_RANGE))
        return float(value)

    def range_text(self, _system: System = "si") -> str:
        """The allowed range as people write it."""
        return f"{self.allowed[0]:g} to {self.allowed[1]:g}"

    def text(self, value: float) -> str:
        """The number as text, exact."""
        return repr(value)

    def bounds(self) -> tuple[float, float]:
        """Lowest and highest allowed value."""
        return self.allowed


@dataclass(frozen=True, kw_only=True)
class Count(Reader):
    """A whole number."""

    allowed: tuple[int, int]
    usual: tuple[int, int] | None = None

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> int:
        """The number."""
        if isinstance(value, bool) or not isinstance(value, int):
            todo = "Write it without unit and without quotes"
            raise InputError(Fault("a whole number is wanted", allowed=self.range_text(), todo=todo))
        if not self.allowed[0] <= value <= self.allowed[1]:
            raise InputError(Fault("out of range", allowed=self.range_text(), todo=IN_RANGE))
        return value

    def range_text(self, _system: System = "si") -> str:
        """The allowed range as people write it."""
        return f"{self.allowed[0]} to {self.allowed[1]}"


def told_to_pydantic(read: Callable[[], Any]) -> Any:
    """The outcome of `read`; its faults travel on inside pydantic's own error."""
    try:
        return read()
    except InputError as error:
        # The message is never shown: the faults are.
        raise PydanticCustomError(
            "faults", "{count} faults", {"count": len(error.faults), "faults": error.faults}
        ) from None


def text_default(text: str) -> Any:
    """A default as it would stand in a file; the model turns it into SI as it does with a file's text."""
    return text


def list_default(*texts: str) -> Any:
    """A default list as it would stand in a file."""
    return texts


def _system(text: str) -> System:
    return "us" if US_WORDS.search(text) else "si"


def table_default() -> Any:
    """The default of a table: what its own fields' defaults make of it."""
    return {}


@lru_cache(maxsize=256)
def _bounds(kind: str, low: str, high: str) -> tuple[float, float]:
    return to_si(low, kind), to_si(high, kind)

"""Numbers with their units, in the system that was asked for; what is not known is null, never NaN."""

from collections.abc import Iterable
from math import isfinite
from typing import ClassVar, Literal, Self

from simtent.tell.answers.told import Told
from simtent.tell.words import ZERO_CELSIUS
from simtent.units import System, number

FIGURES = 9  # more than any number here is known to; the last ones of a binary fraction would be noise


def rounded(value: float | None) -> float | None:
    """The number in as many figures as are told; null where there is none."""
    return None if value is None or not isfinite(value) else float(f"{value:.{FIGURES}g}") + 0.0


class Quantity(Told):
    """A number and its unit; null where it is not known."""

    KIND: ClassVar[str] = ""
    ZERO: ClassVar[float] = 0.0  # what is added to a number of the Dataset for one in SI

    value: float | None
    """the number, in nine figures"""
    unit: str
    """its unit"""

    @classmethod
    def of(cls, value: float | None, system: System) -> Self:
        """The quantity of an SI value; a temperature in degC, as the Dataset holds it."""
        told = None if value is None else number(value + cls.ZERO, cls.KIND, system)
        return cls(value=rounded(told), unit=UNITS[cls.KIND][system])

    @classmethod
    def maybe(cls, value: float | None, system: System) -> Self | None:
        """The same; None where there is nothing to tell of."""
        return None if value is None else cls.of(value, system)


class Temperature(Quantity):
    """A temperature."""

    KIND, ZERO = "temperature", ZERO_CELSIUS
    unit: Literal["degC", "degF"]

    @classmethod
    def of_kelvin(cls, value: float | None, system: System) -> Self:
        """The quantity of a temperature in K."""
        return cls.of(None if value is None else value - ZERO_CELSIUS, system)

    @classmethod
    def maybe_kelvin(cls, value: float | None, system: System) -> Self | None:
        """The same; None where there is nothing to tell of."""
        return None if value is None else cls.of_kelvin(value, system)


class Difference(Quantity):
    """A difference of temperatures."""

    KIND = "temperature_difference"
    unit: Literal["K", "degF"]


class Length(Quantity):
    """A length."""

    KIND = "length"
    unit: Literal["m", "ft"]


class Volume(Quantity):
    """A volume."""

    KIND = "volume"
    unit: Literal["m3", "ft3"]


class Mass(Quantity):
    """A mass."""

    KIND = "mass"
    unit: Literal["kg", "lb"]


class Areal(Quantity):
    """A mass per area."""

    KIND = "areal_density"
    unit: Literal["g/m2", "oz/yd2"]


class Speed(Quantity):
    """A speed."""

    KIND = "speed"
    unit: Literal["m/s", "mph"]


class Power(Quantity):
    """A power."""

    KIND = "power"
    unit: Literal["W", "Btu/h"]


class Energy(Quantity):
    """An energy."""

    KIND = "energy"
    unit: Literal["kWh", "kBtu"]


class Pressure(Quantity):
    """A pressure."""

    KIND = "pressure"
    unit: Literal["Pa", "in WC"]


class Flow(Quantity):
    """A flow of air or gas by mass."""

    KIND = "mass_flow"
    unit: Literal["g/h", "oz/h"]


class Duration(Quantity):
    """A time that something takes."""

    KIND = "duration"
    unit: Literal["min"]


class Share(Quantity):
    """A share, in per cent."""

    KIND = "share"
    unit: Literal["%"]


class Plain(Quantity):
    """A number in one unit, whatever system is asked for."""

    @classmethod
    def in_unit(cls, value: float | None, unit: str) -> Self:
        """The quantity of a number that is in its unit already."""
        return cls(value=rounded(value), unit=unit)


class Series(Told):
    """Numbers over the times of the night, and their unit; null where one is not known."""

    unit: str
    """unit of every number"""
    values: list[float | None]
    """one number for each time, in nine figures"""


KINDS: tuple[type[Quantity], ...] = (
    Temperature, Difference, Length, Volume, Mass, Areal, Speed, Power, Energy, Pressure, Flow, Duration, Share,
)  # fmt: skip
SYSTEMS: tuple[System, ...] = ("si", "us")


def _units(kind: type[Quantity]) -> dict[System, str]:
    """The unit by each system, from what the model declares: one for both, or SI and then US."""
    declared = kind.model_fields["unit"].annotation.__args__  # type: ignore[union-attr]
    return {"si": declared[0], "us": declared[-1]}


BY_KIND = {kind.KIND: kind for kind in KINDS}
UNITS = {kind.KIND: _units(kind) for kind in KINDS}


def series(values: Iterable[float], kind: type[Quantity], system: System) -> Series:
    """Many SI values as one series; temperatures in degC."""
    told = [rounded(number(value + kind.ZERO, kind.KIND, system)) for value in values]
    return Series(unit=UNITS[kind.KIND][system], values=told)

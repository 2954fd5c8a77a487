"""What a value is read beside: the night whose clock times it may name, and the units that people are answered in."""

from dataclasses import dataclass
from typing import Any

from simtent.scenario.clock import Span
from simtent.units import System


@dataclass(frozen=True, slots=True)
class Around:
    """What reaches every reader of a section.

    span   the night; None while it is itself faulty, or not read yet
    units  of the ranges in faults: those asked for, else the file's
    """

    span: Span | None = None
    units: System = "si"


def span_of(context: Any) -> Span | None:
    """The night around a value; None where there is none."""
    return context.span if isinstance(context, Around) else None


def units_of(context: Any) -> System:
    """The units for ranges in faults; SI where nobody asked for any."""
    return context.units if isinstance(context, Around) else "si"

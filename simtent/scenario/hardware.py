"""The short texts of a stove: its sheet metal, its bends, what stands on it."""

import math
from dataclasses import dataclass, replace
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.nearest import nearest
from simtent.scenario.quantity import Reader
from simtent.units import UnitError, leading_quantity, show, to_si

METALS = {"steel": 7850.0, "titanium": 4500.0}
"""Densities [kg/m3]: steel EN 1993-1-2, titanium handbook value; both from memory."""

SHEET_ALLOWED = (0.00005, 0.012)  # m; rolled pipes are of 0.1 mm foil; common practice, no source
LARGEST_ON_TOP = 60.0  # kg; common practice, no source
STEEPEST_BEND = math.pi / 2.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """Sheet metal: its thickness [m] and its metal, a key of METALS."""

    thickness: float
    metal: str

    @property
    def areal_density(self) -> float:
        """Mass per area [kg/m2]."""
        return self.thickness * METALS[self.metal]


@dataclass(frozen=True, slots=True)
class Matter:
    """What a material that may stand on a stove is.

    density        [kg/m3]
    specific_heat  [J/(kg K)]
    water          whether it boils
    """

    density: float
    specific_heat: float
    water: bool


@dataclass(frozen=True, slots=True)
class OnTop:
    """What stands on the stove.

    mass           [kg]
    specific_heat  [J/(kg K)]
    water          whether it is water, which boils
    density        [kg/m3]
    """

    mass: float
    specific_heat: float
    water: bool
    density: float


# Water at 20 degC: handbook values; stones as granite: from memory.
STANDING = {"water": Matter(998.0, 4186.0, True), "stones": Matter(2650.0, 800.0, False)}


@dataclass(frozen=True, kw_only=True)
class SheetText(Reader):
    """Sheet metal as text, "1.2 mm steel"."""

    def read(self, value: Any, _context: Any = None) -> Sheet:
        """The sheet; InputError if thickness or metal are missing, unknown or make no stove."""
        try:
            thickness, _, metal = _told(value, ("length",), "a thickness and a metal", '"1.2 mm steel"')
        except UnitError as error:
            raise InputError(_with_a_unit(error)) from None
        if metal not in METALS:
            what = f'no metal is called "{metal}"' if metal else "it does not say which metal"
            todo = nearest(metal, METALS) or 'Write for example "1.2 mm steel"'
            raise InputError(Fault(what, allowed=", ".join(METALS), todo=todo))
        low, high = SHEET_ALLOWED
        if not low <= thickness <= high:
            what = f"out of range: a sheet {1000.0 * thickness:.3g} mm thick"
            allowed = f"{1000.0 * low:g} mm to {1000.0 * high:g} mm thick"
            raise InputError(Fault(what, allowed=allowed, todo="Give a thickness in this range"))
        return Sheet(thickness, metal)


def _with_a_unit(error: UnitError) -> Fault:
    """The fault of a thickness without its unit, with units in which it is a sheet; any other fault as it is."""
    (fault,) = error.faults
    if not error.digits:
        return fault
    low, high = SHEET_ALLOWED
    written = [f"{error.digits} {unit}" for unit in ("mm", "in")]
    ways = [f'"{text} steel"' for text in written if low <= to_si(text, "length") <= high]
    return replace(fault, todo=f"Write {' or '.join(ways)}" if ways else 'Write for example "1.2 mm steel"')


@dataclass(frozen=True, kw_only=True)
class OnTopText(Reader):
    """A load on the stove as text, "1 gal water" or "5 kg stones"."""

    def read(self, value: Any, _context: Any = None) -> OnTop:
        """What stands on the stove; InputError if it is unknown, or too heavy."""
        wanted, example = "an amount of water or stones", '"1 gal water" or "5 kg stones"'
        amount, kind, name = _told(value, ("mass", "volume"), wanted, example)
        if name not in STANDING:
            what = (
                f'"{name}" cannot stand on the stove' if name else "it does not say what stands on the stove"
            )
            raise InputError(Fault(what, allowed=", ".join(STANDING), todo='Write for example "5 kg stones"'))
        row = STANDING[name]
        mass = amount if kind == "mass" else amount * row.density
        if not 0.0 < mass <= LARGEST_ON_TOP:
            allowed = f"over 0 kg, up to {LARGEST_ON_TOP:g} kg"
            todo = 'Give a mass in this range, or take it away: on_top = "none"'
            raise InputError(Fault(f"out of range: {show(mass, 'mass', 'si')}", allowed=allowed, todo=todo))
        return OnTop(mass, row.specific_heat, row.water, row.density)


@dataclass(frozen=True, kw_only=True)
class Bends(Reader):
    """The bends of a pipe, a list of angles."""

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> tuple[float, ...]:
        """The angles [rad], from 0 to a right angle each."""
        if not isinstance(value, tuple):
            todo = 'Write for example bends = ["45 deg", "45 deg"], or [] for a straight pipe'
            raise InputError(Fault("a list of angles is wanted", todo=todo))
        angles: list[float] = []
        faults: list[Fault] = []
        for position, text in enumerate(value):
            try:
                angles.append(_bend(text))
            except InputError as error:
                faults += [replace(fault, key=str(position)) for fault in error.faults]
        if faults:
            raise InputError(faults)
        return tuple(angles)


def _bend(text: Any) -> float:
    if not isinstance(text, str):
        raise InputError(Fault("an angle is wanted", todo='Write it in quotes, for example "45 deg"'))
    angle = to_si(text, "angle")
    if not 0.0 <= angle <= STEEPEST_BEND * (1.0 + 1e-12):
        todo = "Give the angle by which the pipe turns; make two bends of a sharper one"
        raise InputError(Fault("out of range", allowed="0 deg to 90 deg", todo=todo))
    return angle


def _told(value: Any, kinds: tuple[str, ...], wanted: str, example: str) -> tuple[float, str, str]:
    """The quantity at the head of a text, its kind, and the name behind it; InputError without a quantity."""
    leading = leading_quantity(value, kinds) if isinstance(value, str) else None
    if leading is None:
        raise InputError(Fault(f"{wanted} is wanted", todo=f"Write it in quotes, for example {example}"))
    return leading[0], leading[1], " ".join(leading[2].split()).lower()

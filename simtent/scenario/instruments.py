"""[what_if] and [instruments]: what is asked about a spilling flue, and what the user's own instruments showed.

Three traps of instruments are met here: parts per million and milligrams per cubic metre, Fahrenheit and Celsius, the
pipe's surface and the gas inside it. Each must be said; nothing is guessed.
"""

import re
from dataclasses import dataclass, replace
from typing import Annotated, Any, Literal

from simtent.errors import Fault, InputError
from simtent.scenario.quantity import Reader, list_default
from simtent.scenario.section import Section
from simtent.units import leading_quantity, to_si

MILLIGRAMS_AT_25 = 1.145  # mg/m3 for a ppm of carbon monoxide, at 25 degC and 101.325 kPa; closed form
LARGEST_PPM, LEAST_SHARE = 12800.0, 1e-4
COLDEST, HOTTEST = 223.15, 1473.15  # K, of a flue
SHARES_ALLOWED = "0.01 % to 100 %"
MONOXIDE_ALLOWED = f"0 to {LARGEST_PPM:.0f} ppm, or 0 to {MILLIGRAMS_AT_25 * LARGEST_PPM:.0f} mg/m3"
FLUE_ALLOWED = "-50 degC to 1200 degC (-58 degF to 2192 degF)"
NUMBER_AND_UNIT = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)")
UNITS = {"ppm": 1.0, "mg/m3": 1.0 / MILLIGRAMS_AT_25, "mg/m^3": 1.0 / MILLIGRAMS_AT_25}  # ppm
Where = Literal["surface", "gas"]
PLACES: dict[str, Where] = {"at the surface": "surface", "of the gas": "gas"}
USUAL: dict[Where, tuple[float, float]] = {"surface": (121.0, 204.0), "gas": (149.0, 427.0)}
"""What thermometers at a pipe usually show [degC]: half a metre above the stove; common practice, no source."""


@dataclass(frozen=True, slots=True)
class FlueReading:
    """What a thermometer at the pipe showed: its temperature [K], and whether of the metal or of the gas."""

    kelvin: float
    where: Where


@dataclass(frozen=True, kw_only=True)
class Shares(Reader):
    """A list of shares."""

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> tuple[float, ...]:
        """The shares, rising; InputError if one is none, or out of range."""
        if not isinstance(value, tuple) or not value:
            todo = 'Write for example spill = ["1 %", "10 %", "100 %"]'
            raise InputError(Fault("a list of shares is wanted", allowed=SHARES_ALLOWED, todo=todo))
        found, faults = [], []
        for position, text in enumerate(value):
            try:
                found.append(_share(text))
            except InputError as error:
                faults += [replace(fault, key=str(position)) for fault in error.faults]
        if faults:
            raise InputError(faults)
        return tuple(sorted(set(found)))


def _share(text: Any) -> float:
    if not isinstance(text, str):
        raise InputError(
            Fault("a share is wanted", allowed=SHARES_ALLOWED, todo='Write it in quotes, for example "10 %"')
        )
    share = to_si(text, "share")
    if not LEAST_SHARE <= share <= 1.0:
        raise InputError(Fault("out of range", allowed=SHARES_ALLOWED, todo="Give a share in this range"))
    return share


@dataclass(frozen=True, kw_only=True)
class MonoxideText(Reader):
    """Carbon monoxide as an instrument shows it, "35 ppm" or "40 mg/m3"."""

    def read(self, value: Any, _context: Any = None) -> float:
        """The concentration [ppm]; InputError where the unit is missing or the value no instrument's."""
        plain = isinstance(value, str | int | float) and not isinstance(value, bool)
        parts = NUMBER_AND_UNIT.fullmatch(str(value).strip()) if plain else None
        if parts is None:
            todo = 'Write it with its unit, for example "35 ppm"'
            raise InputError(
                Fault("a reading of carbon monoxide is wanted", allowed=MONOXIDE_ALLOWED, todo=todo)
            )
        number, unit = float(parts[1]), parts[2]
        if unit.startswith(","):
            todo = "Write a decimal point, and no comma between thousands"
            raise InputError(Fault("a comma in the number", allowed=MONOXIDE_ALLOWED, todo=todo))
        if unit not in UNITS:
            raise InputError(_which_unit(number, unit))
        ppm = number * UNITS[unit]
        if not 0.0 <= ppm <= LARGEST_PPM:
            raise InputError(
                Fault(
                    "out of range",
                    allowed=MONOXIDE_ALLOWED,
                    todo="Read the instrument again, and its unit; above this range nobody reads meters",
                )
            )
        return ppm


def _which_unit(number: float, unit: str) -> Fault:
    what = f'"{unit}" is no unit of carbon monoxide here' if unit else "carbon monoxide without its unit"
    if not 0.0 <= number <= MILLIGRAMS_AT_25 * LARGEST_PPM:
        return Fault(what, allowed=MONOXIDE_ALLOWED, todo="Read the instrument again, and its unit")
    return Fault(
        what,
        allowed=f"{number:g} ppm would be {MILLIGRAMS_AT_25 * number:.3g} mg/m3 (25 degC, sea level), "
        f"{number:g} mg/m3 would be {number / MILLIGRAMS_AT_25:.3g} ppm",
        todo=f'Write "{number:g} ppm" or "{number:g} mg/m3", as the instrument says',
    )


@dataclass(frozen=True, kw_only=True)
class FlueText(Reader):
    """A thermometer at the pipe, "400 degF at the surface" or "300 degC of the gas"."""

    def read(self, value: Any, _context: Any = None) -> FlueReading:
        """The reading; InputError where unit or place is missing, or no pipe is that hot or cold."""
        parts = NUMBER_AND_UNIT.fullmatch(value.strip()) if isinstance(value, str) else None
        if parts is not None and (" ".join(parts[2].split()) in ("", *PLACES)):
            raise InputError(_which_degrees(float(parts[1]), parts[2]))
        leading = leading_quantity(value, ("temperature",)) if isinstance(value, str) else None
        if leading is None:
            todo = (
                'Write it with unit and place, for example "400 degF at the surface" or "300 degC of the gas"'
            )
            raise InputError(Fault("a temperature at the pipe is wanted", allowed=FLUE_ALLOWED, todo=todo))
        kelvin, _, rest = leading
        where = PLACES.get(" ".join(rest.split()))
        if where is None:
            raise InputError(
                Fault(
                    "it does not say whether that is the pipe's surface or the gas inside",
                    allowed="at the surface, of the gas",
                    todo="Add one of them: a surface thermometer shows about half of what a probe in the gas does",
                )
            )
        if not COLDEST <= kelvin <= HOTTEST:
            todo = "Read the instrument again, and its unit"
            raise InputError(Fault("out of range", allowed=FLUE_ALLOWED, todo=todo))
        return FlueReading(kelvin, where)


def _which_degrees(number: float, place: str) -> Fault:
    """Of a number without a unit, with a place or without."""
    place = " ".join(place.split()) or "at the surface"
    return Fault(
        "a temperature at the pipe without its unit",
        allowed=f"{number:g} degC would be {1.8 * number + 32.0:.0f} degF, "
        f"{number:g} degF would be {(number - 32.0) / 1.8:.0f} degC",
        todo=f'Write "{number:g} degC {place}" or "{number:g} degF {place}", as the thermometer says',
    )


class WhatIf(Section):
    """What is asked beside the night as it is."""

    spill: Annotated[
        tuple[float, ...],
        Shares(meaning="shares of the flue's carbon monoxide that come into the shelter, one case each"),
    ] = list_default("1 %", "10 %", "100 %")


class Instruments(Section):
    """What the user's own instruments showed."""

    carbon_monoxide: Annotated[
        float | None, MonoxideText(meaning="what a carbon monoxide meter showed, with its unit: ppm or mg/m3")
    ] = None
    flue: Annotated[
        FlueReading | None,
        FlueText(
            meaning="what a thermometer at the pipe showed, with its unit, at the surface or of the gas"
        ),
    ] = None

"""In which unit a logger counts: as stated, as its header says, or by what is likely where a person camps."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from simtent.units import scale

UNITS = ("degF", "degC", "K")
WITH_MARK = re.compile(
    r"(?i)(?:[°º]|\bdeg(?:rees?)?[ ._]?)(c|f|k)(?![a-z])|(celsius|fahrenheit|kelvin)|([℃℉])"
)
AT_THE_END = re.compile(r"(?:^|[\[(,/_])\s*([CFK])\s*[\])]?\s*$")
LETTERS = {"c": "degC", "f": "degF", "k": "K", "℃": "degC", "℉": "degF"}


@dataclass(frozen=True, slots=True)
class Likely:
    """What sensors show where people camp [degC]: none colder, and the hottest reading of all between two values."""

    coldest: float
    hottest: tuple[float, float]


# Own choice, common practice, no source. Shelters that are logged are heated: their warmest reading is above 5 degC.
ROOM = Likely(-55.0, (5.0, 65.0))
LIKELY = {
    "outdoors": Likely(-60.0, (-55.0, 40.0)),
    "stove": Likely(-55.0, (60.0, 750.0)),
    "pipe": Likely(-55.0, (50.0, 950.0)),
}


def unit_in(*texts: str) -> tuple[str, ...]:
    """The units of temperature that a header's texts name, none, one or more; "CH1 (°F)" names degF."""
    found: list[str] = []
    for text in texts:
        marks = [next(part for part in hit if part)[0] for hit in WITH_MARK.findall(text)]
        marks = marks or AT_THE_END.findall(text.strip())
        found += [LETTERS[mark.lower()] for mark in marks]
    return tuple(dict.fromkeys(found))


def likely_units(numbers: Mapping[str, Sequence[float]], *, fire: bool = True) -> tuple[str, ...]:
    """The units in which every sensor's numbers, by place, are likely; `fire`: something was heated."""
    return tuple(
        unit for unit in UNITS if all(_likely(place, it, unit, fire) for place, it in numbers.items())
    )


def shown(numbers: Sequence[float], unit: str) -> str:
    """The span of numbers in the unit, and in degC."""
    low, high = (_celsius(value, unit) for value in (min(numbers), max(numbers)))
    return f"{min(numbers):g} to {max(numbers):g} {unit} is {low:.0f} to {high:.0f} degC"


def _likely(place: str, numbers: Sequence[float], unit: str, fire: bool) -> bool:
    """A hundredth of the numbers at either end may be slips of the sensor."""
    ordered, within = sorted(numbers), LIKELY.get(place, ROOM)
    few = len(ordered) // 100
    low, high = _celsius(ordered[few], unit), _celsius(ordered[-1 - few], unit)
    least = within.hottest[0] if fire else within.coldest
    return low >= within.coldest and least <= high <= within.hottest[1]


def _celsius(value: float, unit: str) -> float:
    factor, zero = scale(unit, "temperature")
    return value * factor + zero - 273.15

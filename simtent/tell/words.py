"""Numbers and clock times as people read them. Temperatures come in degC, as the Dataset holds them."""

import re
import textwrap
from datetime import datetime, timedelta

from simtent.scenario.night import Night
from simtent.units import System, number, show, unit_name

WIDTH = 80
TIED = "\u00a0"  # a space at which no line is broken
ZERO_CELSIUS = 273.15  # [K]


def local(night: Night, seconds: float) -> datetime:
    """A moment [s from begin] on the camp's clock, rounded to the minute."""
    begin = night.begin_utc
    return (begin + timedelta(seconds=60.0 * round(seconds / 60.0))).astimezone(night.zone)


def clock(night: Night, seconds: float) -> str:
    """A moment [s from begin] on the camp's clock: "05:40"."""
    return f"{local(night, seconds):%H:%M}"


def full_hours(night: Night) -> list[float]:
    """Moments [s from begin] at which the camp's clock shows a full hour."""
    minutes = (60.0 * minute for minute in range(int(night.seconds / 60.0) + 1))
    return [moment for moment in minutes if local(night, moment).minute == 0]


def degrees(celsius: float, system: System) -> str:
    """A temperature [degC] in whole degrees with its unit: "41 degF"."""
    return show(celsius + ZERO_CELSIUS, "temperature", system, 0)


def degree_number(celsius: float, system: System) -> float:
    """A temperature [degC] as a number in the unit of `degree_unit`."""
    return number(celsius + ZERO_CELSIUS, "temperature", system)


def degree_unit(system: System) -> str:
    """The unit temperatures are shown in."""
    return unit_name("temperature", system)


def whole(value: float, places: int = 0) -> str:
    """A number without decimals and never "-0"; with places -1 to the nearest ten."""
    return f"{int(round(value, places))}"


def duration(seconds: float) -> str:
    """A duration [s] in hours and minutes: "3 h 10 min"."""
    minutes = round(seconds / 60.0)
    if seconds > 0.0 and minutes == 0:
        return "under 1 min"
    parts = [f"{minutes // 60} h" if minutes >= 60 else "", f"{minutes % 60} min" if minutes % 60 else ""]
    return " ".join(part for part in parts if part) or "0 min"


def kilowatt_hours(joules: float) -> str:
    """An energy [J] in kilowatt-hours: "21.3 kWh"."""
    return show(joules, "energy", "si", 1)


def percent(share: float) -> str:
    """A share [-] in whole per cent: "42 %"."""
    return show(share, "share", "si", 0)


def sentence(text: str) -> str:
    """The text with a capital at its beginning and a stop at its end."""
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def paragraph(text: str, first: str = "", rest: str = "") -> list[str]:
    """The text in lines of at most `WIDTH` characters, each behind its indent.

    No word is broken, and no number is parted from what it counts.
    """
    lines = textwrap.wrap(
        re.sub(r"(?<=\d) ", TIED, text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(TIED, " ") for line in lines]

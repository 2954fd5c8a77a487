"""Numbers and sentences as people read them. Temperatures come in degC, as the Dataset holds them."""

import re
import textwrap

from simtent.scenario.scenario import Scenario
from simtent.units import System, number, show, unit_name

WIDTH = 80
TIED = "\u00a0"  # a space at which no line is broken
ZERO_CELSIUS = 273.15  # [K]


def occasion(scenario: Scenario) -> str:
    """What the scenario tells of: a night, or a burn in the open."""
    return "burn" if scenario.shelter is None else "night"


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


def short_length(metres: float, system: System) -> str:
    """A length [m] in whole inches or centimetres: "16 in"."""
    return f"{metres / 0.0254:.0f} in" if system == "us" else f"{100.0 * metres:.0f} cm"


def wood_mass(mass: float, system: System) -> str:
    """A mass of wood [kg] with its unit: "7.1 lb"."""
    return show(mass, "mass", system, 1)


def coal_mass(mass: float, system: System) -> str:
    """A mass of coals [kg] with its unit, finer than that of wood: "0.24 lb"."""
    return show(mass, "mass", system, 2)


def power(watts: float, system: System) -> str:
    """A power [W] to the nearest ten with its unit: "4690 W"."""
    return f"{whole(number(watts, 'power', system), -1)} {unit_name('power', system)}"


def two_figures(value: float) -> str:
    """A number with one decimal below ten and none above: "14", "3.2", "0.4"; never "-0"."""
    return f"{value:.0f}" if abs(value) >= 9.95 else f"{round(value, 1) + 0.0:.1f}"


def gram_flow(flow: float) -> str:
    """A flow of air [kg/s] as a number of grams per second: "3.2"."""
    return two_figures(1000.0 * flow)


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


def tied(text: str) -> str:
    """The text with no space left between a number and what it counts at which a line could be broken."""
    return re.sub(r"(?<=\d) ", TIED, text)


def paragraph(text: str, first: str = "", rest: str = "") -> list[str]:
    """The text in lines of at most `WIDTH` characters, each behind its indent.

    No word is broken, and no number is parted from what it counts.
    """
    lines = textwrap.wrap(
        tied(text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(TIED, " ") for line in lines]

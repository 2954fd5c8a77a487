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
    """A length [m] in whole centimetres, or as on a tape: "16 cm", "16 1/4 in", "5 ft 6 in"."""
    return show(metres, "length", system) if system == "us" else f"{100.0 * metres:.0f} cm"


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


def air_flow(flow: float, system: System) -> str:
    """A flow of air [kg/s] as a number in the unit of `air_flow_unit`: "3.2"."""
    return two_figures(number(flow, "air_flow", system))


def air_flow_unit(system: System) -> str:
    """The unit flows of air are shown in: a mass, so that streams add up."""
    return unit_name("air_flow", system)


def energy(joules: float, system: System) -> str:
    """An energy [J] with its unit: "21.3 kWh", "72.7 kBtu"."""
    return show(joules, "energy", system, 1)


def water(mass: float, system: System) -> str:
    """A mass of water [kg] in whole grams, in ounces, or in pounds from one on: "250 g", "8.8 oz", "1.1 lb"."""
    return show(mass, "water", system)


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

"""Numbers of a stove as a shop would say them: cells of the tables, and the same in sentences."""

from math import ceil, floor, inf

from simtent.scenario.checks_fire import TEST_LOAD
from simtent.sizing.classes import Size
from simtent.sizing.hold import Held
from simtent.sizing.likened import Likened
from simtent.tell.draft_us import beginning_in_us
from simtent.tell.words import short_length, wood_mass
from simtent.units import System, number, show, unit_name

LITRES, FEET3 = 1000.0, 35.3147  # in a cubic metre
CLASS_BOX = 0.03  # m3, of the row from which everything scales, see `sizing.classes`


def firebox(size: Size, system: System) -> str:
    """Its volume: "40 L" or "1.41 ft3"."""
    return f"{FEET3 * size.volume:.2f} ft3" if system == "us" else f"{LITRES * size.volume:.3g} L"


def label(size: Size, system: System) -> str:
    """How a row is called."""
    return f"{firebox(size, system)} (yours)" if size.own else firebox(size, system)


def pipe(size: Size, system: System) -> str:
    """The pipe's inner diameter: "4.3 in" or "11 cm"."""
    return f"{size.pipe / 0.0254:.1f} in" if system == "us" else f"{100.0 * size.pipe:.1f} cm"


def inlet(size: Size, system: System) -> str:
    """The area of the air inlets."""
    return f"{size.opening / 0.0254**2:.1f} in2" if system == "us" else f"{1e4 * size.opening:.0f} cm2"


def sheet(size: Size, system: System) -> str:
    """The sheet of its body: "1.2 mm steel" or "0.047 in steel", as a draft in those units has it."""
    return beginning_in_us(size.sheet) if system == "us" else size.sheet


def proportions(system: System) -> tuple[str, str]:
    """The box from which the classes are counted, and how much wood fills a firebox: as texts for a sentence."""
    if system == "us":
        return f"{FEET3 * CLASS_BOX:.2f} ft3", f"{number(TEST_LOAD, 'density', 'us'):.0f} lb of wood per ft3"
    return f"{LITRES * CLASS_BOX:.0f} L", f"{TEST_LOAD:.0f} kg of wood per m3"


def longest(size: Size, system: System) -> str:
    """The longest piece that goes in."""
    return short_length(size.long, system)


def thickness(size: Size, system: System) -> str:
    """How thick the pieces are that are counted."""
    return f"{size.thick / 0.0254:.1f} in" if system == "us" else short_length(size.thick, system)


def load(size: Size, system: System) -> str:
    """A full load in pieces and weight: "3 (9.9 lb)"."""
    return f"{size.pieces} ({wood_mass(size.load, system)})"


def counted(size: Size) -> str:
    """The pieces of a full load in words."""
    return f"{size.pieces} piece{'s' if size.pieces != 1 else ''}"


def no_warmer(kelvin: float, system: System) -> str:
    """The coldest of a cot in whole degrees, never more than was found, so that a wish missed by a hair is missed."""
    return f"{floor(number(kelvin, 'temperature', system) + 1e-6)} {unit_name('temperature', system)}"


def no_colder(kelvin: float, system: System) -> str:
    """The hottest of a head, or outdoor air that is held, in whole degrees, never less than was found."""
    return f"{ceil(number(kelvin, 'temperature', system) - 1e-6)} {unit_name('temperature', system)}"


def down_to(it: Likened, system: System) -> str:
    """The outdoor air down to which the wish is held: "-4 degF", "below -40 degF", "-" where it hardly warms."""
    if it.air is None:
        return "-"
    return f"{'below ' if it.beyond else ''}{no_colder(it.air, system)}"


def heat(watts: float, system: System) -> str:
    """A heat with its unit: "4.2 kW" or "14,300 Btu/h"; "more than 50 kW" where none that is allowed is enough."""
    if watts == inf:
        return f"more than {heat(5.0e4, system)}"
    if system == "us":
        return f"{round(number(watts, 'power', 'us'), -2):,.0f} Btu/h"
    return f"{watts / 1000.0:.1f} kW"


def temperature(kelvin: float, system: System) -> str:
    """A temperature in whole degrees."""
    return show(kelvin, "temperature", system, 0)


def coals(night: Held) -> str:
    """Whether coals light the next load."""
    return "yes" if night.lights else "no"

"""The standing cautions, kept as data: for every night, and for one with a stove, a heater, a shelter.

They hold whatever the simulation says, and every verb shows them first. They say what is not known, give way
to the makers' manuals, local codes and licensed practice, and name their source; "common practice, no source"
says so openly. None of them is a verdict that all is well.
"""

from collections.abc import Iterable
from dataclasses import replace

from simtent.assess import kinds
from simtent.assess.findings import Finding
from simtent.scenario.scenario import Scenario

# What stands on a picture, where there is room for three short lines.
HEADLINE = (
    "Carbon monoxide alarm on, rated for the cold.",
    "Vents open. Someone awake while a fire burns.",
    "Follow the makers' manuals. No safety guarantee.",
)

CARBON_MONOXIDE = kinds.CARBON_MONOXIDE.found(
    what="Fire makes carbon monoxide: no smell, and no warning to a sleeper. Altitude and heart disease "
    "make it worse. No number here foretells it; what is computed are what-ifs.",
    todo="Use a carbon monoxide alarm rated for the cold, placed as its maker says and tested tonight, "
    "and keep ventilation open. Both together are not a safety guarantee.",
)
VENTS = kinds.VENTS.found(
    what="Snow, frost and bedding close vents. No code rule for the vents of a tent was found.",
    todo="Keep a low and a high vent open all night.",
)
FLUELESS = kinds.FLUELESS.found(
    what="A burner without a flue needs far more fresh air than a shelter's vents give.",
    todo="Burn nothing without a flue inside: no cooker, lantern or gas heater. Run no engine nearby.",
)
DISTANCES = kinds.DISTANCES.found(
    what="Stove and pipe burn skin, and can set fire to fabric, bedding and wood that they do not touch.",
    todo="Keep these distances or the makers', whichever is more, on all sides and above.",
    limit="914 mm from an unlisted stove, 457 mm from a single-wall pipe, written for houses",
)
TENT_FIRE = kinds.TENT_FIRE.found(
    what="A tent on fire can be all in flames in 10 s and gone in 60 s.",
    todo="Someone stays awake while a fire burns. Keep the way out free and a knife within reach.",
)
HEATER = kinds.HEATER.found(
    what="An electric heater and its cord can start a fire and, in the wet, give a deadly shock.",
    todo="Use a heater and a cord made for the load, the cold and the wet; cord unrolled and off the "
    "snow, on a ground-fault breaker; heater clear of fabric.",
)
GIVEN_HEAT = kinds.GIVEN_HEAT.found(
    what="This night is calculated from a file and a given heat, not from your fire. It knows nothing of "
    "smoke, sparks or burns.",
    todo="The manuals of the makers of stove, heater and shelter, local codes and fire rules, and "
    "licensed people (installer, electrician, engineer, physician) come before anything printed here.",
)
FIRST_FIRING = kinds.FIRST_FIRING.found(
    what="A new stove and pipe give off fumes when they first get hot: oil, paint, zinc from a coated pipe.",
    todo="Burn them in outdoors, hot and for as long as the maker says, before they ever stand in a "
    "shelter, and stay upwind of them. Do not use a pipe coated with zinc.",
)
GLOW = kinds.GLOW.found(
    what="A thin stove fed too much wood with its air open glows, warps and burns through.",
    todo="At the first glow close the air, leave the door shut, and move what is near. Keep to the maker's "
    "largest load.",
    limit="metal that glows at all is at about 500 degC or more",
)
CREOSOTE = kinds.CREOSOTE.found(
    what="A damped fire or damp wood coats a cool pipe with creosote, which narrows it, clogs its spark "
    "arrestor and can burn in it.",
    todo="Burn dry wood, an hour a day with the air open; look at the arrestor every day; knock and "
    "brush the cold pipe clean whenever camp moves.",
    limit="gas at the top of the pipe above 121 degC while it smokes",
)
SMOKE = kinds.SMOKE.found(
    what="Smoke and carbon monoxide come into the shelter from an opened door, a blocked or cold pipe, a gust, "
    "and most of all from coals that die with the pipe nearly closed.",
    todo="Open air and damper before the door, and open it slowly. Never close the damper altogether while "
    "anything glows. Carbon monoxide alarm on, vents open; both together are not a safety guarantee.",
)
NO_ARRESTOR = kinds.NO_ARRESTOR.found(
    what="The pipe has no spark arrestor: sparks burn holes into cloth, and can set dry ground alight.",
    todo="Fit the maker's, look at it every day and clean it every one to three: clogged, it sends "
    "the smoke inside. The "
    "pipe's end stands above the ridge, down the wind.",
)
ASHES = kinds.ASHES.found(
    what="Ashes hide live coals for a day and more, and wood piled against a stove can catch by itself.",
    todo="Carry ashes out in a lidded metal pail, away from the shelter. Keep wood as far off as fabric.",
)
CALCULATED_FIRE = kinds.CALCULATED_FIRE.found(
    what="This fire is calculated from a file; yours burns otherwise. How it takes hold, how long it lasts and "
    "whether coals light new wood are the weakest numbers here. Smoke, sparks and burns are not in it.",
    todo="The manuals of the makers of stove, pipe and shelter, local codes and fire rules, and licensed "
    "people (installer, engineer, physician) come before anything printed here.",
)


DEFERS = kinds.DEFERS.found(
    what="Nothing above, and nothing that is missing above, says that all is well. What is computed comes last.",
    todo="The manuals of the makers of stove, heater, pipe and shelter, local codes and fire rules, "
    "and licensed people "
    "(installer, electrician, engineer, physician) come before anything printed here.",
)

# The same limits as their sources have them: US sources, so these are the rounder numbers.
IN_US = {
    DISTANCES: replace(
        DISTANCES,
        limit="36 in from an unlisted stove, 18 in from a single-wall pipe, written for houses",
    ),
    GLOW: replace(GLOW, limit="metal that glows at all is at about 930 degF or more"),
    CREOSOTE: replace(CREOSOTE, limit="gas at the top of the pipe above 250 degF while it smokes"),
    ASHES: replace(
        ASHES,
        source="wood kept at 170 degF: Babrauskas and others 2007 (abstract); the rest common practice, no source",
    ),
}

LOGGED = kinds.LOGGED.found(
    what="A logged night tells what was. Another wind, other wood or another hand at the lever make another night, "
    "and no thermometer tells of smoke or carbon monoxide.",
    todo="The manuals of the makers of stove, heater, pipe and shelter, local codes and fire rules, and licensed "
    "people (installer, electrician, engineer, physician) come before anything printed here.",
)


def of_logged(scenarios: Iterable[Scenario]) -> tuple[Finding, ...]:
    """The cautions that hold for logged nights: those of each, where nothing is calculated."""
    found = dict.fromkeys(it for scenario in scenarios for it in standing(scenario))
    return (*(it for it in found if it not in (CALCULATED_FIRE, GIVEN_HEAT)), LOGGED)


def standing(scenario: Scenario) -> tuple[Finding, ...]:
    """The cautions that hold for this scenario, the gravest first."""
    inside = scenario.shelter is not None
    fire = scenario.stove is not None
    found = (
        CARBON_MONOXIDE,
        *([VENTS, FLUELESS] if inside else []),
        DISTANCES,
        *([TENT_FIRE] if inside else []),
        *([NO_ARRESTOR] if scenario.stove is not None and not scenario.stove.pipe.arrestor else []),
        *([FIRST_FIRING, GLOW, SMOKE, CREOSOTE, ASHES, CALCULATED_FIRE] if fire else [HEATER, GIVEN_HEAT]),
    )
    return tuple(IN_US.get(it, it) for it in found) if scenario.units == "us" else found

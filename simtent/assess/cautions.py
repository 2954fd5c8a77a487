"""The standing cautions for a night with a known heat source in a fabric shelter, kept as data.

They hold whatever the simulation says, and every verb shows them first. They say what is not known, give way
to the makers' manuals, local codes and licensed practice, and name their source; "common practice, no source"
says so openly. None of them is a verdict that all is well.
"""

from simtent.assess.findings import Finding

PRACTICE = "common practice, no source"

# What stands on a picture, where there is room for three short lines.
HEADLINE = (
    "Carbon monoxide alarm on, rated for the cold.",
    "Vents open. Someone awake while a fire burns.",
    "Follow the makers' manuals. No safety guarantee.",
)

STANDING: tuple[Finding, ...] = (
    Finding(
        level="caution",
        what="Fire makes carbon monoxide: no smell, and no warning to a sleeper. Altitude and heart disease "
        "make it worse. It is not computed here.",
        todo="Use a carbon monoxide alarm rated for the cold, placed as its maker says and tested tonight, "
        "and keep ventilation open. Both together are not a safety guarantee.",
        source=PRACTICE,
    ),
    Finding(
        level="caution",
        what="Snow, frost and bedding close vents. No code rule for the vents of a tent was found.",
        todo="Keep a low and a high vent open all night.",
        source=PRACTICE,
    ),
    Finding(
        level="caution",
        what="A burner without a flue needs far more fresh air than a shelter's vents give.",
        todo="Burn nothing without a flue inside: no cooker, lantern or gas heater. Run no engine nearby.",
        source="Thomassen, Brattebo and Rostrup 2004, Am J Emerg Med 22:204 (abstract): a cooker in a tent",
    ),
    Finding(
        level="caution",
        what="Stove and pipe burn skin, and can set fire to fabric, bedding and wood that they do not touch.",
        todo="Keep these distances or the makers', whichever is more, on all sides and above.",
        limit="914 mm (36 in) from an unlisted stove, 457 mm (18 in) from a single-wall pipe, "
        "written for houses",
        source="stove: National Ag Safety Database d001052; pipe: common practice, no source",
    ),
    Finding(
        level="caution",
        what="A tent on fire can be all in flames in 10 s and gone in 60 s.",
        todo="Someone stays awake while a fire burns. Keep the way out free and a knife within reach.",
        source="US Army safety article on heating tents; for the knife: common practice, no source",
    ),
    Finding(
        level="caution",
        what="An electric heater and its cord can start a fire and, in the wet, give a deadly shock.",
        todo="Use a heater and a cord made for the load, the cold and the wet; cord unrolled and off the "
        "snow, on a ground-fault breaker; heater clear of fabric.",
        source=PRACTICE,
    ),
    Finding(
        level="caution",
        what="This night is calculated from a file and a given heat, not from your fire. It knows nothing of "
        "smoke, sparks or burns.",
        todo="The manuals of the makers of stove, heater and shelter, local codes and fire rules, and "
        "licensed people (installer, electrician, engineer, physician) come before anything printed here.",
        source=PRACTICE,
    ),
)

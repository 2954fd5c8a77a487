"""What is odd about water inside: given and not counted."""

from collections.abc import Iterator

from simtent.scenario.odd import Look, Oddity


def odd_damp(look: Look) -> Iterator[Oddity]:
    """Oddities of what gives off water."""
    scenario = look.scenario
    if scenario.shelter is not None and scenario.damp is None and scenario.crew.wet_gear > 0.0:
        yield look.odd(
            ("crew", "wet_gear"),
            "wet gear is given, and this night counts no water",
            "What dries cools the air and damps it; without the table [damp] only `simtent heights` counts it.",
            "Add [damp] for every night, or leave it so.",
        )

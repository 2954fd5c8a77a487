"""What is odd about water inside: given and not counted, or kept in by cloth that lets some through."""

from collections.abc import Iterator

from simtent.scenario.fabric import PARTS
from simtent.scenario.odd import Look, Oddity
from simtent.scenario.shelter import Shelter

BREATHING = "canvas"  # in the name of a fabric that lets vapour through unless it is coated


def odd_damp(look: Look) -> Iterator[Oddity]:
    """Oddities of what gives off water, and of the skin that keeps it in."""
    scenario = look.scenario
    if scenario.shelter is None:
        return
    if scenario.damp is None and scenario.crew.wet_gear > 0.0:
        yield look.odd(
            ("crew", "wet_gear"),
            "wet gear is given, and this night counts no water",
            "What dries cools the air and damps it; without the table [damp] only `simtent heights` counts it.",
            "Add [damp] for every night, or leave it so.",
        )
    if scenario.damp is not None and scenario.damp.passes == 0.0 and _breathes(scenario.shelter):
        yield look.odd(
            ("damp", "passes"),
            "the skin is canvas, and lets no vapour through",
            "Uncoated canvas lets some of the vapour out: frost and water inside are the most to expect.",
            'Give passes = "..." if you know it, or take the numbers as the most.',
        )


def _breathes(shelter: Shelter) -> bool:
    """Whether every layer of some part is canvas or a gap."""
    parts = [shelter.skin.of(part) for part in PARTS]
    return any(
        layers and all(layer.kind == "gap" or BREATHING in layer.name for layer in layers) for layers in parts
    )

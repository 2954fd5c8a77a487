"""Slips of the pen that single fields allow: feet or inches, a sheet that is not weighed so, a draft's own date."""

from collections.abc import Iterator

from simtent.scenario.hardware import METALS
from simtent.scenario.night import PLACEHOLDER
from simtent.scenario.odd import Look, Oddity
from simtent.scenario.stove import FITTINGS, Stove
from simtent.units import show

# All limits here: common practice, no source.
LOWEST_WALL = 0.3  # m
WEIGHED = (0.6, 2.0)  # weighed mass of a body over that of its sheet with door, legs and seams


def odd_slips(look: Look) -> Iterator[Oddity]:
    """Oddities of a wall, of a stove's mass and of a date."""
    wall = getattr(look.scenario.shelter, "wall", 0.0)
    if 0.0 < wall < LOWEST_WALL:
        yield _low_wall(look, wall)
    if look.scenario.stove is not None:
        yield from _mass(look, look.scenario.stove)
    if look.scenario.night.evening == PLACEHOLDER:
        yield look.odd(
            ("night", "evening"),
            "still the date that a draft is given, which is no real night",
            "A clock may change in a night, the sun stands by the date, and a log goes with its own evening.",
            "Write the date on which your night begins.",
        )


def _low_wall(look: Look, wall: float) -> Oddity:
    height = f"{show(wall, 'length', 'si', 2)} ({wall / 0.0254:.3g} in)"
    return look.odd(
        ("shelter", "wall"),
        f"upright walls of only {height}",
        "A roof that begins at the ground has wall 0, and few walls are lower than a knee: another unit may be meant.",
        "Check the unit: feet or inches, m or cm? If the wall is so low, leave it as it is.",
    )


def _mass(look: Look, stove: Stove) -> Iterator[Oddity]:
    """A mass that was weighed, against the mass of the firebox' six faces in that sheet."""
    bare = stove.firebox.area * stove.sheet.areal_density
    low, high = WEIGHED
    if stove.mass is None or low <= stove.mass / (bare * FITTINGS) <= high:
        return
    weighed, sheet, body = (show(mass, "mass", look.units) for mass in (stove.mass, bare, bare * FITTINGS))
    faces = show(stove.firebox.area, "area", look.units, 2)
    thick = f"{1000.0 * stove.sheet.thickness:.2g} mm"
    density = show(METALS[stove.sheet.metal], "density", look.units, 0)
    heavy = stove.mass > bare * FITTINGS
    yield look.odd(
        ("stove", "mass"),
        f"{weighed} weighed does not go with sheet and size: {faces} of faces, {thick} thick, of {stove.sheet.metal} "
        f"({density}) are {sheet}, with door, legs and seams about {body}",
        "A heavy body warms slowly and holds heat, a thin one glows: the night follows the mass.",
        "Check sheet, the firebox' sizes and the weight, and their units. "
        + (
            "If bricks or a cast door make it so heavy, leave it as it is."
            if heavy
            else "The body is weighed without its pipe, and whole."
        ),
    )

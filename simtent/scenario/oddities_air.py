"""What is odd about vents, jack, pipe end, skirt and heights, where several fields must be seen together."""

from collections.abc import Iterator
from math import sqrt

from simtent.scenario.odd import Look, Oddity
from simtent.scenario.openings import Vent
from simtent.scenario.shelter import Shelter
from simtent.scenario.stove import Stove
from simtent.units import show

OPENINGS = ("shelter", "openings")
# Two openings to outdoors, one low and one high, each so large per watt of fuel [m2/W]: International Residential
# Code M1703, written for houses. No code for tents was found.
VENT_PER_POWER = 550e-6 / 1000.0
# Fuel that the open inlet lets burn [W/m2]: air by the orifice law, discharge 0.62, at 5 Pa and 1.29 kg/m3; 3.03 MJ per
# kg of air, twice the air that the wood needs (closed form; the air ratio is common practice).
POWER_PER_INLET = 0.62 * sqrt(2.0 * 1.29 * 5.0) * 3.03e6 / 2.0
HIGH = 0.5  # of the peak; common practice, no source


def odd_air(look: Look) -> Iterator[Oddity]:
    """Oddities of a shelter, and of one with a stove in it."""
    shelter, stove = look.scenario.shelter, look.scenario.stove
    if shelter is None:
        return
    yield from _cot(look, shelter)
    yield from _skirt(look, shelter)
    if stove is not None:
        yield from _vents(look, shelter, stove)
        yield from _jack(look, shelter)
        yield from _pipe_end(look, shelter, stove)


def _vents(look: Look, shelter: Shelter, stove: Stove) -> Iterator[Oddity]:
    opened = [(vent.at, vent.area * vent.open) for vent in shelter.openings.every_vent.values() if vent.open]
    if not opened:
        yield look.odd(
            OPENINGS,
            "no vent is open, and a stove burns inside",
            "Stove and sleepers use up air, smoke that spills has no other way out, and snow and frost close seams.",
            "Write the vents that your shelter has, with their free area. If it has none, ask its maker before any "
            "fire burns in it.",
        )
        return
    wanted = 2.0 * VENT_PER_POWER * POWER_PER_INLET * stove.air.opening
    area = sum(size for _, size in opened)
    if area < wanted:
        yield look.odd(
            OPENINGS,
            f"the open vents are small for this stove: {look.told(Vent, 'area', area)} together",
            f"For a house, a rule asks for {look.told(Vent, 'area', wanted)} in two openings, one low and one high, "
            "for the fire that this air inlet can feed (International Residential Code M1703). No rule for tents was "
            "found.",
            "Check the areas and how far they are open. Open more while a fire burns.",
        )
    yield from _one_sided(look, shelter, [height for height, _ in opened])


def _one_sided(look: Look, shelter: Shelter, heights: list[float]) -> Iterator[Oddity]:
    middle = HIGH * shelter.peak
    sides = (("low", "upper", min(heights) > middle), ("high", "lower", max(heights) < middle))
    for missing, other, one_sided in sides:
        if one_sided:
            yield look.odd(
                OPENINGS,
                f"there is no {missing} vent: all that are open are in the {other} half",
                "Air changes well only from low to high. From one height alone it comes and goes by seams and gusts.",
                f"Write the {missing} vent too, if your shelter has one.",
            )


def _jack(look: Look, shelter: Shelter) -> Iterator[Oddity]:
    jack = shelter.openings.jack
    if jack is not None and jack.gap:
        return
    path = OPENINGS if jack is None else (*OPENINGS, "jack", "gap")
    yield look.odd(
        path,
        "nothing is said of a gap around the pipe" if jack is None else "there is no gap around the pipe",
        "A pipe that touches fabric burns it, and air that leaks there is not counted.",
        "Measure between the pipe and what it passes, and write its area, jack = { gap = ... }.",
    )


def _pipe_end(look: Look, shelter: Shelter, stove: Stove) -> Iterator[Oddity]:
    end = stove.collar + stove.pipe.inside + stove.pipe.outside
    if end > shelter.peak:
        return
    heights = [show(height, "length", look.units, 2) for height in (end, shelter.peak)]
    yield look.odd(
        ("stove", "pipe", "outside"),
        f"the pipe ends at most {heights[0]} above the ground, and the shelter is {heights[1]} high",
        "Wind that falls over the peak pushes smoke back down such a pipe, and sparks land on the roof.",
        "Correct the lengths, or lengthen the pipe until it ends above the peak.",
    )


def _skirt(look: Look, shelter: Shelter) -> Iterator[Oddity]:
    if shelter.skirt != "loose" or look.scenario.model.leak_below_skirt is not None:
        return
    leak = look.told(Vent, "area", shelter.leak_below_skirt)
    yield look.odd(
        ("shelter", "skirt"),
        f"the skirt is loose: {leak} of leaks along the floor's edge are assumed",
        "Cold air comes in where people lie. How much is a guess from no source.",
        'Bank it with snow or sod and write "snow", or weigh it down and write "weighted". Open vents stay open.',
    )


def _cot(look: Look, shelter: Shelter) -> Iterator[Oddity]:
    cot = look.scenario.levels["cot"]
    if cot <= HIGH * shelter.peak:
        return
    yield look.odd(
        ("levels", "cot"),
        "the cot is in the upper half of the shelter",
        "Warm air gathers there: the night would look warmer than it is for people lower down.",
        "Levels count from the ground to where a sleeper lies. Correct it if people lie lower.",
    )

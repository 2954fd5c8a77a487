"""Leakage of whole shelters, as their openings are assembled, beside two published models of small buildings.

The models know a leakage area, a height, a temperature difference, a wind and a class of shelter from wind; how
openings lie on a skin they take from houses: half of them in floor and ceiling. Where a shelter's own lie otherwise
it falls outside, most by what they leave out: tents have no leaks under the floor and, where the skin narrows, few
high up; slopes flatter than 45 degrees differ little in the wind's pressure from side to side; and where the models
add squares of stack and wind, here the roof to windward lets warm air out against the wind. All of 56 cases lie at
0.58 to 1.32 of the nearer model. No tent was found whose leakage was measured. The shelters are invented for this.
"""

from functools import lru_cache
from math import hypot

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.assembly.pressure import inside_pressure
from simtent.physics.air import air_density
from simtent.physics.opening import LEAK_EXPONENT
from tests.simulate.cases import EVEN, scenario

from .claims import (
    CLOSED_FORM,
    EXACTLY,
    MEMORY,
    PUBLISHED,
    at_least,
    between,
    case,
    claims,
    off,
)
from .filling_box import throughflow
from .leakage_models import (
    NO_FLUE,
    STOREY_HEIGHT,
    Enhanced,
    basic_leakage,
    enhanced_leakage,
    flow_at_one_pascal,
)
from .sources import BARTOK, DOE_INPUT, MATHEMATICS, OTTAWA

SUBJECT = "Leakage of whole shelters"
INSIDE = 288.15
VENT = 0.01  # m2

# Classes of shelter from wind that go with an exposure: our reading of their descriptions (1 no obstructions, 2 few,
# 3 some, 4 around most of the perimeter, 5 close all round). The models' wind is that of the open country about, ours
# is the wind at the tent, which the trees have slowed already: it must not be sheltered twice, so that class 5, and
# class 4 for timber that stands to one side only, are left out.
CLASSES = {"open ground": (1, 2), "edge of timber": (3,), "in timber": (3, 4)}
# Shelter coefficients of the enhanced model by class: that of class 3 published, the others from memory.
SHELTER = {1: 1.0, 2: 0.9, 3: 0.7, 4: 0.5}
DRIVEN = {"stack": (30.0, 0.0), "wind": (0.0, 3.0), "both": (30.0, 3.0)}  # K, m/s

CANVAS = '["350 g/m2 polycotton canvas"]'
SKINS = f"wall = {CANVAS}\nroof = {CANVAS}", f"all = {CANVAS}"
AS_IN_EVEN = 'shape = "box"\nlength = "3 m"\nwidth = "2.5 m"\nheight = "2 m"'
# Shape, leakage area of seams and along the floor's edge [m2], height of a ridge vent. The room leaks as both models
# take a house to: half in the walls, a quarter above, a quarter at the floor; the tents' seams lie all over their skin.
SHELTERS = {
    "room": (
        'shape = "box"\nlength = "5 m"\nwidth = "5 m"\nheight = "2.5 m"',
        (0.015, 0.005),
        "2.4 m",
    ),
    "wall tent": (
        'shape = "wall tent"\nlength = "4 m"\nwidth = "3 m"\nwall = "1.2 m"\nridge = "2.2 m"',
        (0.02, 0.0),
        "2.1 m",
    ),
    "bell": (
        'shape = "bell"\ndiameter = "4 m"\nwall = "0.6 m"\npeak = "2.5 m"',
        (0.02, 0.0),
        "2.3 m",
    ),
    "pyramid": ('shape = "pyramid"\nwidth = "3 m"\npeak = "2.4 m"', (0.02, 0.0), "2.2 m"),
}


def leaks(night, exposure):
    """Column, openings, and air pressure of a night's shelter."""
    shelter = assemble(night.replace("site.shelter_from_wind", exposure)).shelter
    return shelter.room.column, shelter.room.openings, shelter.weather.pressure


def shelter_leaks(name, vents, exposure):
    """The same of a shelter of the table, by its seams alone or with two vents besides, below and above."""
    shape, (seams, skirt), top = SHELTERS[name]
    settings = {"model__leak_area": f"{seams} m2", "model__leak_below_skirt": f"{skirt} m2"}
    if vents:
        settings["shelter__openings"] = {
            "low_vent": {"area": f"{VENT} m2", "at": "15 cm"},
            "ridge_vent": {"area": f"{VENT} m2", "at": top},
        }
    assert AS_IN_EVEN in EVEN and SKINS[0] in EVEN
    return leaks(scenario(EVEN.replace(AS_IN_EVEN, shape).replace(*SKINS), **settings), exposure)


def stated_area(name, vents):
    """Effective leakage area at 4 Pa [m2] as the models take it, discharge 1; a sharp opening counts 0.6 of its own."""
    return sum(SHELTERS[name][1]) + (0.6 * 2.0 * VENT if vents else 0.0)


def leaking(column, holes, pressure, difference, wind):
    """Volume of outdoor air that comes in [m3/s] at one inside temperature."""
    temps, outdoors = np.full(column.edges.size - 1, INSIDE), INSIDE - difference
    _, flows = throughflow(column, holes, outdoors, pressure, temps, wind)
    return np.maximum(flows, 0.0).sum() / air_density(outdoors, pressure)


def published(area, column, pressure, difference, wind, classes):
    """Least and most that the two models give [m3/s] for an effective leakage area at 4 Pa [m2]."""
    height = float(column.edges[-1])
    one = flow_at_one_pascal(area, LEAK_EXPONENT, air_density(INSIDE, pressure))
    found = []
    for shelter in classes:
        kind = Enhanced(NO_FLUE.stack, NO_FLUE.wind, SHELTER[shelter])
        stack, breeze, _ = enhanced_leakage(one, LEAK_EXPONENT, difference, wind, kind)
        found.append(hypot(stack * (height / STOREY_HEIGHT) ** LEAK_EXPONENT, breeze))
        found.append(basic_leakage(area, difference, wind, height, shelter))
    return min(found), max(found)


@lru_cache
def placed(name, vents, exposure, driven):
    """Leakage over that of the nearer model; 1 between the two."""
    room = shelter_leaks(name, vents, exposure)
    ours = leaking(*room, *DRIVEN[driven])
    low, high = published(stated_area(name, vents), room[0], room[2], *DRIVEN[driven], CLASSES[exposure])
    return ours / min(max(ours, low), high)


# What lies outside, over the nearer model.
OUTSIDE = {
    ("room", False, "open ground", "both"): 0.96,
    ("room", True, "open ground", "wind"): 1.004,
    ("room", True, "open ground", "both"): 0.997,
    ("room", True, "edge of timber", "wind"): 1.13,
    ("wall tent", False, "open ground", "both"): 0.75,
    ("wall tent", False, "edge of timber", "stack"): 0.80,
    ("wall tent", False, "edge of timber", "wind"): 0.88,
    ("wall tent", False, "edge of timber", "both"): 0.81,
    ("wall tent", False, "in timber", "wind"): 0.99,
    ("wall tent", False, "in timber", "both"): 0.86,
    ("wall tent", True, "open ground", "both"): 0.90,
    ("wall tent", True, "edge of timber", "wind"): 1.02,
    ("wall tent", True, "edge of timber", "both"): 0.98,
    ("bell", False, "open ground", "wind"): 0.96,
    ("bell", False, "open ground", "both"): 0.58,
    ("bell", False, "edge of timber", "stack"): 0.68,
    ("bell", False, "edge of timber", "wind"): 0.66,
    ("bell", False, "edge of timber", "both"): 0.60,
    ("bell", False, "in timber", "wind"): 0.75,
    ("bell", False, "in timber", "both"): 0.66,
    ("bell", True, "open ground", "both"): 0.73,
    ("bell", True, "edge of timber", "stack"): 0.95,
    ("bell", True, "edge of timber", "wind"): 0.79,
    ("bell", True, "edge of timber", "both"): 0.82,
    ("bell", True, "in timber", "wind"): 0.92,
    ("bell", True, "in timber", "both"): 0.91,
    ("pyramid", False, "open ground", "wind"): 1.11,
    ("pyramid", False, "open ground", "both"): 0.97,
    ("pyramid", False, "edge of timber", "stack"): 0.69,
    ("pyramid", False, "edge of timber", "wind"): 1.28,
    ("pyramid", False, "edge of timber", "both"): 0.85,
    ("pyramid", False, "in timber", "both"): 0.82,
    ("pyramid", True, "open ground", "wind"): 1.11,
    ("pyramid", True, "open ground", "both"): 0.96,
    ("pyramid", True, "edge of timber", "stack"): 0.96,
    ("pyramid", True, "edge of timber", "wind"): 1.32,
    ("pyramid", True, "edge of timber", "both"): 0.92,
    ("pyramid", True, "in timber", "wind"): 1.04,
    ("pyramid", True, "in timber", "both"): 0.94,
}
CASES = [
    (name, vents, exposure, driven)
    for name in SHELTERS
    for vents in (False, True)
    for exposure in CLASSES
    for driven in DRIVEN
    if driven != "stack" or exposure == "edge of timber"  # the others are the same
]


def reason(name, vents, exposure, driven):
    """Why a case lies outside the models; None if it does not."""
    size = OUTSIDE.get((name, vents, exposure, driven))
    if size is None:
        return None
    if size > 1.0:
        return "walls stand between windward and lee; the models leave half in floor and ceiling"
    if driven == "stack":
        return "no leaks under the floor, few high up"
    if driven == "wind":
        return "much of it lies on slopes, where the wind's pressure differs little"
    return "the models add squares; here wind and stack work against each other to windward"


def told(name, vents, driven):
    """Name of a line."""
    return f"{name}{' with two vents' if vents else ''}, {driven}"


held = [assemble, inside_pressure]


def bounds(exposure):
    """Cases of an exposure."""
    return [
        case(
            told(name, vents, driven),
            1.0,
            name,
            vents,
            exposure,
            driven,
            missed=reason(name, vents, exposure, driven),
        )
        for name, vents, at, driven in CASES
        if at == exposure
    ]


MODELS = (
    "Leakage over the nearer of two models, 1 if it lies between them; stack of 30 K, wind of 3 m/s, both; "
    "200 cm2 of seams"
)


@claims(
    f"{MODELS}; edge of timber, shelter class 3",
    DOE_INPUT,
    PUBLISHED,
    allowed=EXACTLY,
    laws=held,
    cases=bounds("edge of timber"),
)
def test_lies_between_the_models(name, vents, exposure, driven):
    return placed(name, vents, exposure, driven)


@claims(
    f"{MODELS}; open ground, classes 1 and 2; the enhanced model's coefficients of shelter from memory",
    DOE_INPUT,
    MEMORY,
    allowed=EXACTLY,
    laws=held,
    cases=bounds("open ground"),
)
def test_lies_between_the_models_on_open_ground(name, vents, exposure, driven):
    return placed(name, vents, exposure, driven)


@claims(
    f"{MODELS}; in timber, classes 3 and 4; the enhanced model's coefficients of shelter from memory",
    DOE_INPUT,
    MEMORY,
    allowed=EXACTLY,
    laws=held,
    cases=bounds("in timber"),
)
def test_lies_between_the_models_in_timber(name, vents, exposure, driven):
    return placed(name, vents, exposure, driven)


@pytest.mark.parametrize(("name", "vents", "exposure", "driven"), CASES)
def test_never_lies_far_outside(name, vents, exposure, driven):
    """As found, 0.58 to 1.32 of the nearer model; and where it lies outside, it does so by the size it had."""
    found = placed(name, vents, exposure, driven)
    assert 0.55 < found < 1.35
    size = OUTSIDE.get((name, vents, exposure, driven), 1.0)
    assert found == pytest.approx(size, abs=0.006)
    assert (found == 1.0) == (size == 1.0)


@claims(
    "Stack and wind together over the root of their squares, which both models take: 1; a spread, since here wind and "
    "stack work against each other to windward",
    DOE_INPUT,
    PUBLISHED,
    allowed=between(0.77, 1.03),
    laws=held,
    cases=[
        case(f"{name}{' with two vents' if vents else ''}, {exposure}", None, name, vents, exposure)
        for name in SHELTERS
        for vents in (False, True)
        for exposure in CLASSES
    ],
)
def test_stack_and_wind_together(name, vents, exposure):
    room = shelter_leaks(name, vents, exposure)
    stack, wind, both = (leaking(*room, *driven) for driven in DRIVEN.values())
    return both / hypot(stack, wind)


def over_models(room, area, difference, factor=1.0):
    """Stack leakage, and least and most of the two models [l/s]."""
    low, high = published(area, room[0], room[2], difference, 0.0, (3,))
    return 1e3 * leaking(*room, difference, 0.0), 1e3 * factor * low, 1e3 * factor * high


def share_of_the_way(found, low, high):
    """Where a flow lies, 0 at the lesser model and 1 at the greater."""
    return (found - low) / (high - low)


@claims(
    "Stack of a room that leaks as both models take a house to (5 x 5 x 2.5 m, 200 cm2): where it lies between the "
    "lesser model, 0, and the greater, 1",
    DOE_INPUT,
    PUBLISHED,
    allowed=between(0.0, 1.0),
    laws=held,
    cases=[case(f"{difference:g} K", None, difference) for difference in (10.0, 25.0, 40.0, 55.0)],
)
def test_stack_of_a_house_lies_between_the_models(difference):
    room = shelter_leaks("room", False, "edge of timber")
    return share_of_the_way(*over_models(room, stated_area("room", False), difference))


# The basic model's stack factor for leaks spread otherwise, (1 + R/2)/3 (1 - X^2/(2 - R)^2)^1.5, over that of R 0.5 and
# X 0 (closed form of the same model, from memory; R: share in floor and ceiling, X: ceiling less floor).
THIRD = 1.0 / 3.0
NONE_BELOW = (1.0 + THIRD / 2.0) / 1.25 * (1.0 - (THIRD / (2.0 - THIRD)) ** 2) ** 1.5


@claims(
    "The same room without leaks below, a third in the ceiling (100 cm2): both models times 0.88, as the basic "
    "model has it for leaks spread so",
    DOE_INPUT,
    MEMORY,
    allowed=between(0.0, 1.0),
    laws=held,
    cases=[case(f"{difference:g} K", None, difference) for difference in (10.0, 40.0)],
)
def test_stack_without_leaks_below(difference):
    room = leaks(
        scenario(EVEN.replace(AS_IN_EVEN, SHELTERS["room"][0]), model__leak_area="0.01 m2"), "edge of timber"
    )
    assert pytest.approx(0.88, abs=0.01) == NONE_BELOW
    return share_of_the_way(*over_models(room, 0.01, difference, NONE_BELOW))


@claims(
    "Wind through cracks of 0.193 m2 to windward and as many in the lee, 4.47 m/s, 25 K: flow over wind times "
    "area; the article has 0.315 (0.272 m3/s), 0.25 to 0.40 is taken",
    BARTOK,
    PUBLISHED,
    allowed=between(0.25, 0.40),
    laws=held,
    cases=[
        case("open ground", None, "open ground", missed="9 % over, for wind straight on a face"),
        case("edge of timber", None, "edge of timber"),
        case("in timber", None, "in timber"),
    ],
)
def test_wind_through_cracks(exposure):
    vent = {"area": "0.193 m2", "at": "1 m"}
    vents = {"low_vent": {**vent, "faces": "wind"}, "ridge_vent": {**vent, "faces": "lee"}}
    room = leaks(scenario(shelter__openings=vents, model__leak_area="1 cm2"), exposure)
    return leaking(*room, 25.0, 4.47) / (4.47 * 0.193)


@lru_cache
def vented(low, high):
    """Air through a shelter with a vent near the floor and one near the ridge, so many times 0.02 and 0.08 m2."""
    vents = {
        "low_vent": {"area": f"{0.02 * low} m2", "at": "5 cm"},
        "ridge_vent": {"area": f"{0.08 * high} m2", "at": "1.95 m"},
    }
    room = leaks(scenario(shelter__openings=vents, model__leak_area="1 cm2"), "in timber")
    return leaking(*room, 20.0, 0.0)


def gained(low, high):
    """By twice the area of a vent [%]."""
    return 100.0 * (vented(low, high) / vented(1.0, 1.0) - 1.0)


@claims(
    "More air, in percent, by twice the area of a vent: a whole shelter, 20 K, vents of 0.02 m2 near the floor and "
    "0.08 m2 near the ridge; openings in series (some leaks beside them, and air of two densities: 1.5 points)",
    MATHEMATICS,
    CLOSED_FORM,
    unit="points",
    digits=3,
    allowed=off(1.5),
    laws=held,
    cases=[
        case("twice the upper, below 3 %", 2.3, 1.0, 2.0),
        case("twice the lower, over 80 %", 84.4, 2.0, 1.0),
    ],
)
def test_base_governs_a_shelter_with_a_large_peak(low, high):
    found = gained(low, high)
    assert found < 3.0 if low == 1.0 else found > 80.0
    return found


@claims(
    "The base governs: what twice the lower vent brings over what twice the upper does",
    OTTAWA,
    PUBLISHED,
    digits=3,
    allowed=at_least(1.0),
    laws=held,
    cases=[case("of arctic tents (abstract, without numbers)", None)],
)
def test_base_governs():
    return gained(2.0, 1.0) / gained(1.0, 2.0)

"""Leakage of whole shelters, as their openings are assembled, beside two published models of small buildings.

The models know a leakage area, a height, a temperature difference, a wind and a class of shelter from wind; how
openings lie on a skin they take from houses: half of them in floor and ceiling. Where a shelter's own lie otherwise it
falls outside; such cases are marked with the size by which they do.
"""

from functools import lru_cache
from math import hypot
from pathlib import Path

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.assembly.openings import ROOF_TO_WIND
from simtent.physics.air import air_density
from simtent.physics.opening import LEAK_EXPONENT, leak_strength
from simtent.scenario.load import load
from tests.simulate.cases import scenario

from .filling_box import throughflow
from .leakage_models import (
    NO_FLUE,
    STOREY_HEIGHT,
    Enhanced,
    basic_leakage,
    enhanced_leakage,
    flow_at_one_pascal,
)

SCENARIOS = Path(__file__).parents[2] / "scenarios"
INSIDE = 288.15

# Classes of shelter from wind that go with an exposure: our reading of their descriptions (no obstructions or few;
# some; obstructions around most of the perimeter or close all round).
CLASSES = {"open ground": (1, 2), "edge of timber": (3,), "in timber": (4, 5)}
# Shelter coefficients of the enhanced model by class: that of class 3 published, the others from memory.
SHELTER = {1: 1.0, 2: 0.9, 3: 0.7, 4: 0.5, 5: 0.3}
DRIVEN = {"stack": (30.0, 0.0), "wind": (0.0, 3.0), "both": (30.0, 3.0)}  # K, m/s


def leaks(night, exposure, seams_alone=False):
    """Column, openings that are not a door's, and air pressure of a night's shelter."""
    model = assemble(night.replace("site.shelter_from_wind", exposure))
    holes, room = model.shelter.room.openings, model.shelter.room
    kept = [
        k
        for k, element in enumerate(model.house.elements)
        if element.table < 0 and (element.name.startswith("seams") or not seams_alone)
    ]
    chosen = [
        part[kept]
        for part in (holes.layer, holes.height, holes.strength, holes.exponent, holes.wind, holes.table)
    ]
    return (
        room.column,
        holes._replace(**dict(zip(holes._fields, chosen, strict=False))),
        model.shelter.weather.pressure,
    )


def leaking(column, holes, pressure, difference, wind):
    """Volume of outdoor air that comes in [m3/s] at one inside temperature."""
    temps, outdoors = np.full(column.edges.size - 1, INSIDE), INSIDE - difference
    _, flows = throughflow(column, holes, outdoors, pressure, temps, wind)
    return np.maximum(flows, 0.0).sum() / air_density(outdoors, pressure)


def published(column, holes, pressure, difference, wind, classes):
    """Least and most that the two models give [m3/s] for the same effective leakage area at 4 Pa."""
    # An orifice's own is its area times the discharge coefficient: strength / sqrt 2, at any pressure.
    area = np.where(
        holes.exponent == LEAK_EXPONENT, holes.strength / leak_strength(1.0), holes.strength / np.sqrt(2.0)
    )
    area, height = float(area.sum()), float(column.edges[-1])
    one = flow_at_one_pascal(area, LEAK_EXPONENT, air_density(INSIDE, pressure))
    found = []
    for shelter in classes:
        kind = Enhanced(NO_FLUE.stack, NO_FLUE.wind, SHELTER[shelter])
        stack, breeze, _ = enhanced_leakage(one, LEAK_EXPONENT, difference, wind, kind)
        found.append(hypot(stack * (height / STOREY_HEIGHT) ** LEAK_EXPONENT, breeze))
        found.append(basic_leakage(area, difference, wind, height, shelter))
    return min(found), max(found)


@lru_cache
def placed(name, exposure, seams_alone, driven):
    """Leakage over the nearer of the two bounds, 1 between them."""
    column, holes, pressure = leaks(load(SCENARIOS / f"{name}.toml"), exposure, seams_alone)
    ours = leaking(column, holes, pressure, *DRIVEN[driven])
    low, high = published(column, holes, pressure, *DRIVEN[driven], CLASSES[exposure])
    return ours / min(max(ours, low), high)


# Where the shelters of the scenarios lie, as `placed` has it: by stack, wind, and both.
# Stack: a skin has no leaks under the floor and, where it narrows, few high up (with the houses' own spread it lies
# between, see below); vents far apart make up for that. Wind: our coefficients of a sheltered place fall less than the
# models' with the class; vents that all face the lee take little. Both: the models add squares, while here wind and
# stack work against each other on the roof to windward.
LIE = {
    ("larch_bench", False): {
        "open ground": (0.90, 1.08, 0.92),
        "edge of timber": (0.90, 1.31, 0.86),
        "in timber": (0.90, 1.70, 0.94),
    },
    ("sedge_hollow", False): {
        "open ground": (0.88, 1.0, 0.79),
        "edge of timber": (0.88, 1.19, 0.78),
        "in timber": (0.88, 1.61, 0.92),
    },
    ("snow_saddle", False): {
        "open ground": (0.99, 0.67, 0.83),
        "edge of timber": (0.99, 0.61, 0.86),
        "in timber": (0.99, 1.0, 1.0),
    },
    ("larch_bench", True): {
        "open ground": (0.69, 1.0, 0.72),
        "edge of timber": (0.69, 1.03, 0.66),
        "in timber": (0.69, 1.35, 0.74),
    },
    ("sedge_hollow", True): {
        "open ground": (0.59, 1.0, 0.65),
        "edge of timber": (0.59, 1.0, 0.57),
        "in timber": (0.59, 1.36, 0.66),
    },
    ("snow_saddle", True): {
        "open ground": (0.59, 1.0, 0.63),
        "edge of timber": (0.59, 1.0, 0.56),
        "in timber": (0.59, 1.35, 0.65),
    },
}
CASES = [
    pytest.param(
        name,
        exposure,
        seams_alone,
        driven,
        share,
        id=f"{name}-{'seams' if seams_alone else 'whole'}-{exposure}-{driven}",
    )
    for (name, seams_alone), exposures in LIE.items()
    for exposure, shares in exposures.items()
    for driven, share in zip(DRIVEN, shares, strict=True)
    if driven != "stack" or exposure == "edge of timber"  # the others are the same
]
BOUND = [
    case
    if case.values[-1] == 1.0
    else pytest.param(
        *case.values,
        id=case.id,
        marks=pytest.mark.xfail(reason=f"{case.values[-1]} of the nearer model, see above", strict=True),
    )
    for case in CASES
]


@pytest.mark.parametrize(("name", "exposure", "seams_alone", "driven", "share"), BOUND)
def test_lies_between_the_models(name, exposure, seams_alone, driven, share):
    assert placed(name, exposure, seams_alone, driven) == 1.0


@pytest.mark.parametrize(("name", "exposure", "seams_alone", "driven", "share"), CASES)
def test_by_how_much_it_lies_outside(name, exposure, seams_alone, driven, share):
    # The size stated above, and never more than a factor of two.
    found = placed(name, exposure, seams_alone, driven)
    assert found == pytest.approx(share, abs=0.02)
    assert 0.5 < found < 2.0


@pytest.mark.parametrize("exposure", CLASSES)
@pytest.mark.parametrize("name", ["larch_bench", "sedge_hollow", "snow_saddle"])
def test_where_stack_and_wind_work_against_each_other(name, exposure):
    # Why both together lie low: half of the roof lets wind in where the stack lets warm air out. With the lee's
    # coefficient there, the seams take the root of the squares, as the models have it, within 8 %; as is, 0.77 of it.
    column, holes, pressure = leaks(load(SCENARIOS / f"{name}.toml"), exposure, seams_alone=True)
    in_lee = holes._replace(wind=np.where(holes.wind == ROOF_TO_WIND, holes.wind.min(), holes.wind))
    for kind, share, close in ((in_lee, 1.04, 0.04), (holes, 0.77, 0.03)):
        stack, wind, both = (leaking(column, kind, pressure, *driven) for driven in DRIVEN.values())
        assert both / hypot(stack, wind) == pytest.approx(share, abs=close)


def house(skirt, **settings):
    """A box of 5 x 5 x 2.5 m, 100 cm2, as both models take a house: half in the walls, a quarter above, one below."""
    area = 0.01
    return scenario(
        shelter__length="5 m",
        shelter__width="5 m",
        shelter__height="2.5 m",
        model__leak_area=f"{area * (1.0 - skirt)} m2",
        model__leak_below_skirt=f"{area * skirt} m2",
        **settings,
    )


@pytest.mark.parametrize("difference", [10.0, 25.0, 40.0, 55.0])
def test_stack_of_a_house_lies_between_the_models(difference):
    room = leaks(house(0.25), "edge of timber")
    low, high = published(*room, difference, 0.0, (3,))
    assert low < leaking(*room, difference, 0.0) < high


@pytest.mark.parametrize("difference", [10.0, 40.0])
def test_stack_without_leaks_below(difference):
    # The basic model's stack factor for leaks spread otherwise: (1 + R/2)/3 (1 - X^2/(2 - R)^2)^1.5 (closed form of the
    # same model, from memory; R: share in floor and ceiling, X: ceiling less floor), over that of R 0.5, X 0. A third
    # in the ceiling and none in the floor: 0.88 of both bounds.
    room = leaks(house(0.0), "edge of timber")
    share, excess = 1.0 / 3.0, 1.0 / 3.0
    factor = (1.0 + share / 2.0) / 1.25 * (1.0 - (excess / (2.0 - share)) ** 2) ** 1.5
    low, high = published(*room, difference, 0.0, (3,))
    assert factor == pytest.approx(0.88, abs=0.01)
    assert factor * low < leaking(*room, difference, 0.0) < factor * high


@pytest.mark.parametrize(
    "exposure",
    [
        pytest.param(
            "open ground",
            marks=pytest.mark.xfail(reason="0.435: 9 % over, for wind straight on a face", strict=True),
        ),
        "edge of timber",
        "in timber",
    ],
)
def test_wind_through_cracks(exposure):
    # IV2. Published (J. Bartok, trade extension article): 0.193 m2 of cracks to windward, as many in the lee, 4.47 m/s,
    # 25 K: 0.272 m3/s, 0.315 of wind times area; accepted 0.25 to 0.40.
    vents = {"low_vent": {"area": f"{2 * 0.193} m2", "at": "1 m"}}
    room = leaks(scenario(shelter__openings=vents, model__leak_area="1 cm2"), exposure)
    assert 0.25 < leaking(*room, 25.0, 4.47) / (4.47 * 0.193) < 0.40


@pytest.mark.parametrize(("low", "high", "more"), [(1.0, 2.0, 0.023), (2.0, 1.0, 0.844)])
def test_base_governs_a_shelter_with_a_large_peak(low, high, more):
    # IV1, through a whole shelter: a vent near the floor and a ridge vent four times as large. What little leaks
    # through the seams beside them, and the warm air's lower density, are within 1.5 points.
    def through(low, high):
        vents = {
            "low_vent": {"area": f"{0.02 * low} m2", "at": "5 cm"},
            "ridge_vent": {"area": f"{0.08 * high} m2", "at": "1.95 m"},
        }
        return leaking(
            *leaks(scenario(shelter__openings=vents, model__leak_area="1 cm2"), "in timber"), 20.0, 0.0
        )

    gained = through(low, high) / through(1.0, 1.0) - 1.0
    assert gained == pytest.approx(more, abs=0.015)
    assert gained < 0.03 if low == 1.0 else gained > 0.80

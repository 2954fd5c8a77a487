"""What a usual change makes people carry."""

from typing import TYPE_CHECKING

from simtent.scenario.scenario import Scenario

if TYPE_CHECKING:
    from simtent.comparing.usual import Usual

PARTS = ("wall", "roof")


def carried(row: "Usual", scenario: Scenario, other: Scenario) -> float | None:
    """What has to be carried more [kg], less than 0 where it is less; None where nothing counts."""
    if row.per == "stove":
        assert scenario.stove is not None and other.stove is not None
        return other.stove.body_mass - scenario.stove.body_mass
    if row.kg is None:
        return None
    if row.per == "skin":
        return _skin(row, row.kg, scenario, other)
    return row.kg * (_areas(row.per, scenario) if row.per else 1.0)


def _areas(per: str, scenario: Scenario) -> float:
    """Area that a mass counts for [m2]."""
    shelter = scenario.shelter
    assert shelter is not None
    floor = shelter.outline.floor_area
    if per == "floor":
        return floor
    return floor - (shelter.floor.mat_area or floor)


def _skin(row: "Usual", lined: float, scenario: Scenario, other: Scenario) -> float:
    """What the skin that is changed weighs more [kg]: where it gets a layer, and where one takes another's place."""
    shelter, changed = scenario.shelter, other.shelter
    assert shelter is not None and changed is not None
    shape, mass = shelter.outline, 0.0
    for part in PARTS:
        before, after = shelter.skin.of(part), changed.skin.of(part)
        if before != after:
            each = lined if len(after) > len(before) else row.kg_swapped
            mass += each * shape.area(part, 0.0, shape.peak)
    return mass

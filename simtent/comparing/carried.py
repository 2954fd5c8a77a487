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
    return row.kg * (_areas(row.per, scenario, other) if row.per else 1.0)


def _areas(per: str, scenario: Scenario, other: Scenario) -> float:
    """Area that a mass counts for [m2]."""
    shelter, changed = scenario.shelter, other.shelter
    assert shelter is not None and changed is not None
    floor = shelter.outline.floor_area
    if per == "floor":
        return floor
    if per == "bare floor":
        return floor - (shelter.floor.mat_area or floor)
    shape = shelter.outline
    those = [part for part in PARTS if shelter.skin.of(part) != changed.skin.of(part)]
    return sum(shape.area(part, 0.0, shape.peak) for part in those)

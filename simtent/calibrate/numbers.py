"""Which numbers a fit seeks: those of the scenario that may be moved, those of its sensors, those of its nights."""

from collections.abc import Sequence

from simtent.calibrate import sensors
from simtent.calibrate.nights import Night
from simtent.calibrate.sought import Sought
from simtent.scenario.beliefs import belief, freed
from simtent.scenario.free import Free, free
from simtent.scenario.scenario import Scenario


def of_scenario(scenario: Scenario) -> tuple[Sought, ...]:
    """Free numbers, tied ones as one; bounds are those of the fields."""
    tied = {group[0]: group for group in (scenario.fit.tied if scenario.fit else ())}
    followers = {key for group in tied.values() for key in group[1:]}
    return tuple(
        _sought(scenario, key, tied.get(key, (key,))) for key in freed(scenario) if key not in followers
    )


def bases(scenario: Scenario, sought: Sequence[Sought]) -> dict[str, Free]:
    """Every key that is moved, as the scenario has it."""
    return {key: free(scenario, key) for one in sought for key in one.keys}


def of_sensors(nights: Sequence[Night]) -> tuple[Sought, ...]:
    """Numbers of all sensors: a place has the same one every night of a logger. Where no stove is seen, none glows."""
    devices = dict.fromkeys((one.place, one.logger) for night in nights for one in night.readings)
    sees_stove = {one.place for night in nights if night.scenario.stove for one in night.readings}
    return tuple(
        number
        for place, logger in devices
        for number in sensors.sought_of(place, logger=logger, sees_stove=place in sees_stove)
    )


def of_nights(nights: Sequence[Night]) -> tuple[Sought, ...]:
    """Numbers that belong to one night each, and what a counted piece weighs in all of them."""
    return tuple(dict.fromkeys(number for night in nights for number in night.sought))


def _sought(scenario: Scenario, key: str, keys: tuple[str, ...]) -> Sought:
    it = belief(scenario, key)
    return Sought(
        name=key,
        unit=it.unit,
        median=it.median,
        spread=it.spread,
        low=it.low,
        high=it.high,
        source=it.source,
        factor=not it.additive,
        keys=keys,
    )

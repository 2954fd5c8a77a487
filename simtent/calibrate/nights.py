"""A logged night as something to be simulated and compared: its scenario, its readings, what it leaves open."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from simtent.calibrate import burnt, weather
from simtent.calibrate.burnt import Deed
from simtent.calibrate.hours import FEWEST, nothing_read, refuse_deeds, span_of, within_hours
from simtent.calibrate.sought import Sought
from simtent.calibrate.weather import HELD
from simtent.logbook.logged import Logged, Sensor
from simtent.logbook.notes import STILL_AIR
from simtent.network.arrays import Array
from simtent.scenario.clock import Span
from simtent.scenario.logged import of_night
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import Table

THINNEST = 60.0  # s; closer readings tell nothing more than their neighbours
BEFORE, AFTER = 900.0, 60.0  # s around the begin, in which readings tell how warm it was inside
WARM = 2.0  # K above outdoors, from which a shelter counts as warm already when the night begins
LEVEL_NOISE, FIRE_NOISE = 0.2, 2.0  # K, least deviation of a reading; small loggers and clamped thermometers


@dataclass(frozen=True)
class Readings:
    """One sensor through one night.

    seconds   from the night's begin [s], shape (m,)
    kelvin    shape (m,)
    noise     least deviation of a reading [K]
    logger    name of the device; None where it has none
    """

    place: str
    seconds: Array
    kelvin: Array
    noise: float
    logger: str | None = None


@dataclass(frozen=True)
class Relit:
    """Whether the coals lit a load put on at a moment [s]; `time` names the number that shifts it, if one does."""

    at: float
    lit: bool
    time: str | None = None


@dataclass(frozen=True)
class Night:
    """A logged night.

    scenario   with the night's date and weather, and what its notes say at their face value
    deeds      what was burnt and turned; empty without notes
    sought     numbers that belong to this night alone
    told       what was left out or taken for granted, a sentence each
    """

    label: str
    logged: Logged
    scenario: Scenario
    readings: tuple[Readings, ...]
    relit: tuple[Relit, ...]
    deeds: tuple[Deed, ...]
    sought: tuple[Sought, ...]
    told: tuple[str, ...]

    def replaced(self, changes: Mapping[str, Any], values: Mapping[str, float]) -> dict[str, Any]:
        """Replacements of the night's scenario: those given, and the deeds with the numbers by name."""
        own = burnt.stoking(self.deeds, values, self.scenario.night.span) if self.sought else {}
        return {**changes, **own}


def night_of(scenario: Scenario, logged: Logged, folder: Path, label: str) -> Night:
    """Prepare a logged night; what its weather was stands in a file in the folder.

    Raises InputError where the log does not fit the scenario: no readings within the night, outdoors not covered, a
    load that cannot be put on.
    """
    log, told = logged.log[0], list[str]()
    frame = of_night(scenario, log, STILL_AIR)
    span = span_of(frame, logged, label)
    whole = _whole(frame, span, logged, told, label)
    changes: dict[str, Any] = {
        "night.evening": whole.evening.isoformat(),
        "night.begin": f"{whole.begin:%H:%M}",
        "night.end": f"{whole.end:%H:%M}",
        "wish": "none",
    }
    changes |= _weather(frame, logged, (span, whole), folder, label, told)
    deeds: list[Deed] = []
    sought: list[Sought] = []
    notes = within_hours(logged, span, told, label)
    if logged.notes and frame.wood and frame.stoking:
        refuse_deeds(notes, logged, span, label)
        deeds, sought = burnt.deeds_of(notes, span, frame.wood, f", {label}")
        changes |= burnt.stoking(deeds, {one.name: one.median for one in sought}, span)
    elif frame.stoking:
        told.append(f"{label}: no notes; the loads are taken as [stoking] has them")
    of_it = _started(of_night(scenario, log, changes), logged)
    readings = tuple(_readings(logged, of_it, told, label))
    if not readings:
        raise nothing_read(label)
    relit = tuple(
        Relit(deed.at, deed.lit == "by coals", deed.time)
        for deed in deeds
        if deed.masses and deed.lit != "no"
    )
    relit = relit[_first_is_by_hand(deeds) :]
    return Night(label, logged, of_it, readings, relit, tuple(deeds), tuple(sought), tuple(told))


def _whole(frame: Scenario, span: Span, logged: Logged, told: list[str], label: str) -> Span:
    """The hours that are simulated: on to the scenario's own end, for what it plans may lie behind the last reading."""
    if logged.in_the_open:
        return span
    whole = Span(span.evening, span.zone, span.begin, frame.night.span.end)
    if whole.seconds - span.seconds > HELD:
        told.append(f"{label}: readings end at {span.end:%H:%M}; outdoors it is taken to stay as it was then")
    return whole


def _first_is_by_hand(deeds: list[Deed]) -> int:
    """Whether the first load is said to be lit by hand: that tells nothing of coals."""
    loads = [deed for deed in deeds if deed.masses]
    return int(bool(loads) and loads[0].lit != "no")


def _weather(
    frame: Scenario, logged: Logged, hours: tuple[Span, Span], folder: Path, label: str, told: list[str]
) -> dict[str, Any]:
    """What puts the outdoor readings into the night, in place of a forecast; hours: read, and simulated."""
    span, whole = hours
    sensor = logged.sensors.get("outdoors")
    if sensor is None:
        told.append(f"{label}: no sensor hung outdoors; the weather is taken from the scenario")
        return {}
    if standing := int((weather.taken(sensor, span) & np.asarray(sensor.suspect)).sum()):
        told.append(f"{label}: outdoor readings that stand still are taken as the weather: {standing}")
    given = frame.tree.nodes.get("outdoors")
    names = given.nodes if isinstance(given, Table) else {}
    taken = {f"outdoors.{name}": "none" for name in ("steady", "high", "low") if name in names}
    return {
        **taken,
        "outdoors.file": weather.written(sensor, span, folder, label, whole.seconds),
        "outdoors.shift": "0 K",
    }


def _readings(logged: Logged, scenario: Scenario, told: list[str], label: str) -> list[Readings]:
    """Readings of every sensor but the outdoor one, within the night, without those that are suspect."""
    found = []
    for place, sensor in logged.sensors.items():
        if place == "outdoors" or (scenario.shelter is None and place in scenario.levels):
            continue
        seconds, kelvin, suspect = _within(sensor, scenario)
        if suspect:
            told.append(f"{label}: suspect readings of {place}, which are not fitted to: {suspect}")
        if seconds.size < FEWEST:
            told.append(
                f"{label}: {place} has {seconds.size} readings within the night, fewer than {FEWEST}: left out"
            )
            continue
        noise = FIRE_NOISE if place in ("stove", "pipe") else LEVEL_NOISE
        found.append(Readings(place, seconds, kelvin, noise, _logger(logged, place)))
    return found


def _logger(logged: Logged, place: str) -> str | None:
    return next((log.logger for log in logged.log if place in log.sensors.values()), None)


def _within(sensor: Sensor, scenario: Scenario) -> tuple[Array, Array, int]:
    """Seconds from the begin and kelvin within the night, a minute apart at least; and how many were suspect."""
    seconds = np.asarray(sensor.seconds) - scenario.night.begin_utc.timestamp()
    inside = (seconds >= 0.0) & (seconds <= scenario.night.seconds)
    good = inside & ~np.asarray(sensor.suspect)
    kept = _thinned(seconds[good])
    return seconds[good][kept], np.asarray(sensor.kelvin)[good][kept], int(np.count_nonzero(inside & ~good))


def _thinned(seconds: Array) -> list[int]:
    """Indices of readings that lie a minute apart or more."""
    kept: list[int] = []
    for n, t in enumerate(seconds):
        if not kept or t - seconds[kept[-1]] >= THINNEST - 1.0:
            kept.append(n)
    return kept


def _started(scenario: Scenario, logged: Logged) -> Scenario:
    """The scenario with what levels show as the night begins, where it is warmer or colder inside than outdoors."""
    if scenario.shelter is None or scenario.night.inside_at_start is not None:
        return scenario
    begin = scenario.night.begin_utc.timestamp()
    early = [
        kelvin
        for place, sensor in logged.sensors.items()
        if place in scenario.levels
        for t, kelvin, suspect in zip(sensor.seconds, sensor.kelvin, sensor.suspect, strict=True)
        if not suspect and -BEFORE <= t - begin <= AFTER
    ]
    outdoors = scenario.outdoors.track("air").values[0]
    if not early or abs(sum(early) / len(early) - outdoors) < WARM:
        return scenario
    return scenario.replace("night.inside_at_start", f"{sum(early) / len(early) - 273.15:.3f} degC")

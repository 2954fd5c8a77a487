"""Outdoor readings of a log as a file of dated columns that a scenario names: smoothed, gaps bridged, ends held."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from simtent.errors import Fault, InputError
from simtent.logbook.logged import Sensor
from simtent.network.arrays import Array
from simtent.scenario.clock import Span

MEAN_OVER = 600.0  # s; outdoor air that changes faster is mostly the sensor's own noise
BESIDE = 137.0  # s by which knots miss full minutes: a stop that meets a noted time would fall apart when that is moved
HELD = 3600.0  # s that the first or last value may stand for
ZERO_CELSIUS = 273.15


def written(sensor: Sensor, span: Span, folder: Path, name: str, until: float = 0.0) -> dict[str, object]:
    """Write the outdoor air of a night; returns [outdoors.file] for it.

    span    the hours that are to be covered
    until   s from their begin, up to which the last value is held if that is later
    Raises InputError where the readings begin or end more than an hour within the night.
    """
    seconds, good = np.asarray(sensor.seconds), taken(sensor, span)
    begin = span.begin_utc.timestamp()
    _refuse_short(seconds[good], begin, span)
    times, values = _means(seconds[good], np.asarray(sensor.kelvin)[good], begin)
    times = np.concatenate(
        ([min(begin, times[0])], times, [max(begin + max(span.seconds, until), times[-1]) + 1.0])
    )
    values = np.concatenate((values[:1], values, values[-1:]))
    grid = np.arange(times[0] - BESIDE, times[-1] + MEAN_OVER, MEAN_OVER)
    lines = [
        f"{_stamp(t)},{value - ZERO_CELSIUS:.4f}"
        for t, value in zip(grid, np.interp(grid, times, values), strict=True)
    ]
    path = folder / f"{name}.csv"
    path.write_text("\n".join(["when,air", *lines, ""]))
    return {"path": str(path), "columns": {"air": "air"}, "units": {"air": "degC"}}


def taken(sensor: Sensor, span: Span) -> NDArray[np.bool_]:
    """Which readings are taken: those that are not suspect; where they do not cover the night, also values that
    stand still, for outdoor air may do so for hours.
    """
    kelvin, good = np.asarray(sensor.kelvin), ~np.asarray(sensor.suspect, bool)
    same = kelvin[1:] == kelvin[:-1]
    standing = np.concatenate((same, [False])) | np.concatenate(([False], same))
    return good if _covers(np.asarray(sensor.seconds)[good], span) else good | standing


def _covers(seconds: Array, span: Span) -> bool:
    begin = span.begin_utc.timestamp()
    within = (begin + HELD, begin + span.seconds - HELD)
    return bool(seconds.size) and seconds[0] <= within[0] and seconds[-1] >= within[1]


def _means(seconds: Array, kelvin: Array, begin: float) -> tuple[Array, Array]:
    """Means over ten minutes, at the mean of their times."""
    bins = np.floor((seconds - begin) / MEAN_OVER).astype(np.int64)
    _, inverse, counts = np.unique(bins, return_inverse=True, return_counts=True)
    sums = [np.bincount(inverse, weights=it) / counts for it in (seconds, kelvin)]
    return sums[0], sums[1]


def _refuse_short(seconds: Array, begin: float, span: Span) -> None:
    if seconds.size == 0:
        todo = "Look at the log (simtent log); take another sensor for outdoors, or leave it out there"
        raise InputError(Fault("all outdoor readings are suspect", key="log.sensors", todo=todo))
    if not _covers(seconds, span):
        first, last = (f"{span.clock_at(t - begin):%H:%M}" for t in (seconds[0], seconds[-1]))
        todo = "Let `begin` and `end` of that night lie within the readings, in a file that this log names by `with`"
        what = f"outdoor readings from {first} to {last} do not cover the night"
        night = f"{span.clock_at(0.0):%H:%M} to {span.clock_at(span.seconds):%H:%M}"
        raise InputError(Fault(what, key="log.sensors", allowed=f"{night}, an hour less at most", todo=todo))


def _stamp(seconds: float) -> str:
    return f"{datetime.fromtimestamp(seconds, UTC):%Y-%m-%dT%H:%M:%SZ}"

"""Reader of the measured cold night beside the tests, and of the clear day before it (attribution in its folder)."""

import gzip
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

RECORD = Path(__file__).parents[1] / "data" / "cold_night" / "surfrad-slv16001.dat.gz"
HEADER_LINES = 2
HOUR, MINUTE, ZENITH, GLOBAL, DIFFUSE = 4, 5, 7, 8, 14
LONGWAVE_DOWN, AIR, HUMIDITY, WIND, PRESSURE = 16, 38, 40, 42, 46
"""Columns of the SURFRAD daily format; every measured value is followed by its quality flag."""


class Night(NamedTuple):
    """The night's minutes: hour of the local day (18 to 30.5), then SI values; shape (n,) each."""

    hour: NDArray[np.float64]
    longwave: NDArray[np.float64]
    air: NDArray[np.float64]
    humidity: NDArray[np.float64]
    wind: NDArray[np.float64]
    pressure: NDArray[np.float64]


class Day(NamedTuple):
    """The day's minutes: seconds since its own solar noon, zenith angle [degrees], sunshine [W/m2]; shape (n,) each."""

    since_noon: NDArray[np.float64]
    zenith: NDArray[np.float64]
    sunshine: NDArray[np.float64]
    diffuse: NDArray[np.float64]


def rows_of_the_record() -> NDArray[np.float64]:
    """All its minutes and columns."""
    with gzip.open(RECORD, "rt") as file:
        return np.array([line.split() for line in file.readlines()[HEADER_LINES:]], dtype=float)


@cache
def clear_day() -> Day:
    """Minutes of 1 January 2016 with the sun at least 5 degrees up: clear, dry, hardly any snow (albedo 0.18)."""
    rows = rows_of_the_record()
    rows = rows[rows[:, ZENITH] < 85.0]
    minutes = 60.0 * rows[:, HOUR] + rows[:, MINUTE]
    noon = (minutes[0] + minutes[-1]) / 2.0
    return Day(60.0 * (minutes - noon), rows[:, ZENITH], rows[:, GLOBAL], rows[:, DIFFUSE])


def cold_night() -> Night:
    """Minutes from 18:00 to 06:30 local standard time (UTC - 7 h) of 1 January 2016."""
    table = rows_of_the_record()
    hour = table[:, HOUR] + table[:, MINUTE] / 60.0 - 7.0 + 24.0
    table, hour = table[(hour >= 18.0) & (hour <= 30.5)], hour[(hour >= 18.0) & (hour <= 30.5)]
    used = (LONGWAVE_DOWN, AIR, HUMIDITY, WIND, PRESSURE)
    flags = table[:, [column + 1 for column in used]]
    assert not flags.any(), "a value is marked as doubtful"
    return Night(
        hour,
        table[:, LONGWAVE_DOWN],
        table[:, AIR] + 273.15,
        table[:, HUMIDITY] / 100.0,
        table[:, WIND],
        table[:, PRESSURE] * 100.0,
    )

"""Cone-calorimeter runs beside the tests, and what is read off them (attribution and licence in their folder)."""

import csv
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FOLDER = Path(__file__).parents[1] / "data" / "wood_cone"
SMOOTHED = 25.0  # s, moving mean

# The laboratory's flame-out [s], exposed area [m2] and irradiance [kW/m2]; the data set's own notes. In order of
# irradiance, then of name.
NOTED = {
    "fsri_25kw_parallel_run1": (2280.0, 0.0099, 25.0),
    "udri_30kw_run1": (2250.0, 0.0100, 30.0),
    "aalto_45kw_parallel_run1": (1500.0, 0.0099, 45.0),
    "fpl_50kw_run1": (1661.0, 0.00884, 50.0),
    "fpl_50kw_run5": (1694.0, 0.00884, 50.0),
    "fsri_50kw_perpendicular_run1": (1234.0, 0.0100, 50.0),
    "udri_60kw_run2": (1500.0, 0.0100, 60.0),
    "fsri_75kw_parallel_run1": (1220.0, 0.0099, 75.0),
}

# Readings in words.
READINGS = {
    "first": "first peak over plateau",
    "second": "second peak over plateau",
    "first_time": "time of the first peak over flaming time",
    "second_time": "time of the second peak over flaming time",
}


class Run(NamedTuple):
    """One run: time [s], mass [kg], heat release [W] by time, smoothed; flame-out [s], irradiance [W/m2]."""

    time: NDArray[np.float64]
    mass: NDArray[np.float64]
    release: NDArray[np.float64]
    flame_out: float
    irradiance: float

    @property
    def lost(self) -> NDArray[np.float64]:
        """Mass lost over that lost until the flames went out [-]."""
        return (self.mass[0] - self.mass) / (self.mass[0] - self.at_flame_out(self.mass))

    @property
    def mean_release(self) -> float:
        """Heat release while it flamed, its mean [W]."""
        return self.heat(0.0, self.flame_out) / self.flame_out

    def at_flame_out(self, values: NDArray[np.float64]) -> float:
        """Value at flame-out."""
        return float(np.interp(self.flame_out, self.time, values))

    def heat(self, begin: float, end: float) -> float:
        """Heat released between two moments [J]."""
        inside = (self.time >= begin) & (self.time <= end)
        return float(np.trapezoid(self.release[inside], self.time[inside]))

    def peaks(self) -> tuple[int, int]:
        """Indices of the first peak (200 s) and of the second (from 0.4 of the flaming time on)."""
        early = np.where(self.time < 200.0, self.release, 0.0)
        late = (self.time > 0.4 * self.flame_out) & (self.time < self.flame_out)
        return int(np.argmax(early)), int(np.argmax(np.where(late, self.release, 0.0)))

    def release_at(self, lost: NDArray[np.float64]) -> NDArray[np.float64]:
        """Heat release over its mean, where so much of the mass is lost [-]."""
        return np.interp(lost, np.maximum.accumulate(self.lost), self.release) / self.mean_release


class Peaks(NamedTuple):
    """Both peaks over the plateau, when they come (over the flaming time), and at which share of the mass lost."""

    first: float
    second: float
    first_time: float
    second_time: float
    first_lost: float
    second_lost: float


class Heats(NamedTuple):
    """Mass left at flame-out over the first, heat per mass lost in flames and after [J/kg], the char's part of heat."""

    left: float
    gas: float
    char: float
    char_part: float


def plateau(release: NDArray[np.float64], first: int, second: int) -> float:
    """The median in time between two peaks."""
    return float(np.median(release[first:second]))


def peaks_of(run: Run) -> Peaks:
    """Peaks of a run."""
    first, second = run.peaks()
    level = plateau(run.release, first, second)
    times = run.time / run.flame_out
    return Peaks(
        run.release[first] / level,
        run.release[second] / level,
        times[first],
        times[second],
        run.lost[first],
        run.lost[second],
    )


def heats_of(run: Run) -> Heats:
    """Mass and heats of a run; its char is taken to burn whole with the heat measured after the flames."""
    kept = run.at_flame_out(run.mass)
    flames = run.heat(0.0, run.flame_out)
    char = run.heat(run.flame_out, run.time[-1]) / (kept - run.mass[-1])
    return Heats(
        kept / run.mass[0], flames / (run.mass[0] - kept), char, kept * char / (kept * char + flames)
    )


def moving_mean(values: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """Mean over an odd number of neighbours, the ends repeated."""
    padded = np.pad(values, count // 2, mode="edge")
    return np.convolve(padded, np.full(count, 1.0 / count), "valid")


@lru_cache
def cone_run(name: str) -> Run:
    """Read one run by its name."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8-sig") as file:
        rows = [row[:3] for row in list(csv.reader(file))[1:]]
    time, mass, flux = np.array([row for row in rows if all(row)], dtype=float).T
    flame_out, area, irradiance = NOTED[name]
    count = int(SMOOTHED / (time[1] - time[0])) | 1
    mass, flux = moving_mean(mass, count), moving_mean(flux, count)
    return Run(time, mass * 1e-3, flux * area * 1e3, flame_out, irradiance * 1e3)


def mean_peaks(names: Iterable[str]) -> Peaks:
    """Mean over runs."""
    return Peaks(*np.mean([peaks_of(cone_run(name)) for name in names], axis=0))


def mean_heats(names: Iterable[str]) -> Heats:
    """Mean over runs."""
    return Heats(*np.mean([heats_of(cone_run(name)) for name in names], axis=0))

"""The loads of a night: how long each burned, and how long its coals would have lit another."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import xarray as xr

from simtent.assess.curves import Curve, Floats, curve, seconds_of

FLAME_OUT = 0.05  # share of the dry wood there after loading; what is left then hardly flames
EVEN = 0.5  # chance of lighting the next load from which coals count; an assumption, not a law


@dataclass(frozen=True, slots=True)
class Burn:
    """One load from the moment it is put on until the next one, or until the night's end.

    begin        when it is put on, UTC
    until        when the next one is put on, or the night ends
    mass         moist wood put on [kg]
    flame        minutes until the dry wood on the fire is below 5 % of what was there right after loading;
                 None if the next load or the night's end comes first
    coals_until  when the chance that the coals light the next load falls below one half, for good; None if it
                 is not below one half in the end, or never was above
    relights     whether that chance is one half or more in the end
    peak         most heat released [W]
    """

    begin: np.datetime64
    until: np.datetime64
    mass: float
    flame: float | None
    coals_until: np.datetime64 | None
    relights: bool
    peak: float


def burns(dataset: xr.Dataset) -> tuple[Burn, ...]:
    """Every load of a night in order; none without a fire.

    Parameters
    ----------
    dataset : xarray.Dataset
        By the schema of `simtent.schema`. What stands between its times is taken as straight, but for the
        jump of a load itself: what is on the fire right after loading is read at the next of its times.
    """
    if "fuel_mass" not in dataset:
        return ()
    times: Any = dataset["time"].values
    loads = [(when, mass) for when, mass in _put_on(dataset) if mass > 0.0]
    if not loads:  # one as the night ends is not put on any more
        return ()
    ends = [*(when for when, _ in loads[1:]), times[-1]]
    return tuple(_burn(dataset, when, end, mass) for (when, mass), end in zip(loads, ends, strict=True))


def wood_on_fire(dataset: xr.Dataset) -> Curve:
    """Moist wood on the fire [kg], with the jump of every load where it is."""
    stages = dataset["fuel_mass"].sel(fuel_stage=["water", "dry_wood"])
    there: Floats = stages.sum("fuel_stage").values
    seconds = seconds_of(dataset)
    moments = np.array([seconds_of(dataset, when) for when, _ in _put_on(dataset)])
    total = np.concatenate([[0.0], np.cumsum([mass for _, mass in _put_on(dataset)])])
    gone = total[np.searchsorted(moments, seconds, side="right")] - there  # without jumps
    points = np.unique(np.concatenate([seconds, moments, np.nextafter(moments[moments > 0.0], 0.0)]))
    put_on = total[np.searchsorted(moments, points, side="right")]
    return Curve(points, np.maximum(put_on - np.interp(points, seconds, gone), 0.0))


def _put_on(dataset: xr.Dataset) -> list[tuple[np.datetime64, float]]:
    if "event" not in dataset.dims:
        return []
    return list(zip(dataset["event_time"].values, dataset["event_mass"].values.tolist(), strict=True))


def _burn(dataset: xr.Dataset, begin: np.datetime64, end: np.datetime64, mass: float) -> Burn:
    times: Any = dataset["time"].values
    last = end == times[-1]
    inside = (times >= begin) & ((times <= end) if last else (times < end))
    if not inside.any():  # the next load follows before the Dataset's next time
        inside = np.arange(times.size) == np.searchsorted(times, begin)
    part = dataset.isel(time=inside)
    start = float((part["time"].values[0] - begin) / np.timedelta64(1, "s"))
    dry = curve(part, "fuel_mass", fuel_stage="dry_wood")
    chance = curve(part, "relight_chance")
    out = _falls(dry, FLAME_OUT * float(dry.values[0]))
    relights = bool(chance.values[-1] >= EVEN)
    cooled = [] if relights else _falls(chance, EVEN)
    return Burn(
        begin=begin,
        until=end,
        mass=mass,
        flame=(start + out[0]) / 60.0 if out else None,
        coals_until=part["time"].values[0] + np.timedelta64(round(cooled[-1] * 1e9), "ns")
        if cooled
        else None,
        relights=relights,
        peak=float(part["heat_release"].max()),
    )


def _falls(given: Curve, limit: float) -> list[float]:
    """Moments [s] at which the curve falls below the limit."""
    steps = zip(pairwise(given.seconds.tolist()), pairwise(given.values.tolist()), strict=True)
    return [
        begin + (end - begin) * (before - limit) / (before - after)
        for (begin, end), (before, after) in steps
        if before >= limit > after
    ]

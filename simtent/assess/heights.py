"""Temperatures of a night at any height, and who is in bed when."""

import numpy as np
import xarray as xr

from simtent.assess.curves import Curve, Floats, seconds_of
from simtent.scenario.scenario import Scenario

Span = tuple[float, float]


def air_at(dataset: xr.Dataset, height: float) -> Floats:
    """Air temperature at a height [m] over time [degC], straight between the layers' centres."""
    return at_height(dataset, "air_temperature", height)


def felt_at(dataset: xr.Dataset, height: float) -> Floats:
    """Felt temperature at a height [m] over time [degC], straight between the layers' centres."""
    return at_height(dataset, "felt_temperature", height)


def at_height(dataset: xr.Dataset, name: str, height: float) -> Floats:
    """A variable of (time, height) at a height [m], beyond the lowest and highest layer's centre as there."""
    centres, values = dataset["height"].values, dataset[name].values
    place = float(np.clip(height, centres[0], centres[-1]))
    low = int(np.clip(np.searchsorted(centres, place, side="right") - 1, 0, centres.size - 2))
    share = (place - centres[low]) / (centres[low + 1] - centres[low])
    found: Floats = values[:, low] + share * (values[:, low + 1] - values[:, low])
    return found


def curve_at(dataset: xr.Dataset, values: Floats) -> Curve:
    """Values over the night's times as a curve."""
    return Curve(seconds_of(dataset), values)


def in_bed(scenario: Scenario) -> Span:
    """From bed to rise [s]; without a bed time from the begin on, without a rise time until the end."""
    wish, night = scenario.wish, scenario.night
    bed = 0.0 if wish.bed is None else night.seconds_at(wish.bed)
    return bed, night.seconds if wish.rise is None else night.seconds_at(wish.rise)


def awake(scenario: Scenario) -> tuple[Span, ...]:
    """From the begin to bed, and from rise to the end [s]; a span without a length is left out."""
    bed, rise = in_bed(scenario)
    spans = ((0.0, bed), (rise, scenario.night.seconds))
    return tuple((begin, end) for begin, end in spans if end > begin)

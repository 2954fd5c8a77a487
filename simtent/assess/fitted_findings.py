"""A night that lies outside the weather of the logs its numbers were fitted to."""

from collections.abc import Iterator

import numpy as np
import xarray as xr

from simtent.assess import kinds
from simtent.assess.curves import seconds_of
from simtent.assess.findings import Finding
from simtent.assess.moments import clock
from simtent.scenario.fitted import LEAST_SPAN
from simtent.scenario.scenario import Scenario
from simtent.units import show

ZERO_CELSIUS = 273.15  # K
LEAST_TOLD = 0.05  # K
FAR = 2.0  # times as wide, from which it is a caution


def fitted_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """The night is colder or warmer than all that was logged: by how much, and what was made of its range."""
    fitted = scenario.fitted
    if fitted is None:
        return
    outdoors = np.asarray(dataset["outdoor_temperature"].values) + ZERO_CELSIUS
    coldest, warmest = float(outdoors.min()), float(outdoors.max())
    outside = fitted.outside(coldest, warmest)
    if outside <= LEAST_TOLD:
        return
    colder = fitted.coldest - coldest >= warmest - fitted.warmest
    moment = float(seconds_of(dataset)[outdoors.argmin() if colder else outdoors.argmax()])
    wider = fitted.widened(outside)
    units = scenario.units
    ends = [show(it, "temperature", units, 0) for it in (fitted.coldest, fitted.warmest)]
    way = "colder" if colder else "warmer"
    far = show(outside, "temperature_difference", units, 0 if outside >= 1.0 else 1)
    yield kinds.BEYOND_LOGS.found(
        level="caution" if wider >= FAR else "note",
        what=f"the night extrapolates: outdoors it is {far} {way} than in any log that its numbers were fitted to",
        when=clock(scenario.night, moment),
        number=f"{show(coldest if colder else warmest, 'temperature', units, 0)} outdoors",
        limit=f"{ends[0]} to {ends[1]} in the logs",
        detail=f", the span at least {show(LEAST_SPAN, 'temperature_difference', units, 0)}",
        todo=f"{_widened(wider, 'level_temperature_low' in dataset and bool(fitted.beyond))} Log a night of such "
        "weather before you lean on it, and keep a margin of wood and clothing.",
    )


def _widened(wider: float, ranged: bool) -> str:
    if not ranged:
        return "No range was widened for it: none is there that could be."
    return f"Read the range, not the line: what readings missed was counted {wider:.1f} times for it."

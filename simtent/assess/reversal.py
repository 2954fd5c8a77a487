"""A flue that runs backwards: outdoor air comes down the pipe, and what the fire gives off comes out at the stove."""

from collections.abc import Iterator, Sequence

import numpy as np
import xarray as xr

from simtent.assess import kinds
from simtent.assess.curves import Curve, curve
from simtent.assess.findings import Finding
from simtent.assess.moments import clock, duration
from simtent.scenario.scenario import Scenario
from simtent.units import show

# Assumptions: below them a flue stands, and nothing burns or glows.
RUNS = 1e-4  # kg/s
BURNS, COALS = 100.0, 0.01  # W, kg
TOLD = 3  # times of reversal that are named one by one


def reversal_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """A caution where the flue runs backwards over a fire or coals, a note where it does so over a cold stove."""
    down, alight = _down(dataset), _alight(dataset)
    hot = Curve(down.seconds, np.minimum(down.values, alight.values))
    if spans := hot.spans_above(0.0):
        yield _over_fire(scenario, hot, spans, dataset)
    cold = Curve(down.seconds, np.minimum(down.values, -alight.values))
    if scenario.shelter is not None and (spans := cold.spans_above(0.0)):
        yield _over_nothing(scenario, cold, spans, dataset)


def _over_fire(
    scenario: Scenario, both: Curve, spans: Sequence[tuple[float, float]], dataset: xr.Dataset
) -> Finding:
    return kinds.FLUE_BACKWARDS.found(
        what="the flue runs backwards while something burns or glows: smoke and carbon monoxide, which has no smell, "
        "come out at the stove instead of going up the pipe",
        where="pipe",
        when=_times(scenario, spans),
        number=_number(scenario, both, dataset),
        limit="no air down the pipe",
        todo="Go by the stove maker's manual. At the alarm, or at headache or nausea: everyone out, into fresh air, "
        "and call for help. Carbon monoxide alarm on; vents open, low ones above all; pipe, cap and arrestor free of "
        "soot and snow; damper open until nothing glows; a taller pipe. None of it is a safety guarantee.",
    )


def _over_nothing(
    scenario: Scenario, both: Curve, spans: Sequence[tuple[float, float]], dataset: xr.Dataset
) -> Finding:
    return kinds.COLD_FLUE_BACKWARDS.found(
        what="the flue runs backwards while nothing burns: cold air comes down the pipe, and a fire lit then smokes "
        "into the shelter until the pipe is warm",
        where="pipe",
        when=_times(scenario, spans),
        number=_number(scenario, both, dataset),
        limit="no air down the pipe",
        todo="Before lighting, open a low vent or the door and the damper, and warm the pipe first as the stove "
        "maker's manual says. Vents stay open, carbon monoxide alarm on, before and after; not a safety guarantee.",
    )


def _down(dataset: xr.Dataset) -> Curve:
    """Above 0 where air comes down the pipe."""
    flow = curve(dataset, "flue_flow")
    return Curve(flow.seconds, -flow.values / RUNS - 1.0)


def _alight(dataset: xr.Dataset) -> Curve:
    """Above 0 where something burns or glows."""
    release, coals = curve(dataset, "heat_release"), curve(dataset, "fuel_mass", fuel_stage="coals")
    return Curve(release.seconds, np.maximum(release.values / BURNS, coals.values / COALS) - 1.0)


def _times(scenario: Scenario, spans: Sequence[tuple[float, float]]) -> str:
    """From when to when, the first few times."""
    night = scenario.night
    told = ", ".join(f"{clock(night, begin)} to {clock(night, end)}" for begin, end in spans[:TOLD])
    more = len(spans) - TOLD
    return f"{told} and {more} more {'time' if more == 1 else 'times'}" if more > 0 else told


def _number(scenario: Scenario, both: Curve, dataset: xr.Dataset) -> str:
    flow = curve(dataset, "flue_flow")
    most = -float(flow.values[both.values > 0.0].min(initial=0.0))
    return f"{duration(both.time_above(0.0))}, up to {show(most, 'air_flow', scenario.units)}"

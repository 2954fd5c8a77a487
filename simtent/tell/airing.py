"""The summary's lines on the air: how often it is changed, the neutral height, what comes in where."""

from collections.abc import Iterator

import numpy as np
import xarray as xr

from simtent.assess.air import name_and_side, neutral_height
from simtent.assess.curves import curve, seconds_of
from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.tell.wished import Wished
from simtent.tell.words import air_flow, air_flow_unit, two_figures
from simtent.units import System, show

LEAST = 5e-5  # kg/s, of a flow worth a word


def airing(
    scenario: Scenario, dataset: xr.Dataset, coldest: float, system: System
) -> Iterator[tuple[str, str]]:
    """Pairs of a label and a sentence; `coldest` is the cot's coldest moment [s from begin]."""
    night, (begin, end) = scenario.night, Wished.of(scenario).in_bed
    changes = curve(dataset, "air_changes")
    usual = float(np.median(changes.between(begin, end).values))
    (_, least), (moment, most) = changes.lowest(), changes.highest()
    yield (
        "Air changes",
        f"{two_figures(usual)} an hour, the median from {clock(night, begin)} to {clock(night, end)}; "
        f"{two_figures(least)} to {two_figures(most)} through the night, most at {clock(night, moment)}",
    )
    then = int(np.argmin(np.abs(seconds_of(dataset) - coldest)))
    seen = dataset.isel(time=then)
    yield (
        "Air comes in",
        f"at {clock(night, seconds_of(dataset)[then])}, cot coldest: {_comes_in(seen, system)}",
    )
    height = neutral_height(seen)
    yield (
        "Neutral height",
        "none inside then: wind, flue or vents shift it beyond floor or roof"
        if height is None
        else f"{show(height, 'length', system)} then, without wind: air is driven in below it and out above",
    )


def _comes_in(seen: xr.Dataset, system: System) -> str:
    """What enters through each opening, both sides together, the largest first; and what the fire takes."""
    ways: dict[str, float] = {}
    for name, flow in zip(
        seen["opening"].values.tolist(), seen["opening_inflow"].values.tolist(), strict=True
    ):
        plain, _ = name_and_side(name)
        ways[plain] = ways.get(plain, 0.0) + flow
    largest_first = sorted(ways.items(), key=lambda item: -item[1])
    parts = [f"{air_flow(flow, system)} by {name}" for name, flow in largest_first if flow >= LEAST]
    text = f"{air_flow(float(seen['leakage_flow']), system)} {air_flow_unit(system)}"
    text += f", {', '.join(parts)}" if parts else ""
    fire = float(seen["air_flow"]) if "air_flow" in seen else 0.0
    if fire >= LEAST:
        text += f"; {air_flow(fire, system)} go to the fire"
    elif fire <= -LEAST:
        text += f"; and {air_flow(-fire, system)} down the flue, which runs backwards"
    return text

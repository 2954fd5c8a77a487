"""How long fits of the demo's nights take, of all its numbers and of twelve: `python -m tests.benchmarks.fit_time`.

The twelve: five of the scenario's, three of the nights' own, and lag and offset or contact of the sensor at the cot
and of the one on the stove in the yard, the other sensors left out.
"""

import time
from collections.abc import Callable
from dataclasses import replace

import simtent
from simtent.calibrate.calibrate import fit_nights, logged_nights
from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.nights import Night
from simtent.calibrate.room import Room

FREE = ("model.walls", "model.leak_area", "model.heat", "model.burn_rate", "model.inlet")


def main() -> None:
    """Fit once to compile, then measure; a line for each fit."""
    scenario = simtent.load("scenarios/alder_ford.toml")
    _of_twelve(scenario)
    for fit in (_of_twelve, simtent.calibrate):
        _measure(fit, scenario)


def _of_twelve(scenario: simtent.Scenario) -> Calibrated:
    fewer, room = scenario.replace({"fit.free": list(FREE)}), Room()
    nights = tuple(_with_one_sensor(night) for night in logged_nights(fewer, None, room.path))
    return fit_nights(fewer, nights, room)


def _with_one_sensor(night: Night) -> Night:
    place = "cot" if night.scenario.shelter else "stove"
    return replace(night, readings=tuple(one for one in night.readings if one.place == place))


def _measure(fit: Callable[[simtent.Scenario], Calibrated], scenario: simtent.Scenario) -> None:
    wall, processor = time.perf_counter(), time.process_time()
    found = fit(scenario)
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    simulated = {k for outlook in found.misfit.outlooks for k in outlook.moving()}
    print(
        f"{len(found.nights)} nights, {found.readings} readings, {len(found.sought)} numbers, {len(simulated)} of them "
        f"simulated: {wall:.0f} s, {processor:.0f} s of processor time, settled: {found.best.settled}, "
        f"misfit {found.best.cost:.1f}",
        flush=True,
    )


if __name__ == "__main__":
    main()

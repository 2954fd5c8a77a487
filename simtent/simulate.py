"""A night from beginning to end: assemble, solve, settle the ledger, assess, label."""

import platform
from dataclasses import dataclass
from importlib.metadata import version
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import ArrayLike

from simtent import compiled, results
from simtent.assembly.assemble import Model, assemble
from simtent.assembly.rhs import observe, shelter_jacobian, shelter_rhs
from simtent.assess.findings import to_values
from simtent.assess.judge import assess
from simtent.errors import SolveError
from simtent.network import ledger
from simtent.network.arrays import Array
from simtent.network.solve import Accuracy, Trajectory, solve
from simtent.scenario.scenario import Scenario
from simtent.units import show

OUTPUT_STEP = 300.0  # s
ZERO_CELSIUS = 273.15
STANDARD = Accuracy()
EXPANSION_WORTH_A_WORD = 0.05
HOTTEST_AIR = (
    ZERO_CELSIUS + 70.0
)  # K; hotter under a peak than any shelter is run; common practice, no source
MIXING_NOTE = (
    "Air mixes between layers as by a conductivity (0.6 W/(m K) stable, 30 unstable, from memory); plumes, cold "
    "currents and draughts are not in the model, so differences between head and floor are uncertain."
)


@dataclass(frozen=True)
class Run:
    """A solved night before it is labelled."""

    scenario: Scenario
    model: Model
    solution: Trajectory
    residual: float


def run(scenario: Scenario, *, accuracy: Accuracy = STANDARD, step: float = OUTPUT_STEP) -> Run:
    """Assemble and solve one night, reporting every `step` [s].

    Raises
    ------
    SolveError
        The solver gave up, or energy does not add up to a millionth of the throughput.
    """
    model = assemble(scenario)
    end = model.net.end
    times = np.append(np.arange(0.0, end - 1e-6, step), end)
    solution = solve(
        lambda t, y, rows: shelter_rhs(t, y, model.shelter, rows),
        model.shelter.net,
        model.start,
        model.net.jump_times(),
        times,
        accuracy,
        lambda t, y, rows: shelter_jacobian(t, y, model.shelter, rows),
    )
    residual = ledger.residual(model.net, solution.states)
    if residual > results.RESIDUAL_LIMIT:
        raise SolveError(
            f"Energy does not add up: {residual:.1e} of the throughput is missing, {results.RESIDUAL_LIMIT:.0e} "
            "is allowed. This is a fault of the engine, not of the scenario; please report the scenario."
        )
    return Run(scenario, model, solution, residual)


def simulate(scenario: Scenario, *, accuracy: Accuracy = STANDARD) -> xr.Dataset:
    """Simulate a night and what nobody has measured about it.

    Parameters
    ----------
    scenario : Scenario
        From `simtent.load`.
    accuracy : Accuracy
        How the nights are solved.

    Returns
    -------
    xarray.Dataset
        By the schema of `simtent.results`: temperatures [degC], flows [W], energy accounts [J], findings.

    Raises
    ------
    SolveError
        The solver gave up, or energy does not add up.
    """
    night = run(scenario, accuracy=accuracy)
    dataset = results.label(*_readings(night), _attributes(night))
    dataset = results.extend(dataset, *_band(night, accuracy))
    for values, coords in (_events(night), _departures(night)):
        if values or coords:
            dataset = results.extend(dataset, values, coords)
    dataset = results.extend(dataset, *to_values(assess(scenario, dataset)))
    results.check(dataset)
    return dataset


def level_temperatures(night: Run) -> Array:
    """Air temperature at the named levels, shape (times, levels) [degC]."""
    return _at_levels(night, night.solution.states[:, : night.model.bands.centres.size] - ZERO_CELSIUS)


def _at_levels(night: Run, layers: Array) -> Array:
    """Values given by layer, read between the layers' centres at the named levels."""
    heights = list(night.scenario.levels.values())
    return np.array([np.interp(heights, night.model.bands.centres, row) for row in layers])


def _readings(night: Run) -> tuple[dict[str, ArrayLike], dict[str, ArrayLike]]:
    """Values and coordinates of everything that every night has."""
    model, solution = night.model, night.solution
    celsius = solution.states[:, : len(model.net.capacities)] - ZERO_CELSIUS
    readings = np.array(
        [
            observe(t, state, model.shelter, rows)
            for t, state, rows in zip(solution.times, solution.states, solution.rows, strict=True)
        ]
    )
    levels = level_temperatures(night)
    radiant = readings[:, 3] - ZERO_CELSIUS
    values: dict[str, ArrayLike] = {
        "air_temperature": celsius[:, : model.bands.centres.size],
        "level_temperature": levels,
        # ISO 7726 and ASHRAE 55: the mean of air and mean radiant temperature in still air (below 0.2 m/s).
        "operative_temperature": (levels + radiant[:, None]) / 2.0,
        "level_height": list(night.scenario.levels.values()),
        "surface_temperature": celsius[:, list(model.surfaces.values())],
        "outdoor_temperature": readings[:, 0] - ZERO_CELSIUS,
        "sky_temperature": readings[:, 1] - ZERO_CELSIUS,
        "wind_speed": readings[:, 2],
        "leakage_flow": readings[:, 4],
        "heat_release": readings[:, 5],
        "heat_flow": solution.rates,
        "energy": np.column_stack(list(accounts(night).values())),
    }
    coords: dict[str, ArrayLike] = {
        "time": _moments(night, solution.times),
        "height": model.bands.centres,
        "level": list(night.scenario.levels),
        "surface": list(model.surfaces),
        "path": model.net.path_names,
        "account": list(accounts(night)),
    }
    return values, coords


def accounts(night: Run) -> dict[str, Array]:
    """Every energy account over time [J]: what came in since the beginning, and what was stored."""
    came = ledger.entered(night.model.net, night.solution.states)
    kept = ledger.stored(night.model.net, night.solution.states)
    source = came.pop("source_convective") + came.pop("source_radiant")
    nothing = np.zeros_like(source)
    groups = ("air", "skin", "ground", "contents")
    return {"source": source} | came | {f"stored_{group}": kept.get(group, nothing) for group in groups}


def _moments(night: Run, seconds: Array) -> np.ndarray[Any, np.dtype[np.datetime64]]:
    begin = np.datetime64(night.scenario.night.begin_utc.replace(tzinfo=None), "ns")
    return begin + np.round(np.asarray(seconds) * 1e9).astype("timedelta64[ns]")


def _band(night: Run, accuracy: Accuracy) -> tuple[dict[str, ArrayLike], dict[str, ArrayLike]]:
    """Range of the level temperatures from what nobody has measured, one standard deviation to each side.

    Each unknown is moved alone, down and up; what it does to one side adds in squares (independent unknowns,
    effects that add up: first-order propagation of uncertainty).
    """
    nominal = level_temperatures(night)
    below, above = np.zeros_like(nominal), np.zeros_like(nominal)
    for prior in night.scenario.priors():
        moved = [
            level_temperatures(run(night.scenario.replace(change), accuracy=accuracy)) - nominal
            for change in (prior.low, prior.high)
        ]
        below += np.minimum(np.minimum(*moved), 0.0) ** 2
        above += np.maximum(np.maximum(*moved), 0.0) ** 2
    values: dict[str, ArrayLike] = {
        "level_temperature_low": nominal - np.sqrt(below),
        "level_temperature_high": nominal + np.sqrt(above),
    }
    return values, {}


def _events(night: Run) -> tuple[dict[str, ArrayLike], dict[str, ArrayLike]]:
    """Steps of the heat source inside the night."""
    track = night.scenario.heat.track()
    if track.shape != "steps":
        return {}, {}
    steps = [
        (t, v) for t, v in zip(track.times, track.values, strict=True) if 0.0 <= t <= night.model.net.end
    ]
    if not steps:
        return {}, {}
    what = [f"heat source set to {power * night.scenario.model.heat:.0f} W" for _, power in steps]
    times = _moments(night, np.array([t for t, _ in steps]))
    return {"event_time": times, "event_what": what}, {"event": range(len(steps))}


def _departures(night: Run) -> tuple[dict[str, ArrayLike], dict[str, ArrayLike]]:
    """Sentences on where the run left what its laws hold for, or what people and fabric can be in."""
    found = []
    states, model, units = night.solution.states, night.model, night.scenario.units
    warmest = float(states[:, list(model.ground_tops)].max())
    if night.scenario.site.earth.melts and warmest > ZERO_CELSIUS:
        found.append(
            f"The top of the {night.scenario.site.ground} reaches {show(warmest, 'temperature', units)} in the "
            "model, which does not melt it: in truth it stays at the melting point, takes up heat, and gets wet."
        )
    air = states[:, : model.bands.centres.size]
    if float(air.max()) > HOTTEST_AIR:
        found.append(
            f"The air reaches {show(float(air.max()), 'temperature', units, 0)} in its hottest layer. People cannot "
            "stay in such air, and it damages fabric and gear; no shelter is heated so: look at the heat given."
        )
    share = model.shelter.leaks.volume
    # At constant pressure the mass that stays goes with the mean of 1/T over the room.
    left = 1.0 - float(states[0, : share.size] @ share * ((1.0 / air) @ share).min())
    if left > EXPANSION_WORTH_A_WORD:
        found.append(
            f"The warmed air's expansion is neglected: up to {100.0 * left:.0f} % of it would have left the "
            "shelter."
        )
    return {}, ({"departure": found} if found else {})


def _attributes(night: Run) -> dict[str, Any]:
    scenario, solution = night.scenario, night.solution
    how = solution.accuracy
    return {
        "name": scenario.name,
        "invented": int(scenario.invented),
        "units": scenario.units,
        "zone": str(scenario.night.zone).removeprefix("UTC") or "UTC",
        "scenario_given": scenario.given,
        "scenario_effective": scenario.effective,
        "versions": ", ".join(f"{name} {text}" for name, text in _versions().items()),
        "solver": (
            f"{how.method}, rtol {how.rtol:g}, atol {how.atol:g} K; {solution.jumps} stretches, "
            f"{solution.calls} evaluations, {solution.jacobians} Jacobians"
        ),
        "energy_residual": night.residual,
        "mixing_note": MIXING_NOTE,
    }


def _versions() -> dict[str, str]:
    found = {"simtent": version("simtent"), "python": platform.python_version()}
    found |= {name: version(name) for name in ("numpy", "scipy", "xarray")}
    numba = compiled.NUMBA
    return found | ({"numba": str(numba.__version__)} if numba else {})

"""Fit a scenario's model to its logged nights."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from threadpoolctl import threadpool_limits

from simtent.calibrate import numbers
from simtent.calibrate.calibrated import Calibrated, outdoors_at
from simtent.calibrate.misfit import Misfit
from simtent.calibrate.nights import Night, night_of
from simtent.calibrate.outlook import Setting, outlooks
from simtent.calibrate.posterior import laplace
from simtent.calibrate.room import Room
from simtent.calibrate.search import Progress, search
from simtent.driver import SWIFT
from simtent.errors import Fault, InputError
from simtent.logbook.read import read_log
from simtent.network.solve import Accuracy
from simtent.scenario.scenario import Scenario

FEW_LAYERS = 8  # of the coarse model that the starts are searched with
QUICK = Accuracy(SWIFT.method, 1e-5, 1e-3)  # of its nights
SHORTEST = 2.0 * 3600.0  # s of readings that a night needs
LEAST_RISE = 3.0  # K above outdoors that some sensor must have shown in some night


def calibrate(
    scenario: Scenario,
    evenings: Sequence[date] | None = None,
    *,
    starts: int = 2,
    seed: int = 0,
    progress: Progress = lambda _line: None,
) -> Calibrated:
    """Find the numbers of a scenario that its logged nights and what was believed before make most likely.

    Parameters
    ----------
    scenario : Scenario
        With [[log]]; [fit] says what may be moved.
    evenings : sequence of date, optional
        Nights to fit to; without it all logs but those that [fit] holds out.
    starts : int
        Points that the search begins at: what was believed, and others drawn around it.
    seed : int
        Of these draws.
    progress : callable
        Is told a line now and then.

    Returns
    -------
    Calibrated
        After an interruption by the keyboard the best so far, `best.stopped`.

    Raises
    ------
    InputError
        There is no log, or what it says is too short or too quiet to tell anything.
    SolveError
        No start can be simulated.
    """
    _refuse_twice(scenario)
    room = Room()
    nights = logged_nights(scenario, evenings, room.path)
    refuse_what_tells_nothing(nights)
    return fit_nights(scenario, nights, room, starts=starts, seed=seed, progress=progress)


def fit_nights(
    scenario: Scenario,
    nights: tuple[Night, ...],
    room: Room | None = None,
    *,
    starts: int = 2,
    seed: int = 0,
    progress: Progress = lambda _line: None,
) -> Calibrated:
    """Fit nights that are prepared already; `room` holds their weather. Raises as `calibrate` does."""
    sought = (*numbers.of_scenario(scenario), *numbers.of_sensors(nights), *numbers.of_nights(nights))
    base = numbers.bases(scenario, sought)
    few = min(FEW_LAYERS, scenario.model.layers)
    coarse = Misfit(outlooks(nights, Setting(sought, base, few, QUICK)))
    fine = Misfit(outlooks(nights, Setting(sought, base)))
    with threadpool_limits(limits=1, user_api="blas"):
        best = search(coarse, fine, starts, seed, progress)
        posterior = laplace(sought, best.z, fine.of_data(best.seen, best.errors))
    return Calibrated(scenario, nights, fine, posterior, best, room)


def _refuse_twice(scenario: Scenario) -> None:
    if scenario.fitted is not None:
        todo = "Fit the scenario as it was before, without the overlay"
        what = "these numbers come from logs already: a second fit would count the same readings twice"
        raise InputError(Fault(what, str(scenario.path), key="fitted", todo=todo))


def logged_nights(scenario: Scenario, evenings: Sequence[date] | None, folder: Path) -> tuple[Night, ...]:
    """The nights of a scenario's logs that a fit takes, several files of an evening as one; InputError without any."""
    held = set(scenario.fit.hold_out) if scenario.fit and evenings is None else set()
    there = dict.fromkeys(log.evening for log in scenario.log)
    asked = [day for day in there if day not in held] if evenings is None else list(evenings)
    if not asked:
        todo = "Add [[log]] with evening, file and sensors, or hold fewer evenings out"
        raise InputError(Fault("no logged night to fit to", str(scenario.path), key="log", todo=todo))
    return tuple(night_of(scenario, read_log(scenario, day), folder, f"{day}") for day in asked)


def refuse_what_tells_nothing(nights: Sequence[Night]) -> None:
    """InputError where all logs are shorter than two hours, or nothing in them was warmer than outdoors."""
    longest = max(float(one.seconds[-1] - one.seconds[0]) for night in nights for one in night.readings)
    if longest < SHORTEST:
        todo = "Log a whole night: from before the fire is lit until morning"
        what = f"the readings last {longest / 60.0:.0f} min at most; so little tells nothing of a shelter"
        raise InputError(Fault(what, key="log", allowed="2 hours or more", todo=todo))
    rise = max(_rise(night) for night in nights)
    if rise < LEAST_RISE:
        todo = "Log a night with a fire, or with an electric heater of known power"
        what = f"no sensor was more than {max(rise, 0.0):.1f} K above outdoors: a night without heat tells nothing"
        raise InputError(Fault(what, key="log", allowed=f"{LEAST_RISE:g} K or more", todo=todo))


def _rise(night: Night) -> float:
    """By how much the warmest reading of a night lies above the outdoor air of that moment [K]."""
    return max(float((one.kelvin - outdoors_at(night, one.seconds)).max()) for one in night.readings)

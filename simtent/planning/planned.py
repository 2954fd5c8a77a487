"""The whole story of a stoking plan on one page."""

from dataclasses import dataclass

import xarray as xr
from numpy import interp

from simtent.assess.findings import Finding, from_dataset
from simtent.errors import InputError
from simtent.planning.choices import GRID, Choices, choices_of
from simtent.planning.draft import Draft, replacements
from simtent.planning.evening import evening_of, within_reach
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured, measured
from simtent.planning.nights import Nights
from simtent.planning.outcome import Option, Plan
from simtent.planning.refused import faults_of
from simtent.planning.relight import relight
from simtent.planning.search import Progress, Search
from simtent.planning.unmet import feed_evenly
from simtent.planning.unsure import DRAWS, Ensemble, ensemble
from simtent.planning.why import why
from simtent.run import Run, run
from simtent.scenario.scenario import Scenario
from simtent.simulate import judged

MOST_WAKE_UPS = 6  # beyond which nobody's night is one; own choice
CLEAR = 4.0  # log-odds from which a load is lit for certain
ROUNDS = 3  # of searches, each corrected by what few layers miss
ROOM = 0.02  # K and log-odds that a corrected search leaves, for what grids and layers still differ by


def plan_stoking(
    scenario: Scenario,
    *,
    seed: int = 0,
    grid: float = GRID,
    choices: Choices | None = None,
    progress: Progress = lambda _line: None,
) -> Plan:
    """Find when to get up, how much to put on and where to set the levers.

    Parameters
    ----------
    scenario : Scenario
        With a shelter, a stove and [wish] bed, rise and cot_at_least. Its first load is kept.
    seed : int
        Of the ensemble that the plan is held against; the search itself draws nothing.
    grid : float
        Between the times that are tried [s].
    choices : Choices, optional
        What may be chosen; without it, as the scenario leaves it.
    progress : callable
        Is told a line now and then.

    Returns
    -------
    Plan
        After an interruption by the keyboard the best so far, `stopped`.

    Raises
    ------
    InputError
        There is nothing to plan with, or wishes contradict each other.
    SolveError
        A night cannot be solved.
    """
    if faults := faults_of(scenario):
        raise InputError(faults)
    choices = choices or choices_of(scenario, grid=grid)
    limits = Limits.of(scenario)
    few, whole = Nights.few(scenario, choices), Nights.whole(scenario, choices)
    hoped = within_reach(limits, few, whole)
    search = searched(few, whole, hoped, most_asked(scenario), progress)
    options = tuple(_option(it, whole, limits) for _, it in sorted(search.best.items()))
    progress("simulating the plan as a night is told")
    told = _told(scenario, hoped, whole, [it for it in options if it.wake_ups <= most_asked(scenario)])
    held = _held(
        few, [it for it in options if 0 <= it.wake_ups - told.option.wake_ups <= 1], limits, seed, progress
    )
    return Plan(
        scenario=told.night.scenario,
        choices=choices,
        limits=limits,
        options=options,
        chosen=told.option,
        promised=told.promised,
        dataset=told.dataset,
        stops=told.stops,
        relit=told.relit,
        held=held,
        why=why(whole, told.option.draft, limits) if limits.broken(told.promised) else None,
        relight=relight(whole, options[0].draft, limits) if scenario.wish.fire_may_go_out else None,
        nights=len(few.known) + len(whole.known),
        stopped=search.stopped or not held,
    )


def _held(
    few: Nights, finalists: list[Option], limits: Limits, seed: int, progress: Progress
) -> dict[int, Ensemble]:
    """How finalists hold in the same drawn nights; those that Ctrl-C leaves time for."""
    found = dict[int, Ensemble]()
    try:
        for it in finalists:
            progress(f"holding {it.wake_ups} wake-ups against {DRAWS} nights that are not as foretold")
            cooler = it.night.cot_lowest - few.of(it.draft).cot_lowest
            found[it.wake_ups] = ensemble(few, it.draft, limits, seed, cooler)
    except KeyboardInterrupt:
        progress("ended before its end")
    return found


def most_asked(scenario: Scenario) -> int:
    """How often somebody gets up at most."""
    asked = scenario.wish.wake_ups_at_most
    return MOST_WAKE_UPS if asked is None else asked


def searched(few: Nights, whole: Nights, limits: Limits, asked: int, progress: Progress) -> Search:
    """A search on few layers, its limits moved by what these miss at the plan, until the plan holds on all layers."""
    search = Search(few, limits, progress)
    search.run(MOST_WAKE_UPS)
    try:
        feed_evenly(search, MOST_WAKE_UPS)
        search = _corrected(search, few, whole, asked)
    except KeyboardInterrupt:
        search.stopped = True
    return search


def _corrected(search: Search, few: Nights, whole: Nights, asked: int) -> Search:
    """The search gone on with limits moved by what few layers miss at its plan, until the plan holds on all layers."""
    limits, moved = search.limits, dict[str, float]()
    for turn in range(ROUNDS - 1):
        plan = search.plan(asked)
        coarse, fine = few.of(plan), whole.of(plan)
        if search.stopped or (turn > 0 and (not search.keeps(plan) or not limits.broken(fine))):
            break
        gaps = gaps_of(coarse, fine)
        moved = {name: max(gap, moved.get(name, gap)) for name, gap in gaps.items()}
        search.progress("again, with limits moved by what few layers miss")
        search = _again(search, limits.tightened(moved), plan)
        search.run(MOST_WAKE_UPS, max(plan.wake_ups(few.choices) - 1, 0))
    return search


def _again(search: Search, limits: Limits, plan: Draft) -> Search:
    """The search gone on with other limits, from all drafts known; the evening laid out anew where these break it."""
    nights, at_bed = search.nights, search.choices.at_bed
    seeds = list(nights.known)
    if limits.broken(nights.of(plan)).keys() & {"head", "coals"}:
        evening = evening_of(nights, limits)
        asleep = [tuple(put for put in it.puts if put.at >= at_bed) for it in search.best.values()]
        seeds += [Draft((*evening, *it)) for it in asleep]
    return Search(nights, limits, search.progress, best=dict(search.best), seeds=seeds, again=True)


def gaps_of(coarse: Measured, fine: Measured) -> dict[str, float]:
    """By how much a night of few layers looks better than the whole one, by limit; below 0 where it looks worse."""
    warmer = {
        "cot": coarse.cot_lowest - fine.cot_lowest,
        "rise": coarse.cot_at_rise - fine.cot_at_rise,
        "head": fine.head_highest - coarse.head_highest,
        "coals": max(
            (min(a, CLEAR) - min(b, CLEAR) for a, b in zip(coarse.odds, fine.odds, strict=True)), default=0.0
        ),
    }
    hotter = {
        "stove": fine.stove - coarse.stove,
        "jack": fine.jack - coarse.jack,
        "cool": fine.cool - coarse.cool,
    }
    return {name: gap + ROOM for name, gap in {**warmer, **hotter}.items()}


def _option(draft: Draft, whole: Nights, limits: Limits) -> Option:
    night = whole.of(draft)
    return Option(draft.wake_ups(whole.choices), draft, night, limits.broken(night))


@dataclass(frozen=True)
class _Told:
    """An option's night as it is told."""

    option: Option
    night: Run
    promised: Measured
    dataset: xr.Dataset
    stops: tuple[Finding, ...]
    relit: bool


def _told(scenario: Scenario, limits: Limits, whole: Nights, options: list[Option]) -> _Told:
    """The best option of whose night no finding says stop; the best of all where each has one."""
    best = sorted(options, key=lambda it: limits.value(it.night, it.wake_ups))
    found = None
    for option in best:
        told = _as_told(scenario, limits, whole.choices, option)
        found = found or told
        if not told.stops:
            return told
    assert found is not None
    return found


def _as_told(scenario: Scenario, limits: Limits, choices: Choices, option: Option) -> _Told:
    lights, times = option.night.lights, option.night.times
    later = (
        [load.at for load in scenario.stoking.loads if load.at >= choices.rise] if scenario.stoking else []
    )
    relit = bool(later) and float(interp(later[0], times, lights)) < limits.coals
    night = run(scenario.replace(replacements(option.draft, scenario, choices, relit=relit)))
    dataset = judged(night)
    stops = tuple(it for it in from_dataset(dataset) if it.level == "stop")
    return _Told(option, night, measured(night, option.draft, choices), dataset, stops, relit)

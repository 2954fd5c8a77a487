"""The whole story of a trip's wood on one page."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import find
from simtent.scenario.tripped import of_trip
from simtent.supply.burnt import Burnt, as_planned, as_stoked
from simtent.supply.checked import Checked, check
from simtent.supply.pile import Pile

if TYPE_CHECKING:  # plans come from above
    from simtent.planning.outcome import Plan

HOUR = 3600.0
Progress = Callable[[str], None]
Burn = Callable[[Scenario], Burnt]


@dataclass(frozen=True)
class TripNight:
    """A night of the trip and what it takes.

    low, mean, wind  outdoors while the night lasts [K], [K], [m/s]
    colder           the same night with air colder by `outdoors.spread`; None where it was not simulated
    """

    evening: date
    low: float
    mean: float
    wind: float
    burnt: Burnt
    colder: Burnt | None = None


@dataclass(frozen=True)
class Supply:
    """What a trip takes.

    planned  whether a stoking plan was made for each night; else the scenario's own stoking burnt
    asked    how many nights the trip has; fewer stand in `nights` where the keyboard ended it
    checked  the rule for other woods, held against simulated nights
    """

    scenario: Scenario
    planned: bool
    asked: int
    nights: tuple[TripNight, ...]
    checked: tuple[Checked, ...]

    @property
    def stopped(self) -> bool:
        """Whether nights are missing, or a plan was not searched to its end."""
        told = [it for night in self.nights for it in (night.burnt, night.colder) if it]
        return len(self.nights) < self.asked or any(it.stopped for it in told)

    @property
    def pile(self) -> Pile:
        """All nights together."""
        first, *rest = (night.burnt.pile for night in self.nights)
        return sum(rest, start=first)

    @property
    def coldest(self) -> TripNight:
        """The night with the coldest air in the mean."""
        return min(self.nights, key=lambda it: it.mean)

    @property
    def tail(self) -> float | None:
        """Wood of the nights simulated colder, over the same nights as foretold; 1 at least, None without any."""
        both = [(it.burnt.pile.mass, it.colder.pile.mass) for it in self.nights if it.colder]
        return max(sum(cold for _, cold in both) / sum(own for own, _ in both), 1.0) if both else None

    @property
    def margin(self) -> float:
        """What is taken beyond what nights come to [-]: the margin of [carry], or the cold tail if that is more."""
        return max(self.scenario.carry.margin, (self.tail or 1.0) - 1.0)

    @property
    def to_bring(self) -> Pile:
        """The trip's wood with its margin."""
        return self.pile.times(1.0 + self.margin)


def wood(
    scenario: Scenario,
    plan: "Callable[[Scenario], Plan] | None" = None,
    *,
    progress: Progress = lambda _line: None,
) -> Supply:
    """Count the wood of a trip's nights.

    Parameters
    ----------
    scenario : Scenario
        With [[trip]], a shelter, a stove and its wood.
    plan : callable, optional
        Makes a stoking plan of a night's scenario; without it, its own [stoking] is burnt.
    progress : callable
        Is told a line now and then.

    Returns
    -------
    Supply
        After an interruption by the keyboard, of the nights that were done by then.

    Raises
    ------
    InputError
        There is no trip, or nothing that burns wood.
    SolveError
        A night cannot be solved.
    """
    if faults := faults_of(scenario):
        raise InputError(faults)
    burn: Burn = as_stoked if plan is None else lambda it: as_planned(plan(it))
    nights = list[TripNight]()
    try:
        for number in range(len(scenario.trip)):
            progress(f"night {number + 1} of {len(scenario.trip)}, {scenario.trip[number].evening}")
            nights.append(_night(scenario, number, burn))
            if nights[-1].burnt.stopped:
                break
        else:
            for number in _colder_ones(nights, every=plan is None):
                progress(f"the night of {nights[number].evening} with colder air than foretold")
                nights[number] = _with_colder(scenario, number, nights[number], burn)
    except KeyboardInterrupt:
        if not nights:
            raise
    coldest = min(nights, key=lambda it: it.mean)
    progress("another wood, and greener wood, in the coldest night")
    return Supply(
        scenario, plan is not None, len(scenario.trip), tuple(nights), check(coldest.burnt.scenario)
    )


def _night(scenario: Scenario, number: int, burn: Burn) -> TripNight:
    there = night_of(scenario, number)
    air, wind, seconds = there.outdoors.track("air"), there.outdoors.track("wind"), there.night.seconds
    hours = [k * HOUR for k in range(int(seconds / HOUR) + 1)]
    temperatures = [air.at(it) for it in hours]
    return TripNight(
        evening=there.night.evening,
        low=min(temperatures),
        mean=sum(temperatures) / len(hours),
        wind=sum(wind.at(it) for it in hours) / len(hours),
        burnt=burn(there),
    )


def night_of(scenario: Scenario, number: int, *, colder: float = 0.0) -> Scenario:
    """A night of the trip with as much wood at hand as it wants: how much that is, is the question."""
    there = of_trip(scenario, number, colder=colder)
    return (
        there if there.wood is None or there.wood.at_hand is None else there.replace("wood.at_hand", "none")
    )


def _colder_ones(nights: list[TripNight], *, every: bool) -> list[int]:
    """Which nights are simulated with colder air: all, or the coldest where each takes a plan."""
    numbers = list(range(len(nights)))
    return numbers if every else [min(numbers, key=lambda it: nights[it].mean)]


def _with_colder(scenario: Scenario, number: int, night: TripNight, burn: Burn) -> TripNight:
    spread = scenario.outdoors.spread
    if not spread:
        return night
    colder = burn(night_of(scenario, number, colder=spread))
    return TripNight(night.evening, night.low, night.mean, night.wind, night.burnt, colder)


def faults_of(scenario: Scenario) -> list[Fault]:
    """What keeps the wood of a trip from being counted, all of it."""
    faults = [*_missing(scenario)]
    for number in range(len(scenario.trip)):
        try:
            night_of(scenario, number)
        except InputError as error:
            faults += error.faults
    return faults


def _missing(scenario: Scenario) -> Iterator[Fault]:
    if scenario.stove is None or scenario.wood is None or scenario.stoking is None:
        todo = "Give it [stove], [wood] and [stoking] in place of [heat]"
        yield _fault(scenario, "no stove burns wood here: the shelter is heated by [heat]", "heat", todo)
        return
    if scenario.shelter is None:
        what = "a stove in the open warms no night: there is no wish that wood could be counted for"
        yield _fault(scenario, what, "shelter", "Give it a shelter")
        return
    if not scenario.trip:
        todo = 'Add [[trip]] for each night: evening = "2031-02-14", low = "-20 degC", high = "-9 degC"'
        yield _fault(scenario, "there is no trip whose wood could be counted", "trip", todo)
    load, heaviest = scenario.carry.sled_load, max(map(scenario.wood.piece_mass, scenario.wood.pieces))
    if load is not None and heaviest > load:
        todo = "Give what one way carries, or thinner pieces"
        what, allowed = "the sled carries not one of the heaviest pieces", f"{heaviest:.1f} kg or more"
        yield _fault(scenario, what, "carry.sled_load", todo, allowed)


def _fault(scenario: Scenario, what: str, key: str, todo: str, allowed: str | None = None) -> Fault:
    """A fault at a key, with the line where it, or the nearest table above it, was given."""
    origin = find(scenario.tree, tuple(key.split(".")))[0].origin
    return Fault(what, origin.file or str(scenario.path), origin.line, key, allowed=allowed, todo=todo)

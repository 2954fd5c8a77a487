"""The plans of a card's rows: the first searched for as any plan, each other from the plan of the row beside it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simtent.assess.findings import Finding, from_dataset
from simtent.driver import SWIFT, drive
from simtent.planning.card_weather import Weather
from simtent.planning.choices import Choices
from simtent.planning.draft import Draft, Put, replacements
from simtent.planning.evening import evening_of
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured, measured
from simtent.planning.nights import Nights
from simtent.planning.planned import MOST_WAKE_UPS, gaps_of, most_asked, searched
from simtent.planning.search import Progress, Search
from simtent.scenario.scenario import Scenario
from simtent.simulate import judged

TURNS = 2  # of a row's search, the second with limits moved by what few layers missed in the first


@dataclass(frozen=True)
class Found:
    """A row's search: nights of few layers and of all, the best draft by wake-ups, how far few layers flatter."""

    weather: Weather
    few: Nights
    whole: Nights
    search: Search
    moved: dict[str, float]
    asked: int

    @property
    def plan(self) -> Draft:
        """The best draft with no more wake-ups than asked for."""
        return self.search.plan(self.asked)


@dataclass(frozen=True)
class Row:
    """A row of the card.

    scenario  the night in that weather with the plan laid over it
    draft     its loads after the first
    promised  the night as told, on all layers
    broken    by how much it misses limits, each in its own unit; empty where it keeps all
    findings  of that night
    """

    weather: Weather
    scenario: Scenario
    draft: Draft
    promised: Measured
    broken: dict[str, float]
    wake_ups: int
    findings: tuple[Finding, ...]

    @property
    def stops(self) -> tuple[Finding, ...]:
        """Findings that say: do not go on like this; then the row gives no plan."""
        return tuple(it for it in self.findings if it.level == "stop")


def first_found(scenario: Scenario, weather: Weather, choices: Choices, progress: Progress) -> Found:
    """A row whose plan is looked for as `plan_stoking` does."""
    few, whole, limits = Nights.few(scenario, choices), Nights.whole(scenario, choices), Limits.of(scenario)
    search = searched(few, whole, limits, most_asked(scenario), progress)
    plan = search.plan(most_asked(scenario))
    return Found(weather, few, whole, search, gaps_of(few.of(plan), whole.of(plan)), most_asked(scenario))


def found_beside(scenario: Scenario, weather: Weather, near: Found) -> Found:
    """A row whose plan is looked for from that of a row beside it; the evening is laid out anew."""
    choices, limits = near.few.choices, Limits.of(scenario)
    few, whole = Nights.few(scenario, choices), Nights.whole(scenario, choices)
    moved = dict(near.moved)
    evening = evening_of(few, limits.tightened(moved))
    begin = [*near.search.best.values(), *_with_one_less(near.plan, choices)]
    seeds = [Draft((*evening, *_asleep(it, choices))) for it in dict.fromkeys(begin)]
    least = max(near.plan.wake_ups(choices) - 1, 0)
    for _ in range(TURNS):
        search = Search(few, limits.tightened(moved), seeds=seeds, again=True)
        _run(search, least)
        plan = search.plan(near.asked)
        if search.stopped or not limits.broken(whole.of(plan)) or not search.keeps(plan):
            break
        moved = {name: max(gap, moved[name]) for name, gap in gaps_of(few.of(plan), whole.of(plan)).items()}
        seeds = list(few.known)
    return Found(weather, few, whole, search, moved, near.asked)


def _run(search: Search, least: int) -> None:
    """A search from a number of wake-ups on, and from fewer as long as fewer are enough."""
    search.run(MOST_WAKE_UPS, least)
    while not search.stopped and least > 0 and least in search.best and search.keeps(search.best[least]):
        search.seeds += _with_one_less(search.best[least], search.choices)
        least -= 1
        search.run(least, least)


def _with_one_less(draft: Draft, choices: Choices) -> Iterator[Draft]:
    """The draft without one of its alarms, whichever."""
    for put in draft.puts:
        if choices.bed < put.at < choices.rise:
            yield Draft(tuple(it for it in draft.puts if it is not put))


def _asleep(draft: Draft, choices: Choices) -> tuple[Put, ...]:
    return tuple(put for put in draft.puts if put.at >= choices.at_bed)


def told(found: Found, others: Sequence[Draft] = ()) -> Row:
    """The row of the best of the drafts found, and of `others`, of whose night no finding says stop.

    The row of the best of all where each has one.
    """
    whole, choices = found.whole, found.whole.choices
    limits = Limits.of(whole.scenario)
    drafts = [it for it in (*found.search.best.values(), *others) if it.wake_ups(choices) <= found.asked]
    drafts = list(dict.fromkeys(drafts))
    whole.all(drafts)
    best = sorted(drafts, key=lambda it: limits.value(whole.of(it), it.wake_ups(choices)))
    rows = (_row(found.weather, whole.scenario, choices, limits, it) for it in best)
    first = next(rows)
    return first if not first.stops else next((row for row in rows if not row.stops), first)


def _row(weather: Weather, scenario: Scenario, choices: Choices, limits: Limits, draft: Draft) -> Row:
    night = drive(scenario.replace(replacements(draft, scenario, choices)), accuracy=SWIFT)
    promised = measured(night, draft, choices)
    return Row(
        weather,
        night.scenario,
        draft,
        promised,
        limits.broken(promised),
        draft.wake_ups(choices),
        from_dataset(judged(night)),
    )

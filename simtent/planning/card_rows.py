"""The plans of a card's rows: the first searched for as any plan, each other from the plan of the row beside it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from simtent.assess.findings import Finding, from_dataset
from simtent.driver import SWIFT, drive
from simtent.planning.card_weather import Weather
from simtent.planning.choices import Choices
from simtent.planning.draft import Draft, Put, replacements
from simtent.planning.evening import ROUNDING, as_hot, evening_of, evening_value, within_reach
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured, measured
from simtent.planning.nights import Nights
from simtent.planning.planned import gaps_of, most_asked, searched
from simtent.planning.search import Progress, Search
from simtent.planning.seeds import chains
from simtent.readings import ZERO_CELSIUS
from simtent.scenario.scenario import Scenario
from simtent.simulate import judged

MOST_ALARMS = (
    4  # where the wish does not say how often; own choice: nobody gets up more often than that for long
)
NEARLY = 1.0  # K of wishes missed, for which nobody gets up once more; own choice
HEAVIER = 1.15  # wood of a night whose evening is another row's, over that with its own; own choice
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
        """The best draft with no more wake-ups than asked for, by `fewest`."""
        return fewest(self.search.best.values(), self.search.limits, self.few, self.asked)[0]


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


def fewest(drafts: Iterable[Draft], limits: Limits, nights: Nights, asked: int) -> list[Draft]:
    """Drafts with no more wake-ups than asked for, the best first.

    As a plan's, but where the cot is colder than wished anyway, the least wake-ups with hardly colder come first.
    """
    allowed = [it for it in dict.fromkeys(drafts) if it.wake_ups(nights.choices) <= asked]
    nights.all(allowed)
    limits = as_hot(limits, min(nights.of(it).head_highest for it in allowed) + 0.5 * NEARLY)
    values = {it: limits.value(nights.of(it), it.wake_ups(nights.choices)) for it in allowed}
    cold = {it: _colder(limits, nights.of(it)) for it in allowed}
    best = min(allowed, key=values.__getitem__)
    near = [
        it
        for it in allowed
        if values[it][0] <= values[best][0]
        and values[it][1] <= values[best][1] + NEARLY
        and cold[it] <= cold[best] + NEARLY
    ]
    first = sorted(near if cold[best] > 0.0 else [], key=lambda it: (values[it][2], values[it]))
    return list(dict.fromkeys([*first, *sorted(allowed, key=values.__getitem__)]))


def _colder(limits: Limits, night: Measured) -> float:
    """By how much the cot is colder than wished, in the night and at rise [K]."""
    broken = limits.broken(night)
    return broken.get("cot", 0.0) + broken.get("rise", 0.0)


def asked_of(scenario: Scenario) -> int:
    """How many alarms a row may have."""
    return MOST_ALARMS if scenario.wish.wake_ups_at_most is None else most_asked(scenario)


def first_found(scenario: Scenario, weather: Weather, choices: Choices, progress: Progress) -> Found:
    """A row whose plan is looked for as `plan_stoking` does."""
    few, whole, limits = Nights.few(scenario, choices), Nights.whole(scenario, choices), Limits.of(scenario)
    asked = asked_of(scenario)
    limits = within_reach(limits, few, whole)
    search = searched(few, whole, limits, asked, progress)
    plan = fewest(search.best.values(), search.limits, few, asked)[0]
    return Found(weather, few, whole, search, gaps_of(few.of(plan), whole.of(plan)), asked)


def found_beside(scenario: Scenario, weather: Weather, near: Found) -> Found:
    """A row whose plan is looked for from that of a row beside it; the evening is laid out anew."""
    choices, limits = near.few.choices, Limits.of(scenario)
    few, whole = Nights.few(scenario, choices), Nights.whole(scenario, choices)
    moved = dict(near.moved)
    evening = _evening(few, limits.tightened(moved), near)
    hottest = few.of(Draft((*evening, *_asleep(near.plan, choices)))).head_highest
    limits = as_hot(limits, hottest + moved["head"] + ROUNDING)
    begin = [*near.search.best.values(), *_with_one_less(near.plan, choices)]
    seeds = [Draft((*evening, *_asleep(it, choices))) for it in dict.fromkeys(begin)]
    seeds += chains(few, limits.tightened(moved), evening, near.asked)
    least = max(near.plan.wake_ups(choices) - 1, 0)
    for _ in range(TURNS):
        search = Search(few, limits.tightened(moved), seeds=seeds, again=True)
        _run(search, least, near.asked)
        plan = fewest(search.best.values(), search.limits, few, near.asked)[0]
        if search.stopped or not limits.broken(whole.of(plan)) or not search.keeps(plan):
            break
        moved = {name: max(gap, moved[name]) for name, gap in gaps_of(few.of(plan), whole.of(plan)).items()}
        seeds = list(few.known)
    return Found(weather, few, whole, search, moved, near.asked)


def _evening(few: Nights, limits: Limits, near: Found) -> tuple[Put, ...]:
    """The evening of the row beside it where that does about as well here, so that a card has few; else its own."""
    choices = few.choices
    own, bed = evening_of(few, limits), _asleep(near.plan, choices)[:1]
    beside = tuple(put for put in near.plan.puts if put.at < choices.at_bed)
    values = [evening_value(few, limits, Draft((*it, *bed))) for it in (beside, own)]
    (hazards, missed, _, wood, _), (least, fewest_missed, _, lightest, _) = values
    alike = hazards <= least and missed <= fewest_missed + 0.5 * NEARLY and wood <= HEAVIER * lightest
    return beside if alike else own


def _run(search: Search, least: int, most: int) -> None:
    """A search from a number of wake-ups on, and from fewer as long as fewer are enough."""
    search.run(most, least)
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
    whole = found.whole
    limits = Limits.of(whole.scenario)
    there = list(found.search.best.values())
    best = fewest([*there, *others, *_let_die(found)], limits, whole, found.asked)
    rows = (_row(found.weather, whole.scenario, whole.choices, limits, it) for it in best)
    first = next(rows)
    return first if not first.stops else next((row for row in rows if not row.stops), first)


def _let_die(found: Found) -> Iterator[Draft]:
    """The evening alone, no load at bed, where the night outdoors is not colder than the cot may get."""
    plan, choices = found.plan, found.few.choices
    evening = tuple(put for put in plan.puts if put.at < choices.at_bed)
    if evening and found.weather.low - ZERO_CELSIUS >= Limits.of(found.few.scenario).cot:
        yield Draft(evening)


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

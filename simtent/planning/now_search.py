"""The rest of a night that is half over: what may still be chosen, and the search for the best of it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, fields, replace
from itertools import product

from simtent.planning.choices import APART, CATCHING, Choices, Levers
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits, Value
from simtent.planning.nights import Nights
from simtent.planning.now_past import Left, Past
from simtent.planning.search import Search
from simtent.planning.seeds import FEW, and_what_is_due, due_after, with_one_more
from simtent.scenario.timed import TimedLoad

SHOWS = 1800.0  # s until what is done now shows at the cot; colder before is nobody's fault; own choice
WORTH = 0.5  # K of wishes missed for which somebody gets up once more; own choice
BUDGET = 16  # nights that a descent may take
BEFORE_RISE = (3600.0, 7200.0)  # s before rise at which a load is tried too, where none is due


@dataclass(frozen=True)
class Rest(Choices):
    """What may be chosen from now on; `bed` is when the next load may come at the earliest.

    now       moment at which somebody is awake [s]
    loads_at  when a load is put on that is put on now: now, or when kindling has caught [s]
    counted   from when the times of the grid are counted [s]
    glows     whether coals are seen to glow now
    """

    now: float
    loads_at: float
    counted: float
    glows: bool

    @classmethod
    def of(cls, whole: Choices, now: float, last: float, *, by_hand: bool, glows: bool) -> "Rest":
        """The choices left of a whole night's, after a last load."""
        given = {it.name: getattr(whole, it.name) for it in fields(whole)}
        at = now + CATCHING if by_hand else now
        given["bed"] = max(at, last + APART - 1.0)
        return cls(**given, now=now, loads_at=at, counted=whole.bed, glows=glows and not by_hand)

    @property
    def at_bed(self) -> float:
        """The load that is put on now stands where the load at bed stands in a whole night [s]."""
        return self.loads_at

    @property
    def judged_from(self) -> float:
        """From when on the cot is to be as warm as wished [s]."""
        return max(min(self.now + SHOWS, self.rise - self.grid), self.now)

    @property
    def done_till(self) -> float:
        """What is done until now is done."""
        return self.now

    @property
    def hazards_from(self) -> float:
        """What stove and pipe went through until now is over [s]."""
        return self.now

    @property
    def seen_glowing(self) -> float | None:
        """Coals that glow now light a load that is put on now."""
        return self.loads_at if self.glows else None

    def times(self) -> list[float]:
        """Moments of the night's grid at which somebody may get up, not before a load may come [s]."""
        first = max(self.bed, self.now + self.grid - 1.0)
        count = int((self.rise - self.counted) / self.grid + 1e-9)
        every = (self.counted + k * self.grid for k in range(count + 1))
        return [at for at in every if first < at < self.rise - 1.0]


@dataclass
class RestSearch(Search):
    """A search from now on.

    left    wood that is left; pieces beyond it count as a hazard each
    least   wood from now on that it may not go below [kg]
    """

    left: Left = field(default_factory=Left)
    least: float = 0.0
    by_mean: bool = True  # it may be too cold already: then the coldest moment tells nothing

    def value(self, draft: Draft) -> Value:
        """How good a draft is; the less, the better."""
        hazards, wishes, wake_ups, wood, unevenness = super().value(draft)
        missing = max(self.least - self._wood(draft) - 1e-9, 0.0)
        hazards = round(hazards + self.left.beyond(_taken(draft)) + 10.0 * missing, 4)
        return hazards, wishes, wake_ups, wood, unevenness

    def is_there(self, draft: Draft) -> bool:
        """Whether there is wood for a draft."""
        return self.left.beyond(_taken(draft)) == 0.0

    def loads_now(self, draft: Draft) -> bool:
        """Whether it puts a load on now."""
        return bool(draft.puts) and draft.puts[0].at <= self.choices.at_bed


def _taken(draft: Draft) -> dict[str, float]:
    """Pieces of a draft by kind."""
    taken: dict[str, float] = {}
    for put in draft.puts:
        for name, count in put.pieces:
            taken[name] = taken.get(name, 0) + count
    return taken


def look(search: RestSearch, *, may_load: bool, may_sleep: bool, most: int, last: float) -> None:
    """Search from sleeping on, or loading now, to `most` wake-ups; until all limits are kept, or more do not help."""
    now = _now(search.choices) if may_load else []
    on = [Draft(())]
    for count in range(most + 1):
        more = list(with_one_more(search.best[count - 1], search.choices)) if count else []
        seeds = [it for it in search.seeds if it.wake_ups(search.choices) == count]
        drafts = [*now, *on, *more, *seeds]
        search.nights.all(drafts)
        starts = [
            *sorted((it for it in drafts if search.loads_now(it)), key=search.value)[:2],
            *sorted((it for it in drafts if not search.loads_now(it)), key=search.value)[:2],
        ]
        found = min((search.descend(it, BUDGET) for it in starts), key=search.value, default=None)
        if found is None:
            return
        if count and not _worth(search.value(search.best[count - 1]), search.value(found)):
            return  # getting up more often does not help
        search.best[count] = found
        if search.keeps(found) or count == most:
            return
        now = _next(now, search)
        on = (_first(search, last) if count == 0 else _next(on, search)) if may_sleep else []


def fewest_worth(search: RestSearch, drafts: Iterable[Draft]) -> Draft:
    """The best of drafts with the fewest wake-ups, but for what one more is worth."""
    by_count: dict[int, Draft] = {}
    for it in sorted(drafts, key=search.value):
        by_count.setdefault(it.wake_ups(search.choices), it)
    first, *more = (by_count[count] for count in sorted(by_count))
    for it in more:
        if _worth(search.value(first), search.value(it)):
            first = it
    return first


def _worth(fewer: Value, more: Value) -> bool:
    """Whether it is worth getting up more often."""
    if fewer[0] != more[0]:
        return more[0] < fewer[0]
    return more[1] < fewer[1] - WORTH or (more[1] == 0.0 < fewer[1])


def planned_ahead(past: Past, rest: Rest) -> Iterator[Draft]:
    """What a plan has ahead: as it stands, with its next load now, and with the one that was missed now."""
    ahead = [_as_put(it, rest) for it in past.ahead]
    missed = [_as_put(it, rest) for it in past.missed[-1:]]
    puts = [it for it in ahead if it is not None]
    if len(puts) < len(ahead):
        return
    later = [it for it in puts if it.at >= rest.bed]
    if not puts or puts[0].at == rest.loads_at or len(later) == len(puts):
        yield Draft(tuple(puts))
    for first in (*puts[:1], *missed):
        if first is not None and rest.bed <= rest.loads_at:
            after = [it for it in later if it.at >= rest.loads_at + APART and it != first]
            yield Draft((replace(first, at=rest.loads_at), *after))


def _as_put(load: TimedLoad, rest: Rest) -> Put | None:
    """A load of the file as a plan has it; None where no plan has such a one."""
    if load.pieces not in rest.loads or not load.air:
        return None
    levers = Levers(load.air[-1].mark, load.damper[-1].mark if load.damper else None)
    return Put(load.at, load.pieces, levers) if levers in rest.levers else None


def _now(choices: Choices) -> list[Draft]:
    """A load now, large or smaller, at each setting."""
    largest = len(choices.loads) - 1
    few = len(choices.levers) <= FEW
    sizes = (largest, (2 * largest + 1) // 3, (largest + 1) // 3) if few else (largest, (largest + 1) // 2)
    return [
        Draft((Put(choices.at_bed, choices.loads[size], levers),))
        for size, levers in product(dict.fromkeys(sizes), choices.levers)
    ]


def _first(search: RestSearch, last: float) -> list[Draft]:
    """A load later: when it is due, or one or two hours before rise."""
    choices, levers = search.choices, search.choices.levers
    times = choices.times()
    due = due_after(search.nights.of(Draft(())), last, choices, search.limits)
    wanted = [min(due, choices.rise), *(choices.rise - it for it in BEFORE_RISE)]
    moments = dict.fromkeys(max((at for at in times if at <= it), default=0.0) for it in wanted)
    sizes = dict.fromkeys((len(choices.loads) - 1, len(choices.loads) // 2))
    some = dict.fromkeys((levers[0], levers[len(levers) // 2], levers[-1]))
    return [
        Draft((Put(at, choices.loads[size], it),))
        for at, size, it in product(moments, sizes, some)
        if at > 0.0
    ]


def _next(drafts: list[Draft], search: RestSearch) -> list[Draft]:
    """The better half of drafts, each with the next load when it is due."""
    near = sorted(drafts, key=search.value)[: max(len(drafts) // 2, 4)]
    return [it for draft in near if (it := and_what_is_due(draft, search.nights, search.limits)) is not None]


def judged(limits: Limits, nights: Nights, offset: float) -> Limits:
    """The limits of the rest of a night whose cot reads so much warmer than the simulated one [K].

    Wood that was put on, and a flue that is cool over what burns on of it, cannot be undone: these two limits are not
    below what the night comes to without a load more. Metal and firebox have limits of their own from now on.
    """
    so_far = nights.of(Draft(()))
    return Limits(
        cot=limits.cot - offset,
        rise=None if limits.rise is None else limits.rise - offset,
        head=None,
        coals=limits.coals,
        wood=None if limits.wood is None else max(limits.wood, so_far.wood),
        fullest=limits.fullest,
        stove=limits.stove,
        jack=limits.jack,
        cool=max(limits.cool, so_far.cool),
    )

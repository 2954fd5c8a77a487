"""The best draft for each number of wake-ups: seeds by what is due next, then a descent from neighbour to neighbour.

All that is chosen is discrete: piles of whole pieces, marks of levers, times on a grid. From a draft its neighbours are
tried, those of one load at a time, and it moves to a better one, until no load has any: a local optimum of the
grid. That it is the best of all is not proven by that, but held against brute force in the tests. SciPy's differential
evolution was left: it asks for thousands of nights where a few hundred are to be had.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np

from simtent.planning.choices import Choices
from simtent.planning.draft import Draft, Put
from simtent.planning.evening import evening_of
from simtent.planning.limits import Limits, Value
from simtent.planning.measure import Measured
from simtent.planning.neighbours import neighbours, with_the_next
from simtent.planning.nights import Nights
from simtent.planning.seeds import chains, evenly, patterns, with_one_more

AT_ONCE = 4  # neighbours simulated before a step is taken; three times as many where a limit is broken
STARTS, BUDGET = 3, 50  # seeds that a descent begins at, nights that it may take
NEXT_BUDGET = 40  # with one wake-up more than needed
OTHER_BUDGET = 24  # with fewer, or where it goes on from a search before
MOST_PATTERNS = 3  # wake-ups up to which every order of large and middling loads is tried
NEAR = (2.0, 3.0)  # hazards and wishes broken, up to which a descent may hope to mend them

Progress = Callable[[str], None]


@dataclass
class Search:
    """A search under limits.

    best     the best draft so far for each number of wake-ups
    evening  the evening's loads; laid out by `run` where neither they nor seeds are given
    seeds    drafts that it begins with; found by `run` where there are none
    again    whether it goes on from a search before
    by_mean  whether a descent looks at how cold the cot is in the mean too, where wishes are missed
    stopped  whether Ctrl-C ended it
    """

    nights: Nights
    limits: Limits
    progress: Progress = lambda _line: None
    best: dict[int, Draft] = field(default_factory=dict)
    evening: tuple[Put, ...] = ()
    seeds: list[Draft] = field(default_factory=list)
    again: bool = False
    by_mean: bool = False
    stopped: bool = False

    @property
    def choices(self) -> Choices:
        """What may be chosen."""
        return self.nights.choices

    def value(self, draft: Draft) -> Value:
        """How good a draft is; the less, the better."""
        night = self.nights.of(draft)
        hazards, wishes, wake_ups, wood, unevenness = self.limits.value(night, draft.wake_ups(self.choices))
        if self.by_mean and wishes > 0.0:
            wishes = round(0.5 * wishes + self._mean_short(night), 4)
        return hazards, wishes, wake_ups, wood, unevenness

    def _mean_short(self, night: Measured) -> float:
        """By how much the cot is too cold in the mean from bed to rise [K]."""
        asleep = (night.times >= self.choices.judged_from) & (night.times <= self.choices.rise)
        return float(np.mean(np.maximum(self.limits.cot - night.cot[asleep], 0.0)))

    def keeps(self, draft: Draft) -> bool:
        """Whether a draft keeps every limit."""
        return self.value(draft)[:2] == (0.0, 0.0)

    def plan(self, asked: int) -> Draft:
        """The best draft with no more wake-ups than asked for."""
        return min((it for count, it in self.best.items() if count <= asked), key=self.value)

    def run(self, most: int, least: int = 0) -> None:
        """Search from `least` up to `most` wake-ups, and one beyond the least with which all limits are kept.

        Ctrl-C ends it with what was found so far, if anything was; else it goes on to the caller.
        """
        try:
            self._run(most, least)
        except KeyboardInterrupt:
            if not self.best:
                raise
            self.stopped = True

    def _run(self, most: int, least: int) -> None:
        if not self.seeds:
            self.evening = self.evening or evening_of(self.nights, self.limits)
            self.progress(f"the evening is laid out after {len(self.nights.known)} nights")
            self.seeds = list(chains(self.nights, self.limits, self.evening, most))
        enough: int | None = None
        for count in range(least, most + 1):
            if enough is not None and count > enough + 1:
                return
            if not (starts := self._starts(count)):
                continue
            self.best[count] = starts[0]  # what Ctrl-C leaves, better than nothing
            hopeful = enough is None and self._near(starts[0])
            if hopeful and not self.again and count <= MOST_PATTERNS:
                self.seeds += patterns(self.nights, self.limits, starts[0], count)
                starts = self._starts(count)
            among, budget = self._effort(hopeful=hopeful, beyond=enough is not None)
            found = self._best([self.descend(start, budget) for start in starts[:among]])
            if enough is None and not self.again and not self.keeps(found):
                found = self._best([found, self._mended(found)])
            self.best[count] = found
            kept = "every limit kept" if self.keeps(found) else "not every limit kept"
            self.progress(f"{count} wake-ups: {kept}; {len(self.nights.known)} nights so far")
            if enough is None and self.keeps(found):
                enough = count
            elif (
                enough is None
                and count > least
                and self.value(found)[:2] >= self.value(self.best[count - 1])[:2]
            ):
                return  # getting up more often does not help

    def _effort(self, *, hopeful: bool, beyond: bool) -> tuple[int, int]:
        """How many starts are descended from, and the nights that each may take."""
        if beyond:
            return 1, 0 if self.again else NEXT_BUDGET
        if hopeful:
            return (STARTS - 1, OTHER_BUDGET) if self.again else (STARTS, BUDGET)
        return 1, OTHER_BUDGET

    def descend(self, draft: Draft, budget: int) -> Draft:
        """Where neighbour after neighbour leads to, within about so many new nights."""
        most = len(self.nights.known) + budget
        asleep = [k for k, put in enumerate(draft.puts) if put.at >= self.choices.at_bed]
        here, turn, still = draft, 0, 0
        while still < len(asleep) and len(self.nights.known) < most:
            better = self._first_better(here, asleep[-1 - turn % len(asleep)], most)
            if better is None:
                turn, still = turn + 1, still + 1
            else:
                here, still = better, 0
        return here

    def _mended(self, draft: Draft) -> Draft:
        """Where a descent leads to that looks at the mean.

        The coldest moment alone sees no load that mends another gap: a descent ends where several are to be mended.
        """
        self.by_mean = True
        try:
            found = self.descend(draft, OTHER_BUDGET)
        finally:
            self.by_mean = False
        return self.descend(found, OTHER_BUDGET)

    def _first_better(self, here: Draft, index: int, most: int) -> Draft | None:
        """The best of the first few neighbours that hold a better draft; None where none does, or nights run out."""
        near = self._promising(
            here, [*neighbours(here, index, self.choices), *with_the_next(here, index, self.choices)]
        )
        at_once = AT_ONCE if self.keeps(here) else 3 * AT_ONCE
        for k in range(0, len(near), at_once):
            if len(self.nights.known) >= most:
                return None
            better = self._best([here, *near[k : k + at_once]])
            if better != here:
                return better
        return None

    def _promising(self, here: Draft, near: list[Draft]) -> list[Draft]:
        """Neighbours in the order in which they are tried.

        Where all limits are kept only less wood is better, or as much burnt more evenly: what takes more is left out.
        """
        if not self.keeps(here):
            return near
        wood = {it: self._wood(it) for it in (here, *near)}
        lighter = [it for it in near if wood[it] <= wood[here] + 1e-9]
        return sorted(lighter, key=lambda it: (wood[it] > wood[here] - 1e-9, -wood[it]))

    def _wood(self, draft: Draft) -> float:
        """Planned wood, known without a night [kg]."""
        wood = self.nights.scenario.wood
        assert wood is not None
        return sum(sum(wood.load_masses(put.pieces).values()) for put in draft.puts)

    def _best(self, drafts: Iterable[Draft]) -> Draft:
        found = list(drafts)
        self.nights.all(found)
        return min(found, key=self.value)

    def _starts(self, count: int) -> list[Draft]:
        """Seeds with a number of wake-ups, and the best draft with one less and a load more: the best one first.

        After it, of those that take less wood and nearly keep all limits, the best and the lightest: descents from
        there end elsewhere.
        """
        there, fewer = self._of(count), self.best.get(count - 1)
        if fewer is None and (seeds := self._of(count - 1)):
            fewer = self._best(seeds)
        if fewer is not None:
            there += with_one_more(fewer, self.choices)
        self.nights.all(there)
        if self.evening and not any(self._near(it) for it in there):
            there += evenly(self.evening, self.choices, count)
            self.nights.all(there)
        best = sorted(dict.fromkeys(there), key=self.value)
        lighter = [it for it in best[1:] if self._near(it) and self._wood(it) < self._wood(best[0]) - 1e-9]
        lightest = sorted(lighter, key=self._wood)
        return list(dict.fromkeys([best[0], *lighter[:1], *lightest[:1], *best[1:]]))

    def _of(self, count: int) -> list[Draft]:
        return [seed for seed in self.seeds if seed.wake_ups(self.choices) == count]

    def _near(self, draft: Draft) -> bool:
        """Whether a draft keeps nearly everything before any descent."""
        hazards, wishes, *_ = self.value(draft)
        return hazards <= NEAR[0] and wishes <= NEAR[1]

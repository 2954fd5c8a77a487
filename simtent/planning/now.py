"""The whole story of a night that is half over on one page: load now or sleep on, and the rest of the plan anew.

The night is simulated until now with what really was put on. By what the thermometer reads above or below it, the rest
is judged warmer or colder; nobody knows why it differs (outdoor air, wind, wood, the thermometer), so that nothing
in the night itself is changed for it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import exp
from typing import Any

import numpy as np
import xarray as xr

from simtent.assess.curves import seconds_of
from simtent.assess.findings import Finding
from simtent.assess.judge import assess
from simtent.driver import SWIFT, drive
from simtent.errors import InputError
from simtent.planning.choices import APART, Choices, choices_of
from simtent.planning.draft import Draft, Put, replacements
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured, measured
from simtent.planning.nights import Nights
from simtent.planning.now_out import Out, put_out
from simtent.planning.now_past import Past, Seen, counted, lit_again, past_of
from simtent.planning.now_refused import too_hot, unsure_of_coals
from simtent.planning.now_search import Rest, RestSearch, fewest_worth, judged, look, planned_ahead
from simtent.planning.planned import gaps_of, most_asked
from simtent.planning.search import Progress
from simtent.scenario.scenario import Scenario
from simtent.scenario.turns import Pieces
from simtent.simulate import judged as with_findings

WARMER = 2.0  # K that a reading above the night counts at most: nobody knows that it lasts; own choice
NOTHING = 0.05  # K that a reading may be below the night and count as foretold
MOST = 4  # wake-ups more, at most; own choice
TURNS = 2  # of the search, the second with limits moved by what few layers missed in the first


@dataclass(frozen=True)
class Now:
    """What to do now, and the rest of the night. Temperatures in degC.

    seen       what somebody told
    past       what was put on until now
    scenario   the night with all that was and is to be done: what the overlay lays over the file
    laid       that as replacements
    rest       what could be chosen
    limits     as wished
    model      the cot now as simulated
    beside     what the thermometer reads above it [K]; 0 where nobody looked
    offset     what of that is counted
    chance     that the coals light a load now, by the model
    out        the fire that burns by the model and is taken as out; None where nobody saw dead coals
    by_hand    whether the fire has to be lit with kindling now
    lacking    whether it would have to be, and what is left of wood does not do for it
    draft      the loads from now on
    promised   the night with them, as simulated; the thermometer reads `offset` more
    dataset    it by the schema, with findings
    stops      findings from now on that say: do not go on like this
    broken     by how much the rest misses limits, the offset included
    nights     how many were simulated
    """

    seen: Seen
    past: Past
    scenario: Scenario
    laid: dict[str, Any]
    rest: Rest
    limits: Limits
    model: float
    beside: float
    offset: float
    chance: float
    out: Out | None
    by_hand: bool
    lacking: bool
    draft: Draft
    promised: Measured
    dataset: xr.Dataset
    stops: tuple[Finding, ...]
    broken: dict[str, float]
    nights: int

    @property
    def put_now(self) -> Put | None:
        """The load that is put on now, or once the kindling has caught; None where none is."""
        return self.draft.puts[0] if self.draft.puts and self.draft.puts[0].at <= self.rest.loads_at else None

    @property
    def later(self) -> tuple[Put, ...]:
        """The loads for which somebody gets up again."""
        return tuple(put for put in self.draft.puts if put is not self.put_now)

    @property
    def kindling(self) -> Pieces | None:
        """What the fire is lit with now; None where it need not be."""
        return self.rest.first.pieces if self.by_hand else None

    def cot_at(self, moment: float) -> float:
        """What the thermometer at the cot should read at a moment [s from the begin]."""
        return float(np.interp(moment, self.promised.times, self.promised.cot)) + self.offset

    def coldest(self) -> tuple[float, float]:
        """The coldest it should read from now to rise, and when [s]."""
        times = self.promised.times
        there = times[(times > self.seen.at) & (times < self.rest.rise)]
        moments = [self.seen.at, *there.tolist(), self.rest.rise]
        return min((self.cot_at(it), it) for it in moments)


def plan_from_now(scenario: Scenario, seen: Seen, *, progress: Progress = lambda _line: None) -> Now:
    """Load now or sleep on, and the rest of the night, with what has happened fixed.

    Parameters
    ----------
    scenario : Scenario
        As for `plan_stoking`; its loads are what was planned.
    seen : Seen
        What somebody knows who is awake; nothing may be wrong with it by `now_refused.faults_of_seen`.
    progress : callable
        Is told a line now and then.

    Raises
    ------
    InputError
        The cot reads hotter than any air of the night, or what is told cannot be laid over the scenario.
    SolveError
        A night cannot be solved.
    """
    choices, wished = choices_of(scenario), Limits.of(scenario)
    past = past_of(scenario, seen, choices.rise)
    on = _Story.of(past.scenario, choices, past, seen)
    so_far = on.whole.of(Draft(()))
    model = float(np.interp(seen.at, so_far.times, so_far.cot))
    odds = float(np.interp(seen.at, so_far.times, so_far.lights))
    if (fault := too_hot(seen, so_far.head_highest)) is not None:
        raise InputError(fault)
    beside = 0.0 if seen.cot is None else seen.cot - model
    if (fault := unsure_of_coals(seen, beside)) is not None:
        raise InputError(fault)
    by_hand = seen.glowing is False or (seen.glowing is None and odds < wished.coals)
    offset = min(beside, 0.0 if by_hand else WARMER)
    read = (model, beside, offset, odds)
    progress("the night until now is simulated")
    if seen.glowing is False:
        on = on.without_fire()
    if by_hand and not on.keeps(Draft(()), wished, offset):
        kindling = counted(choices.first.pieces, scenario)
        if seen.left.beyond(kindling) > 0.0:
            return _told(on, wished, past, read, Draft(()), lacking=True)
        seen = replace(seen, left=seen.left.without(kindling))
        again = _Story.of(lit_again(past, seen.at), choices, past, seen, by_hand=True)
        again = again.without_fire() if seen.glowing is False else again
        return _told(again, wished, past, read, again.best(wished, offset, progress))
    draft = Draft(()) if by_hand else on.best(wished, offset, progress)
    return _told(on, wished, past, read, draft)


@dataclass(frozen=True)
class _Story:
    """What may be done from now on, in nights of few layers and of all."""

    seen: Seen
    past: Past
    few: Nights
    whole: Nights
    rest: Rest
    most: int
    out: Out | None = None

    @classmethod
    def of(
        cls, scenario: Scenario, choices: Choices, past: Past, seen: Seen, *, by_hand: bool = False
    ) -> "_Story":
        """The nights of a scenario in which no more than the past is done, or the fire lit again."""
        last = past.loads[-1].at
        rest = Rest.of(choices, seen.at, last, by_hand=by_hand, glows=seen.glowing is True)
        up = sum(choices.bed < it.at < seen.at for it in past.loads)
        few, whole = Nights.few(scenario, rest), Nights.whole(scenario, rest)
        whole.begun, whole.until = {}, few.until
        most = min(max(most_asked(scenario) - up, 0), MOST)
        return cls(seen, past, few, whole, rest, most)

    def without_fire(self) -> "_Story":
        """The same from now on with nothing that burns of what was put on before."""
        put_out(self.few, self.rest.now)
        return replace(self, out=put_out(self.whole, self.rest.now))

    @property
    def by_hand(self) -> bool:
        """Whether the fire is lit again."""
        return self.rest.loads_at > self.rest.now

    def keeps(self, draft: Draft, wished: Limits, offset: float) -> bool:
        """Whether a draft keeps every limit on all layers."""
        return not judged(wished, self.whole, offset).broken(self.whole.of(draft))

    def best(self, wished: Limits, offset: float, progress: Progress) -> Draft:
        """The loads from now on; a colder reading than foretold never takes less wood than that foretold."""
        ahead = list(planned_ahead(self.past, self.rest))
        if offset > -NOTHING:
            return self._found(wished, offset, ahead, 0.0)
        foretold = self._found(wished, 0.0, ahead, 0.0, turns=1)
        progress("again, as cold as the thermometer reads")
        return self._found(wished, offset, [*ahead, foretold], _wood(self.few, foretold))

    def _found(
        self, wished: Limits, offset: float, seeds: list[Draft], least: float, turns: int = TURNS
    ) -> Draft:
        """Searched on few layers, with limits moved by what these miss, and chosen on all."""
        known, truth = list(seeds) or [Draft(())], judged(wished, self.whole, offset)
        moved = gaps_of(self.few.of(known[-1]), self.whole.of(known[-1]))
        may_load = self.by_hand or self.rest.now >= self.past.loads[-1].at + APART
        for _ in range(turns):
            limits = judged(wished, self.few, offset).tightened(moved)
            search = RestSearch(self.few, limits, seeds=known, left=self.seen.left, least=least)
            look(
                search,
                may_load=may_load,
                may_sleep=not self.by_hand,
                most=self.most,
                last=self.past.loads[-1].at,
            )
            known = [it for it in dict.fromkeys([*seeds, *search.best.values()]) if search.is_there(it)]
            known = known or [Draft(())]
            judge = RestSearch(self.whole, truth, left=self.seen.left, least=least)
            self.whole.all(known)
            chosen = fewest_worth(judge, known)
            if judge.keeps(chosen) or not search.keeps(search.best[max(search.best)]):
                break
            gaps = gaps_of(self.few.of(chosen), self.whole.of(chosen))
            moved = {name: max(gap, moved[name]) for name, gap in gaps.items()}
        return chosen


def _wood(nights: Nights, draft: Draft) -> float:
    """Wood of a draft [kg]."""
    wood = nights.scenario.wood
    assert wood is not None
    return sum(sum(wood.load_masses(put.pieces).values()) for put in draft.puts)


def stops_from(scenario: Scenario, dataset: xr.Dataset, now: float) -> Iterator[Finding]:
    """What says stop from now on [s]: for that, all until then is taken to have been as it is now."""
    seconds = seconds_of(dataset)
    here = int(np.searchsorted(seconds, now))
    held = dataset.isel(time=np.maximum(np.arange(seconds.size), here))
    held = held.assign_coords(time=dataset["time"])
    return (it for it in assess(scenario, held) if it.level == "stop")


def _told(
    story: _Story,
    wished: Limits,
    past: Past,
    read: tuple[float, float, float, float],
    draft: Draft,
    *,
    lacking: bool = False,
) -> Now:
    """The whole night with a draft, as it is told."""
    scenario, rest, (model, beside, offset, odds) = story.whole.scenario, story.rest, read
    assert scenario.stoking is not None
    night = story.whole.of(draft)
    later = [it.at for it in scenario.stoking.loads if it.at >= rest.rise]
    relit = bool(later) and float(np.interp(later[0], night.times, night.lights)) < wished.coals
    laid = replacements(draft, scenario, rest, relit=relit)
    since = (story.out.course, story.out.now) if story.out else None
    solved = drive(scenario.replace(laid), accuracy=SWIFT, onward=since)
    dataset = with_findings(solved)
    promised = measured(solved, draft, rest)
    return Now(
        seen=story.seen,
        past=past,
        scenario=solved.scenario,
        laid=laid,
        rest=rest,
        limits=wished,
        model=model,
        beside=beside,
        offset=offset,
        chance=1.0 / (1.0 + exp(-odds)),
        out=story.out,
        by_hand=story.by_hand,
        lacking=lacking,
        draft=draft,
        promised=promised,
        dataset=dataset,
        stops=tuple(stops_from(solved.scenario, dataset, rest.now)),
        broken=judged(wished, story.whole, offset).broken(promised),
        nights=len(story.few.known) + len(story.whole.known) + 1,
    )

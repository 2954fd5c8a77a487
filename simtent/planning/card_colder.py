"""A card's plan when the cot reads colder than it should: which thing brings it back, tried in colder nights."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np

from simtent.planning.card_rows import Found, Row
from simtent.planning.card_weather import FARTHEST
from simtent.planning.choices import APART, LOOSE, Choices, Levers, openness
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import HAZARDS, Limits
from simtent.planning.measure import Measured
from simtent.planning.nights import Nights
from simtent.scenario.outdoors import SHIFTS
from simtent.scenario.scenario import Scenario
from simtent.scenario.turns import Pieces

Remedy = Literal["pieces", "mark", "earlier", "more", "both"]
REMEDIES: tuple[Remedy, ...] = (
    "pieces",
    "mark",
    "earlier",
    "more",
    "both",
)  # as they are preferred: no more getting up first, two things at once last
SOONER = 1800.0  # s
HARMS = -1.0  # share of a remedy that breaks a hazard limit in a row: the card says one thing for all rows
BACK = 0.8  # of what was lost that counts as brought back; own choice


@dataclass(frozen=True)
class Colder:
    """The cot reads so much below the plan at the first alarm, and the night goes on as cold.

    below    by how much [K]
    remedy   what to do from then on that brings the cot back in most rows, two things only where one brings back
             less; None where nothing helps
    piece    what "pieces" adds to each load, and "both" to the first where it fits: one more of this kind
    rows     how many rows were tried
    back     in how many of them it brings back most of what was lost
    share    of what was lost that it brings back, on the average of the rows
    """

    below: float
    remedy: Remedy | None
    piece: str
    rows: int
    back: int
    share: float


def colder(found: Sequence[Found], rows: Sequence[Row], below: float) -> Colder | None:
    """What helps where the cot reads so much below the plan [K]; None where no row has an alarm."""
    tried = [it for one, row in zip(found, rows, strict=True) if (it := _helped(one, row, below))]
    if not tried:
        return None
    piece = _thickest(found[0].few.scenario)

    def back(remedy: Remedy) -> int:
        return sum(it.get(remedy, 0.0) >= BACK for it in tried)

    def share(remedy: Remedy) -> float:
        return sum(it.get(remedy, 0.0) for it in tried) / len(tried)

    harmless = [name for name in REMEDIES if all(it.get(name) != HARMS for it in tried)]
    best = max(
        harmless, key=lambda it: (back(it), round(share(it), 1) if not back(it) else 0.0), default=None
    )
    if best is None:
        return Colder(below, None, piece, len(tried), 0, 0.0)
    helps = share(best) > 0.0
    return Colder(below, best if helps else None, piece, len(tried), back(best), share(best))


def _helped(found: Found, row: Row, below: float) -> dict[Remedy, float]:
    """By remedy, the share of what was lost that it brings back in a row; `HARMS` where it breaks a hazard limit."""
    few, choices = found.few, found.few.choices
    alarms = [put.at for put in row.draft.puts if choices.bed < put.at <= choices.rise - APART]
    if not alarms:
        return {}
    since, plan = alarms[0], few.of(row.draft)
    cold = _colder_night(found, row.draft, since, below)
    lost = _coldest(plan, since, choices) - _coldest(cold.of(row.draft), since, choices)
    drafts = {name: it for name in REMEDIES if (it := _remedied(name, row.draft, since, cold)) is not None}
    cold.all(drafts.values())
    limits = Limits.of(few.scenario).tightened(found.moved)  # few layers flatter stove and pipe
    hazards = _hazards(limits, cold.of(row.draft))
    gains = {
        name: (_coldest(cold.of(it), since, choices) - _coldest(cold.of(row.draft), since, choices))
        / max(lost, 0.1)
        for name, it in drafts.items()
    }
    return {
        name: min(max(gain, 0.0), 1.0) if _hazards(limits, cold.of(drafts[name])) <= hazards else HARMS
        for name, gain in gains.items()
    } | ({} if "pieces" in drafts else {"pieces": HARMS})  # it overfills the firebox in this row


def _colder_night(found: Found, draft: Draft, since: float, below: float) -> Nights:
    """Nights so much colder outdoors that the cot reads as much below the plan at a moment as asked."""
    few = found.few
    trial = Nights.few(_shifted(few.scenario, below), few.choices)
    reads = [float(np.interp(since, it.times, it.cot)) for it in (few.of(draft), trial.of(draft))]
    by = below * below / max(reads[0] - reads[1], 0.3 * below)
    return Nights.few(_shifted(few.scenario, by), few.choices)


def _shifted(scenario: Scenario, by: float) -> Scenario:
    return scenario.replace("outdoors.shift", SHIFTS.text(max(scenario.outdoors.shift - by, -FARTHEST)))


def _coldest(night: Measured, since: float, choices: Choices) -> float:
    """Coldest at the cot from half an hour after a moment to rise [degC]: what can be done there shows by then."""
    after = (night.times >= since + APART) & (night.times <= choices.rise)
    return float(night.cot[after].min())


def _hazards(limits: Limits, night: Measured) -> frozenset[str]:
    return frozenset(limits.broken(night).keys() & set(HAZARDS))


def _remedied(remedy: Remedy, draft: Draft, since: float, nights: Nights) -> Draft | None:
    """The draft with one thing done from a moment on; None where it cannot be done."""
    scenario, choices = nights.scenario, nights.choices
    before = tuple(put for put in draft.puts if put.at < since)
    after = [put for put in draft.puts if put.at >= since]
    if remedy == "pieces":
        fuller = [_one_more(put.pieces, scenario) for put in after]
        if any(it is None for it in fuller):
            return None
        puts = [replace(put, pieces=it) for put, it in zip(after, fuller, strict=True) if it is not None]
    elif remedy == "mark":
        puts = [replace(put, levers=_one_mark(put.levers, scenario, choices)) for put in after]
    elif remedy == "earlier":
        puts = list(_sooner(after))
    elif remedy == "both":
        fuller_now = _one_more(after[0].pieces, scenario) or after[0].pieces
        puts = list(_sooner([replace(after[0], pieces=fuller_now), *after[1:]]))
    else:
        return _and_one_more(draft, since, choices)
    changed = Draft((*before, *puts))
    return None if changed == draft else changed


def _thickest(scenario: Scenario) -> str:
    assert scenario.wood is not None
    pieces = scenario.wood.pieces
    return max(pieces, key=lambda name: pieces[name].thick)


def _one_more(pieces: Pieces, scenario: Scenario) -> Pieces | None:
    """A load with one piece of the thickest kind more; None where a loose full load is less."""
    stove, wood = scenario.stove, scenario.wood
    assert stove and wood
    kind = _thickest(scenario)
    more = dict(pieces) | {kind: dict(pieces).get(kind, 0) + 1}
    mass = sum(wood.load_masses(tuple(more.items())).values())
    return tuple(more.items()) if wood.volume_of(mass) <= LOOSE * stove.firebox.volume + 1e-9 else None


def _one_mark(levers: Levers, scenario: Scenario, choices: Choices) -> Levers:
    """Air opened by one mark; the same where it is wide open."""
    stove = scenario.stove
    assert stove is not None
    here = openness(stove, levers)
    wider = [it for it in choices.levers if it.damper == levers.damper and openness(stove, it) > here]
    return min(wider, key=lambda it: openness(stove, it), default=levers)


def _sooner(puts: Sequence[Put]) -> Iterator[Put]:
    """The loads with all alarms but the first half an hour earlier, as far as they stay apart."""
    last = None
    for put in puts:
        it = put if last is None else replace(put, at=max(put.at - SOONER, last + APART))
        yield it
        last = it.at


def _and_one_more(draft: Draft, since: float, choices: Choices) -> Draft | None:
    """The draft with a load like the last in the middle of the longest gap that is left; None where none is."""
    times = [*(put.at for put in draft.puts if put.at >= since), choices.rise]
    gap, at = max((b - a, 0.5 * (a + b)) for a, b in pairwise(times))
    if gap < 2.0 * APART:
        return None
    last = draft.puts[-1]
    return draft.and_put(replace(last, at=round(at / choices.grid) * choices.grid))

"""No lever stands below the least for sleepers between bed and rise."""

from collections.abc import Iterator
from itertools import pairwise
from math import inf

from simtent.errors import Fault
from simtent.scenario.checks_fire import marks_in, marks_of
from simtent.scenario.clock import Span, read_clock
from simtent.scenario.faults import Places
from simtent.scenario.night import Wish
from simtent.scenario.stoking import Load, Setting, Stoking
from simtent.scenario.stove import Stove
from simtent.scenario.tree import Path
from simtent.scenario.turns import Steps

Turn = tuple[float, str, Path]


def check_asleep(stove: Stove, stoking: Stoking, wish: Wish, span: Span, places: Places) -> Iterator[Fault]:
    """Faults of marks below `least_when_asleep` that hold, or may hold by a rule, while anyone sleeps."""
    if wish.bed is None:
        return
    bed = span.seconds_at(read_clock(wish.bed))
    rise = span.seconds if wish.rise is None else span.seconds_at(read_clock(wish.rise))
    for lever in ("air", "damper"):
        own = stove.air if lever == "air" else stove.damper
        least = own.least_when_asleep if own else None
        marks = marks_of(stove, lever)
        if least is None or least not in marks:
            continue
        turns = _turns(stoking, lever, span)
        for mark, path in (*_by_the_clock(turns, bed, rise), *_by_rules(stoking, lever, turns, bed, rise)):
            if marks.get(mark, 1.0) < marks[least]:
                higher = [name for name, share in marks.items() if share >= marks[least]]
                what = f'the {lever} stands at "{mark}" while people sleep, below their least, "{least}"'
                todo = (
                    f'Choose a higher mark between bed and rise; "{least}" is least_when_asleep of [stove.{lever}], '
                    "the maker's lowest or your own"
                )
                yield places.put(Fault(what, allowed=", ".join(higher), todo=todo), path)


def _by_the_clock(turns: list[Turn], bed: float, rise: float) -> Iterator[tuple[str, Path]]:
    """The marks that hold at some time from bed to rise, if no rule turns the lever."""
    ends = [*(after[0] for _, after in pairwise(turns)), inf]
    for (begin, mark, path), end in zip(turns, ends, strict=True):
        if begin < rise and end > bed and end > begin:
            yield mark, path


def _by_rules(
    stoking: Stoking, lever: str, turns: list[Turn], bed: float, rise: float
) -> Iterator[tuple[str, Path]]:
    """The marks at which a rule may leave the lever from bed to rise, until the clock turns it next."""
    for n, rule in enumerate(stoking.rules):
        steps: Steps = getattr(rule, lever)
        places = marks_in(steps, ("stoking", "rule", n, lever))
        for k, (mark, path) in enumerate(places):
            first, last = (call + rule.wake + steps[k].after for call in (rule.begin, rule.end))
            if k + 1 < len(steps):
                until = last + steps[k + 1].after - steps[k].after
            else:
                until = min((at for at, _, _ in turns if at > last), default=inf)
            if first < rise and until > bed:
                yield mark, path


def _turns(stoking: Stoking, lever: str, span: Span) -> list[Turn]:
    """Every turn of a lever by the clock, in the order of time: when [s], to which mark, where it was given."""
    start: str | None = getattr(stoking, lever)
    turns: list[Turn] = [] if start is None else [(0.0, start, ("stoking", lever))]
    by_the_clock: dict[str, tuple[Load | Setting, ...]] = {"load": stoking.load, "set": stoking.set}
    for kind, entries in by_the_clock.items():
        for n, entry in enumerate(entries):
            times = entry.times(span) if isinstance(entry, Load) else (span.seconds_at(read_clock(entry.at)),)
            steps: Steps = getattr(entry, lever) or ()
            places = marks_in(steps, ("stoking", kind, n, lever))
            turns += [
                (at + step.after, mark, path)
                for at in times
                for step, (mark, path) in zip(steps, places, strict=True)
            ]
    return sorted(turns, key=lambda turn: turn[0])

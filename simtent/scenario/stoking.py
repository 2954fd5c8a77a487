"""[stoking]: what is put on and turned, by the clock and by rules."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field, PrivateAttr

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span, clock_text, read_clock
from simtent.scenario.names import Named
from simtent.scenario.night import AIR, Clock
from simtent.scenario.quantity import Count, Quantity, Words, text_default
from simtent.scenario.section import Section
from simtent.scenario.timed import TimedLoad, TimedRule, TimedSetting
from simtent.scenario.turns import Amount, Step, Steps, Turns

__all__ = ["Step", "Stoking", "TimedLoad", "TimedRule", "TimedSetting"]


MOST_REPEATS = 60  # of one load; each has slots of its own in the state
ROUNDING = 1e-9


class Load(Section):
    """[[stoking.load]]: wood put on at a clock time, once or again and again."""

    at: Annotated[str, Clock(meaning="clock time at which the wood is put on")]
    pieces: Annotated[
        dict[str, Annotated[int | float, Amount(meaning="count of such pieces, or their mass as they are")]],
        Named(meaning="what is put on: counts or masses by the names of [wood.pieces]"),
    ]
    every: Annotated[
        float | None,
        Quantity(
            kind="duration", unit_si="min", unit_us="min", allowed=("2 min", "12 h"), usual=("10 min", "4 h"),
            meaning="the same is put on again each time so much has passed; needs `until`",
        ),
    ] = None  # fmt: skip
    until: Annotated[
        str | None, Clock(meaning="clock time up to which it is put on again, that time included")
    ] = None
    lit: Annotated[
        bool, Words(meaning="whether it is lit by hand with match and tinder; the first load always is")
    ] = False
    catches: Annotated[
        bool,
        Words(
            meaning="whether the coals light it whatever their odds, as in a logged night in which they did"
        ),
    ] = False
    air: Annotated[Steps | None, Turns(meaning="mark of the air from the load on, or several in turn")] = None
    damper: Annotated[Steps | None, Turns(meaning="mark of the damper from the load on, or several")] = None

    def check_together(self, span: Span | None) -> None:
        """Something is put on; again and again only up to some time."""
        if not self.pieces:
            raise _nothing("pieces")
        if (self.every is None) != (self.until is None):
            given, missing = ("every", "until") if self.until is None else ("until", "every")
            todo = f"Add {missing} = ..., or take both away: then it is put on once"
            what = "wood put on again and again needs both: every and until"
            raise InputError(Fault(what, key=given, todo=todo))
        if span and len(self.times(span)) > MOST_REPEATS:
            todo = "Let more time pass between loads, or end earlier"
            what = f"the load is put on {len(self.times(span))} times"
            raise InputError(Fault(what, key="every", allowed=f"up to {MOST_REPEATS} times", todo=todo))

    def times(self, span: Span) -> tuple[float, ...]:
        """When it is put on, in seconds from the night's begin [s]; InputError if it ends before it begins."""
        first = _at(self.at, span)
        if self.every is None or self.until is None:
            return (first,)
        last = _at(self.until, span)
        if last < first:
            todo = f"Let it be later in the night than {self.at}"
            raise InputError(Fault("`until` is before `at`", key="until", todo=todo))
        return tuple(first + k * self.every for k in range(int((last - first) / self.every + ROUNDING) + 1))


class Setting(Section):
    """[[stoking.set]]: levers turned at a clock time."""

    at: Annotated[str, Clock(meaning="clock time at which the levers are turned")]
    air: Annotated[Steps | None, Turns(meaning="mark of the air from then on, or several in turn")] = None
    damper: Annotated[Steps | None, Turns(meaning="mark of the damper from then on, or several")] = None

    def check_together(self, _span: Span | None) -> None:
        """Something is turned."""
        if self.air is None and self.damper is None:
            todo = 'Add air = "..." or damper = "...", a mark of the lever, or leave the setting out'
            raise InputError(Fault("nothing is set", todo=todo))


class When(Section):
    """[stoking.rule.when]: what the rule waits for."""

    level: Annotated[str, Words(meaning="the level whose temperature wakes me, one of [levels]")]
    below: Annotated[
        float,
        Quantity(
            kind="temperature", unit_si="degC", unit_us="degF", allowed=AIR, usual=("-10 degC", "15 degC"),
            meaning="temperature of that level at which I am woken",
        ),
    ]  # fmt: skip
    coals: Annotated[
        Literal["light the next load"] | None,
        Words(meaning="with it, I get up only if the coals still light what is put on"),
    ] = None


class Rule(Section):
    """[[stoking.rule]]: wood put on when a level gets too cold."""

    from_: Annotated[
        str, Field(alias="from"), Clock(in_night=False, meaning="clock time from which the rule holds")
    ]
    to: Annotated[str, Clock(in_night=False, meaning="clock time up to which the rule holds")]
    when: Annotated[When, Words(meaning="what the rule waits for")]
    load: Annotated[
        dict[str, Annotated[int | float, Amount(meaning="count of such pieces, or their mass as they are")]],
        Named(meaning="what is put on: counts or masses by the names of [wood.pieces]"),
    ]
    air: Annotated[Steps | None, Turns(meaning="mark of the air from the load on, or several in turn")] = None
    damper: Annotated[Steps | None, Turns(meaning="mark of the damper from the load on, or several")] = None
    most: Annotated[int, Count(allowed=(1, 20), usual=(1, 6), meaning="how often the rule may call")] = 3
    wake: Annotated[
        float | None,
        Quantity(
            kind="duration", unit_si="min", unit_us="min", allowed=("0 min", "60 min"), usual=("1 min", "15 min"),
            meaning="time from the call to the open stove door; without it, that of [stoking]",
        ),
    ] = None  # fmt: skip
    rearm: Annotated[
        float,
        Quantity(
            kind="temperature_difference", unit_si="K", unit_us="degF", allowed=("0.1 K", "20 K"),
            usual=("0.5 K", "5 K"),
            meaning="the level must rise so far above `below` before the rule can call again",
        ),
    ] = text_default("1 K")  # fmt: skip

    def check_together(self, span: Span | None) -> None:
        """Hours in order; something is put on."""
        if not self.load:
            raise _nothing("load")
        if span:
            hours(self.from_, self.to, span)


class Stoking(Section):
    """How the fire is tended."""

    air: Annotated[str, Words(meaning="mark of the air at the begin")]
    damper: Annotated[str | None, Words(meaning="mark of the damper at the begin, if there is one")] = None
    door_open: Annotated[
        float,
        Quantity(
            kind="duration", unit_si="min", unit_us="min", allowed=("5 s", "15 min"), usual=("20 s", "3 min"),
            meaning="how long the stove door stands open for a load",
        ),
    ] = text_default("1 min")  # fmt: skip
    wake: Annotated[
        float,
        Quantity(
            kind="duration", unit_si="min", unit_us="min", allowed=("0 min", "60 min"), usual=("1 min", "15 min"),
            meaning="time from a rule's call to the open stove door",
        ),
    ] = text_default("5 min")  # fmt: skip
    load: Annotated[tuple[Load, ...], Words(meaning="loads by the clock; the first is lit by hand")] = ()
    set: Annotated[tuple[Setting, ...], Words(meaning="levers turned by the clock")] = ()
    rule: Annotated[tuple[Rule, ...], Words(meaning="loads that the cold calls for")] = ()

    _loads: tuple[TimedLoad, ...] = PrivateAttr(default=())
    _settings: tuple[TimedSetting, ...] = PrivateAttr(default=())
    _rules: tuple[TimedRule, ...] = PrivateAttr(default=())

    def check_together(self, span: Span | None) -> None:
        """The first thing done is a load, lit by hand; nothing is done twice at a time."""
        if span is None:
            return
        loads = [[_load(entry, at) for at in entry.times(span)] for entry in self.load]
        settings = [TimedSetting(_at(it.at, span), it.air or (), it.damper or ()) for it in self.set]
        rules = [self._timed(entry, span) for entry in self.rule]
        every = sorted((load for entry in loads for load in entry), key=lambda it: it.at)
        if faults := [*_unlit(every, settings, rules), *_twice(self, loads, settings)]:
            raise InputError(faults)
        self._loads = tuple(every)
        self._settings = tuple(sorted(settings, key=lambda it: it.at))
        self._rules = tuple(rules)

    @property
    def loads(self) -> tuple[TimedLoad, ...]:
        """Loads by the clock, in the order of time."""
        return self._loads

    @property
    def settings(self) -> tuple[TimedSetting, ...]:
        """Settings by the clock, in the order of time."""
        return self._settings

    @property
    def rules(self) -> tuple[TimedRule, ...]:
        """Rules in the order of the file."""
        return self._rules

    def _timed(self, rule: Rule, span: Span) -> TimedRule:
        begin, end = hours(rule.from_, rule.to, span)
        return TimedRule(
            begin,
            end,
            rule.when.level,
            rule.when.below,
            rule.when.coals is not None,
            tuple(rule.load.items()),
            rule.air or (),
            rule.damper or (),
            rule.most,
            self.wake if rule.wake is None else rule.wake,
            rule.rearm,
        )


def hours(begin: str, end: str, span: Span) -> tuple[float, float]:
    """Begin and end of a rule's hours within the night [s]; InputError if they are none.

    A begin outside the night counts as before it, an end outside as after it.
    """
    first, last = (_clock(key, text, span) for key, text in (("from", begin), ("to", end)))
    if first > span.seconds and last > span.seconds and first < last:
        what = "the rule holds at no time of the night"
        todo = "Let its hours overlap the night"
        raise InputError(Fault(what, key="to", value=f"{begin} to {end}", allowed=_night(span), todo=todo))
    if last <= first <= span.seconds or last == first:
        todo = "Let `to` be later in the night than `from`"
        raise InputError(Fault("`to` is not after `from`", key="to", todo=todo))
    return (0.0 if first > span.seconds else first), min(last, span.seconds)


def _clock(key: str, text: str, span: Span) -> float:
    try:
        return span.seconds_at(read_clock(text), within=False)
    except InputError as error:  # a time that the clocks skip
        raise InputError(replace(fault, key=key) for fault in error.faults) from None


def _night(span: Span) -> str:
    return f"{clock_text(span.begin)} to {clock_text(span.end)}"


def _load(entry: Load, at: float) -> TimedLoad:
    turned = (entry.air or (), entry.damper or ())
    return TimedLoad(at, tuple(entry.pieces.items()), entry.lit, *turned, entry.catches)


def _at(text: str, span: Span) -> float:
    return span.seconds_at(read_clock(text))


def _nothing(key: str) -> InputError:
    todo = "Name what is put on, for example { split = 3 }"
    return InputError(Fault("nothing is put on", key=key, todo=todo))


def _unlit(
    loads: Sequence[TimedLoad], settings: Sequence[TimedSetting], rules: Sequence[TimedRule]
) -> Iterator[Fault]:
    """Faults of what is done before the fire is lit."""
    if not loads:
        what = "nothing is put on" if not rules else "nobody lights the fire: a rule needs one that burns"
        todo = 'Add [[stoking.load]] with at = "..." and pieces = { ... }: the first load is lit by hand'
        yield Fault(what, todo=todo)
        return
    first = min(load.at for load in loads)
    todo = (
        "Let the first load come first: it is lit by hand; how the levers stand before is `air` and `damper`"
    )
    for n, setting in enumerate(settings):
        if setting.at < first:
            yield Fault("a setting before the fire is lit", key=f"set.{n}.at", todo=todo)
    for n, rule in enumerate(rules):
        if rule.begin < first:
            yield Fault("a rule that holds before the fire is lit", key=f"rule.{n}.from", todo=todo)


def _twice(
    stoking: Stoking, loads: Sequence[Sequence[TimedLoad]], settings: Sequence[TimedSetting]
) -> Iterator[Fault]:
    """Faults of what is done twice at the same time; `loads` holds those of each entry."""
    seen = set[float]()
    for n, entry in enumerate(loads):
        times = {load.at for load in entry}
        if times & seen:
            yield _again(f"load.{n}.at", stoking.load[n].at, "two loads", "Make one load of both")
        seen |= times
    turned = {
        (load.at, lever)
        for entry in loads
        for load in entry
        for lever in ("air", "damper")
        if getattr(load, lever)
    }
    for n, setting in enumerate(settings):
        levers = {(setting.at, lever) for lever in ("air", "damper") if getattr(setting, lever)}
        if levers & turned:
            what = "the same lever turned twice"
            yield _again(f"set.{n}.at", stoking.set[n].at, what, "Keep one of the two")
        turned |= levers


def _again(key: str, at: str, what: str, todo: str) -> Fault:
    return Fault(f"{what} at {at}", key=key, todo=todo)

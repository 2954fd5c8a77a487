"""Whoever tends the stove: puts wood on, turns air and damper, wakes when a rule says so.

The network's script: it names its own moments, watches the levels of the rules, and changes the state there.
"""

import heapq
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import count

import numpy as np

from simtent.assembly.loads import Batch, Woodpile
from simtent.assembly.parameters import Places, Slots
from simtent.network.arrays import Array
from simtent.network.builder import SHORTEST_STRETCH
from simtent.physics.coals import relight_chance
from simtent.scenario.scenario import Scenario
from simtent.scenario.timed import TimedRule
from simtent.scenario.turns import Step

# Common practice, no source.
DOOR_SHARE = 0.3  # of the firebox' front that a door ajar for loading lets air through
LIGHTING = 1000.0  # W, of match and tinder
LIGHTING_TIME = 240.0  # s
CATCHES = 0.5  # chance from which a load is taken to catch
GRAZE = 0.2  # K by which a level may miss a rule's limit before the night is called a close call

Deed = Callable[[float, Array], None]


@dataclass(frozen=True)
class Event:
    """Something that was done or happened: when [s], what, wood put on [kg], coals then [kg], on whose word."""

    time: float
    what: str
    mass: float
    coals: float
    by: str


@dataclass(eq=False)
class Watch:
    """A rule at work.

    begun     whether its hours have begun and not ended
    armed     whether it may call; after a call it waits until the level has risen again
    called    how often it has called
    waited    from when to when it was armed in its hours [s]
    """

    rule: TimedRule
    weights: Array
    begun: bool = False
    armed: bool = True
    called: int = 0
    waited: list[tuple[float, float]] = field(default_factory=list)

    def level(self, state: Array) -> float:
        """Temperature of the level the rule looks at [K]."""
        return float(self.weights @ state[: self.weights.size])


class Tending:
    """Carries out loads, settings and rules of a scenario; keeps what was done in `events`."""

    def __init__(
        self, scenario: Scenario, pile: Woodpile, slots: Slots, places: Places, centres: Array
    ) -> None:
        stoking, stove, wood = scenario.stoking, scenario.stove, scenario.wood
        assert stoking is not None and stove is not None and wood is not None
        self._filled_by = 1.0 / (wood.species.density * stove.firebox.volume)
        self.events: list[Event] = []
        self.fullest = 0.0  # largest share of the firebox that wood filled
        self._stove, self._slots, self._places, self._pile = stove, slots, places, pile
        self._door_open = stoking.door_open
        self._door = DOOR_SHARE * stove.firebox.width * stove.firebox.height
        self._opened = self._lit = 0.0  # moment of the load that the door, and the match, stand by [s]
        self._turned = {"air": 0.0, "damper": 0.0}  # moment of the word each lever stands by [s]
        self._order = count()
        self._pending: list[tuple[float, int, Deed]] = []
        heights = scenario.levels
        self.watches = [Watch(rule, _between(centres, heights[rule.level])) for rule in stoking.rules]
        self._turn(0.0, (Step(0.0, stoking.air),), "air", quietly=True)
        if stoking.damper is not None:
            self._turn(0.0, (Step(0.0, stoking.damper),), "damper", quietly=True)
        else:
            self._later(0.0, lambda _t, state: self._set(state, self._places.damper, 1.0))
        for n, (load, batch) in enumerate(zip(stoking.loads, pile.loads, strict=True)):
            self._load(load.at, batch, by="clock", lit=load.lit or n == 0)
            self._turn(load.at, load.air, "air")
            self._turn(load.at, load.damper, "damper")
        for setting in stoking.settings:
            self._turn(setting.at, setting.air, "air")
            self._turn(setting.at, setting.damper, "damper")
        for watch in self.watches:
            self._later(watch.rule.begin, self._beginner(watch))
            self._later(watch.rule.end, self._ender(watch))

    def next_after(self, t: float) -> float | None:
        """The next moment at which something is due [s]."""
        return min((time for time, _, _ in self._pending if time > t), default=None)

    def at(self, t: float, state: Array) -> None:
        """Do what is due."""
        while self._pending and self._pending[0][0] <= t + SHORTEST_STRETCH:
            _, _, deed = heapq.heappop(self._pending)
            deed(t, state)

    def watch(self, _t: float, state: Array) -> Array:
        """For each rule how far its level is above the limit, or, once it has called, below being armed again [K]."""
        return np.array([self._distance(watch, state) for watch in self.watches])

    def noticed(self, t: float, which: int, state: Array) -> None:
        """A level fell to a rule's limit, or rose far enough after a call."""
        watch = self.watches[which]
        if watch.armed:
            self._call(t, watch, state)
        else:
            watch.armed = True
            watch.waited.append((t, watch.rule.end))

    def close_calls(self, times: Array, states: Array) -> list[TimedRule]:
        """Rules whose level came so near the limit, without reaching it, that the night hangs on a hair.

        `states` are those at `times` [s]; a minimum between two of them is taken for theirs.
        """
        return [
            watch.rule
            for watch in self.watches
            if any(0.0 < margin < GRAZE for margin in _lowest(watch, times, states))
        ]

    def chance(self, state: Array) -> float:
        """Chance that what glows and burns now lights a load."""
        burning = sum(
            max(state[self._slots.first_dry + k], 0.0)
            for k in range(self._slots.dry.size)
            if state[self._slots.first_caught + k] < NOT_CAUGHT
        )
        glowing = max(state[self._places.coals], 0.0) + burning
        return float(relight_chance(glowing, state[self._places.last_load]))

    def _wood(self, state: Array) -> float:
        """Dry wood in the firebox [kg]."""
        first = self._slots.first_dry
        return float(np.maximum(state[first : first + self._slots.dry.size], 0.0).sum())

    def _distance(self, watch: Watch, state: Array) -> float:
        if not watch.begun:
            return 1.0
        above = watch.level(state) - watch.rule.below
        if watch.armed:
            return above
        return watch.rule.rearm - above

    def _beginner(self, watch: Watch) -> Deed:
        def begin(t: float, state: Array) -> None:
            watch.begun = True
            watch.waited.append((t, watch.rule.end))
            if watch.level(state) <= watch.rule.below:
                self._call(t, watch, state)

        return begin

    def _ender(self, watch: Watch) -> Deed:
        def end(_t: float, _state: Array) -> None:
            watch.begun = False

        return end

    def _call(self, t: float, watch: Watch, state: Array) -> None:
        """Wake whoever tends the stove, unless the rule has called often enough or the coals are too few."""
        watch.armed = False
        watch.waited[-1] = (watch.waited[-1][0], t)
        rule = watch.rule
        if watch.called == rule.most:
            return
        if rule.needs_coals and self.chance(state) < CATCHES:
            self._note(t, state, f"{rule.level} cold, but the coals no longer light a load", by="rule")
            return
        batch = self._pile.rules[self.watches.index(watch)][watch.called]
        watch.called += 1
        self._note(t, state, f"woken: {rule.level} cold", by="rule")
        self._load(t + rule.wake, batch, by="rule", lit=False)
        self._turn(t + rule.wake, rule.air, "air", by="rule")
        self._turn(t + rule.wake, rule.damper, "damper", by="rule")

    def _load(self, t: float, batch: Batch, *, by: str, lit: bool) -> None:
        def put(now: float, state: Array) -> None:
            self._put(now, state, batch, by, lit)
            self._set(state, self._places.door, self._door)
            self._opened, self._lit = t, t if lit else self._lit

        def shut(_now: float, state: Array) -> None:
            if t == self._opened:  # no later load has opened it
                self._set(state, self._places.door, 0.0)

        def burnt_down(_now: float, state: Array) -> None:
            if t == self._lit:
                self._set(state, self._places.lighting, 0.0)

        self._later(t, put)
        self._later(t + self._door_open, shut)
        if lit:
            self._later(t + LIGHTING_TIME, burnt_down)

    def _put(self, t: float, state: Array, batch: Batch, by: str, lit: bool) -> None:
        caught = lit or self.chance(state) >= CATCHES
        how = "lit by hand" if lit else "put on" if caught else "put on, does not catch: too few coals"
        self._note(t, state, f"load {how}", mass=batch.mass, by=by)
        for k in batch.slots:
            state[self._slots.first_dry + k] += self._slots.dry[k]
            state[self._slots.first_water + k] += self._slots.water[k]
        self.fullest = max(self.fullest, self._filled_by * self._wood(state))
        self._set(state, self._places.last_load, batch.dry)
        if lit:
            self._set(state, self._places.lighting, LIGHTING)
        if caught:  # and with it whatever lay there unlit
            for k in range(self._slots.dry.size):
                if (
                    state[self._slots.first_dry + k] > 0.0
                    and state[self._slots.first_caught + k] >= NOT_CAUGHT
                ):
                    state[self._slots.first_caught + k] = t

    def _turn(
        self, t: float, steps: tuple[Step, ...], what: str, *, by: str = "clock", quietly: bool = False
    ) -> None:
        """Set the air or the damper, step by step from a moment on."""
        place = self._places.inlet if what == "air" else self._places.damper
        share_of = self._stove.share_of_air if what == "air" else self._stove.share_of_damper
        for step in steps:
            share = share_of(step.mark)
            words = f"{what} to {step.mark} ({100.0 * share:.0f} %)"

            def turn(now: float, state: Array, *, share: float = share, words: str = words) -> None:
                if t < self._turned[what]:  # the lever has been turned on a later word
                    return
                self._turned[what] = t
                self._set(state, place, share)
                if not quietly:
                    self._note(now, state, words, by=by)

            self._later(t + step.after, turn)

    def _later(self, t: float, deed: Deed) -> None:
        heapq.heappush(self._pending, (t, next(self._order), deed))

    def _set(self, state: Array, place: int, value: float) -> None:
        state[place] = value

    def _note(self, t: float, state: Array, what: str, *, by: str, mass: float = 0.0) -> None:
        self.events.append(Event(t, what, mass, max(float(state[self._places.coals]), 0.0), by))


NOT_CAUGHT = 1e8  # s; a slot whose moment lies later has not caught


def _lowest(watch: Watch, times: Array, states: Array) -> list[float]:
    """Minima of a level above its rule's limit, while the rule was armed [K]; where its hours ended, the last too."""
    found: list[float] = []
    for begin, end in watch.waited:
        margins = [
            watch.level(state) - watch.rule.below
            for t, state in zip(times, states, strict=True)
            if begin < t < end
        ]
        found += [b for a, b, c in zip(margins, margins[1:], margins[2:], strict=False) if a > b < c]
        if end == watch.rule.end and margins[-2:] == sorted(margins[-2:], reverse=True):
            found += margins[-1:]
    return found


def _between(centres: Array, height: float) -> Array:
    """Weights by which a level's temperature follows from the layers'."""
    return np.array([np.interp(height, centres, row) for row in np.eye(centres.size)])

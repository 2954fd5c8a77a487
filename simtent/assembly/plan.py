"""All that may be done at the stove in a night, as arrays: loads, levers, door, match, and rules.

Every deed that the night can see has its row from the beginning, or finds room for one when a rule calls: a rule
may call only so often. Arrays of `Diary` change as the night goes on; those of `Orders` do not.
"""

from typing import NamedTuple

import numpy as np

from simtent.assembly.loads import Batch, Woodpile
from simtent.assembly.parameters import Places, Slots, floats, indices
from simtent.network.arrays import Array, Indices
from simtent.scenario.scenario import Scenario
from simtent.scenario.timed import TimedRule
from simtent.scenario.turns import Step

# Common practice, no source.
DOOR_SHARE = 0.3  # of the firebox' front that a door ajar for loading lets air through
LIGHTING_TIME = 240.0  # s, of match and tinder

SET, PUT, SHUT, BURNT_DOWN, TURN, BEGIN, END = range(7)  # kinds of deeds
CLOCK, RULE = 0, 1  # on whose word
AIR, DAMPER = 0, 1  # levers
LIT, CAUGHT, FAILED = 0, 1, 2  # first words of the list: how a load was put on
CATCHES_ANYHOW = 2  # a load that coals light whatever their odds: in a logged night they did
LOADS = ("load lit by hand", "load put on", "load put on, does not catch: too few coals")
QUIETLY = -1  # no word is said
MOST_NOTES = 2000  # things that happen in a night, or times that a rule was armed
# Columns of what changes.
OPENED, LIGHTED, AIR_TURNED, DAMPER_TURNED, FULLEST = range(5)  # `marks`
BEGUN, ARMED, CALLED = range(3)  # `rules`
ROWS, NOTES, WAITS = range(3)  # `counts`
TIME, WHAT, MASS, COALS, BY = range(5)  # `notes`
WHOSE, SINCE, UNTIL = range(3)  # `waits`


class Loads(NamedTuple):
    """Loads by their number: first slot and one past the last, mass moist and dry [kg]; lit by hand 1, by coals 2."""

    first: Indices
    past: Indices
    mass: Array
    dry: Array
    lit: Indices


class Rules(NamedTuple):
    """Rules by their number, as `scenario.timed.TimedRule` has them; levels by their weights of the layers."""

    weights: Array  # [rules, layers]
    begin: Array
    end: Array
    below: Array
    rearm: Array
    wake: Array
    most: Indices
    needs_coals: Indices
    first_load: Indices
    first_turn: Indices
    past_turn: Indices
    words: Indices  # number of the words for a call; the next are those for too few coals


class Turns(NamedTuple):
    """What rules do to levers: some time after the load [s], which lever, to which share, in which words."""

    after: Array
    lever: Indices
    share: Array
    word: Indices


class Orders(NamedTuple):
    """What stands from the beginning; `filled_by` 1 kg of dry wood is a share of the firebox."""

    loads: Loads
    rules: Rules
    turns: Turns
    levers: Indices  # place of each in the state
    door: float  # m2, opened for a load
    door_open: float  # s
    filled_by: float  # 1/kg
    slots: Slots
    places: Places


class Deeds(NamedTuple):
    """Rows of what is to be done: when due [s] (never once done), on the word of which moment, what, to what."""

    due: Array
    word: Array
    kind: Indices
    which: Indices
    share: Array
    says: Indices
    by: Indices


class Diary(NamedTuple):
    """What is still to be done, how things stand, and what has happened."""

    deeds: Deeds
    marks: Array
    rules: Indices  # [rules, 3]
    counts: Indices  # rows, notes, waits so far
    notes: Array  # [MOST_NOTES, 5]
    waits: Array  # [MOST_NOTES, 3]: rule, armed in its hours since, until


class Plan(NamedTuple):
    """A night's plan, and its diary."""

    orders: Orders
    diary: Diary


class _Draft:
    """Rows as they are collected, and the words for what happens."""

    def __init__(self, scenario: Scenario) -> None:
        stove = scenario.stove
        assert stove is not None
        self._shares = (stove.share_of_air, stove.share_of_damper)
        self.words = list(LOADS)
        self.rows: list[tuple[float, float, int, int, float, int, int]] = []

    def turn(self, lever: int, step: Step) -> tuple[float, int]:
        """Share that a mark leaves open, and the number of the words for it."""
        share = self._shares[lever](step.mark)
        self.words.append(f"{('air', 'damper')[lever]} to {step.mark} ({100.0 * share:.0f} %)")
        return share, len(self.words) - 1

    def turns(
        self, t: float, steps: tuple[tuple[Step, ...], tuple[Step, ...]], *, quietly: bool = False
    ) -> None:
        """Both levers, step by step from a moment on."""
        for lever, by_time in enumerate(steps):
            for step in by_time:
                share, word = self.turn(lever, step)
                self.rows.append((t + step.after, t, TURN, lever, share, QUIETLY if quietly else word, CLOCK))


def make_plan(
    scenario: Scenario, pile: Woodpile, slots: Slots, places: Places, centres: Array
) -> tuple[Plan, list[str]]:
    """The plan of a scenario with a stove, and the words for what may happen; centres of the layers in m."""
    stoking, stove, wood = scenario.stoking, scenario.stove, scenario.wood
    assert stoking is not None and stove is not None and wood is not None
    draft = _Draft(scenario)
    draft.turns(0.0, ((Step(0.0, stoking.air),), ()), quietly=True)
    if stoking.damper is not None:
        draft.turns(0.0, ((), (Step(0.0, stoking.damper),)), quietly=True)
    else:
        draft.rows.append((0.0, 0.0, SET, places.damper, 1.0, QUIETLY, CLOCK))
    lit = []
    for n, load in enumerate(stoking.loads):
        lit.append(1 if load.lit or n == 0 else CATCHES_ANYHOW if load.catches else 0)
        draft.rows.append((load.at, load.at, PUT, n, 0.0, QUIETLY, CLOCK))
        draft.rows.append((load.at + stoking.door_open, load.at, SHUT, n, 0.0, QUIETLY, CLOCK))
        if lit[-1] == 1:
            draft.rows.append((load.at + LIGHTING_TIME, load.at, BURNT_DOWN, n, 0.0, QUIETLY, CLOCK))
        draft.turns(load.at, (load.air, load.damper))
    for setting in stoking.settings:
        draft.turns(setting.at, (setting.air, setting.damper))
    for n, rule in enumerate(stoking.rules):
        draft.rows.append((rule.begin, rule.begin, BEGIN, n, 0.0, QUIETLY, CLOCK))
        draft.rows.append((rule.end, rule.end, END, n, 0.0, QUIETLY, CLOCK))
    rules, turns = _rules(
        draft, stoking.rules, pile, [scenario.levels[r.level] for r in stoking.rules], centres
    )
    orders = Orders(
        loads=_loads(pile, lit),
        rules=rules,
        turns=turns,
        levers=indices((places.inlet, places.damper)),
        door=DOOR_SHARE * stove.firebox.width * stove.firebox.height,
        door_open=stoking.door_open,
        filled_by=1.0 / (wood.species.density * stove.firebox.volume),
        slots=slots,
        places=places,
    )
    return Plan(orders, _diary(draft, rules)), draft.words


def _loads(pile: Woodpile, lit: list[int]) -> Loads:
    """Loads by the clock, then those of every rule; a rule's are never lit by hand."""
    batches: list[Batch] = [*pile.loads, *(batch for calls in pile.rules for batch in calls)]
    return Loads(
        first=indices(batch.slots[0] for batch in batches),
        past=indices(batch.slots[-1] + 1 for batch in batches),
        mass=floats(batch.mass for batch in batches),
        dry=floats(batch.dry for batch in batches),
        lit=indices([*lit, *[0] * (len(batches) - len(lit))]),
    )


def _rules(
    draft: _Draft, rules: tuple[TimedRule, ...], pile: Woodpile, heights: list[float], centres: Array
) -> tuple[Rules, Turns]:
    """Rules, each with its two sentences, and the turns they make."""
    turns: list[tuple[float, int, float, int]] = []
    edges = [0]
    for rule in rules:
        for lever, steps in enumerate((rule.air, rule.damper)):
            turns += [(step.after, lever, *draft.turn(lever, step)) for step in steps]
        edges.append(len(turns))
    firsts = np.cumsum([len(pile.loads), *(len(calls) for calls in pile.rules)])
    sentences = []
    for rule in rules:
        sentences.append(len(draft.words))
        draft.words += [
            f"woken: {rule.level} cold",
            f"{rule.level} cold, but the coals no longer light a load",
        ]
    arrays = Rules(
        weights=np.array([between(centres, height) for height in heights]).reshape(len(rules), centres.size),
        begin=floats(rule.begin for rule in rules),
        end=floats(rule.end for rule in rules),
        below=floats(rule.below for rule in rules),
        rearm=floats(rule.rearm for rule in rules),
        wake=floats(rule.wake for rule in rules),
        most=indices(rule.most for rule in rules),
        needs_coals=indices(rule.needs_coals for rule in rules),
        first_load=indices(firsts[:-1]),
        first_turn=indices(edges[:-1]),
        past_turn=indices(edges[1:]),
        words=indices(sentences),
    )
    return arrays, Turns(
        floats(turn[0] for turn in turns),
        indices(turn[1] for turn in turns),
        floats(turn[2] for turn in turns),
        indices(turn[3] for turn in turns),
    )


def _diary(draft: _Draft, rules: Rules) -> Diary:
    """An empty diary, with rows for all that rules may add."""
    added = int(np.sum(rules.most * (2 + rules.past_turn - rules.first_turn)))
    blank = (np.inf, 0.0, SET, 0, 0.0, QUIETLY, RULE)
    columns = zip(*draft.rows, *[blank] * added, strict=True)
    due, word, kind, which, share, says, by = columns
    count = rules.begin.size
    return Diary(
        deeds=Deeds(
            floats(due),
            floats(word),
            indices(kind),
            indices(which),
            floats(share),
            indices(says),
            indices(by),
        ),
        marks=np.zeros(5),
        rules=np.column_stack(
            (np.zeros(count, np.int64), np.ones(count, np.int64), np.zeros(count, np.int64))
        ).reshape(count, 3),
        counts=indices((len(draft.rows), 0, 0)),
        notes=np.zeros((MOST_NOTES, 5)),
        waits=np.zeros((MOST_NOTES, 3)),
    )


def between(centres: Array, height: float) -> Array:
    """Weights by which a level's temperature follows from the layers'."""
    return np.array([np.interp(height, centres, row) for row in np.eye(centres.size)])


def nobody(slots: Slots, places: Places) -> Plan:
    """The plan of a night in which nothing is done."""
    none, never = indices(()), floats(())
    rules = Rules(np.zeros((0, 0)), never, never, never, never, never, none, none, none, none, none, none)
    orders = Orders(
        Loads(none, none, never, never, none),
        rules,
        Turns(never, none, never, none),
        indices((0, 0)),
        0.0,
        0.0,
        0.0,
        slots,
        places,
    )
    zero = indices((0,))
    deeds = Deeds(floats((np.inf,)), floats((0.0,)), zero, zero, floats((0.0,)), zero, zero)
    blank = np.zeros((0, 3), np.int64)
    return Plan(
        orders, Diary(deeds, np.zeros(5), blank, np.zeros(3, np.int64), np.zeros((0, 5)), np.zeros((0, 3)))
    )

"""What `simtent stoke` answers: a stoking plan, what it promises, what other numbers of wake-ups would buy."""

from collections.abc import Iterator
from typing import Literal

from simtent.planning.choices import Levers
from simtent.planning.outcome import Line, Option, Plan
from simtent.planning.relight import Relight
from simtent.planning.unsure import SURE, Ensemble
from simtent.planning.why import Why
from simtent.scenario.night import Night
from simtent.tell import stoke_words
from simtent.tell.answers.head import Around, Document, Moment
from simtent.tell.answers.over_time import OverTime, over_time
from simtent.tell.answers.piled import Mark, Pile, marks, piles
from simtent.tell.answers.quantities import Duration, Mass, Share, Temperature
from simtent.tell.answers.told import Told
from simtent.tell.page import stoke as page
from simtent.tell.stoke_short import sentences
from simtent.units import System


class PlannedLoad(Told):
    """One load of a plan."""

    at: Moment
    """when it is put on"""
    pieces: list[Pile]
    """what is put on"""
    mass: Mass
    """how much that is, moist"""
    then: list[Mark]
    """how the levers are set once it has caught; empty where they stand as in the file"""
    chance: Share | None
    """that the coals light it; null where it is lit by hand"""
    wake_up: bool
    """whether somebody gets up for it between bed and rise"""


class Promised(Told):
    """What a plan comes to on the night as it is foretold; asked: null where nothing is wished."""

    wake_ups: int
    """between bed and rise"""
    cot_coldest: Temperature
    """lowest air at the cot from bed to rise"""
    at: Moment
    """when that is"""
    cot_asked: Temperature
    """wished for at least"""
    cot_at_rise: Temperature
    """the cot at rise"""
    rise_asked: Temperature | None
    """wished for then"""
    head_hottest: Temperature
    """highest air at the head before bed"""
    head_asked: Temperature | None
    """wished for at most"""
    wood: Mass
    """put on in the whole night, moist"""
    wood_at_hand: Mass | None
    """what there is; null where the scenario does not say"""


class OnOtherNights(Told):
    """How a plan holds on nights that are not as foretold."""

    nights: int
    """how many were drawn"""
    seed: int
    """by which seed"""
    sure: Share
    """share of the nights in which the cot stays above the next"""
    stays_above: Temperature
    """the cot, in that share"""
    holds: Share
    """share of the nights in which the cot keeps its wish"""
    caught: Share
    """share of the nights in which coals light every load"""
    of: list[str]
    """what was drawn"""


class WakeUps(Told):
    """The best plan with a number of wake-ups."""

    wake_ups: int
    """that number"""
    chosen: bool
    """whether it is the plan"""
    cot_coldest: Temperature
    """lowest air at the cot from bed to rise"""
    cot_at_rise: Temperature
    """the cot at rise"""
    wood: Mass
    """put on in the whole night"""
    holds: Share | None
    """share of drawn nights in which the cot keeps its wish; null where that was not looked at"""
    misses: list[str]
    """what it misses of: cot, rise, head, coals, wood, firebox, stove, pipe, flue; empty where it keeps all"""


class InTheWay(Told):
    """What stands in the way of the wish."""

    fed: Temperature
    """the warmest that the coldest at the cot can be, however the stove is fed"""
    fed_better: Temperature
    """the same with walls that lose half"""
    stove_too_small: bool
    """whether it does not hold the wish even so"""
    loads_too_short: bool
    """whether it would, so that loads do not last long enough"""
    walls_would_do: bool
    """whether walls that lose half would do"""


class FireOut(Told):
    """The night in which the fire goes out and is lit again before rising."""

    last_load: Moment
    """when the last load is put on"""
    coldest: Temperature
    """lowest at the cot before the fire is lit again"""
    at: Moment
    """when that is"""
    lit_at: Moment
    """when it is lit again by hand"""
    bearable_after: Duration | None
    """from then until the cot is as warm as wanted; null where it is not by rise"""
    wanted: Temperature
    """what is wanted at the cot"""
    at_rise: Temperature
    """the cot at rise"""


class StokeAnswer(Document):
    """A stoking plan. Nobody has burned it: the maker's largest load and lowest marks come first."""

    format: Literal["simtent.stoke"] = "simtent.stoke"
    version: Literal[1] = 1
    given: bool
    """whether a plan is given; false where every plan found has a finding that says stop"""
    reached: bool
    """whether it keeps every wish and limit"""
    stopped: bool
    """whether the search was ended before its end: then this is the best so far"""
    nights: int
    """how many were simulated"""
    loads: list[PlannedLoad]
    """the plan, in the order of time; empty where none is given"""
    catching: list[Mark]
    """how the levers stand until a load has caught"""
    lit_by_hand_after_rise: bool
    """whether the file's own loads after rise have to be lit by hand"""
    promised: Promised | None
    """what the plan comes to; null where none is given"""
    other_nights: OnOtherNights | None
    """how it holds where the night is not as foretold; null where none is given or that was not looked at"""
    wake_ups: list[WakeUps]
    """the best plan for each number of wake-ups"""
    in_the_way: InTheWay | None
    """what stands in the way of the wish; null where it is reached"""
    fire_out: FireOut | None
    """if the fire may go out; null where it may not"""
    over_time: OverTime | None
    """the planned night over its times; null where no plan is given"""


def answer(around: Around, plan: Plan) -> StokeAnswer:
    """The document of a plan."""
    system, night, given = around.system, plan.scenario.night, not plan.stops
    held = plan.held.get(plan.chosen.wake_ups)
    return StokeAnswer(
        **around.head(_sentences(plan, system)),
        given=given,
        reached=plan.reached,
        stopped=plan.stopped,
        nights=plan.nights,
        loads=[_load(plan, line, system) for line in plan.lines()] if given else [],
        catching=_marks(plan, plan.choices.wide, system),
        lit_by_hand_after_rise=plan.relit,
        promised=_promised(plan, system) if given else None,
        other_nights=_held(held, system) if held and given else None,
        wake_ups=[_option(plan, it, system) for it in plan.options],
        in_the_way=plan.why and _in_the_way(plan.why, system),
        fire_out=plan.relight and _fire_out(plan.relight, night, system),
        over_time=over_time(plan.dataset, system) if given else None,
    )


def _sentences(plan: Plan, system: System) -> Iterator[tuple[str, str]]:
    yield "", page.answer(plan, system)
    if plan.stops:
        return
    yield from stoke_words.promised(plan, system)
    told = (
        stoke_words.heavier(plan, system),
        *sentences(plan, system),
        " ".join(stoke_words.how_found(plan)),
    )
    yield from (("", text) for text in told if text)


def _load(plan: Plan, line: Line, system: System) -> PlannedLoad:
    return PlannedLoad(
        at=Moment.of(plan.scenario.night, line.at),
        pieces=piles(line.pieces, system),
        mass=Mass.of(line.mass, system),
        then=[] if line.levers is None else _marks(plan, line.levers, system),
        chance=Share.maybe(line.chance, system),
        wake_up=line.wake_up,
    )


def _marks(plan: Plan, levers: Levers, system: System) -> list[Mark]:
    stove = plan.scenario.stove
    assert stove is not None
    return list(marks(stove, levers.air, levers.damper, system))


def _promised(plan: Plan, system: System) -> Promised:
    night, limits = plan.promised, plan.limits
    return Promised(
        wake_ups=plan.chosen.wake_ups,
        cot_coldest=Temperature.of(night.cot_lowest, system),
        at=Moment.of(plan.scenario.night, night.cot_lowest_at),
        cot_asked=Temperature.of(limits.cot, system),
        cot_at_rise=Temperature.of(night.cot_at_rise, system),
        rise_asked=Temperature.maybe(limits.rise, system),
        head_hottest=Temperature.of(night.head_highest, system),
        head_asked=Temperature.maybe(limits.head, system),
        wood=Mass.of(night.wood, system),
        wood_at_hand=Mass.maybe(limits.wood, system),
    )


def _held(it: Ensemble, system: System) -> OnOtherNights:
    return OnOtherNights(
        nights=len(it.lowest),
        seed=it.seed,
        sure=Share.of(SURE, system),
        stays_above=Temperature.of(it.colder, system),
        holds=Share.of(it.holds, system),
        caught=Share.of(it.caught, system),
        of=list(it.of),
    )


def _option(plan: Plan, it: Option, system: System) -> WakeUps:
    held = plan.held.get(it.wake_ups)
    return WakeUps(
        wake_ups=it.wake_ups,
        chosen=it is plan.chosen,
        cot_coldest=Temperature.of(it.night.cot_lowest, system),
        cot_at_rise=Temperature.of(it.night.cot_at_rise, system),
        wood=Mass.of(it.night.wood, system),
        holds=Share.maybe(None if held is None else held.holds, system),
        misses=[stoke_words.MISSED[name] for name in it.broken],
    )


def _in_the_way(why: Why, system: System) -> InTheWay:
    return InTheWay(
        fed=Temperature.of(why.fed, system),
        fed_better=Temperature.of(why.fed_better, system),
        stove_too_small=why.small,
        loads_too_short=why.short,
        walls_would_do=why.walls,
    )


def _fire_out(it: Relight, night: Night, system: System) -> FireOut:
    return FireOut(
        last_load=Moment.of(night, it.draft.puts[-1].at),
        coldest=Temperature.of(it.lowest, system),
        at=Moment.of(night, it.lowest_at),
        lit_at=Moment.of(night, it.lit_at),
        bearable_after=Duration.maybe(None if it.minutes is None else 60.0 * it.minutes, system),
        wanted=Temperature.of(it.wanted, system),
        at_rise=Temperature.of(it.at_rise, system),
    )

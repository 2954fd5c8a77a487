"""What `simtent stove` answers: heat needed, what stoves of several sizes hold, the smallest that does."""

from collections.abc import Iterator
from typing import Literal

from simtent.sizing.answer import Answer
from simtent.sizing.classes import Size
from simtent.sizing.hold import Held
from simtent.sizing.judged import Judged
from simtent.sizing.likened import Likened
from simtent.tell import stove_cells as cells
from simtent.tell.answers.head import Around, Document
from simtent.tell.answers.quantities import Duration, Length, Mass, Power, Speed, Temperature, Volume
from simtent.tell.answers.told import Told
from simtent.tell.page import stove as page
from simtent.tell.stove_words import sentences
from simtent.units import System

HOUR = 3600.0


class Need(Told):
    """The constant heat that holds the wish at the cot."""

    air: Temperature
    """outdoors"""
    wind: Speed
    """outdoors"""
    design_night: bool
    """whether a design night has this air"""
    power: Power
    """the heat; null where none that is allowed is enough"""


class StoveSize(Told):
    """A stove in shop terms; common practice, and no maker's."""

    firebox: Volume
    """of the firebox"""
    own: bool
    """whether it is the scenario's own stove"""
    pipe: Length
    """inner diameter of the pipe"""
    body: Mass
    """of the body without pipe"""
    longest: Length
    """longest piece that goes in"""
    sheet: str
    """of the body"""
    full_load: Mass
    """wood of a full load, as it is"""
    pieces: int
    """how many pieces that is, to the nearest"""
    thick: Length
    """how thick those are"""


class Filled(Told):
    """A stove filled at one interval in a design night."""

    firebox: Volume
    """of the firebox"""
    own: bool
    """whether it is the scenario's own stove"""
    every: Duration
    """between full loads"""
    verdict: Literal["holds", "too small", "too large"]
    """too large: with full loads too hot at the head, smouldering or near glowing"""
    why: str
    """what stands against every mark that holds the wish; empty where one is left"""
    mark: str
    """of the air: that which holds with the coolest head, else that which keeps the cot warmest"""
    cot: Temperature
    """lowest at the cot, with that mark"""
    head: Temperature
    """highest at the head"""
    each: Mass
    """wood that goes in each time"""
    lights: bool
    """whether coals light the next load"""


class HoldsDownTo(Filled):
    """The same in the coldest design night, and down to which air it holds."""

    down_to: Temperature | None
    """coldest outdoor air at which it holds the wish, at its best mark; null where it hardly warms"""
    or_colder: bool
    """whether that is only a bound: it holds at the coldest air that was looked at"""
    worth: Power
    """as a constant heat, at that air"""
    smallest: bool
    """whether it is the answer for its interval"""


class StoveAnswer(Document):
    """How large a stove a shelter needs. The stove maker's manual comes before every number here."""

    format: Literal["simtent.stove"] = "simtent.stove"
    version: Literal[1] = 1
    wish: Temperature
    """wanted at the cot, at least"""
    head_at_most: Temperature | None
    """wanted at the head, at most; null without such a wish"""
    too_hot_from: Temperature | None
    """from what on a stove counts as too hot at the head; null without such a wish"""
    design: Power
    """heat that the coldest design night needs; null where none that is allowed is enough"""
    nights: int
    """how many were simulated"""
    needs: list[Need]
    """by wind, then by rising air"""
    sizes: list[StoveSize]
    """the stoves"""
    held: list[HoldsDownTo]
    """each stove at each interval, in the coldest design night"""
    mildest: list[Filled]
    """those that hold it, in the mildest design night; empty where there is one only"""


def answer(around: Around, found: Answer) -> StoveAnswer:
    """The document of an answer."""
    system = around.system
    small = [found.smallest(every) for every in found.asked.every]
    return StoveAnswer(
        **around.head(_sentences(found, system)),
        wish=Temperature.of_kelvin(found.wish, system),
        head_at_most=Temperature.maybe_kelvin(found.head, system),
        too_hot_from=Temperature.maybe_kelvin(found.limit, system),
        design=Power.of(found.design, system),
        nights=found.nights,
        needs=list(_needs(found, system)),
        sizes=[_size(one.size, system) for one in found.built],
        held=[_down_to(it, any(it is one for one in small), system) for it in found.found],
        mildest=[_filled(it, system) for it in found.mild],
    )


def _sentences(found: Answer, system: System) -> Iterator[tuple[str, str]]:
    yield "", page.answer(found, system)
    yield from (("", text) for text in sentences(found, system))


def _needs(found: Answer, system: System) -> Iterator[Need]:
    """At every air looked at, design nights among them."""
    for wind in found.asked.winds:
        watts = dict(zip(found.airs, found.needs[wind], strict=True))
        watts |= {air: found.at_low[air, wind] for air in found.asked.lows}
        for air in sorted(watts):
            yield Need(
                air=Temperature.of_kelvin(air, system),
                wind=Speed.of(wind, system),
                design_night=air in found.asked.lows,
                power=Power.of(watts[air], system),
            )


def _size(it: Size, system: System) -> StoveSize:
    return StoveSize(
        firebox=Volume.of(it.volume, system),
        own=it.own,
        pipe=Length.of(it.pipe, system),
        body=Mass.of(it.mass, system),
        longest=Length.of(it.long, system),
        sheet=cells.sheet(it, system),
        full_load=Mass.of(it.load, system),
        pieces=it.pieces,
        thick=Length.of(it.thick, system),
    )


def _filled(it: Judged, system: System) -> Filled:
    used: Held = it.used
    return Filled(
        firebox=Volume.of(it.size.volume, system),
        own=it.size.own,
        every=Duration.of(HOUR * it.every, system),
        verdict=it.word,
        why=it.why,
        mark=used.mark,
        cot=Temperature.of_kelvin(used.coldest, system),
        head=Temperature.of_kelvin(used.head, system),
        each=Mass.of(used.put_on, system),
        lights=used.lights,
    )


def _down_to(it: Likened, smallest: bool, system: System) -> HoldsDownTo:
    return HoldsDownTo(
        **dict(_filled(it.judged, system)),
        down_to=Temperature.maybe_kelvin(it.air, system),
        or_colder=it.beyond,
        worth=Power.of(it.power, system),
        smallest=smallest,
    )

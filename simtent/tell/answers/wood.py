"""What `simtent wood` answers: the wood of a trip, night by night, and what a colder trip takes."""

from typing import Literal

from simtent.supply.burnt import Burnt
from simtent.supply.pile import Pile as Pieces
from simtent.supply.supplied import Supply, TripNight
from simtent.tell import wood_words
from simtent.tell.answers.head import Around, Document
from simtent.tell.answers.quantities import Mass, Share, Speed, Temperature, Volume
from simtent.tell.answers.told import Told
from simtent.tell.page import wood as page
from simtent.units import System


class WoodPile(Told):
    """Whole pieces."""

    pieces: dict[str, int]
    """how many of each kind, by the names of [wood.pieces]"""
    mass: Mass
    """as carried, moist"""
    stacked: Volume
    """of a stack, the air in it included"""
    kindling: dict[str, int]
    """those among them that light fires"""


class BurntWood(Told):
    """What a night takes, and what it is like with that."""

    pile: WoodPile
    """all that is put on"""
    wake_ups: int
    """how often somebody gets up for it between bed and rise"""
    lit_by_hand: int
    """fires lit by hand"""
    cot_coldest: Temperature
    """lowest at the cot from bed to rise"""
    kept: bool
    """whether the night is as wished, and no finding says stop"""
    missed: list[str]
    """what is not as wished"""


class NightOfTrip(Told):
    """A night of the trip."""

    evening: str
    """date on which it begins"""
    low: Temperature
    """lowest outdoors"""
    mean: Temperature
    """mean outdoors"""
    wind: Speed
    """mean wind"""
    burnt: BurntWood
    """as foretold"""
    colder: BurntWood | None
    """with air colder by what the forecast may be off; null where that was not simulated"""


class WoodAnswer(Document):
    """The wood of a trip."""

    format: Literal["simtent.wood"] = "simtent.wood"
    version: Literal[1] = 1
    planned: bool
    """whether a stoking plan was made for each night; else the scenario's own stoking burns"""
    stopped: bool
    """whether it was ended before its end: then this is not the whole trip"""
    asked: int
    """how many nights the trip has"""
    to_bring: WoodPile
    """what to take, with the margin"""
    margin: Share
    """taken beyond what the nights come to: that of [carry], or the cold tail if that is more"""
    ways: int | None
    """how often one goes with the sled; null where nothing says what it carries"""
    in_all: WoodPile
    """what the nights come to"""
    tail: Share | None
    """how much more the nights simulated colder take; null without any"""
    nights: list[NightOfTrip]
    """those that were counted"""


def answer(around: Around, supply: Supply) -> WoodAnswer:
    """The document of a trip's wood."""
    system, load = around.system, supply.scenario.carry.sled_load
    told = [*wood_words.not_kept(supply), *wood_words.if_colder(supply, system)[1:]]
    return WoodAnswer(
        **around.head([("", page.answer(supply, system)), ("", " ".join(told).strip())]),
        planned=supply.planned,
        stopped=supply.stopped,
        asked=supply.asked,
        to_bring=_pile(supply.to_bring, system),
        margin=Share.of(supply.margin, system),
        ways=None if load is None else supply.to_bring.ways(load),
        in_all=_pile(supply.pile, system),
        tail=None if supply.tail is None else Share.of(supply.tail - 1.0, system),
        nights=[_night(it, system) for it in supply.nights],
    )


def _pile(pile: Pieces, system: System) -> WoodPile:
    return WoodPile(
        pieces=dict(pile.counts),
        mass=Mass.of(pile.mass, system),
        stacked=Volume.of(pile.stacked, system),
        kindling=pile.kindling,
    )


def _burnt(it: Burnt, system: System) -> BurntWood:
    return BurntWood(
        pile=_pile(it.pile, system),
        wake_ups=it.wake_ups,
        lit_by_hand=it.lit,
        cot_coldest=Temperature.of(it.coldest, system),
        kept=it.kept,
        missed=[wood_words.MISSED.get(name, name) for name in it.missed],
    )


def _night(it: TripNight, system: System) -> NightOfTrip:
    return NightOfTrip(
        evening=f"{it.evening}",
        low=Temperature.of_kelvin(it.low, system),
        mean=Temperature.of_kelvin(it.mean, system),
        wind=Speed.of(it.wind, system),
        burnt=_burnt(it.burnt, system),
        colder=None if it.colder is None else _burnt(it.colder, system),
    )

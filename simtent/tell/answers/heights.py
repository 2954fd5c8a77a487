"""What `simtent heights` answers: a night from floor to peak, and nights that differ in one thing."""

from collections.abc import Iterator, Sequence
from typing import Literal

import xarray as xr

from simtent.assess import damp
from simtent.balance import Balances, Share
from simtent.tell import compared
from simtent.tell.answers.head import Around, Document, Moment
from simtent.tell.answers.levels import Layering, Level, layering, levels
from simtent.tell.answers.over_time import OverTime, over_time
from simtent.tell.answers.people import Asleep, Clothing, Seated, asleep, clothing, seated
from simtent.tell.answers.quantities import Difference, Duration, Length, Mass, Power, Temperature
from simtent.tell.answers.told import Told
from simtent.tell.answers.water import Water, water
from simtent.tell.heights_comfort import comfort
from simtent.tell.heights_damp import dampness
from simtent.tell.heights_levels import layering as layered
from simtent.units import System

HOUR = 3600.0


class Warming(Told):
    """One of what warms or cools."""

    name: str
    """what it is"""
    power: Power
    """positive where it warms"""


class ColdFloor(Told):
    """What keeps the floor cold at one moment."""

    at: Moment
    """that moment"""
    why: str
    """why then; empty where it was asked for"""
    height: Length
    """up to which air counts as the lowest"""
    air: list[Warming]
    """what warms and cools that air, the largest first"""
    air_warms_by: Power
    """what that sums to"""
    floor: list[Warming]
    """what warms and cools the floor, down to the top of the ground, the largest first"""
    floor_warms_by: Power
    """what that sums to"""


class OtherNight(Told):
    """One of the nights that are held against each other."""

    words: str
    """how it is called"""
    of_file: bool
    """whether it is the night of the file"""
    cot_coldest: Temperature
    """air at the cot from bed to rise"""
    felt_coldest: Temperature
    """felt at the cot from bed to rise"""
    floor_coldest: Temperature
    """air at the floor from bed to rise"""
    head_hottest: Temperature
    """air at the head in the whole night"""
    head_over_floor: Difference
    """at most"""
    below_comfort: Duration | None
    """how long it feels colder than the bag's printed comfort; null where no bag is given"""
    on_skin: Mass | None
    """frost and water left on the skin at rise; null where no damp is counted"""
    in_bags: Mass | None
    """water that the bags have gained by then, an estimate"""


class OneThing(Told):
    """Nights that differ in one thing; without a range, so that those a degree or two apart are alike."""

    what: str
    """that thing"""
    nights: list[OtherNight]
    """each of them"""
    caution: str
    """what holds whatever they show"""


class HeightsAnswer(Document):
    """A night from floor to peak."""

    format: Literal["simtent.heights"] = "simtent.heights"
    version: Literal[1] = 1
    levels: list[Level]
    """every level, from the top"""
    head_over_floor: Layering
    """the head over the floor"""
    cold_floor: ColdFloor
    """what keeps the floor cold"""
    asleep: Asleep
    """a sleeper at the cot"""
    seated: Seated | None
    """a seated person; null where nobody is up"""
    clothing: Clothing | None
    """what people who are up need to wear; null where nobody is up"""
    water: Water | None
    """damp; null where the night counts none"""
    compared: list[OneThing]
    """what was asked to be compared"""
    over_time: OverTime
    """the night over its times"""


def answer(
    around: Around,
    dataset: xr.Dataset,
    found: Balances,
    why: str,
    comparisons: Sequence[compared.Comparison],
) -> HeightsAnswer:
    """The document of a night by heights.

    found, why  the balance of the lowest air and the floor, and why at its moment; "" where it was asked for
    """
    return HeightsAnswer(
        **around.head(_sentences(around, dataset)),
        levels=levels(around, dataset),
        head_over_floor=layering(around, dataset),
        cold_floor=_cold(around, found, why),
        asleep=asleep(around, dataset),
        seated=seated(around, dataset),
        clothing=clothing(around, dataset),
        water=water(around, dataset),
        compared=[
            OneThing(
                what=it.what,
                nights=[_other(night, around.system) for night in it.nights],
                caution=it.caution,
            )
            for it in comparisons
        ],
        over_time=over_time(dataset, around.system),
    )


def _sentences(around: Around, dataset: xr.Dataset) -> Iterator[tuple[str, str]]:
    assert around.scenario is not None
    for told in (layered, comfort, dampness):
        yield from told(around.scenario, dataset, around.system)


def _cold(around: Around, found: Balances, why: str) -> ColdFloor:
    assert around.scenario is not None
    system = around.system

    def warming(shares: Sequence[Share]) -> list[Warming]:
        return [Warming(name=it.name, power=Power.of(it.watts, system)) for it in shares]

    return ColdFloor(
        at=Moment.of(around.scenario.night, found.seconds),
        why=why,
        height=Length.of(found.height, system),
        air=warming(found.air),
        air_warms_by=Power.of(found.air_stored, system),
        floor=warming(found.floor),
        floor_warms_by=Power.of(found.floor_stored, system),
    )


def _other(night: compared.Other, system: System) -> OtherNight:
    hours, counted = compared.hours_below_comfort(night), damp.counted(night.dataset)
    return OtherNight(
        words=night.words,
        of_file=night.given,
        cot_coldest=Temperature.of(compared.coldest(night, "cot"), system),
        felt_coldest=Temperature.of(compared.felt_coldest(night), system),
        floor_coldest=Temperature.of(compared.coldest(night, "floor"), system),
        head_hottest=Temperature.of(compared.hottest(night), system),
        head_over_floor=Difference.of(compared.most_over(night), system),
        below_comfort=Duration.maybe(None if hours is None else HOUR * hours, system),
        on_skin=Mass.of(sum(compared.left_on_skin(night).values()), system) if counted else None,
        in_bags=Mass.of(compared.in_bags(night), system) if counted else None,
    )

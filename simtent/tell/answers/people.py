"""How a night is for people: asleep, seated, dressed."""

import xarray as xr

from simtent.assess import comfort
from simtent.tell.answers.head import Around, Moment
from simtent.tell.answers.quantities import Difference, Duration, Plain, Power, Share, Temperature
from simtent.tell.answers.told import Told

HOUR = 3600.0


class Asleep(Told):
    """A sleeper at the cot, from bed to rise."""

    air: Temperature
    """lowest temperature of the air"""
    felt: Temperature
    """lowest that is felt"""
    at: Moment
    """when that is"""
    below_comfort: Duration | None
    """how long it feels colder than the comfort printed on the bag; null where no bag is given. No bag is rated here"""
    below_limit: Duration | None
    """the same by the limit printed on it"""
    through_pad: Power | None
    """mean heat from each sleeper down through the pad; null where no pad is given"""
    under: str
    """what the pad's lower face meets"""


class Seated(Told):
    """A seated person's head over the ankles, and the floor, while people are up."""

    most: Difference
    """the most that the air at 1.1 m is warmer than at 0.1 m"""
    at: Moment
    """when that is"""
    over: Duration
    """how long it is more than the widest class of ISO 7730 has in buildings"""
    complain: Share
    """who would complain of the most, by ISO 7730; null beyond what it speaks of"""
    floor: Temperature
    """coldest surface of the floor"""
    complain_of_floor: Share
    """who would complain of it in light shoes, by ISO 7730"""


class Clothing(Told):
    """What people who are up need to wear when it asks for the most, by ISO 11079."""

    neutral: Plain
    """to feel neither warm nor cold [clo]"""
    minimal: Plain
    """the least that is borne [clo]"""
    at: Moment
    """when that is"""
    air: Temperature
    """temperature of the air then"""
    felt: Temperature
    """what is felt then"""
    outside: list[str]
    """conditions outside the standard's limits then"""


def asleep(around: Around, dataset: xr.Dataset) -> Asleep:
    """A sleeper at the cot."""
    assert around.scenario is not None
    system = around.system
    it = comfort.sleeping(around.scenario, dataset, around.scenario.levels["cot"])
    below = [
        None if hours is None else HOUR * hours for hours in (it.hours_below_comfort, it.hours_below_limit)
    ]
    return Asleep(
        air=Temperature.of(it.lowest_air, system),
        felt=Temperature.of(it.lowest_felt, system),
        at=Moment.of(around.scenario.night, it.moment),
        below_comfort=Duration.maybe(below[0], system),
        below_limit=Duration.maybe(below[1], system),
        through_pad=Power.maybe(it.pad_watts, system),
        under=it.under,
    )


def seated(around: Around, dataset: xr.Dataset) -> Seated | None:
    """A seated person; None where nobody is up."""
    assert around.scenario is not None
    system, it = around.system, comfort.standing_up(around.scenario, dataset)
    if it is None:
        return None
    return Seated(
        most=Difference.of(it.largest, system),
        at=Moment.of(around.scenario.night, it.moment),
        over=Duration.of(HOUR * it.hours_over, system),
        complain=Share.of(it.dissatisfied, system),
        floor=Temperature.of(it.floor, system),
        complain_of_floor=Share.of(it.floor_dissatisfied, system),
    )


def clothing(around: Around, dataset: xr.Dataset) -> Clothing | None:
    """What they wear; None where nobody is up."""
    assert around.scenario is not None
    system, it = around.system, comfort.dressed(around.scenario, dataset)
    if it is None:
        return None
    return Clothing(
        neutral=Plain.in_unit(it.neutral, "clo"),
        minimal=Plain.in_unit(it.minimal, "clo"),
        at=Moment.of(around.scenario.night, it.moment),
        air=Temperature.of(it.air, system),
        felt=Temperature.of(it.felt, system),
        outside=list(it.beyond),
    )

"""What `simtent night` answers: the night against the wishes, hours, loads, energy, and all of it over time."""

from collections.abc import Iterator
from typing import Literal

import xarray as xr

from simtent.assess.curves import curve, seconds_of
from simtent.assess.loads import burns
from simtent.scenario.night import Night
from simtent.tell import summary, table
from simtent.tell.answers.head import Around, Document, Moment
from simtent.tell.answers.over_time import OverTime, over_time
from simtent.tell.answers.quantities import Duration, Energy, Mass, Power, Temperature, rounded
from simtent.tell.answers.told import Told
from simtent.tell.wished import Wished
from simtent.units import System


class AtTheCot(Told):
    """The cot from bed to rise."""

    begin: Moment
    """when it begins to count"""
    end: Moment
    """when it ceases to count"""
    coldest: Temperature
    """lowest temperature of the air there"""
    at: Moment
    """when that is"""
    felt: Temperature
    """what is felt there then"""
    low: Temperature | None
    """low end of the usual range then, one deviation; null without a range"""
    high: Temperature | None
    """high end of it"""
    asked: Temperature | None
    """wished for at least; null without such a wish"""
    colder: Duration | None
    """how long it is colder than that"""
    at_rise: Temperature | None
    """temperature at the time of rising; null without one"""
    asked_at_rise: Temperature | None
    """wished for then; null without such a wish"""


class AtTheHead(Told):
    """The head while people are up."""

    hottest: Temperature
    """highest temperature of the air there before bed, or of the whole night without a time of bed"""
    at: Moment
    """when that is"""
    asked: Temperature | None
    """wished for at most; null without such a wish"""
    hotter: Duration | None
    """how long it is hotter than that"""


class Hour(Told):
    """One row of the table by hours."""

    at: Moment
    """its time"""
    temperatures: dict[str, Temperature]
    """outdoors and of every level of the air, from the ground up; in the open of stove, flue gas and pipe"""
    heat: Power | None
    """mean heat from this row to the next; null in the last"""
    wood: Mass | None
    """wood on the fire; null without a fire"""
    coals: Mass | None
    """coals on the fire; null without a fire"""
    remarks: list[str]
    """what happens then"""


class Load(Told):
    """One load of wood."""

    at: Moment
    """when it was put on"""
    mass: Mass
    """how much, moist"""
    flames: Duration | None
    """how long it flamed; null where the next load or the night's end came first"""
    coals_until: Moment | None
    """until when its coals light the next load at even odds; null where they still do, or never did"""
    relights: bool
    """whether they still do at the next load or the night's end"""
    most: Power
    """most heat released"""


class Account(Told):
    """One entry of the energy ledger at the night's end."""

    account: str
    """its name, as scenarios/OUTPUTS.md tells it"""
    energy: Energy
    """came in, or was gained by what stores it, since the beginning: positive"""


class NightAnswer(Document):
    """A night foretold."""

    format: Literal["simtent.night"] = "simtent.night"
    version: Literal[1] = 1
    cot: AtTheCot | None
    """the cot from bed to rise; null in the open"""
    head: AtTheHead | None
    """the head while people are up; null in the open"""
    hours: list[Hour]
    """rows at the begin, every full hour, bed, rise, the end, and whatever is done at stove or door"""
    loads: list[Load]
    """every load of wood; none without a fire"""
    energy: list[Account]
    """where heat came from and went; what is stored counts on the other side"""
    energy_residual: float | None
    """what the accounts miss, as a share of the throughput: it checks the sums, not the model"""
    over_time: OverTime
    """the night over its times"""


def answer(around: Around, dataset: xr.Dataset) -> NightAnswer:
    """The document of a night, by the schema of `simtent.schema`."""
    assert around.scenario is not None
    room = "level" in dataset.dims
    return NightAnswer(
        **around.head(summary.pairs(around.scenario, dataset, around.system)),
        cot=at_the_cot(around, dataset) if room else None,
        head=at_the_head(around, dataset) if room else None,
        hours=list(_hours(around, dataset)),
        loads=loads(dataset, around.scenario.night, around.system),
        energy=energy(dataset, around.system),
        energy_residual=rounded(float(dataset.attrs["energy_residual"])),
        over_time=over_time(dataset, around.system),
    )


def at_the_cot(around: Around, dataset: xr.Dataset) -> AtTheCot:
    """The cot from bed to rise."""
    assert around.scenario is not None
    scenario, system, night = around.scenario, around.system, around.scenario.night
    wished, cot = Wished.of(scenario), curve(dataset, "level_temperature", level="cot")
    begin, end = wished.in_bed
    asleep = cot.between(begin, end)
    moment, low = asleep.lowest()
    ends = {
        side: curve(dataset, f"level_temperature_{side}", level="cot").at(moment)
        if f"level_temperature_{side}" in dataset
        else None
        for side in ("low", "high")
    }
    limit = wished.cot_at_least
    return AtTheCot(
        begin=Moment.of(night, begin),
        end=Moment.of(night, end),
        coldest=Temperature.of(low, system),
        at=Moment.of(night, moment),
        felt=Temperature.of(curve(dataset, "operative_temperature", level="cot").at(moment), system),
        low=Temperature.maybe(ends["low"], system),
        high=Temperature.maybe(ends["high"], system),
        asked=Temperature.maybe(limit, system),
        colder=Duration.maybe(None if limit is None else asleep.time_below(limit), system),
        at_rise=Temperature.maybe(None if wished.rise is None else cot.at(wished.rise), system),
        asked_at_rise=Temperature.maybe(wished.cot_at_rise, system),
    )


def at_the_head(around: Around, dataset: xr.Dataset) -> AtTheHead:
    """The head while people are up."""
    assert around.scenario is not None
    wished, night, system = Wished.of(around.scenario), around.scenario.night, around.system
    up = night.seconds if wished.bed is None else wished.bed
    head = curve(dataset, "level_temperature", level="head").between(0.0, up)
    moment, hottest = head.highest()
    limit = wished.head_at_most
    return AtTheHead(
        hottest=Temperature.of(hottest, system),
        at=Moment.of(night, moment),
        asked=Temperature.maybe(limit, system),
        hotter=Duration.maybe(None if limit is None else head.time_above(limit), system),
    )


def loads(dataset: xr.Dataset, night: Night, system: System) -> list[Load]:
    """Every load of wood, in order."""
    found = []
    for it in burns(dataset):
        until = None if it.coals_until is None else float(seconds_of(dataset, it.coals_until))
        found.append(
            Load(
                at=Moment.of(night, float(seconds_of(dataset, it.begin))),
                mass=Mass.of(it.mass, system),
                flames=Duration.maybe(None if it.flame is None else 60.0 * it.flame, system),
                coals_until=Moment.maybe(night, until),
                relights=bool(it.relights),
                most=Power.of(it.peak, system),
            )
        )
    return found


def energy(dataset: xr.Dataset, system: System) -> list[Account]:
    """The energy ledger at the night's end."""
    final = dataset["energy"].isel(time=-1)
    pairs = zip(final["account"].values.tolist(), final.values.tolist(), strict=True)
    return [Account(account=name, energy=Energy.of(joules, system)) for name, joules in pairs]


def _hours(around: Around, dataset: xr.Dataset) -> Iterator[Hour]:
    """The rows of the table, with every level."""
    assert around.scenario is not None
    system, hours = around.system, table.hours(around.scenario, dataset, around.system)
    sums = {it.name: it.value for it in hours.columns if it.name in ("heat", "wood", "coals")}
    curves = table.temperatures(dataset)
    for row in hours.rows:
        told = {name: value(row.moment) for name, value in sums.items()}
        yield Hour(
            at=Moment.of(around.scenario.night, row.moment),
            temperatures={name: Temperature.of(it.at(row.moment), system) for name, it in curves.items()},
            heat=Power.maybe(told["heat"], system),
            wood=Mass.maybe(told.get("wood"), system),
            coals=Mass.maybe(told.get("coals"), system),
            remarks=list(row.remarks),
        )

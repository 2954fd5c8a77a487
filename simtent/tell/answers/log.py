"""What `simtent log` answers: logged nights as they were; nothing is simulated."""

from collections.abc import Sequence
from typing import Literal

from simtent.logbook import measures
from simtent.logbook.doubts import AT_FIRE
from simtent.logbook.notes import Note
from simtent.tell.answers.head import Around, Document, Moment
from simtent.tell.answers.quantities import Duration, Mass, Temperature
from simtent.tell.answers.told import Told
from simtent.tell.evening import Evening
from simtent.tell.page import logged as page


class ReadingTold(Told):
    """A temperature and when it was."""

    temperature: Temperature
    """what the sensor showed"""
    at: Moment
    """when"""


class SensorTold(Told):
    """One sensor through a night; doubtful readings count nowhere."""

    place: str
    """where it hung"""
    readings: int
    """how many there are"""
    doubtful: int
    """how many of them are doubtful"""
    lowest: ReadingTold | None
    """null without a reading"""
    highest: ReadingTold | None
    """null without a reading"""
    gaps: int
    """steps of far more than the usual one"""
    longest_gap: Duration | None
    """null without one"""


class PeakTold(Told):
    """What a load did at a place, until the next load or the last reading."""

    place: str
    """where the sensor hung"""
    top: ReadingTold | None
    """highest reading; null where nothing was logged or nothing rose"""
    rising: bool
    """whether it still rose at the end of that time"""


class NotedLoad(Told):
    """A load as it was noted."""

    at: Moment
    """when"""
    unsure: bool
    """whether nobody is sure of the time"""
    mass: Mass | None
    """moist wood; null where nobody knows"""
    coals: bool | None
    """whether coals lit it; null where it was not noted"""
    remark: str
    """what else was noted"""
    peaks: list[PeakTold]
    """what it did, place by place"""


class Against(Told):
    """Time on either side of a wish."""

    limit: Temperature
    """the wish"""
    above: Duration
    """at it or above"""
    below: Duration
    """below it"""
    unknown: Duration
    """not logged"""


class LoggedNight(Told):
    """A logged night."""

    evening: str
    """date on which it begins"""
    in_the_open: bool
    """whether it is a burn in the open"""
    mended: list[str]
    """what the reader mended"""
    doubtful: list[str]
    """what looks doubtful"""
    sensors: list[SensorTold]
    """levels from the top down, then the others"""
    loads: list[NotedLoad]
    """every load that was noted"""
    bed: Moment
    """bed, or the scenario's begin"""
    rise: Moment
    """rise, or the scenario's end"""
    cot: Against | None
    """the cot in bed; null where it is not logged, nothing is wished, or in the open"""
    coldest: dict[str, ReadingTold]
    """lowest from bed to rise, by place; empty in the open"""


class LogAnswer(Document):
    """Logged nights. A thermometer tells nothing of smoke or carbon monoxide."""

    format: Literal["simtent.log"] = "simtent.log"
    version: Literal[1] = 1
    nights: list[LoggedNight]
    """in the order in which they were asked for; their readings stand in the file"""


def answer(around: Around, evenings: Sequence[Evening]) -> LogAnswer:
    """The document of logged nights."""
    return LogAnswer(
        **around.head(("", page.answer(it)) for it in evenings), nights=[_night(it) for it in evenings]
    )


def _moment(evening: Evening, seconds: float) -> Moment:
    """Of seconds since 1970."""
    night = evening.scenario.night
    return Moment.of(night, seconds - night.begin_utc.timestamp())


def _reading(evening: Evening, it: measures.Reading | None) -> ReadingTold | None:
    if it is None:
        return None
    return ReadingTold(
        temperature=Temperature.of_kelvin(it.kelvin, evening.system), at=_moment(evening, it.seconds)
    )


def _night(evening: Evening) -> LoggedNight:
    logged, (begin, end) = evening.logged, evening.in_bed
    places = [] if logged.in_the_open else [place for place in evening.places if place not in AT_FIRE]
    cold = {place: _reading(evening, measures.coldest(logged.sensors[place], begin, end)) for place in places}
    return LoggedNight(
        evening=f"{logged.evening}",
        in_the_open=logged.in_the_open,
        mended=list(logged.repairs),
        doubtful=list(logged.doubts),
        sensors=[_sensor(evening, place) for place in evening.places],
        loads=[_load(evening, load, until) for load, until in measures.loads_of(logged)],
        bed=_moment(evening, begin),
        rise=_moment(evening, end),
        cot=_cot(evening, begin, end),
        coldest={place: it for place, it in cold.items() if it},
    )


def _sensor(evening: Evening, place: str) -> SensorTold:
    it = measures.extent(place, evening.logged.sensors[place])
    gap = it.longest_gap
    return SensorTold(
        place=place,
        readings=it.count,
        doubtful=it.suspect,
        lowest=_reading(evening, it.lowest),
        highest=_reading(evening, it.highest),
        gaps=it.gaps,
        longest_gap=Duration.maybe(None if gap is None else gap[1] - gap[0], evening.system),
    )


def _load(evening: Evening, load: Note, until: float) -> NotedLoad:
    peaks = {
        place: measures.peak_after(load, until, place, evening.logged) for place in evening.logged.sensors
    }
    return NotedLoad(
        at=_moment(evening, load.seconds),
        unsure=bool(load.unsure),
        mass=Mass.maybe(load.mass, evening.system),
        coals=load.coals,
        remark=load.remark,
        peaks=[
            PeakTold(place=place, top=_reading(evening, it.top), rising=it.rising)
            for place, it in peaks.items()
        ],
    )


def _cot(evening: Evening, begin: float, end: float) -> Against | None:
    cot, wish = evening.logged.sensors.get("cot"), evening.scenario.wish.cot_at_least
    if cot is None or wish is None or evening.logged.in_the_open:
        return None
    hours, system = measures.hours_against(wish, begin, end, cot), evening.system
    return Against(
        limit=Temperature.of_kelvin(wish, system),
        above=Duration.of(hours.above, system),
        below=Duration.of(hours.below, system),
        unknown=Duration.of(hours.unknown, system),
    )

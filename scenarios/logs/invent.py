"""Make the logs of Alder ford: `python scenarios/logs/invent.py [first second third open cold]`.

All of it is invented; nobody measured anything. The readings come from the same laws that are later fitted to them, but
from a finer model of another camp: 48 layers of air solved at rtol 1e-7, damp counted, gusty wind and drifting cloud
(truth_weather.csv), walls, leaks, stove and wood that differ from the file (truth.toml), doors that nobody wrote down,
loads put on some minutes off the noted time and of other masses (truth_*.toml). Then every reading passes a sensor with
a lag, an offset and noise that remembers; the one at head height sees the stove; loggers round, miss rows, stick, slip
once, and one has a wrong clock. Such readings show whether a fit finds its way; they are no proof of any law.

Run again it writes the same files, but for last digits where a reading falls between two. Some minutes a night.
"""

import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from simtent.files import write_all
from simtent.network.solve import Accuracy
from simtent.readings import ZERO_CELSIUS, level_temperatures
from simtent.run import Run, run
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario

Array = NDArray[np.float64]
HERE = Path(__file__).parent
SCENARIO = HERE.parent / "alder_ford.toml"
WEATHER = HERE / "truth_weather.csv"
ZONE = timezone(timedelta(hours=-7))
FINE = Accuracy(rtol=1e-7, atol=1e-5)
MINUTE, ROW = 60.0, 300.0  # s between readings; between rows of the weather
INVENTED = "Invented readings of an invented camp: nobody measured them. Made by invent.py."


@dataclass(frozen=True)
class Sky:
    """A night's weather: from noon on, its hours; high and low [degC], mean wind [m/s], cloud at begin and end."""

    evening: str
    seed: int
    high: float
    low: float
    wind: float
    cloud: tuple[float, float]


SKIES = (
    Sky("2031-01-18", 11, -1.0, -7.0, 1.2, (0.7, 0.5)),
    Sky("2031-01-24", 12, -0.5, -6.0, 1.6, (0.8, 0.4)),
    Sky("2031-01-25", 13, -2.0, -9.0, 1.1, (0.3, 0.1)),
    Sky("2031-01-26", 14, -1.5, -7.6, 2.2, (0.2, 0.7)),
    Sky("2031-02-02", 15, -16.0, -25.0, 0.9, (0.1, 0.05)),
)


@dataclass(frozen=True)
class Probe:
    """A sensor: lag [s], offset [K], share of stove minus air that it sees, noise [K] and its memory [s]."""

    lag: float
    offset: float
    sees_stove: float = 0.0
    noise: float = 0.2
    memory: float = 360.0


PROBES = {
    "head": Probe(150.0, 0.35, 0.007, 0.25),
    "cot": Probe(240.0, -0.2),
    "floor": Probe(240.0, 0.1),
    "outdoors": Probe(300.0, -0.3),
    "stove": Probe(60.0, 3.0, noise=2.0),
    "pipe": Probe(40.0, -2.0, noise=3.0),
}


@dataclass(frozen=True)
class Logger:
    """How a night was logged: columns by header, the file's form, and what went wrong with the readings.

    missing     clock times between which whole rows are missing
    blank       the same of one place's column
    stuck       the same of a place whose value stood still
    slip        a place, the clock time of one wild reading and its value [degC]
    """

    night: str
    file: str
    seed: int
    columns: Mapping[str, str]
    lines: "Callable[[Logger, Sequence[datetime], Mapping[str, Array]], list[str]]"
    ahead: float = 0.0
    missing: tuple[tuple[str, str], ...] = ()
    blank: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    stuck: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    slip: Mapping[str, tuple[str, float]] = field(default_factory=dict)


def american(logger: Logger, times: Sequence[datetime], degrees: Mapping[str, Array]) -> list[str]:
    """Rows with US dates, am and pm, degrees Fahrenheit, three lines above the header."""
    head = [INVENTED, "Recorder 4 channels, degF", "", ",".join(["Date/Time", *logger.columns])]
    shown = [[f"{1.8 * value + 32.0:.1f}" for value in degrees[place]] for place in logger.columns.values()]
    rows = (
        ",".join([f"{at:%m/%d/%Y %I:%M:%S %p}", *cells]) for at, *cells in zip(times, *shown, strict=True)
    )
    return [*head, *rows]


def commas(logger: Logger, times: Sequence[datetime], degrees: Mapping[str, Array]) -> list[str]:
    """Rows with semicolons and decimal commas, the day first, a line of units under the header."""
    head = [INVENTED, ";".join(["when", *logger.columns]), ";".join(["", *["degC" for _ in logger.columns]])]
    shown = [[f"{value:.1f}".replace(".", ",") for value in degrees[it]] for it in logger.columns.values()]
    rows = (";".join([f"{at:%d.%m.%Y %H:%M:%S}", *cells]) for at, *cells in zip(times, *shown, strict=True))
    return [*head, *rows]


def plain(logger: Logger, times: Sequence[datetime], degrees: Mapping[str, Array]) -> list[str]:
    """Rows with ISO times that carry their offset, degrees Celsius."""
    head = [f"# {INVENTED}", ",".join(["time", *[f"{name} (degC)" for name in logger.columns]])]
    shown = [[f"{value:.1f}" for value in degrees[place]] for place in logger.columns.values()]
    rows = (
        ",".join([at.isoformat(timespec="seconds"), *cells]) for at, *cells in zip(times, *shown, strict=True)
    )
    return [*head, *rows]


FOUR = {"CH1": "head", "CH2": "cot", "CH3": "floor", "CH4": "outdoors"}
FIVE = {"T1": "head", "T2": "cot", "T3": "floor", "T4": "outdoors", "T5": "stove"}
LOGGERS = (
    Logger("open", "yard.csv", 21, {"CH1": "stove", "CH2": "pipe", "CH4": "outdoors"}, american,
           missing=(("16:02", "16:09"),)),
    Logger("first", "ford_first.csv", 22, FOUR, american, missing=(("23:02", "23:24"),),
           slip={"cot": ("19:31", 87.4)}),
    Logger("second", "ford_second.csv", 23, FIVE, commas, ahead=430.0, blank={"cot": ("01:10", "01:31")},
           stuck={"floor": ("02:20", "03:48")}),
    Logger("third", "ford_third.csv", 24, FIVE, plain, missing=(("20:11", "20:47"),)),
    Logger("cold", "ford_cold.csv", 25, FIVE, plain, missing=(("03:20", "03:33"),)),
)  # fmt: skip


def wandering(rng: np.random.Generator, count: int, step: float, memory: float) -> Array:
    """A series with mean 0 and deviation 1 that forgets within `memory` [s] (AR(1))."""
    kept = float(np.exp(-step / memory))
    shocks = rng.standard_normal(count)
    series = np.empty(count)
    series[0] = shocks[0]
    for at in range(1, count):
        series[at] = kept * series[at - 1] + np.sqrt(1.0 - kept**2) * shocks[at]
    return series


def weather(sky: Sky) -> list[str]:
    """Rows from noon to the next noon: air wanders round a smooth course, wind comes in gusts, cloud drifts."""
    rng, count = np.random.default_rng(sky.seed), int(86400.0 / ROW)
    noon = datetime.fromisoformat(sky.evening).replace(hour=12, tzinfo=ZONE)
    hours = np.arange(count) * ROW / 3600.0
    down = 0.5 * (1.0 - np.cos(np.pi * np.clip((hours - 3.0) / 15.5, 0.0, 1.0)))
    up = 0.5 * (1.0 - np.cos(np.pi * np.clip((hours - 18.5) / 8.5, 0.0, 1.0)))
    air = sky.high + (sky.low - sky.high) * (down - up) + 0.5 * wandering(rng, count, ROW, 4500.0)
    wind = sky.wind * np.exp(0.5 * wandering(rng, count, ROW, 1500.0) - 0.125)
    cover = np.interp(hours, [5.0, 19.0], sky.cloud) + 0.2 * wandering(rng, count, ROW, 7200.0)
    damp = 82.0 + 5.0 * wandering(rng, count, ROW, 7200.0)
    columns = (air, wind, 100.0 * np.clip(cover, 0.0, 1.0), np.clip(damp, 40.0, 99.0))
    times = (noon + timedelta(seconds=ROW * at) for at in range(count))
    return [
        f"{at:%Y-%m-%d %H:%M},{a:.2f},{w:.2f},{c:.0f},{h:.0f}"
        for at, a, w, c, h in zip(times, *columns, strict=True)
    ]


def truth(night: str) -> Scenario:
    """The camp as it was "in truth" that night."""
    return load(SCENARIO, overlays=(HERE / "truth.toml", HERE / f"truth_{night}.toml"))


def at_places(solved: Run) -> dict[str, Array]:
    """True temperature at every place where a sensor can hang, a value a minute [degC]."""
    places = {}
    if solved.model.house is not None:
        places = dict(zip(solved.scenario.levels, level_temperatures(solved).T, strict=True))
    hearth = solved.model.hearth
    assert hearth is not None
    pipe = solved.temperatures[:, [*hearth.inside, *hearth.outside]].max(axis=1)
    metal = {"stove": solved.temperatures[:, hearth.body], "pipe": pipe}
    return (
        places
        | {name: values - ZERO_CELSIUS for name, values in metal.items()}
        | {"outdoors": outdoors(solved)}
    )


def outdoors(solved: Run) -> Array:
    """True temperature of the outdoor air [degC]."""
    rows = [line.split(",") for line in WEATHER.read_text(encoding="utf-8").splitlines()[2:]]
    stamps = [datetime.fromisoformat(row[0]).replace(tzinfo=ZONE).timestamp() for row in rows]
    begin = solved.scenario.night.begin_utc.timestamp()
    return np.interp(begin + solved.solution.times, stamps, [float(row[1]) for row in rows])


def read_by(probe: Probe, true: Array, stove: Array, rng: np.random.Generator) -> Array:
    """What a sensor shows of a true temperature, before its logger rounds it [degC]."""
    drawn = true + probe.sees_stove * (stove - true)
    shown = np.empty_like(drawn)
    shown[0] = drawn[0]
    for at in range(1, drawn.size):
        shown[at] = drawn[at] + (shown[at - 1] - drawn[at]) * np.exp(-MINUTE / probe.lag)
    return np.asarray(shown + probe.offset + probe.noise * wandering(rng, drawn.size, MINUTE, probe.memory))


def within(times: Sequence[datetime], span: tuple[str, str]) -> NDArray[np.bool_]:
    """Which times lie between two clock times of a night."""
    first, last = (f"{at} {'next' if at < '12:00' else 'same'}" for at in span)
    evening = times[0].date()

    def moment(text: str) -> datetime:
        clock, day = text.split()
        hour, minute = map(int, clock.split(":"))
        date = evening + timedelta(days=day == "next")
        return datetime(date.year, date.month, date.day, hour, minute, tzinfo=ZONE)

    return np.array([moment(first) <= at < moment(last) for at in times])


def spoilt(logger: Logger, times: Sequence[datetime], shown: dict[str, Array]) -> NDArray[np.bool_]:
    """Put in what went wrong; which rows there are."""
    for place, span in logger.stuck.items():
        rows = np.flatnonzero(within(times, span))
        shown[place][rows] = shown[place][rows[0]]
    for place, (clock, value) in logger.slip.items():
        row = next(at for at, moment in enumerate(times) if f"{moment:%H:%M}" == clock)
        shown[place][row] = value
    for place, span in logger.blank.items():
        shown[place][within(times, span)] = np.nan
    rows = np.ones(len(times), bool)
    for span in logger.missing:
        rows &= ~within(times, span)
    return rows


def log_night(logger: Logger) -> None:
    """Solve a night, read its sensors, write its file."""
    solved = run(truth(logger.night), accuracy=FINE, step=MINUTE)
    true, rng = at_places(solved), np.random.default_rng(logger.seed)
    shown = {
        place: read_by(PROBES[place], true[place], true["stove"], rng) for place in logger.columns.values()
    }
    begin = solved.scenario.night.begin_utc.replace(tzinfo=UTC).astimezone(ZONE)
    times = [begin + timedelta(seconds=float(seconds)) for seconds in solved.solution.times]
    rows = spoilt(logger, times, shown)
    clock = [at + timedelta(seconds=logger.ahead) for at, there in zip(times, rows, strict=True) if there]
    lines = logger.lines(logger, clock, {place: values[rows] for place, values in shown.items()})
    write_all({HERE / logger.file: ("\n".join(lines).replace("nan", "") + "\n").encode()})
    tell(logger, solved, true)


def tell(logger: Logger, solved: Run, true: Mapping[str, Array]) -> None:
    """Say what happened in the solved night, so that the notes can be held against it."""
    print(f"{logger.file}: {solved.solution.times.size} minutes")
    for place in logger.columns.values():
        print(f"  {place}: {true[place].min():.1f} to {true[place].max():.1f} degC")
    assert solved.tending is not None
    begin = solved.scenario.night.begin_utc.replace(tzinfo=UTC).astimezone(ZONE)
    for event in solved.tending.events:
        at = begin + timedelta(seconds=event.time)
        print(f"  {at:%H:%M} {event.what}, {event.mass:.2f} kg, coals {event.coals:.3f} kg")


def main(nights: Sequence[str]) -> None:
    """Write the weather, then the logs of the nights that are named, or of all."""
    head = [f"# {INVENTED}", "when,air,wind,cloud,humidity"]
    rows = "\n".join([*head, *(row for sky in SKIES for row in weather(sky))])
    write_all({WEATHER: f"{rows}\n".encode()})
    for logger in LOGGERS:
        if not nights or logger.night in nights:
            log_night(logger)


if __name__ == "__main__":
    main(sys.argv[1:])

"""Read what [[log]] names: each sensor by itself, on the true clock, in kelvin; whatever is mended is told."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, tzinfo
from typing import NoReturn

from simtent.errors import Fault, InputError
from simtent.logbook import degrees
from simtent.logbook.doubts import Track, spikes, stuck
from simtent.logbook.logged import Logged, Sensor
from simtent.logbook.notes import read_notes
from simtent.scenario.logs import Log
from simtent.scenario.scenario import Scenario
from simtent.series import Column, Series, heading, read_series
from simtent.units import scale

DAY = 86400.0
FEWEST = 2  # readings of a sensor


def read_log(scenario: Scenario, which: int | date | Log = 1) -> Logged:
    """Read a logged night; the files stay as they are.

    `which` is the number of a [[log]], from 1; or one of `scenario.log`; or an evening's date: then every [[log]] of
    that evening is read, each on its own clock, and joined. Nothing is dropped in silence: see `repairs`, `doubts`.

    Raises InputError with every fault found: file, line, column, what to do.
    """
    logs = _chosen(scenario, which)
    read: list[Logged] = []
    faults: list[Fault] = []
    for log in logs:
        try:
            read.append(_with_notes(_read(log, scenario.night.zone), scenario, log))
        except InputError as error:
            key = f"log[{scenario.log.index(log) + 1}]" if log in scenario.log else "log"
            faults += [replace(it, key=f"{key}.{it.key or 'file'}") for it in error.faults]
    if faults:
        raise InputError(faults)
    return read[0] if len(read) == 1 else _joined(read, logs)


def _with_notes(read: Logged, scenario: Scenario, log: Log) -> Logged:
    """The night with what was noted; InputError where the notes cannot be read."""
    if log.notes is None:
        return read
    every = [moment for sensor in read.sensors.values() for moment in sensor.seconds]
    try:
        noted = read_notes(scenario, log, (min(every), max(every)))
    except InputError as error:
        of_notes = (replace(it, key="notes") if it.file == str(log.notes) else it for it in error.faults)
        raise InputError(of_notes) from None
    return replace(
        read, notes=noted.notes, repairs=(*read.repairs, *noted.repairs), doubts=(*read.doubts, *noted.doubts)
    )


def _chosen(scenario: Scenario, which: int | date | Log) -> list[Log]:
    if isinstance(which, Log):
        return [which]
    if isinstance(which, date):
        found = [log for log in scenario.log if log.evening == which]
    else:
        found = list(scenario.log[which - 1 : which]) if which >= 1 else []
    if found:
        return found
    there = ", ".join(f"{number} ({log.evening})" for number, log in enumerate(scenario.log, 1))
    todo = (
        "Ask for one of these" if there else 'Add [[log]] with evening, file and sensors = { "CH1" = "head" }'
    )
    fault = Fault("there is no such log", str(scenario.path), None, "log", str(which), there or None, todo)
    raise InputError(fault)


def _joined(read: Sequence[Logged], logs: Sequence[Log]) -> Logged:
    """Several files of one evening as one night; InputError if a place stands in two, or one burned in the open."""
    sensors: dict[str, Sensor] = {}
    for night, log in zip(read, logs, strict=True):
        if night.in_the_open != read[0].in_the_open:
            todo = "Give each an evening of its own, or read them one by one"
            what = "one log of this evening is in the open, another is not"
            raise InputError(Fault(what, str(log.file), None, "log", str(log.evening), todo=todo))
        if twice := sensors.keys() & night.sensors.keys():
            what = f'"{min(twice)}" stands in two files of this evening'
            todo = "Leave it out in one, or give it another level"
            raise InputError(Fault(what, str(log.file), None, "log.sensors", min(twice), todo=todo))
        sensors |= night.sensors
    _refuse_two_overlays(logs)
    repairs = dict.fromkeys(text for night in read for text in night.repairs)
    doubts = dict.fromkeys(text for night in read for text in night.doubts)
    notes = dict.fromkeys(note for night in read for note in night.notes)
    return replace(
        read[0], sensors=sensors, repairs=tuple(repairs), doubts=tuple(doubts),
        notes=tuple(sorted(notes, key=lambda it: it.seconds)), log=tuple(logs),
    )  # fmt: skip


def _refuse_two_overlays(logs: Sequence[Log]) -> None:
    overlays = list(dict.fromkeys(log.with_ for log in logs))
    if len(overlays) > 1:
        what = "the logs of this evening lay different files over the scenario"
        todo = "Give each [[log]] of the evening the same `with`"
        raise InputError(
            Fault(
                what, str(logs[-1].with_ or logs[0].with_), None, "log.with", str(logs[0].evening), None, todo
            )
        )


def _read(log: Log, usual_zone: tzinfo) -> Logged:
    zone, repairs, doubts = log.zone or usual_zone, list[str](), list[str]()
    names, below = heading(log.file, [*log.time, *log.sensors])
    headers = {place: _header(header, names) for header, place in log.sensors.items()}
    series = _columns(log, headers, zone)
    unit_of, said = _units(log, headers, names, below, series)
    doubts += said
    repairs += _mended(series, headers)
    tracks = _on_true_clock(log, series, unit_of, repairs)
    _check_evening(log, zone, tracks, doubts)
    sensors = {place: _sensor(headers[place], place, tracks, zone, doubts) for place in headers}
    name = log.file.name
    mended, doubtful = (tuple(f"{name}: {text}" for text in texts) for texts in (repairs, doubts))
    return Logged(log.evening, zone, log.in_the_open, sensors, mended, doubtful, log=(log,))


def _header(wanted: str, names: Sequence[str]) -> str:
    """The header in the file: as wanted, or the only one that goes on with a unit or the like behind it."""
    plain = " ".join(wanted.split())
    if plain.casefold() in map(str.casefold, names):
        return plain
    longer = [it for it in names if it.casefold().startswith(plain.casefold())]
    longer = [it for it in longer if not it[len(plain) :][:1].isalnum()]
    return longer[0] if len(longer) == 1 else plain


def _columns(log: Log, headers: Mapping[str, str], zone: tzinfo) -> dict[str, Series]:
    """Each sensor's column by itself, as plain numbers, so that a gap of one takes no reading of another."""
    series: dict[str, Series] = {}
    faults: list[Fault] = []
    for place, header in headers.items():
        # As differences, since the unit is not known yet, and a number below 0 is no temperature in kelvin.
        column = {"value": Column(header, "temperature_difference", "K")}
        try:
            series[place] = read_series(log.file, time=log.time, columns=column, zone=zone)
        except InputError as error:
            faults += (it for it in error.faults if it not in faults)
    if faults:
        raise InputError(faults)
    return series


def _mended(series: Mapping[str, Series], headers: Mapping[str, str]) -> Iterator[str]:
    """What the reader mended: of every column alike once, else with the column's name."""
    for text in dict.fromkeys(text for it in series.values() for text in it.repairs):
        having = [headers[place] for place, it in series.items() if text in it.repairs]
        if len(having) == len(series) or any(f'"{header}"' in text for header in having):
            yield text
        else:
            yield f"column {', '.join(having)}: {text}"


def _units(
    log: Log,
    headers: Mapping[str, str],
    names: Sequence[str],
    below: Sequence[Sequence[str]],
    series: Mapping[str, Series],
) -> tuple[dict[str, str], list[str]]:
    """The unit of each place's column, and what is doubtful about it."""
    numbers = {place: it.values["value"] for place, it in series.items()}
    in_file = {place: _said(log, header, names, below) for place, header in headers.items()}
    if log.unit == "guess":
        unit, doubt = _guessed(log, numbers)
        others = {place: said for place, said in in_file.items() if said not in (None, unit)}
        doubts = [f'the header of "{headers[place]}" says {said}' for place, said in others.items()]
        return dict.fromkeys(headers, unit), [doubt, *doubts]
    units, doubts = dict[str, str](), list[str]()
    for place, header in headers.items():
        said = in_file[place]
        if log.unit == "header" and said is None:
            todo = 'Write unit = "degF", "degC" or "K" under [[log]]; or unit = "guess", to be told what is likely'
            _refuse(log, f'the header of "{header}" names no unit', "unit", todo)
        units[place] = said if log.unit == "header" and said else log.unit
        if said not in (None, units[place]):
            doubts.append(
                f'the header of "{header}" says {said}; read in {units[place]}, as the scenario says.'
            )
    return units, [*doubts, *_unlikely(log, numbers, units)]


def _said(log: Log, header: str, names: Sequence[str], below: Sequence[Sequence[str]]) -> str | None:
    """The unit that the header of a column names, or a line beneath it."""
    place = next((at for at, name in enumerate(names) if name.casefold() == header.casefold()), None)
    under = [
        row[place]
        for row in below
        if place is not None and len(row) > place and not any(map(str.isdigit, "".join(row)))
    ]
    found = degrees.unit_in(header, *under)
    if len(found) > 1 and log.unit == "header":
        todo = 'Write unit = "degF", "degC" or "K" under [[log]]'
        _refuse(log, f'the header of "{header}" names {" and ".join(found)}', "unit", todo)
    return found[0] if len(found) == 1 else None


def _guessed(log: Log, numbers: Mapping[str, Sequence[float]]) -> tuple[str, str]:
    likely = degrees.likely_units(numbers)
    every = [value for values in numbers.values() for value in values]
    if len(likely) != 1:
        ways = "; ".join(degrees.shown(every, unit) for unit in likely or degrees.UNITS)
        what = f"{'two units are' if likely else 'no unit is'} likely: {ways}"
        _refuse(log, what, "unit", 'Write unit = "degF", "degC" or "K", as the logger was set')
    return likely[0], f"The unit was guessed: {degrees.shown(every, likely[0])}; no other is likely."


def _unlikely(log: Log, numbers: Mapping[str, Sequence[float]], units: Mapping[str, str]) -> Iterator[str]:
    """Places whose numbers are unlikely in the unit that was stated."""
    for place, values in numbers.items():
        if units[place] not in degrees.likely_units({place: values}, fire=False):
            yield f'Unlikely of "{place}": {degrees.shown(values, units[place])}. Look at unit and sensors of [[log]].'


def _refuse(log: Log, what: str, key: str, todo: str, value: str | None = None) -> NoReturn:
    raise InputError(Fault(what, str(log.file), None, key, value, None, todo))


def _on_true_clock(
    log: Log, series: Mapping[str, Series], units: Mapping[str, str], repairs: list[str]
) -> dict[str, Track]:
    """Seconds and kelvin of each place; the logger's clock set right from its first reading on."""
    first = min(it.times[0] for it in series.values()).timestamp()
    tracks: dict[str, Track] = {}
    for place, it in series.items():
        factor, zero = scale(units[place], "temperature")
        kelvin = tuple(value * factor + zero for value in it.values["value"])
        if min(kelvin) < 0.0:
            what = f"a temperature below absolute zero in {units[place]}, in column of {place}"
            _refuse(log, what, "unit", "Correct the unit", f"{min(it.values['value']):g}")
        logged = (moment.timestamp() - first for moment in it.times)
        tracks[place] = tuple(first - log.clock_ahead + t / (1.0 + log.drift / DAY) for t in logged), kelvin
    count = sum(len(kelvin) for _, kelvin in tracks.values())
    if log.clock_ahead:
        way = "ahead" if log.clock_ahead > 0.0 else "behind"
        repairs.append(
            f"Readings whose time was moved, since the clock was {abs(log.clock_ahead):g} s {way}: {count}."
        )
    if log.drift:
        repairs.append(
            f"Readings whose time was stretched, since the clock gains {log.drift:g} s a day: {count}."
        )
    return tracks


def _check_evening(log: Log, zone: tzinfo, tracks: Mapping[str, Track], doubts: list[str]) -> None:
    """InputError if nothing was logged from noon of the evening to the next; a doubt if a part was not."""
    noon = datetime.combine(log.evening, time(12), zone).timestamp()
    every = [moment for seconds, _ in tracks.values() for moment in seconds]
    within = sum(noon <= moment <= noon + DAY for moment in every)
    first, last = (_clock(moment, zone) for moment in (min(every), max(every)))
    if not within:
        what = f"no reading is of that night; the file goes from {first} to {last}"
        _refuse(log, what, "evening", "Correct evening, zone or clock_ahead", log.evening.isoformat())
    if within < len(every):
        doubts.append(
            f"Readings before noon of {log.evening} or after the next noon, kept: {len(every) - within}."
        )


def _sensor(header: str, place: str, tracks: Mapping[str, Track], zone: tzinfo, doubts: list[str]) -> Sensor:
    """The readings of a place, flagged where the sensor may have made them up."""
    seconds, kelvin = tracks[place]
    suspect = [False] * len(kelvin)
    for begin, end in stuck(place, tracks):
        suspect[begin:end] = [True] * (end - begin)
        span = f"{_clock(seconds[begin], zone)} to {_clock(seconds[end - 1], zone)}"
        meanwhile = "while others moved" if len(tracks) > 1 else "for hours"
        doubts.append(
            f'Equal readings of "{place}" {meanwhile} (stuck?), {span}, flagged and kept: {end - begin}.'
        )
    found = list(spikes(place, tracks[place]))
    for at in found:
        suspect[at] = True
    if found:
        where = f"the first at {_clock(seconds[found[0]], zone)}"
        doubts.append(f'Single spikes of "{place}", {where}, flagged and kept: {len(found)}.')
    if len(kelvin) < FEWEST:
        doubts.append(f'"{place}" has one reading only.')
    return Sensor(header, tuple(seconds), tuple(kelvin), tuple(suspect))


def _clock(moment: float, zone: tzinfo) -> str:
    return f"{datetime.fromtimestamp(moment, UTC).astimezone(zone):%Y-%m-%d %H:%M}"

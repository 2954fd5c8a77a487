"""[[nights]] and [weather] of a study file: the nights of a study as one factor."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.outdoors import AIR_OUTSIDE, SHIFTS
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import Table, plain
from simtent.scenario.tripped import HOURS
from simtent.surveys import typical
from simtent.surveys.factors import Choice, Level
from simtent.surveys.given import Given
from simtent.surveys.levels import fits

NAME = "night"
PLAIN = {"evening": "night.evening", "wind": "outdoors.wind", "cloud": "outdoors.cloud"}
KEYS = ("name", "low", "high", *PLAIN)
WEATHER = ("path", "time", "zone", "columns", "units", "wind", "first", "last", "every")
AIRS = ("steady", "high", "low", "file")  # one of them stands in [outdoors]
LOOK = 600.0  # s, between two looks for the lowest air of a night
MOST = 3660  # nights of a file: ten years


def nights_of(found: Given, bases: Sequence[Scenario]) -> Choice | None:
    """The factor "night"; None where the study file has none, or its faults were noted."""
    listed, cut = "nights" in found.tree.nodes, "weather" in found.tree.nodes
    if listed and cut:
        found.refuse(("weather",), "[[nights]] and [weather] at once", todo="Keep one")
        return None
    begun = len(found.faults)
    levels = list(_listed(found, bases) if listed else _dated(found, bases) if cut else ())
    if len(found.faults) > begun or not (listed or cut):
        return None
    if len({level.label for level in levels}) < len(levels):
        found.refuse(("nights",), "two nights of the same name", todo='Give each its own: name = "..."')
        return None
    return Choice(NAME, tuple(levels)) if levels else None


def _listed(found: Given, bases: Sequence[Scenario]) -> Iterator[Level]:
    for number, node in found.entries("nights"):
        place = ("nights", number)
        found.unknown(place, KEYS)
        written = {key: plain(it) for key, it in node.nodes.items()}
        if set(written) <= {"name"}:
            found.refuse(
                place, "a night that changes nothing", ", ".join(KEYS), 'Add for example low = "-10 degC"'
            )
            continue
        try:
            changes, *others = (_changes(written, base) for base in bases)
        except InputError as error:
            found.at(place, error.faults)
            continue
        if any(other != changes for other in others):
            what = "the scenarios' own air differs, so that one change cannot give all of them this night"
            found.refuse(place, what, todo="Take a study file for each scenario")
        elif all(fits(found, place, node, changes, base) for base in bases):
            told = (f"{key} {written[key]}" for key in KEYS[1:] if key in written)
            yield Level(str(written.get("name") or ", ".join(told)), changes)


def _changes(written: dict[str, Any], base: Scenario) -> dict[str, Any]:
    """What a night replaces: a low with a high as a day of its own, a low alone by shifting the scenario's air."""
    changes = {key: written[name] for name, key in PLAIN.items() if name in written}
    if "high" in written:
        if "low" not in written:
            raise InputError(Fault("high without low", todo='Add low = "..."'))
        changes |= {f"outdoors.{name}": "none" for name in AIRS}
        for name in ("high", "low"):
            moment = getattr(base.outdoors, name)
            at = HOURS[name] if moment is None else moment.at
            changes[f"outdoors.{name}"] = {"at": at, "air": written[name]}
    elif "low" in written:
        colder = lowest_air(base) - AIR_OUTSIDE.read(written["low"], None)
        changes["outdoors.shift"] = SHIFTS.text(base.outdoors.shift - colder)
    return changes


def lowest_air(base: Scenario) -> float:
    """The lowest outdoor air of a scenario's night [K]."""
    air, looks = base.outdoors.track("air"), int(base.night.seconds / LOOK) + 1
    return min(air.at(LOOK * n) for n in range(looks + 1))


def _dated(found: Given, bases: Sequence[Scenario]) -> Iterator[Level]:
    """The evenings of a long file, one every so many nights."""
    found.unknown(("weather",), WEATHER)
    table = found.table("weather")
    written = {key: plain(it) for key, it in table.nodes.items()}
    first, last = (_day(found, written, name) for name in ("first", "last"))
    every = written.get("every", 1)
    if not (isinstance(every, int) and 1 <= every <= MOST):
        found.refuse(("weather", "every"), "a number of nights is wanted", f"1 to {MOST}", "Write every = 7")
    elif "path" not in written:
        found.refuse(("weather",), "a weather file without its path", todo='Add path = "year.csv"')
    elif first is None or last is None:
        return
    elif not 0 <= (last - first).days < MOST:
        todo = "Give a last evening that is not before the first"
        found.refuse(("weather", "last"), "evenings that no file has", f"up to {MOST} nights", todo)
    else:
        try:
            file = _file(found, written, first, last)
        except InputError as error:
            found.at(("weather", "path"), error.faults)
            return
        yield from _evenings(
            found, bases, table, file, [first + timedelta(n) for n in _steps(first, last, every)]
        )


def _file(found: Given, written: dict[str, Any], first: date, last: date) -> dict[str, Any]:
    """[outdoors.file] of the nights: a table as it stands, or one made of a typical year."""
    path = (found.path.parent / str(written["path"])).absolute()
    if path.suffix.lower() == typical.ENDING:
        return typical.table(path, found.path, first, last, written.get("wind"))
    if "wind" in written:
        todo = 'Name its column under columns, columns = { air = "...", wind = "..." }'
        raise InputError(Fault("a share of the wind belongs to a typical year (.epw)", todo=todo))
    return {key: written[key] for key in WEATHER[:5] if key in written} | {"path": str(path)}


def _steps(first: date, last: date, every: int) -> range:
    return range(0, (last - first).days + 1, every)


def _evenings(
    found: Given, bases: Sequence[Scenario], table: Table, file: dict[str, Any], evenings: Sequence[date]
) -> Iterator[Level]:
    gone = {f"outdoors.{name}": "none" for name in AIRS if name != "file"}
    for evening in evenings:
        changes = {"night.evening": evening.isoformat(), **gone, "outdoors.file": file}
        if not all(fits(found, ("weather",), table, changes, base) for base in bases):
            return  # what is wrong with one night of a file is wrong with many
        yield Level(evening.isoformat(), changes)


def _day(found: Given, written: dict[str, Any], name: str) -> date | None:
    try:
        return date.fromisoformat(str(written[name]))
    except KeyError:
        what = f"the {name} evening is not said"
        found.refuse(("weather",), what, todo=f'Add {name} = "2031-01-15"')
    except ValueError:
        found.refuse(("weather", name), "a date is wanted", todo=f'Write for example {name} = "2031-01-15"')
    return None

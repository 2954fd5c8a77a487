"""What [fit] says, held against the numbers that the scenario has and the nights that it has logged."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from pydantic import BaseModel

from simtent.errors import Fault, InputError
from simtent.scenario.beliefs import freed, own_spread, spread_of
from simtent.scenario.faults import Places
from simtent.scenario.fields import Heading
from simtent.scenario.fit import Fit
from simtent.scenario.free import Free
from simtent.scenario.nearest import nearest
from simtent.scenario.numbers import Numbers
from simtent.scenario.toml_lines import dotted_key
from simtent.scenario.tree import Path

Told = tuple[Path, Fault]
UNKNOWN_FIRST = "Correct the key first"


def check_fit(parts: Mapping[str, BaseModel], places: Places) -> Iterator[Fault]:
    """Faults of what [fit] says: keys that are none, tied or widened ones that are not free, evenings not logged."""
    fit = parts.get("fit")
    if not isinstance(fit, Fit):
        return
    numbers = Numbers(parts, places)
    found = [*_unknown(fit, numbers)]
    if not found:
        found = [*_both(fit), *_grouped(fit), *_not_free(fit, numbers), *_of_another_kind(fit, numbers)]
    heading = parts.get("heading")
    if isinstance(heading, Heading):
        found += _not_logged(fit, [log.evening for log in heading.log])
    for path, fault in found:
        yield places.put(fault, ("fit", *path))


def _named(fit: Fit) -> Iterator[tuple[Path, str]]:
    """Every key that [fit] names, with where."""
    for name in ("free", "fixed"):
        for number, key in enumerate(getattr(fit, name) or ()):
            yield (name, number), key
    for group, keys in enumerate(fit.tied):
        for number, key in enumerate(keys):
            yield ("tied", group, number), key
    for key in fit.spread:
        yield ("spread", key), key


def _unknown(fit: Fit, numbers: Numbers) -> Iterator[Told]:
    for path, key in _named(fit):
        if isinstance(it := numbers.at(key), Fault):
            yield path, it


def _both(fit: Fit) -> Iterator[Told]:
    """Keys given twice, free and fixed at once; none at all."""
    free, fixed = [*map(dotted_key, fit.free or ())], {*map(dotted_key, fit.fixed)}
    for number, key in enumerate(free):
        if key in free[:number]:
            yield ("free", number), Fault("this number is named twice", todo="Keep one of the two")
        if key in fixed:
            yield (
                ("free", number),
                Fault("free and fixed at once", todo="Take it out of one of the two lists"),
            )
    if fit.free == ():
        todo = "Name a number, or leave free out for the usual ones"
        yield ("free",), Fault("nothing is free", todo=todo)


def _grouped(fit: Fit) -> Iterator[Told]:
    """Groups of one, and numbers that are tied twice."""
    tied = Counter(dotted_key(key) for group in fit.tied for key in group)
    for number, group in enumerate(fit.tied):
        if len(group) < 2:
            yield ("tied", number), Fault("a group of one", todo="Name two numbers, or leave it out")
        for place, key in enumerate(group):
            if tied[dotted_key(key)] > 1:
                yield (
                    ("tied", number, place),
                    Fault("this number is tied twice", todo="Join the two groups in one"),
                )


def _not_free(fit: Fit, numbers: Numbers) -> Iterator[Told]:
    """Tied and widened numbers that are not free, and tied ones that no factor moves."""
    keys = freed(numbers.scenario)
    free = {*map(dotted_key, keys)}
    for path, key in _named(fit):
        if path[0] in ("tied", "spread") and dotted_key(key) not in free:
            todo = f"Add it to free, or take it away here; free are {', '.join(keys)}"
            yield path, Fault("this number is not free", value=key, todo=todo)
        elif path[0] == "tied" and isinstance(it := numbers.at(key), Free) and _is_added(it, numbers):
            todo = "Tie numbers above 0 that are no temperatures"
            yield path, Fault("no factor moves this number", value=key, todo=todo)


def _is_added(it: Free, numbers: Numbers) -> bool:
    return own_spread(numbers.scenario, it).way == "plus"


def _of_another_kind(fit: Fit, numbers: Numbers) -> Iterator[Told]:
    for key in fit.spread:
        if not isinstance(it := numbers.at(key), Free):
            continue
        try:
            spread_of(numbers.scenario, it)
        except InputError as error:
            yield (
                ("spread", key),
                Fault(error.faults[0].what, value=_asked(fit, key), todo=error.faults[0].todo),
            )


def _asked(fit: Fit, key: str) -> str:
    return str(fit.spread[key])


def _not_logged(fit: Fit, evenings: Iterable[date]) -> Iterator[Told]:
    logged = list(dict.fromkeys(evenings))
    texts = [evening.isoformat() for evening in logged]
    for number, evening in enumerate(fit.hold_out):
        path: tuple[Any, ...] = ("hold_out", number)
        if not logged:
            yield path, Fault("no night is logged", todo="Add a [[log]], or leave hold_out out")
        elif evening not in logged:
            text = evening.isoformat()
            todo = nearest(text, texts) or "Take the evening of a [[log]]"
            yield path, Fault("no log is of this evening", allowed=", ".join(texts), todo=todo)
        elif evening in fit.hold_out[:number]:
            yield path, Fault("this evening is named twice", todo="Keep one of the two")
    if logged and set(logged) <= set(fit.hold_out):
        todo = "Leave one evening out of hold_out"
        yield ("hold_out",), Fault("every logged night is held out, so that none is left to fit", todo=todo)

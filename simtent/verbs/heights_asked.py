"""What `heights` is asked to compare, read from its options: cot, where the stove stands, fan, a vent."""

import argparse
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simtent.errors import Fault, InputError
from simtent.scenario.nearest import nearest
from simtent.units import System, scale, show, to_si

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario

PLACES = {"free": "free", "wall": "at a wall", "corner": "in a corner"}
FIXED = {"low vent": "low_vent", "ridge vent": "ridge_vent"}
LOWEST = 0.01  # m, of a named level
UNITS = ("cm", "m", "in", "ft")
MOST = 6  # nights of one comparison
FEWER = "Leave some out, or run again with another --out"
CLEAR = "The makers' clearances hold wherever the stove stands."
AIRED = "Keep a low and a high vent open all night, whatever is warmer here."
A_FAN = (
    '[shelter.fan] with flow = "60 m3/h", from = "1.8 m", to = "30 cm"; for one run, a fan that mixes: '
    '--set shelter.fan.flow="60 m3/h"'
)


@dataclass(frozen=True, slots=True)
class Change:
    """One night of a comparison: its words, what replaces what in the scenario, and the number where it is one."""

    words: str
    replaces: dict[str, Any]
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Wanted:
    """One comparison: the option that asks for it, what its table is headed by, its nights, and the file's own.

    caution  what holds whatever its table shows
    """

    option: str
    what: str
    changes: tuple[Change, ...]
    given: Change
    caution: str = ""


def parts_of(given: Sequence[str]) -> list[str]:
    """The values of an option, given once with commas between or several times."""
    return [part.strip() for text in given for part in text.split(",") if part.strip()]


def wanted(options: argparse.Namespace, scenario: "Scenario") -> Iterator[Wanted]:
    """Every comparison that is asked for; InputError with every fault of all of them."""
    system: System = options.units or scenario.units
    readers: dict[str, tuple[Sequence[str] | None, Callable[..., Wanted]]] = {
        "--cot": (options.cot, _cot),
        "--stove-at": (options.stove_at, _stove),
        "--fan": (options.fan, _fan),
        "--vent": (options.vent, _vent),
    }
    found: list[Wanted] = []
    faults: list[Fault] = []
    for option, (given, read) in readers.items():
        try:
            if given is not None:
                found.append(read(option, given, scenario, system))
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    yield from found


def _cot(option: str, given: Sequence[str], scenario: "Scenario", system: System) -> Wanted:
    assert scenario.shelter is not None
    peak = scenario.shelter.peak
    least = "1/2 in" if system == "us" else "1 cm"
    allowed = f"{least} to below the peak, {show(peak, 'length', system, 2)}"
    todo = "Write heights above the ground with their unit, for example --cot 25cm,45cm or --cot 10in,18in"

    def read(text: str) -> Change:
        try:
            height = to_si(text, "length")
        except InputError as error:
            raise InputError(
                Fault(
                    error.faults[0].what,
                    option,
                    value=text,
                    allowed=allowed,
                    todo=_with_unit(text, peak) or todo,
                )
            ) from None
        if not LOWEST <= height < peak:
            where = "at the peak or above it" if height >= peak else "on the ground or in it"
            raise InputError(
                Fault(f"the cot would be {where}", option, value=text, allowed=allowed, todo=todo)
            )
        return Change(shown(height), {"levels.cot": f"{height:.6f} m"}, height)

    def shown(height: float) -> str:
        # Inches alone, that the table's narrow column has room for it.
        return f"{height / 0.0254:.3g} in" if system == "us" else f"{height:.2f} m"

    cot = scenario.levels["cot"]
    return Wanted(option, "cot at", _each(option, given, read, allowed, todo), Change(shown(cot), {}, cot))


def _with_unit(text: str, peak: float) -> str:
    """How a bare number is written with each unit that makes it a height inside; empty for any other text."""
    if not _is_number(text):
        return ""
    units = [unit for unit in UNITS if LOWEST <= float(text) * scale(unit, "length")[0] < peak]
    return f"Write {' or '.join(text + unit for unit in units)}" if units else ""


def _stove(option: str, given: Sequence[str], scenario: "Scenario", _system: System) -> Wanted:
    source = scenario.stove or scenario.heat
    assert source is not None
    section = "heat" if scenario.stove is None else "stove"
    allowed = ", ".join(PLACES)
    todo = "Write for example --stove-at free,corner"

    def read(text: str) -> Change:
        place = next((place for word, place in PLACES.items() if text.lower() in (word, place)), None)
        if place is None:
            guess = nearest(text, PLACES) or todo
            raise InputError(
                Fault("unknown place for a stove", option, value=text, allowed=allowed, todo=guess)
            )
        return Change(place, {f"{section}.stands": place})

    return Wanted(
        option, "stove", _each(option, given, read, allowed, todo), Change(source.stands, {}), CLEAR
    )


def _fan(option: str, given: Sequence[str], scenario: "Scenario", _system: System) -> Wanted:
    assert scenario.shelter is not None
    allowed, todo = "on, off", "Write --fan on,off"
    if scenario.shelter.fan is None:
        raise InputError(Fault("the scenario has no fan to be compared", option, todo=f"Write one: {A_FAN}"))

    def read(text: str) -> Change:
        if text.lower() not in ("on", "off"):
            raise InputError(Fault("a fan is on or off", option, value=text, allowed=allowed, todo=todo))
        return Change(text.lower(), {} if text.lower() == "on" else {"shelter.fan": "none"})

    return Wanted(option, "fan", _each(option, given, read, allowed, todo), Change("on", {}))


def _vent(option: str, given: Sequence[str], scenario: "Scenario", _system: System) -> Wanted:
    assert scenario.shelter is not None
    vents = scenario.shelter.openings.every_vent
    if not vents:
        todo = 'Write one: [shelter.openings] ridge_vent = { area = "100 cm2", at = "2 m" }'
        raise InputError(Fault("the scenario has no vent to be opened", option, todo=todo))
    asked, shares = _of_one_vent(option, given)
    name = _named(option, asked, vents) if asked else max(vents, key=lambda it: vents[it].at)
    allowed, todo = (
        "0 % to 100 %",
        "Write shares of it, for example --vent 0,50,100 or --vent 'low vent=0%,100%'",
    )

    def read(text: str) -> Change:
        share = _share(option, text, allowed, todo)
        opened = {"open": f"{100.0 * share:.6f} %"}
        vent = {FIXED[name]: opened} if name in FIXED else {"vents": {name: opened}}
        return Change(f"{100.0 * share:g} %", {"shelter.openings": vent}, share)

    share = vents[name].open
    own = Change(f"{100.0 * share:g} %", {}, share)
    return Wanted(option, name, _each(option, shares, read, allowed, todo), own, AIRED)


def _of_one_vent(option: str, given: Sequence[str]) -> tuple[str, list[str]]:
    """The name before the shares, empty where none is given, and the shares; InputError if there are several vents.

    A name holds for all that comes after it.
    """
    names, shares, name = list[str](), list[str](), ""
    for part in parts_of(given):
        before, sign, after = part.partition("=")
        name = before.strip() if sign else name
        names.append(name)
        shares.append(after if sign else part)
    if len(set(names)) > 1:
        found = ", ".join(f'"{name}"' if name else "one without a name" for name in dict.fromkeys(names))
        todo = "Name the vent before each list of shares, and run once for each vent, with another --out"
        raise InputError(Fault(f"one vent is compared at a time, and here are {found}", option, todo=todo))
    return next(iter(names), ""), shares


def _named(option: str, asked: str, vents: Iterable[str]) -> str:
    """The vent that is meant: low_vent or "low vent", or one of the user's own."""
    for name in vents:
        if asked.lower() in (name.lower(), FIXED.get(name)):
            return name
    todo = nearest(asked, list(vents)) or "Name one of them"
    raise InputError(Fault("unknown vent", option, value=asked, allowed=", ".join(vents), todo=todo))


def _share(option: str, text: str, allowed: str, todo: str) -> float:
    """A share [-] written as per cent, with or without the sign."""
    try:
        share = float(text) / 100.0 if _is_number(text) else to_si(text, "share")
    except InputError as error:
        raise InputError(
            Fault(error.faults[0].what, option, value=text, allowed=allowed, todo=todo)
        ) from None
    if not 0.0 <= share <= 1.0:
        raise InputError(Fault("no such share of a vent", option, value=text, allowed=allowed, todo=todo))
    if _is_number(text) and 0.0 < share <= 0.01:
        percent = f'Write "{100.0 * share:g} %" if that is meant, or {100.0 * float(text):g}'
        raise InputError(
            Fault("bare numbers are per cent", option, value=text, allowed=allowed, todo=percent)
        )
    return share


def _each(
    option: str, given: Sequence[str], read: Callable[[str], Change], allowed: str, todo: str
) -> tuple[Change, ...]:
    """The changes, each once; InputError where none is given, or so many that no table shows them."""
    parts = parts_of(given)
    if not parts:
        raise InputError(Fault("nothing is given to compare", option, value="", allowed=allowed, todo=todo))
    changes = {change.words: change for change in map(read, parts)}
    if len(changes) > MOST:
        raise InputError(Fault(f"{len(changes)} are given, {MOST} are compared at most", option, todo=FEWER))
    return tuple(changes.values())


def _is_number(text: str) -> bool:
    try:
        return float(text) == float(text)
    except ValueError:
        return False

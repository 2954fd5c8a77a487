"""What is asked of a stove: design nights, winds, intervals and sizes, read from options or taken from the scenario."""

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simtent.errors import Fault, InputError
from simtent.units import to_si

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario

MOST = 10  # values after an option
WINDY = 5.0  # m/s, told beside a calmer scenario's own wind; own choice
ROUNDING = 1e-9


@dataclass(frozen=True)
class _Option:
    """How the values of an option are written, and what is allowed, in SI."""

    name: str
    kind: str
    low: float
    high: float
    example: str


LOW = _Option("--low", "temperature", 203.15, 333.15, '--low "-10 degF" or --low=-20degC,-10degC')
WIND = _Option("--wind", "speed", 0.0, 25.0, '--wind "0 mph,10 mph"')
INTERVAL = _Option("--every", "duration", 1800.0, 27000.0, '--every "2 h,3 h"')
VOLUME = _Option("--volume", "volume", 0.002, 0.3, '--volume "20 L,1.5 ft3"')
SHOWN = {
    "--low": "-70 degC to 60 degC",
    "--wind": "0 m/s to 25 m/s",
    "--every": "30 min to 7.5 h",
    "--volume": "2 L to 300 L",
}


@dataclass(frozen=True)
class Wanted:
    """What is asked for, in SI: [K], [m/s], [m/s], [h], [m3]; `volumes` is empty where the usual sizes are wanted."""

    lows: tuple[float, ...]
    winds: tuple[float, ...]
    wind: float
    every: tuple[float, ...]
    volumes: tuple[float, ...]
    changed: dict[str, Any]


def faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    """Everything that is wrong with the options, and with a scenario that cannot be asked this."""
    found: list[Fault] = []
    for option, given in _given(options):
        found += _read(option, given)[1]
    found += _changes(options.stove)[1]
    if scenario is None:
        return found
    if scenario.shelter is None:
        found.append(
            Fault(
                "a stove in the open has no shelter to be large enough for",
                str(scenario.path),
                key="shelter",
                todo="Ask with the scenario of a night in a shelter",
            )
        )
    elif scenario.wish.cot_at_least is None:
        found.append(
            Fault(
                "nothing says how warm it is wanted",
                str(scenario.path),
                key="wish.cot_at_least",
                todo='Add [wish] cot_at_least = "5 degC", or --set wish.cot_at_least="40 degF"',
            )
        )
    return found


def wanted(options: argparse.Namespace, scenario: "Scenario") -> Wanted:
    """What is asked for, of a scenario and options without fault."""
    from simtent.sizing.sized import HOURS  # noqa: PLC0415  (heavy imports wait until the input is good)

    lows, winds, every, volumes = (_read(option, given)[0] for option, given in _given(options))
    air, wind = (scenario.outdoors.track(name).values for name in ("air", "wind"))
    own = max(wind)
    told = winds or sorted({0.0, own, *([WINDY] if own < WINDY - 1.0 else [])})
    return Wanted(
        tuple(sorted(lows)) or (min(air),),
        tuple(told),
        max(winds, default=own),
        tuple(dict.fromkeys(round(seconds / 60.0) / 60.0 for seconds in every)) or HOURS,
        tuple(volumes),
        _changes(options.stove)[0],
    )


def _given(options: argparse.Namespace) -> list[tuple[_Option, Sequence[str]]]:
    return [(LOW, options.low), (WIND, options.wind), (INTERVAL, options.every), (VOLUME, options.volume)]


def _read(option: _Option, given: Sequence[str]) -> tuple[list[float], list[Fault]]:
    """The values of an option, rising, each once; and what is wrong with them."""
    parts = [part.strip() for text in given for part in text.split(",")]
    values, found = set[float](), list[Fault]()
    todo = f"Write for example {option.example}"
    for part in parts:
        try:
            value = to_si(part, option.kind)
        except InputError as error:
            found.append(
                Fault(error.faults[0].what, option.name, value=part, allowed=SHOWN[option.name], todo=todo)
            )
            continue
        if not option.low - ROUNDING <= value <= option.high + ROUNDING:
            found.append(
                Fault("out of range", option.name, value=part, allowed=SHOWN[option.name], todo=todo)
            )
        values.add(value)
    if len(values) > MOST:
        found.append(
            Fault(f"{len(values)} values are given", option.name, allowed=f"up to {MOST}", todo="Give fewer")
        )
    return sorted(values), found


def _changes(given: Sequence[str]) -> tuple[dict[str, Any], list[Fault]]:
    """Keys of [stove] with their values; firebox sizes follow from the volume."""
    changed, found = dict[str, Any](), list[Fault]()
    for text in given:
        key, sign, value = (part.strip() for part in text.partition("="))
        if not sign or not key or not value:
            todo = 'Write for example --stove sheet="2 mm steel"'
            found.append(Fault("a key of [stove] and its value are wanted", "--stove", value=text, todo=todo))
        elif key.split(".")[0] in ("firebox", "like"):
            todo = "Give the volume with --volume, or sizes of your own stove in the scenario"
            found.append(Fault("a class has the firebox of its volume", "--stove", key=key, todo=todo))
        else:
            changed[key] = {"true": True, "false": False}.get(value.lower(), value)
    return changed, found

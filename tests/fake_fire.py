"""Nights with a fire made of plain formulas: in a shelter, and in the open. They describe no real camp or stove."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import xarray as xr

from simtent import results
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests import fake_night
from tests.fake_night import BEGIN

DRY_HEAT, COAL_HEAT, WATER_HEAT = 18.5e6, 30e6, 2.5e6  # J/kg
WET, CHAR, ASH = 0.18, 0.176, 0.005
COALS_LAST, DRIES = 3600.0, 480.0  # s
STOVE_LAG, STOVE_HEAT = 600.0, 6000.0  # s, J/K
ATTRS = fake_night.ATTRS | {"name": "Paper stove", "fire_note": "none: made of formulas"}

STOVE = """\
[stove]
firebox = { length = "45 cm", width = "25 cm", height = "25 cm" }
sheet = "1 mm steel"

[stove.pipe]
diameter = "90 mm"
inside = "2 m"
outside = "60 cm"

[stove.air]
opening = "15 cm2"
marks = { wide = "100 %", one = "35 %" }

[wood]
species = "spruce"
moisture = "18 % wet"

[wood.pieces.split]
thick = "60 mm"
long = "35 cm"

[stoking]
air = "wide"
"""
SCENARIO = (
    fake_night.SCENARIO[: fake_night.SCENARIO.index("[heat]")].replace("Paper bench", "Paper stove")
    + STOVE
    + """
[[stoking.load]]
at = "17:30"
pieces = { split = "2.4 kg" }

[[stoking.load]]
at = "21:20"
pieces = { split = "3.2 kg" }
air = [{ for = "10 min", mark = "wide" }, { mark = "one" }]

[[stoking.load]]
at = "04:45"
pieces = { split = "1.1 kg" }
"""
)
OPEN = (
    """\
format = 1
name = "Paper yard"
invented = true
units = "si"
shelter = "none"
night = { evening = "2031-02-14", zone = "-07:00", begin = "17:30", end = "20:30" }
outdoors = { steady = "-8 degC" }

"""
    + STOVE
    + """
[[stoking.load]]
at = "17:30"
pieces = { split = "1.5 kg" }
"""
)


@dataclass(frozen=True)
class Load:
    """Minute it is put on, moist mass [kg], minutes it burns, share lost unburnt."""

    minute: float
    mass: float
    lasts: float
    lost: float = 0.1
    by: str = "clock"


@dataclass(frozen=True)
class Turn:
    """Minute at which the air is set to a share of its opening."""

    minute: float
    share: float
    mark: str
    by: str = "clock"


LOADS = (
    Load(0.0, 2.4, 75.0),
    Load(230.0, 3.2, 170.0, 0.3),
    Load(497.3, 1.0, 60.0, by="rule"),
    Load(675.0, 1.1, 55.0),
)
TURNS = (
    Turn(240.0, 0.35, "one"),
    Turn(497.3, 1.0, "wide", "rule"),
    Turn(507.3, 0.35, "one", "rule"),
    Turn(675.0, 1.0, "wide"),
)


def scenario(folder: Path, *settings: str) -> Scenario:
    """The scenario of the night in the shelter."""
    return load(fake_night.scenario_file(folder, SCENARIO), settings=settings)


def yard(folder: Path, *settings: str) -> Scenario:
    """The scenario of the stove in the open."""
    return load(fake_night.scenario_file(folder, OPEN, "yard.toml"), settings=settings)


def night(minutes: float = 5.0, loads: tuple[Load, ...] = LOADS, **attrs: Any) -> xr.Dataset:
    """The Dataset of a night in the shelter: its room follows what the stove gives off."""
    data, coords = fake_night.values(minutes)
    fire = _Fire(minutes, fake_night.HOURS, loads, TURNS)
    room = fake_night.follow(minutes, fire.given)
    burns = fire.values(data["outdoor_temperature"], room)
    data = data | fake_night.room(data["outdoor_temperature"], room, burns["air_flow"]) | burns
    accounts = fire.accounts() | fake_night.losses(fire.seconds, room)
    paths = fire.paths() | fake_night.loss_paths(room)
    stored = sum(accounts.values()) - fire.stored
    accounts |= {f"stored_{name}": share * stored for name, share in fake_night.SHARES.items()}
    return _labelled(fire, data, coords, accounts | {"stored_stove": fire.stored}, paths, ATTRS | attrs)


def burn(minutes: float = 1.0, **attrs: Any) -> xr.Dataset:
    """The Dataset of a stove in the open, three hours with two loads."""
    fire = _Fire(minutes, 3.0, (Load(0.0, 0.6, 25.0), Load(20.0, 1.5, 55.0)), (Turn(60.0, 0.35, "one"),))
    outdoors = np.full_like(fire.seconds, -8.0)
    data = {
        "outdoor_temperature": outdoors,
        "sky_temperature": outdoors - 12.0,
        "wind_speed": np.full_like(outdoors, 1.0),
        "sunshine": np.zeros_like(outdoors),
    }
    accounts = fire.accounts() | {"stove_outdoors": -fake_night.total(fire.seconds, fire.given)}
    accounts |= {"stored_stove": fire.stored}
    paths = fire.paths() | {"stove_outdoors": -fire.given}
    named = {"name": "Paper yard", "units": "si", "air_note": ""}
    return _labelled(
        fire, data | fire.values(outdoors, 0.0 * outdoors), {}, accounts, paths, ATTRS | named | attrs
    )


def _labelled(
    fire: "_Fire",
    data: dict[str, Any],
    coords: dict[str, Any],
    accounts: dict[str, Any],
    paths: dict[str, Any],
    attrs: dict[str, Any],
) -> xr.Dataset:
    data = data | {
        "heat_flow": np.stack(list(paths.values()), axis=1),
        "energy": np.stack(list(accounts.values()), axis=1),
    }
    coords = coords | {
        "time": BEGIN + np.round(fire.seconds * 1e9).astype("timedelta64[ns]"),
        "path": list(paths),
        "account": list(accounts),
        "fuel_stage": ["water", "dry_wood", "coals", "ash", "burnt"],
    }
    events, along = fire.events()
    return results.extend(results.label(data, coords, attrs), events, along)


class _Fire:
    """Wood that burns in a given time with two humps, its coals, and a stove that follows ten minutes behind."""

    def __init__(
        self, minutes: float, hours: float, loads: tuple[Load, ...], turns: tuple[Turn, ...]
    ) -> None:
        self.seconds = np.arange(0.0, hours + minutes / 120.0, minutes / 60.0) * 3600.0
        self.step, self.loads, self.turns = 60.0 * minutes, loads, turns
        self.water, self.dry, self.gone = (np.zeros_like(self.seconds) for _ in range(3))
        lost = np.zeros_like(self.seconds)  # kg of dry wood whose gas is lost, since the beginning
        for item in loads:
            since = self.seconds - 60.0 * item.minute
            on = since >= -1e-6
            burnt = np.where(on, item.mass * (1.0 - WET) * _burnt(since / (60.0 * item.lasts)), 0.0)
            self.water += np.where(on, item.mass * WET * np.exp(-np.maximum(since, 0.0) / DRIES), 0.0)
            self.dry += np.where(on, item.mass * (1.0 - WET), 0.0) - burnt
            self.gone += burnt
            lost += item.lost * burnt
        self.dry = np.maximum(self.dry, 0.0)
        self.put_on = sum(item.mass * (self.seconds >= 60.0 * item.minute - 1e-6) for item in loads)
        self.ash = ASH * self.gone
        self.coals = np.zeros_like(self.seconds)
        keep = np.exp(-self.step / COALS_LAST)
        for i in range(1, self.seconds.size):
            self.coals[i] = self.coals[i - 1] * keep + CHAR * (self.gone[i] - self.gone[i - 1])
        coal_burnt = CHAR * self.gone - self.coals
        heat = (DRY_HEAT - CHAR * COAL_HEAT) * self.gone + COAL_HEAT * coal_burnt
        dried = sum(item.mass * WET * (self.seconds >= 60.0 * item.minute - 1e-6) for item in loads)
        self.fire, self.lost = heat, (DRY_HEAT - CHAR * COAL_HEAT) * lost
        self.dried = WATER_HEAT * (dried - self.water)
        self.power, self.lost_power = np.gradient(heat, self.seconds), np.gradient(self.lost, self.seconds)
        self.drying_power = np.gradient(self.dried, self.seconds)
        self.release = np.maximum(self.power - self.lost_power, 0.0)
        self.flue, self.pipe_outside = 0.24 * self.release, 0.05 * self.release
        into = self.power - self.lost_power - self.drying_power - self.flue - self.pipe_outside
        held = np.zeros_like(self.seconds)
        for i in range(1, self.seconds.size):
            share = 1.0 - np.exp(-self.step / STOVE_LAG)
            held[i] = max(held[i - 1] + share * (STOVE_LAG * into[i] - held[i - 1]), 0.0)
        self.given = held / STOVE_LAG
        self.stored = (
            self.fire
            - self.lost
            - self.dried
            - fake_night.total(self.seconds, self.flue + self.pipe_outside + self.given)
        )

    def values(self, outdoors: np.ndarray, room: np.ndarray) -> dict[str, Any]:
        """The variables of the group "fire", and the heat released."""
        body = outdoors + room + self.given * STOVE_LAG / STOVE_HEAT
        gas = outdoors + 0.8 * (body - outdoors) + 0.03 * self.release
        top = outdoors + 0.6 * (gas - outdoors)
        mean = 0.5 * (gas + top) + 273.15
        draught = 0.0342 * 101325.0 * 2.6 * (1.0 / (outdoors + 273.15) - 1.0 / mean)
        flow = 0.002 * np.sqrt(np.maximum(draught, 0.0))
        used = np.stack([self.water, self.dry, self.coals, self.ash])
        share = np.ones_like(outdoors)
        for turn in self.turns:
            share[self.seconds >= 60.0 * turn.minute] = turn.share
        needed = np.full_like(outdoors, 0.05)
        for item in self.loads:
            later = self.seconds >= 60.0 * item.minute
            needed[later] = max(0.05, 0.04 * item.mass * (1.0 - WET))
        there = np.maximum((self.coals + self.dry) / needed, 1e-6)
        return {
            "heat_release": self.release,
            "stove_temperature": body,
            "firebox_temperature": body + 0.05 * self.release,
            "flue_gas_temperature": gas,
            "flue_exit_temperature": top,
            "pipe_temperature": outdoors + 0.7 * (gas - outdoors),
            "jack_temperature": outdoors + 0.5 * (gas - outdoors),
            "fuel_mass": np.vstack([used, self.put_on - used.sum(axis=0)]).T,
            "draft_pressure": draught,
            "flue_flow": flow,
            "air_flow": 0.9 * flow,
            "air_setting": share,
            "damper_setting": np.ones_like(outdoors),
            "unburnt": self.lost_power,
            "relight_chance": 1.0 / (1.0 + there ** (-np.log(9.0) / np.log(1.5))),
        }

    def accounts(self) -> dict[str, np.ndarray]:
        """Sums since the beginning, but what is stored."""
        return {
            "fire": self.fire,
            "unburnt": -self.lost,
            "drying": -self.dried,
            "flue": -fake_night.total(self.seconds, self.flue),
            "pipe_outside": -fake_night.total(self.seconds, self.pipe_outside),
        }

    def paths(self) -> dict[str, np.ndarray]:
        """Rates along the paths that every stove has."""
        return {
            "fire": self.power,
            "unburnt": -self.lost_power,
            "drying": -self.drying_power,
            "flue": -self.flue,
            "pipe_outside": -self.pipe_outside,
            "stove_to_air": 0.4 * self.given,
            "stove_radiation": 0.6 * self.given,
        }

    def events(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """What was done, in order."""
        coals = np.interp([60.0 * item.minute for item in self.loads], self.seconds, self.coals)
        rows = [
            (item.minute, "load put on" if i else "load lit by hand", item.mass, float(left), item.by)
            for i, (item, left) in enumerate(zip(self.loads, coals, strict=True))
        ]
        rows += [
            (turn.minute, f"air to {turn.mark} ({100 * turn.share:.0f} %)", 0.0, 0.0, turn.by)
            for turn in self.turns
        ]
        minute, what, mass, left, by = zip(*sorted(rows, key=lambda row: row[0]), strict=True)
        moments = BEGIN + np.round(np.array(minute) * 60e9).astype("timedelta64[ns]")
        values = {"event_time": moments, "event_what": list(what), "event_mass": list(mass)}
        return values | {"event_coals": list(left), "event_by": list(by)}, {"event": range(len(rows))}


def _burnt(share: np.ndarray) -> np.ndarray:
    """Burnt share over the share of the burning time, with a fast begin and a second hump."""
    x = np.clip(share, 0.0, 1.0)
    return np.clip(1.0 - (1.0 - x) ** 1.6 + 0.05 * np.sin(2.0 * np.pi * x) * np.sin(np.pi * x) ** 2, 0.0, 1.0)

"""A night made of plain formulas, for tests of what stands above the simulation. Describes no real camp."""

from pathlib import Path
from typing import Any

import numpy as np
import xarray as xr

from simtent import results
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario

BEGIN = np.datetime64("2031-02-15T00:30", "ns")  # 17:30 on the clock at -07:00
HOURS = 14.0
WARMTH = 66.0  # [W/K] from inside to outdoors
ATTRS: dict[str, Any] = {
    "name": "Paper bench",
    "invented": 1,
    "units": "us",
    "zone": "-07:00",
    "scenario_given": 'name = "Paper bench"\n',
    "scenario_effective": 'name = "Paper bench"\nunits = "us"\n',
    "versions": "none: made of formulas",
    "solver": "none: made of formulas",
    "energy_residual": 0.0,
    "air_note": "none: made of formulas",
    "fire_note": "",
}
LEVELS = {"head": 1.68, "waist": 0.91, "cot": 0.46, "floor": 0.15}
HEIGHTS = np.linspace(0.075, 2.325, 16)
INTERFACES = np.linspace(0.15, 2.25, 15)
STREAMS = ("plume", "falling current", "rising current", "fan", "room air")
OPENINGS = {  # name -> lowest and highest part [m], share of what comes in, share of what leaves
    "seams, windward": (0.075, 2.325, 0.3, 0.1),
    "seams, lee": (0.075, 2.325, 0.15, 0.2),
    "low vent, windward": (0.15, 0.15, 0.35, 0.0),
    "low vent, lee": (0.15, 0.15, 0.2, 0.0),
    "ridge vent, windward": (2.25, 2.25, 0.0, 0.3),
    "ridge vent, lee": (2.25, 2.25, 0.0, 0.4),
}
VOLUME = 21.6  # m3
SHARES = {"air": 0.05, "skin": 0.1, "ground": 0.6, "contents": 0.25}
SCENARIO = """\
format = 1
name = "Paper bench"
invented = true
units = "us"
night = { evening = "2031-02-14", zone = "-07:00", begin = "17:30", end = "07:30" }
site = { ground = "packed snow", ground_start = "18 degF" }
outdoors = { steady = "-8 degC" }
crew = { asleep = 2 }

[wish]
bed = "21:30"
rise = "06:30"
cot_at_least = "40 degF"
head_at_most = "95 degF"
cot_at_rise = "50 degF"

[levels]
head = "168 cm"
waist = "91 cm"
cot = "46 cm"
floor = "15 cm"

[shelter]
shape = "box"
length = "3 m"
width = "3 m"
height = "2.4 m"

[shelter.skin]
wall = ["10 oz/yd2 cotton canvas"]
roof = ["10 oz/yd2 cotton canvas"]

[heat]
radiant_share = "40 %"
from_height = "20 cm"
to_height = "1 m"
between = "steps"
table = [{ at = "17:30", power = "2 kW" }, { at = "21:30", power = "1 kW" }]
"""


def scenario_file(folder: Path, text: str = SCENARIO, name: str = "paper.toml") -> Path:
    """The scenario of this night as a file."""
    path = folder / name
    path.write_text(text)
    return path


def scenario(folder: Path, *settings: str) -> Scenario:
    """The scenario of this night."""
    return load(scenario_file(folder), settings=settings)


def heat_steps(hours: np.ndarray) -> np.ndarray:
    """Heat release [W] by the hour of the night: strong, a long low hold, little, then the morning."""
    steps = [hours < 1.0, hours < 4.0, hours < 9.0, hours < 12.0]
    return np.select(steps, [3200.0, 2400.0, 1500.0, 600.0], 2600.0)


def values(minutes: float = 1.0) -> tuple[dict[str, Any], dict[str, Any]]:
    """Values and coords of a night of 14 hours: one lump of air that follows the heat, 25 min behind it."""
    hours = np.arange(0.0, HOURS + minutes / 120.0, minutes / 60.0)
    seconds = hours * 3600.0
    heat = heat_steps(hours)
    outdoors = outdoors_at(hours)
    lump = follow(minutes, heat)
    accounts = {"source": total(seconds, heat)} | losses(seconds, lump)
    stored = sum(accounts.values())
    accounts |= {f"stored_{name}": share * stored for name, share in SHARES.items()}
    paths = {"source_convective": 0.6 * heat, "source_radiant": 0.4 * heat} | loss_paths(lump)
    data = room(outdoors, lump) | {
        "outdoor_temperature": outdoors,
        "sky_temperature": outdoors - 12.0,
        "wind_speed": np.full_like(hours, 2.2),
        "sunshine": np.zeros_like(hours),
        "heat_release": heat,
        "heat_flow": np.stack(list(paths.values()), axis=1),
        "energy": np.stack(list(accounts.values()), axis=1),
    }
    coords = {
        "time": BEGIN + (seconds * 1e9).astype("timedelta64[ns]"),
        "height": HEIGHTS,
        "level": list(LEVELS),
        "interface": INTERFACES,
        "stream": list(STREAMS),
        "opening": list(OPENINGS),
        "surface": ["wall 1", "roof 1", "outer wall 1", "floor"],
        "path": list(paths),
        "account": list(accounts),
    }
    return data, coords


def night(minutes: float = 1.0, **attrs: Any) -> xr.Dataset:
    """The Dataset of that night, with events."""
    data, coords = values(minutes)
    times = [BEGIN + np.timedelta64(h, "h") for h in (0, 1, 4, 9, 12)]
    data |= {"event_time": np.array(times), "event_what": [f"heat step {i}" for i in range(5)]}
    data |= {"event_mass": [0.0] * 5, "event_coals": [0.0] * 5, "event_by": ["clock"] * 5}
    return results.label(data, coords | {"event": np.arange(5)}, ATTRS | attrs)


def outdoors_at(hours: np.ndarray) -> np.ndarray:
    """Outdoor temperature [degC] by the hour of the night."""
    return -14.0 + 7.5 * np.cos(2 * np.pi * (hours + 2.5) / 30.0)


def follow(minutes: float, heat: np.ndarray) -> np.ndarray:
    """Warmth of a lump of air above outdoors [K] that follows the heat [W], 25 min behind it."""
    lump = np.zeros_like(heat)
    for i in range(1, heat.size):
        lump[i] = lump[i - 1] + (heat[i - 1] / WARMTH - lump[i - 1]) * (1.0 - np.exp(-minutes / 25.0))
    return lump


def room(outdoors: np.ndarray, lump: np.ndarray, to_fire: np.ndarray | float = 0.0) -> dict[str, Any]:
    """The variables of the groups "room" and "band"; a fire draws some air [kg/s]."""
    tops = np.array(list(LEVELS.values()))
    level = _profile(outdoors, lump, tops)
    width = 0.06 * (level - outdoors[:, None]) + 0.8
    over = level[:, list(LEVELS).index("head")] - level[:, list(LEVELS).index("floor")]
    return {
        "air_temperature": _profile(outdoors, lump, HEIGHTS),
        "level_temperature": level,
        "level_temperature_low": level - width,
        "level_temperature_high": level + width,
        "head_over_floor": over,
        "head_over_floor_low": over - 0.5,
        "head_over_floor_high": over + 0.5,
        "operative_temperature": level - 0.12 * lump[:, None],
        "felt_temperature": _profile(outdoors, lump, HEIGHTS) - 0.12 * lump[:, None],
        "level_height": tops,
        "ground_melted": np.zeros_like(lump),
        "surface_temperature": outdoors[:, None] + lump[:, None] * np.array([[0.35, 0.5, 0.1, 0.3]]),
    } | air(outdoors, lump, np.zeros_like(lump) + to_fire)


def air(outdoors: np.ndarray, lump: np.ndarray, to_fire: np.ndarray) -> dict[str, Any]:
    """How the air moves: a plume up the middle, cold currents at the walls, in low and out high."""
    bottom, top, brings, takes = (np.array(column) for column in zip(*OPENINGS.values(), strict=True))
    enters = 0.004 + 0.0003 * lump + np.maximum(to_fire, 0.0)
    entering = enters[:, None] * brings
    leaving = (enters - to_fire)[:, None] * takes
    share = INTERFACES / HEIGHTS[-1]
    plume = 0.05 * lump[:, None] / 40.0 * share**1.5 * (1.0 - share**12)
    falling = -0.03 * lump[:, None] / 40.0 * (1.0 - share) ** 0.7
    rising = 0.006 * np.ones_like(plume) * np.exp(-4.0 * share)
    through = np.where(INTERFACES < 1.4, enters[:, None], (enters - to_fire)[:, None])
    rest = through - plume - falling - rising
    kelvin = _profile(outdoors, lump, HEIGHTS) + 273.15
    density, outside = 101325.0 / (287.055 * kelvin), 101325.0 / (287.055 * (outdoors + 273.15))
    lighter = 9.80665 * (outside[:, None] - density)
    return {
        "layer_flow": np.stack([plume, falling, rising, 0.0 * plume, rest], axis=2),
        "opening_flow": entering - leaving,
        "opening_inflow": entering,
        "opening_bottom": bottom,
        "opening_top": top,
        "leakage_flow": entering.sum(axis=1),
        "air_changes": 3600.0 * entering.sum(axis=1) / (VOLUME * density.mean(axis=1)),
        "pressure_difference": lighter.mean(axis=1)[:, None] * (HEIGHTS - 1.4),
        "layer_mass": VOLUME / HEIGHTS.size * density,
        # All of it at the floor: so the layers' balances are even up to where the fire draws and the air leaves.
        "layer_inflow": enters[:, None] * (HEIGHTS[0] == HEIGHTS),
        "mixing_flow": 0.002 * np.ones_like(plume),
    }


def total(seconds: np.ndarray, power: np.ndarray) -> np.ndarray:
    """Energy since the beginning [J] of a power [W]."""
    return np.concatenate([[0.0], np.cumsum(0.5 * (power[1:] + power[:-1]) * np.diff(seconds))])


def losses(seconds: np.ndarray, lump: np.ndarray) -> dict[str, np.ndarray]:
    """What people gave and the room lost since the beginning [J]."""
    loss = total(seconds, WARMTH * lump)
    return {
        "people": total(seconds, np.full_like(lump, 120.0)),
        "leakage": -0.24 * loss,
        "outside_convection": -0.42 * loss,
        "sky_radiation": -0.19 * loss,
        "ground_edge": -0.05 * loss,
    }


def loss_paths(lump: np.ndarray) -> dict[str, np.ndarray]:
    """Rates [W] along the paths of people and room."""
    loss = WARMTH * lump
    return {
        "people": np.full_like(lump, 120.0),
        "wall_to_air": -0.3 * loss,
        "roof_to_air": -0.3 * loss,
        "floor_to_air": 0.05 * loss,
        "contents_to_air": 0.02 * loss,
        "leakage": -0.24 * loss,
        "outside_convection": -0.42 * loss,
        "sky_radiation": -0.19 * loss,
        "ground_edge": -0.05 * loss,
    }


def _profile(outdoors: np.ndarray, lump: np.ndarray, heights: np.ndarray) -> np.ndarray:
    return outdoors[:, None] + lump[:, None] * (0.62 + 0.42 * np.sqrt(heights / 2.4))[None, :]

"""The night made of plain formulas, with water counted by plain formulas too. Describes no real camp."""

from pathlib import Path
from typing import Any

import numpy as np
import xarray as xr

from simtent import results
from simtent.scenario.scenario import Scenario
from tests import fake_night

SURFACES = ("wall 2", "wall 3", "roof 14", "outer wall 2", "outer wall 3", "outer roof 14", "floor")
AREAS = np.array([4.0, 6.0, 5.0, 4.0, 6.0, 5.0, 9.0])  # m2
FROST = np.array([0.030, 0.0002, 0.010, 0.0, 0.0, 0.0, 0.002])  # kg/m2 in the end
LIQUID = np.array([0.0, 0.0, 0.004, 0.0, 0.0, 0.0, 0.0])
BREATH, IN_BAGS, DRIES, CAME, DRIPS = 0.08, 0.01, 0.02, 0.03, 0.003  # kg/h


def scenario(folder: Path, *settings: str) -> Scenario:
    """The scenario of that night, its damp by the usual numbers."""
    return fake_night.scenario(folder, *settings).replace("damp", {})


def night(minutes: float = 5.0, **attrs: Any) -> xr.Dataset:
    """The Dataset of that night: water grows evenly on the surfaces, what is left over leaves with the air."""
    values, coords = fake_night.values(minutes)
    outdoors, warmth = values["outdoor_temperature"], values["air_temperature"]
    shares = np.linspace(0.1, 0.5, len(SURFACES))
    inner = values["surface_temperature"][:, :1]
    values["surface_temperature"] = outdoors[:, None] + (inner - outdoors[:, None]) * shares
    dataset = results.label(values, coords | {"surface": list(SURFACES)}, fake_night.ATTRS | attrs)
    return results.extend(dataset, *damp(dataset["time"].values, warmth))


def damp(times: np.ndarray, warmth: np.ndarray) -> tuple[dict[str, Any], dict[str, Any]]:
    """Values and coords of the group "damp"."""
    hours = (times - times[0]) / np.timedelta64(1, "h")
    grown = (hours / hours[-1])[:, None]
    lies = (FROST + LIQUID) * AREAS
    stored = {
        "stored_air": 0.0 * hours,
        "stored_skin": grown[:, 0] * lies[:-1].sum(),
        "stored_floor": grown[:, 0] * lies[-1],
        "stored_gear": -DRIES * hours,
        "stored_bag": IN_BAGS * hours,
    }
    came = {"entered": CAME * hours, "sleepers": BREATH * hours}
    accounts = came | {"left": sum(stored.values()) - sum(came.values())} | stored
    return {
        "humidity_ratio": 0.002 + 0.0 * warmth,
        "dew_point": 0.2 * warmth - 9.0,
        "frost": grown * FROST,
        "condensate": grown * LIQUID,
        "surface_area": AREAS,
        "water": np.stack(list(accounts.values()), axis=1),
        "dripped": DRIPS * np.maximum(hours - 4.0, 0.0),
    }, {"water_account": list(accounts)}

"""How the air of a night moves, read off its Dataset: the neutral height, and what comes in where."""

import numpy as np
import xarray as xr

from simtent.assess.curves import Floats

SIDES = ("windward", "lee")


def edges_of(dataset: xr.Dataset) -> Floats:
    """Heights of the boundaries of all layers, floor and peak included [m]."""
    inner, centres = dataset["interface"].values, dataset["height"].values
    return np.concatenate([[0.0], inner, [2.0 * centres[-1] - inner[-1]]])


def neutral_height(moment: xr.Dataset) -> float | None:
    """Height at which no pressure drives air in or out [m], wind left out; None where there is none inside.

    `moment` is a Dataset at one of its times. Below it air is driven in and above it out, as in any room that is
    warmer than outdoors; of several such heights the lowest.
    """
    edges, heights = edges_of(moment), moment["height"].values
    pressure = moment["pressure_difference"].values
    # Within a layer the pressure runs straight: to the floor and the peak as between the nearest centres.
    low = pressure[0] + (edges[0] - heights[0]) * (pressure[1] - pressure[0]) / (heights[1] - heights[0])
    high = pressure[-1] + (edges[-1] - heights[-1]) * (pressure[-1] - pressure[-2]) / (
        heights[-1] - heights[-2]
    )
    at, over = np.concatenate([[0.0], heights, edges[-1:]]), np.concatenate([[low], pressure, [high]])
    rises = np.flatnonzero((over[:-1] < 0.0) & (over[1:] >= 0.0))
    if rises.size == 0:
        return None
    k = rises[0]
    return float(at[k] - over[k] * (at[k + 1] - at[k]) / (over[k + 1] - over[k]))


def name_and_side(opening: str) -> tuple[str, str]:
    """The name of an opening without its side, and the side; "" where it has none."""
    name, comma, side = opening.rpartition(", ")
    return (name, side) if comma and side in SIDES else (opening, "")

"""Water of a night that counts damp, read off its Dataset: what came and went, and where frost and dew lie."""

import re
from dataclasses import dataclass

import numpy as np
import xarray as xr

from simtent.assess.curves import Curve, curve, seconds_of

BAND = re.compile(r"(.+) (\d+)")  # a surface of the skin: its part, and its layer counted from 1 at the floor
SEEN = 5e-4  # kg/m2; less than half a gram on a square metre is called bare
KINDS = ("frost", "condensate")


@dataclass(frozen=True, slots=True)
class Lying:
    """Water on one part of the shelter at one time.

    part     wall, roof, windows, floor
    kind     "frost", or "condensate" for liquid water
    mass     on the whole part [kg]
    most     on its wettest band [kg/m2]
    most_at  height of that band's middle [m]; None on a floor
    lowest   height of the lowest band that bears any to see [m]; None on a floor, or where none does
    """

    part: str
    kind: str
    mass: float
    most: float
    most_at: float | None
    lowest: float | None


def counted(dataset: xr.Dataset) -> bool:
    """Whether the night counts damp."""
    return "water" in dataset


def account(dataset: xr.Dataset, name: str) -> Curve:
    """One entry of the water ledger over time [kg]."""
    return curve(dataset, "water", water_account=name)


def lying(dataset: xr.Dataset, seconds: float) -> list[Lying]:
    """What lies on every part at the time nearest to a moment [s from begin], the most water first."""
    nearest = int(np.argmin(np.abs(seconds_of(dataset) - seconds)))
    moment = dataset.isel(time=nearest)
    bands: dict[str, list[int]] = {}
    for k, name in enumerate(moment["surface"].values.tolist()):
        if not name.startswith("outer "):
            bands.setdefault(part_and_layer(name)[0], []).append(k)
    found = [_on_part(moment, part, kind, at) for part, at in bands.items() for kind in KINDS]
    return sorted(found, key=lambda it: -it.mass)


def on_skin(dataset: xr.Dataset, seconds: float) -> dict[str, float]:
    """Frost and liquid water on the skin's inner faces at the time nearest to a moment [kg]; floors left out."""
    totals = dict.fromkeys(KINDS, 0.0)
    for it in lying(dataset, seconds):
        if not it.part.startswith("floor"):
            totals[it.kind] += it.mass
    return totals


def part_and_layer(surface: str) -> tuple[str, int | None]:
    """The part that a surface belongs to, and its layer of air counted from 0; None for a floor."""
    band = BAND.fullmatch(surface)
    return (band[1], int(band[2]) - 1) if band else (surface, None)


def _on_part(moment: xr.Dataset, part: str, kind: str, at: list[int]) -> Lying:
    names = moment["surface"].values.tolist()
    areal, areas = moment[kind].values[at], moment["surface_area"].values[at]
    heights = [_height(moment, names[k]) for k in at]
    wet = [height for height, here in zip(heights, areal, strict=True) if here >= SEEN and height is not None]
    most = int(np.argmax(areal))
    return Lying(part, kind, float(areal @ areas), float(areal[most]), heights[most], min(wet, default=None))


def _height(moment: xr.Dataset, surface: str) -> float | None:
    layer = part_and_layer(surface)[1]
    return None if layer is None else float(moment["height"].values[layer])

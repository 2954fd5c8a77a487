"""A stove of a given firebox volume, in the proportions of the table of stoves; what a full load of it is.

Everything scales from the row of 30 L, and the rows of 12 and 60 L check the laws:
- firebox lengths by the cube root of volume (the shape stays): closed form;
- pipe by flue area over firebox floor, which the three rows keep within 7 %: so the diameter goes with a length too;
- air opening by the cube root of volume: the rows' openings pass a tight fill within 1, 2 and 3 h, which is what
  burning time gains as boxes grow, and leaves the area hardly more than a length: read from the rows, own choice;
- sheet by volume to the power 0.6: read from the rows (0.8, 1.2, 2 mm), own choice; mass then follows from the sheet;
- leak around the door as a length, from the 1.5 cm2 that [stove.air] takes for any stove: own choice.
Lever marks, pipe lengths, bends, cap, damper and what stands on the stove stay those of the scenario's own stove.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi, prod
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.checks_fire import FULLEST, TEST_LOAD
from simtent.scenario.materials import stove
from simtent.scenario.scenario import Scenario
from simtent.scenario.stove import Stove
from simtent.scenario.wood import Wood
from simtent.units import to_si

ROW = "folding sheet-steel stove"
SHEET_POWER = 0.6
LEAK = 1.5e-4  # m2
LADDER = (0.005, 0.008, 0.012, 0.018, 0.027, 0.040, 0.060)
"""Firebox volumes [m3], each about one and a half times the last, over the table's range of 4 to 60 L."""

LEAST, MOST = 0.002, 0.3  # m3; beyond it the proportions are anyone's guess

LOOSE = 0.9  # of the firebox' length is the longest piece; common practice, no source
SLENDER = 0.4  # of the firebox' width is the thickest piece, so that two lie side by side; own choice
LEGS, OUTSIDE, SHORTEST = (
    0.15,
    0.8,
    0.1,
)  # m: legs, pipe above the roof where no stove is given, pipe inside at least


@dataclass(frozen=True)
class Size:
    """A stove in shop terms.

    volume   of the firebox [m3]
    sheet    of the body: "1.2 mm steel"
    mass     of the body without pipe [kg]
    pipe     inner diameter of the pipe [m]
    opening  of all air inlets [m2]
    long     longest piece that goes in [m]
    thick    thickness of the pieces it is fed [m]
    load     wood of a full load, as it is [kg]
    pieces   how many such pieces that is, to the nearest
    own      whether it is the scenario's own stove
    """

    volume: float
    sheet: str
    mass: float
    pipe: float
    opening: float
    long: float
    thick: float
    load: float
    pieces: int
    own: bool = False


def sized(volume: float, given: Scenario, changed: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """What makes the stove of a scenario one whose firebox has so many m3, as dotted keys.

    changed  keys of [stove] with values as in a file; they win. InputError outside of what the proportions can mean.
    """
    if not LEAST <= volume <= MOST:
        allowed = f"{1000.0 * LEAST:g} L to {1000.0 * MOST:g} L"
        raise InputError(Fault("no such firebox", value=f"{1000.0 * volume:.4g} L", allowed=allowed))
    row = stove(ROW)
    sides = {side: to_si(row["firebox"][side], "length") for side in ("length", "width", "height")}
    ratio = volume / prod(sides.values())
    scale = ratio ** (1.0 / 3.0)
    thick, metal = row["sheet"].split(" mm ")
    body = {
        "like": "none", "mass": "none", "glass": "0 cm2", "baffle": False,
        "firebox": {side: f"{size * scale!r} m" for side, size in sides.items()},
        "sheet": f"{float(thick) * ratio**SHEET_POWER:.3g} mm {metal}",
        "pipe.diameter": f"{to_si(row['pipe']['diameter'], 'length') * scale!r} m",
        "air.opening": f"{to_si(row['air']['opening'], 'area') * scale!r} m2",
        "air.leak": f"{LEAK * scale!r} m2",
        **_kept(given, sides["height"] * scale, row),
    }  # fmt: skip
    return {f"stove.{key}": value for key, value in (body | dict(changed or {})).items()}


def _kept(given: Scenario, height: float, row: Mapping[str, Any]) -> dict[str, Any]:
    """What stays of the scenario's own stove though its `like` is gone, and a pipe that still ends at the roof."""
    own, shelter = given.stove, given.shelter
    if own is not None:
        inside = max(own.collar + own.pipe.inside - own.legs - height, SHORTEST)
        marks = {name: f"{100.0 * share!r} %" for name, share in own.air.marks.items()}
        pipe = f"{1000.0 * own.pipe.sheet.thickness:.4g} mm {own.pipe.sheet.metal}"
        return {"air.marks": marks, "pipe.sheet": pipe, "pipe.inside": f"{inside!r} m"}
    assert shelter is not None
    jack = shelter.openings.jack
    top = jack.at if jack is not None and jack.at is not None else 0.5 * (shelter.eaves + shelter.peak)
    return {
        "air.marks": row["air"]["marks"], "pipe.sheet": row["pipe"]["sheet"], "legs": f"{LEGS} m",
        "pipe.inside": f"{max(top - LEGS - height, SHORTEST)!r} m", "pipe.outside": f"{OUTSIDE} m",
    }  # fmt: skip


def shop_terms(stove: Stove, wood: Wood, thickest: float, *, own: bool = False) -> Size:
    """A stove in shop terms, and what a full load of it is in pieces as thick as those at hand [m]."""
    box = stove.firebox
    thick, long = min(thickest, SLENDER * min(box.width, box.height)), LOOSE * box.length
    moist = wood.species.density / (1.0 - wood.moisture)  # kg of wood as it is over its volume
    load = min(TEST_LOAD, FULLEST * moist) * box.volume
    pieces = max(round(load / (0.25 * pi * thick**2 * long * moist)), 1)
    return Size(
        box.volume,
        f"{1000.0 * stove.sheet.thickness:.2g} mm {stove.sheet.metal.split()[0]}",
        stove.body_mass,
        stove.pipe.diameter,
        stove.air.opening,
        long,
        thick,
        load,
        pieces,
        own,
    )

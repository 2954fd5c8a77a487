"""The stove, the wood and the loads of a draft, sized by the firebox."""

from collections.abc import Mapping
from math import ceil, pi
from typing import Any

from simtent.scenario.likeness import firebox
from simtent.scenario.materials import stove
from simtent.scenario.shelter import Shelter
from simtent.tell.paper import Block

LEGS = 0.15  # m
ROOF_AT = 0.8  # of the peak: where the pipe passes the roof, if the roof does not begin higher
ABOVE_PEAK = 0.35  # m, of the pipe's end
THROUGH = 0.03  # m that the pipe is longer than to the roof
SHORTEST = 0.1  # m of pipe inside, in a shelter that is too low for the stove: the reader says so
# Pieces [m] and the shares of the firebox that loads take by volume; common practice, no source.
KINDLING, STICK, SPLIT = 0.02, 0.045, 0.08
LONG, THICKEST = 0.8, 0.6  # of the firebox
FIRST, EVENING, NIGHT = 0.1, 0.15, 0.25
KINDLINGS = 6
LOADS = (("18:45", EVENING), ("20:00", EVENING), ("21:15", NIGHT))
LIT_FOR = "15 min"


def stove_blocks(name: str, mass: str | None, shelter: Shelter) -> list[Block]:
    """[stove] with its pipe up to and over this shelter's roof, and its air."""
    row = stove(name)
    box = firebox(name)
    collar = LEGS + box.height
    roof = max(ROOF_AT * shelter.peak, shelter.eaves)
    own = {"like": name, "firebox": row["firebox"], "sheet": row["sheet"], "legs": _cm(LEGS)}
    if mass:
        own["mass"] = mass
    pipe = {
        **row["pipe"],
        "inside": _cm(max(roof - collar + THROUGH, SHORTEST)),
        "outside": _cm(shelter.peak - roof + ABOVE_PEAK),
    }
    marks = _marks(row)
    air = {**row["air"], "least_when_asleep": marks[0]}
    remarks = {
        "like": "a row of the table of stoves; it fills what is not given here",
        "legs": "height of the firebox above the ground: a guess",
        "inside": "from the stove to the roof: worked out from the sizes here; measure yours",
        "outside": "above the roof: a guess that ends above the peak; measure yours",
        "least_when_asleep": "a guess: ask the stove's maker for the lowest mark",
    }
    return [
        Block(("stove",), own, "replace the table's numbers by your own", own=remarks),
        Block(("stove", "pipe"), pipe, own=remarks),
        Block(("stove", "air"), air, own=remarks),
    ]


def fire_blocks(name: str, begin: str) -> list[Block]:
    """[wood], its pieces, and the loads of an evening, as guesses."""
    volume, pieces = firebox(name).volume, _pieces(name)
    low, middle, high = _marks(stove(name))
    loads = [(begin, _first(pieces, volume), _turned(high, middle))]
    loads += [
        (at, _pile(pieces, share * volume), _turned(high, low if share == NIGHT else middle))
        for at, share in LOADS
    ]
    sizes = {key: {"thick": _mm(thick), "long": _cm(long)} for key, (thick, long) in pieces.items()}
    return [
        Block(
            ("wood",), {"species": "softwood", "moisture": "18 % wet"}, "guesses: split a piece and measure"
        ),
        Block(("wood", "pieces"), sizes, "kinds of pieces at hand, under names of your own"),
        Block(("stoking",), {"air": high}, "what is done at the stove: a guess at your evening"),
        *(
            Block(
                ("stoking", "load", n),
                {"at": at, "pieces": put_on, "air": air},
                own={"pieces": "", "air": ""},
            )
            for n, (at, put_on, air) in enumerate(loads)
        ),
    ]


def _marks(row: Mapping[str, Any]) -> tuple[str, str, str]:
    """The lowest, the middle and the highest mark of the air."""
    marks = sorted(row["air"]["marks"], key=lambda mark: float(row["air"]["marks"][mark].rstrip(" %")))
    return marks[0], marks[len(marks) // 2], marks[-1]


def _pieces(name: str) -> dict[str, tuple[float, float]]:
    """Thickness and length [m] of three kinds of pieces that go into the firebox."""
    box = firebox(name)
    thickest = THICKEST * min(box.width, box.height)
    long = LONG * box.length
    return {"kindling": (KINDLING, long), "stick": (STICK, long), "split": (min(SPLIT, thickest), long)}


def _volume(piece: tuple[float, float]) -> float:
    return pi / 4.0 * piece[0] ** 2 * piece[1]


def _first(pieces: Mapping[str, tuple[float, float]], volume: float) -> dict[str, int]:
    left = FIRST * volume - KINDLINGS * _volume(pieces["kindling"])
    return {"kindling": KINDLINGS, "stick": max(1, round(left / _volume(pieces["stick"])))}


def _pile(pieces: Mapping[str, tuple[float, float]], volume: float) -> dict[str, int]:
    """As many splits as the volume [m3] holds, or sticks where it holds none."""
    splits = int(volume / _volume(pieces["split"]))
    return {"split": splits} if splits else {"stick": max(1, int(volume / _volume(pieces["stick"])))}


def _turned(high: str, then: str) -> list[dict[str, str]]:
    return [{"for": LIT_FOR, "mark": high}, {"mark": then}]


def _cm(length: float) -> str:
    return f"{ceil(100.0 * length - 1e-6)} cm"


def _mm(length: float) -> str:
    return f"{1000.0 * length:.0f} mm"

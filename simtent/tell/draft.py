"""A first scenario, made of rows of the tables and a few answers: every number in it waits for one's own."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from simtent.scenario.fields import declared_at
from simtent.scenario.likeness import shelter_like, stove_for
from simtent.scenario.materials import ground, shelter, shelter_source, stove_source
from simtent.scenario.night import PLACEHOLDER
from simtent.scenario.quantity import Quantity
from simtent.scenario.tree import Path
from simtent.tell.draft_fire import fire_blocks, stove_blocks
from simtent.tell.draft_us import beginning_in_us, quantity_in_us, words_in_us
from simtent.tell.paper import Block, remarks, toml_page
from simtent.units import System, exact, to_si

HIGH, LOW, GROUND, ASLEEP = "-3 degC", "-12 degC", "settled snow", 2
NIGHT = {"zone": "UTC", "begin": "18:00", "end": "07:00"}
WISH = {"bed": "21:30", "rise": "06:30"}
COT, HEAD = (
    "5 degC",
    "30 degC",
)  # what most bags of three seasons and most people up bear; common practice, no source
STANDING = 1.6  # m, of a head: lower ones sit or stoop
GROUND_BETWEEN = (258.15, 273.15)  # K, of a guessed ground
AS_THEY_STAND = ("name", "evening", "at_hand")  # words, whatever they begin with


class Typed(str):
    """A text that the user gave: it stands in the file as it was typed."""

    __slots__ = ()


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What a draft is made from; texts as they would stand in a file.

    shelter  name of a row of the table of shelters
    sizes    one's own lengths of the shelter by key; what is not here comes from the row
    stove    name of a row of the table of stoves; None: the one that goes with the floor
    mass     weighed mass of the stove
    cot      lowest temperature wished where people lie
    """

    name: str
    shelter: str
    units: System = "si"
    evening: str | None = None
    sizes: Mapping[str, str] = field(default_factory=dict)
    stove: str | None = None
    mass: str | None = None
    high: str = HIGH
    low: str = LOW
    ground: str = GROUND
    asleep: int = ASLEEP
    cot: str = COT


def draft(wanted: Wanted) -> str:
    """The text of a scenario file, each key with what it means; ValidationError where the sizes make no shelter."""
    like = shelter_like(wanted.shelter, dict(wanted.sizes))
    stove = wanted.stove or stove_for(like.floor_area)
    blocks = [
        _top(wanted),
        *_times(wanted),
        *_place(wanted),
        *_shelter(wanted, like.peak),
        *stove_blocks(stove, wanted.mass, like),
        *fire_blocks(stove, NIGHT["begin"]),
        Block(("crew",), {"asleep": wanted.asleep}),
        Block(("model",), shelter(wanted.shelter)["model"], "what no tape measures: guesses of the table"),
    ]
    page = [_in_units(block, like.shape, wanted.units) for block in blocks]
    return _head(wanted, stove) + toml_page(page, like.shape)


def _head(wanted: Wanted, stove: str) -> str:
    shelter_from, stove_from = shelter_source(wanted.shelter), stove_source(stove)
    if wanted.units == "us":
        shelter_from, stove_from = words_in_us(shelter_from), words_in_us(stove_from)
    lines = [
        f'A draft: a shelter like "{wanted.shelter}" with a stove like "{stove}".',
        "",
        "No number here was measured in your camp: they come from the tables of shelters and stoves, from answers you "
        "gave, or are guesses. Replace each by your own: measure, weigh, read the makers' manuals.",
        "",
        "`simtent explain KEY` tells what a key means, `simtent check FILE` what is odd. A line that begins with # is "
        "a remark.",
        "",
        f"Of the shelter: {shelter_from}.",
        f"Of the stove: {stove_from}.",
    ]
    return remarks(lines) + "\n"


def _top(wanted: Wanted) -> Block:
    values = {"format": 1, "name": wanted.name, "invented": True, "units": wanted.units}
    own = {"invented": "stays until every number is your own; then take this line away"}
    return Block((), values, own=own)


def _times(wanted: Wanted) -> tuple[Block, Block]:
    own = {} if wanted.evening else {"evening": "A PLACEHOLDER, no real night: write the date of yours"}
    night = Block(("night",), {"evening": wanted.evening or PLACEHOLDER.isoformat(), **NIGHT}, own=own)
    wish = {**WISH, "cot_at_least": wanted.cot, "head_at_most": HEAD}
    guesses = {
        "cot_at_least": "where you lie: a guess; by your bag and pad",
        "head_at_most": "a guess: more is too hot while you are up",
    }
    return night, Block(("wish",), wish, "what you want of the night: guesses", own=guesses)


def _place(wanted: Wanted) -> tuple[Block, Block]:
    earth = ground(wanted.ground)
    mean = (to_si(wanted.high, "temperature") + to_si(wanted.low, "temperature")) / 2.0
    start = exact(
        round(min(max(mean, GROUND_BETWEEN[0]), GROUND_BETWEEN[1]) - 273.15) + 273.15, "temperature"
    )
    site = {"altitude": "0 m", "ground": wanted.ground, "ground_start": start}
    if earth.over_water:
        site["ice_thickness"] = "40 cm"
    outdoors: dict[str, Any] = {
        "high": {"at": "14:30", "air": wanted.high},
        "low": {"at": "06:00", "air": wanted.low},
        "wind": "1 m/s",
        "cloud": "50 %",
        "spread": "2 K",
    }
    own = {
        "ground": "what it stands on",
        "ground_start": "of its surface: a guess; put a thermometer on it",
        "high": "the day's high",
        "low": "the night's low",
        "spread": "how far the forecast may be off",
    }
    return Block(("site",), site, own=own), Block(("outdoors",), outdoors, "guesses: take a forecast", own)


def _shelter(wanted: Wanted, peak: float) -> list[Block]:
    """The row's shelter with one's own sizes; heights in it go with the peak."""
    row = shelter(wanted.shelter)
    own = {**row["shelter"], **wanted.sizes}
    share = peak / shelter_like(wanted.shelter, {}).peak
    tables = {key: own.pop(key) for key in list(own) if isinstance(own[key], dict)}
    tables["openings"] = {key: _lifted(vent, share) for key, vent in tables.get("openings", {}).items()}
    tables["openings"]["jack"] = {"gap": "15 cm2"}
    levels = {key: _times_share(height, share) for key, height in row["levels"].items()}
    remarks_of = {"like": "a row of the table of shelters; it fills what is not given here", "shape": ""}
    stands = to_si(levels["head"], "length") >= STANDING
    heights = (
        f"above the ground: head {'as you stand' if stands else 'as you sit or stoop'}, cot where you lie"
    )
    return [
        Block(("levels",), levels, heights, dict.fromkeys(levels, "")),
        Block(
            ("shelter",), {"like": wanted.shelter, **own}, "replace the table's sizes by your own", remarks_of
        ),
        *(Block(("shelter", key), table) for key, table in tables.items()),
    ]


def _lifted(vent: Mapping[str, Any], share: float) -> dict[str, Any]:
    return {key: _times_share(value, share) if key == "at" else value for key, value in vent.items()}


def _times_share(height: str, share: float) -> str:
    """A height times a share, to the centimetre; as it is written where nothing changes."""
    return height if share == 1.0 else f"{100.0 * to_si(height, 'length') * share:.0f} cm"


def _in_units(block: Block, shape: str, units: System) -> Block:
    """The block with its quantities in the US units of their fields, where those are wanted."""
    if units == "si":
        return block
    values = {key: _value_in_us(value, (*block.path, key), shape) for key, value in block.values.items()}
    return replace(block, values=values)


def _value_in_us(value: Any, path: Path, shape: str) -> Any:
    if isinstance(value, dict):
        return {key: _value_in_us(item, (*path, key), shape) for key, item in value.items()}
    if isinstance(value, list):
        return [_value_in_us(item, path, shape) for item in value]
    if isinstance(value, Typed) or not isinstance(value, str) or path[-1] in AS_THEY_STAND:
        return value
    declared = declared_at(path, shape)
    return quantity_in_us(declared, value) if isinstance(declared, Quantity) else beginning_in_us(value)

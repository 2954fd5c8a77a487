"""Forms on paper, 80 columns wide and 60 lines long: a test night, and the first burn of a stove."""

from collections.abc import Iterator, Mapping, Sequence

from simtent.scenario.fields import declared_at
from simtent.scenario.in_units import in_units
from simtent.scenario.quantity import Quantity
from simtent.tell.cautions import headline
from simtent.tell.words import WIDTH, paragraph
from simtent.units import System

PAGE_END = "\f"
LINES = 60  # of a page, A4 or letter, in the usual ten or twelve point
BOX = "[ ]"
Column = tuple[str, int]

START = (
    "Carbon monoxide alarm: rated for this cold, placed as its maker says, tested just now.",
    "A low and a high vent open, and free of snow, frost and bedding.",
    "Makers' manuals of stove, pipe and shelter read; distances kept, theirs or more.",
    "Pipe and spark arrestor brushed, joints fixed; jack clear of fabric.",
    "Way out free; knife, water or sand, and a lidded metal pail for ashes at hand.",
    "Somebody stays awake while a fire burns. Who, and when:",
    "Clocks of watch, logger and alarm compared. Logger is ahead by:",
)
FIRST = (  # each on one line
    "A sensor made for heat on stove or pipe: it tells heat from heat loss.",
    "Every load weighed; else ten pieces of a kind once, and every load counted.",
    "At every load: did the coals light it, yes or no.",
    "One morning the fire dies by itself, vents open, and the log goes on.",
    "Another night an electric heater of known power, where there is current.",
)
LOADS = (
    ("time", 7),
    ("pieces, kind", 17),
    ("weight", 8),
    ("air", 7),
    ("damper", 8),
    ("coals, smoke, wind, door", 27),
)
OUTSIDE = (("time", 7), ("air", 9), ("wind", 12), ("cloud", 9), ("snow, rain, frost on the fabric", 37))


def night_sheet(name: str, levels: Mapping[str, float], units: System) -> list[str]:
    """The form of a test night; `levels` are the heights of the sensors [m]."""
    first = [
        "TEST NIGHT", *headline(), "",
        *_blanks(("Shelter", name), ("Evening of", ""), ("Zone", ""), ("Place on snow, soil, ice", ""), ("Crew", "")),
        "", "BEFORE THE FIRE IS LIT", *_checks(START),
        "", "SENSORS, shaded from the stove's glow, none touching cloth",
        *_sensors(levels, units),
        "", "WHAT A LOG NEEDS MOST, the first before the last",
        *_checks(FIRST),
        "", "OUTSIDE",
        *_table(OUTSIDE, 4),
    ]  # fmt: skip
    second = [
        "WOOD", *_blanks(("Kind", ""), ("Moisture, and wet or dry basis", "")),
        *_blanks(("Weighed: ten pieces of each kind", "")),
        "", "EVERY LOAD, EVERY TURN OF A LEVER, when it happens; levers by their marks",
        *_table(LOADS, 21),
        "", "IN THE MORNING",
        *_blanks(("Coals left, and did they light wood", ""), ("Ice or dew inside, where", ""), ("Alarm sounded", "")),
        "", "If the alarm sounds or a head aches: everyone out, and the shelter aired. Nobody",
        "sleeps in it again tonight. Call for help if anyone stays unwell.",
    ]  # fmt: skip
    return _pages(first, second)


BEFORE_BURN = (
    "Outdoors, upwind side, on ground that cannot burn; nothing overhead; water or sand at hand.",
    "The stove maker's manual read. It comes before every line here.",
    "Plastic, labels and protective film taken off; no pipe coated with zinc.",
    "Pipe joints fixed; the whole pipe up, with its arrestor and cap.",
    "Wood dry and weighed, a scale, a watch, and a thermometer made for a hot pipe.",
)
STEPS = (
    "A small fire first, then hotter, as the maker says. Fumes of oil and paint are not to be breathed.",
    "Burn until the smell is gone and no smoke comes off the metal. Let it cool. Once more if it smells.",
    "At the first glow close the air and leave the door shut.",
    "Then one load at each mark of the lever, weighed, from coals to coals.",
)
BURNS = (
    ("mark of air", 13), ("weight", 9), ("lit at", 8), ("flames end", 12), ("coals end", 11), ("hottest pipe", 14),
    ("remark", 7),
)  # fmt: skip
PIPE = (
    ("time", 8),
    ("pipe, low", 11),
    ("pipe, top", 11),
    ("body", 8),
    ("mark", 9),
    ("smoke, glow, sound", 28),
)


def burn_sheet(units: System) -> list[str]:
    """The form of a stove's first burn, outdoors."""
    degrees = "degF" if units == "us" else "degC"
    first = [
        "FIRST BURN OF A STOVE, OUTDOORS", *headline(), "",
        *_blanks(("Stove", ""), ("Date, outside air, wind", "")),
        "", "BEFORE IT IS LIT", *_checks(BEFORE_BURN),
        "", "STEPS", *_checks(STEPS),
        "", "THE AIR LEVER: scratch or paint marks, and measure what each leaves open",
        *_table((("mark", 12), ("open width", 14), ("open area", 14), ("remark", 36)), 5),
        "", *_blanks(("Firebox inside, length width height", ""), ("Pipe inside diameter, length", "")),
        *_blanks(("Weight of stove without pipe", ""), ("Weight of pipe", "")),
    ]  # fmt: skip
    second = [
        f"BURNS, one line each; temperatures in {degrees}", *_table(BURNS, 7),
        "", "Flames end: the last steady flame is gone. Coals end: nothing glows.",
        "", "EVERY FIVE MINUTES OF ONE BURN", *_table(PIPE, 13),
        "", "Smell or smoke off the metal at the end? Then it is not burnt in: burn it again.",
        "Not into a shelter before the maker's manual and this sheet are done.",
    ]  # fmt: skip
    return _pages(first, second)


def _pages(*parts: Sequence[str]) -> list[str]:
    """Pages that are no longer than a sheet, each with its number, parted by a form feed."""
    room = LINES - 1
    pages = [part[at : at + room] for part in parts for at in range(0, len(part), room)]
    lines: list[str] = []
    for number, page in enumerate(pages, 1):
        foot = f"page {number} of {len(pages)}".rjust(WIDTH)
        lines += [*page, foot, *([PAGE_END] if number < len(pages) else [])]
    return lines


def _checks(sentences: Sequence[str]) -> Iterator[str]:
    for text in sentences:
        yield from paragraph(text, first=f"{BOX} ", rest="    ")


def _blanks(*asked: tuple[str, str]) -> Iterator[str]:
    """A line for each, with what is known or room to write."""
    for label, known in asked:
        yield f"{label}: {known or '_' * (WIDTH - len(label) - 2)}"


def _sensors(levels: Mapping[str, float], units: System) -> Iterator[str]:
    rows = [(name, _height(name, height, units)) for name, height in levels.items()]
    rows += [("outdoors", "in the shade"), ("stove, pipe", "for heat only")]
    yield from _table(
        (("sensor", 14), ("hangs at", 16), ("channel", 12), ("really hangs at", 34)), rows=[*rows]
    )


def _height(name: str, height: float, units: System) -> str:
    declared = declared_at(("levels", name), None)
    return in_units(declared, height, units) if isinstance(declared, Quantity) else ""


def _table(columns: Sequence[Column], rows: int | Sequence[Sequence[str]]) -> Iterator[str]:
    """A table with ruled lines, empty or with its first cells filled."""
    filled = [[]] * rows if isinstance(rows, int) else rows
    yield _row(columns, [label for label, _ in columns])
    yield _row(columns, ["-" * width for _, width in columns], "+")
    for cells in filled:
        yield _row(columns, cells)
        yield _row(columns, ["_" * width for _, width in columns])


def _row(columns: Sequence[Column], cells: Sequence[str], mark: str = "|") -> str:
    padded = [*cells, *[""] * (len(columns) - len(cells))]
    return mark.join(
        cell[:width].ljust(width) for cell, (_, width) in zip(padded, columns, strict=True)
    ).rstrip()

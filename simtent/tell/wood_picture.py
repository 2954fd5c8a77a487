"""The wood of a trip as one picture: a bar for each night, its pieces by kind, and what to take."""

from textwrap import wrap
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from simtent.supply.pile import Pile
from simtent.supply.supplied import Supply, TripNight
from simtent.tell import frame, look
from simtent.tell.wood_others import pieces_text
from simtent.tell.words import TIED, degrees, percent, tied, wood_mass
from simtent.units import System, number, show

FILLS = look.PIECES  # kinds of pieces, the thickest first
INKS = ("white", look.INK, look.INK, look.INK)
LARGE = 0.21  # in, a line of the large type
LEFT, WIDTH = 0.25, 0.67  # of the axes
TALL, ABOVE, BELOW = 0.66, 2.35, 0.8  # in: of each night, of what stands over the bars, and under them
NARROW = 0.07  # share of the axes below which a count has no room in its bar


def to_bytes(supply: Supply, system: System, form: str = "png") -> bytes:
    """Draw the trip; the picture as a file that says whose it is."""
    return frame.as_file(supply.scenario, lambda: draw(supply, system), form)


def draw(supply: Supply, system: System) -> Figure:
    """The picture: cautions, what to take, a bar for each night, what kind of thing this is."""
    tall = TALL * len(supply.nights)
    lines = _to_take(supply)
    above = ABOVE + LARGE * (len(lines) - 1)
    height = above + tall + BELOW
    figure = frame.blank(height)
    axes = figure.add_axes((LEFT, BELOW / height, WIDTH, tall / height))
    _bars(axes, supply, system)
    trip = supply.scenario.trip
    all_of = f"{len(trip)} night{'s' if len(trip) > 1 else ''}"
    count = f"{len(supply.nights)} of {all_of}: INTERRUPTED" if supply.stopped else all_of
    frame.heading(
        figure, supply.scenario, f"wood for a trip of {count}, from {min(it.evening for it in trip)}"
    )
    y = (height - 1.12) / height
    figure.text(look.EDGE, y, "\n".join(lines), size=12.0, weight="bold", va="top", linespacing=1.25)
    y -= (LARGE * len(lines) + 0.06) / height
    figure.text(look.EDGE, y, "\n".join(_how_much(supply, system)), size=9.5, va="top", linespacing=1.35)
    frame.footing(figure, supply.scenario, _notes(supply, system))
    return figure


def _to_take(supply: Supply) -> list[str]:
    """What to take, in lines that large type has room for; no count is parted from what it counts."""
    text = tied(f"Take {pieces_text(supply.to_bring)}")
    return [line.replace(TIED, " ") for line in wrap(text, 34)]


def _how_much(supply: Supply, system: System) -> list[str]:
    pile, load = supply.to_bring, supply.scenario.carry.sled_load
    parts = [f"{wood_mass(pile.mass, system)}, {show(pile.stacked, 'volume', system)} stacked"]
    if load is not None:
        ways = pile.ways(load)
        parts.append(f"{ways} way{'s' if ways > 1 else ''} with {wood_mass(load, system)} on the sled")
    return [*parts, f"{percent(supply.margin)} asked for as margin"]


def _notes(supply: Supply, system: System) -> str:
    missed = "" if all(it.burnt.kept for it in supply.nights) else " *: not as wished."
    if not any(night.colder for night in supply.nights):
        return missed
    spread = supply.scenario.outdoors.spread or 0.0
    off = show(spread, "temperature_difference", system, 0 if system == "us" else 1)
    return f"{missed}\nOutlined: the wood with air {off} colder than foretold."


def _bars(axes: Axes, supply: Supply, system: System) -> None:
    """A bar for each night, as long as its wood is heavy, with counts in it and what it is like beside it."""
    kinds = _kinds(supply)
    longest = max(_mass(pile, system) for night in supply.nights for pile in _piles(night))
    axes.set_xlim(0.0, 1.32 * longest)
    axes.set_ylim(len(supply.nights) - 0.4, -0.6)
    for row, night in enumerate(supply.nights):
        _bar(axes, row, night, kinds, system)
        mark = "" if night.burnt.kept else " *"
        low = show(night.low, "temperature", system, 0)
        text = f"{night.evening:%b} {night.evening.day}{mark}\nlow {low}"
        _beside(axes, text, (0.0, row), (-5, 0), ha="right", va="center")
    axes.set_xticks([])
    axes.set_yticks([])
    axes.spines["bottom"].set_visible(False)
    _names(axes, kinds)


def _bar(axes: Axes, row: int, night: TripNight, kinds: list[str], system: System) -> None:
    """Pieces by kind, each with its count in it, or under the bar where it has no room."""
    pile, start, narrow = night.burnt.pile, 0.0, list[str]()
    for name, fill, ink in zip(kinds, FILLS * 9, INKS * 9, strict=False):
        length = number(pile.mass_of(name), "mass", system)
        if length <= 0.0:
            continue
        axes.barh(
            row, length, left=start, height=0.44, color=fill, edgecolor=look.PIECES[0], lw=0.6, zorder=3
        )
        if length >= NARROW * axes.get_xlim()[1]:
            how: dict[str, Any] = {"ha": "center", "va": "center", "size": look.TEXT, "zorder": 4}
            axes.text(start + 0.5 * length, row, f"{pile.counts[name]}", color=ink, **how)
        else:
            narrow.append(f"{pile.counts[name]} {name}")
        start += length
    if narrow:
        _beside(axes, ", ".join(narrow), (start, row + 0.26), (0, -1), ha="right", va="top")
    if night.colder is not None:
        colder = _mass(night.colder.pile, system)
        axes.barh(row, colder, height=0.54, fill=False, edgecolor=look.COT, lw=1.0, zorder=5)
        start = max(colder, start)
    text = f"{wood_mass(pile.mass, system)}\ncot {degrees(night.burnt.coldest, system)}"
    _beside(axes, text, (start, row), (4, 0), va="center")


def _beside(
    axes: Axes, text: str, place: tuple[float, float], offset: tuple[float, float], **how: Any
) -> None:
    """Small words beside a bar."""
    how = {"size": look.SMALLEST_TEXT, "linespacing": 1.25, "annotation_clip": False, **how}
    axes.annotate(text, place, xytext=offset, textcoords="offset points", **how)


def _names(axes: Axes, kinds: list[str]) -> None:
    """Names of the kinds over the bars, each in a box of its colour."""
    x = 0.0
    for name, fill, ink in zip(kinds, FILLS * 9, INKS * 9, strict=False):
        box = {"boxstyle": "square,pad=0.25", "facecolor": fill, "edgecolor": look.PIECES[0], "lw": 0.6}
        text = axes.annotate(
            name, (0.0, 1.0), xycoords="axes fraction", xytext=(x + 3, 4), textcoords="offset points", color=ink,
            size=look.SMALLEST_TEXT, va="bottom", bbox=box,
        )  # fmt: skip
        figure = axes.get_figure(root=True)
        assert figure is not None
        x += text.get_window_extent().width * 72.0 / figure.dpi + 12.0


def _kinds(supply: Supply) -> list[str]:
    """Kinds of pieces that are burnt, the thickest first."""
    pieces = supply.pile.wood.pieces
    return sorted(supply.pile.counts, key=lambda name: -pieces[name].thick)


def _piles(night: TripNight) -> list[Pile]:
    return [night.burnt.pile, *([night.colder.pile] if night.colder else [])]


def _mass(pile: Pile, system: System) -> float:
    return number(pile.mass, "mass", system)

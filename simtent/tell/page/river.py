"""The energy of a night as a river in inline SVG: what came in joins from the side, what went leaves to the side.

The river runs downward. It begins with nothing, is widest where all that came in flows together, and ends with
nothing: widths are proportional to joules, so that in = out + stored is to be seen.
"""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from simtent.tell import words
from simtent.tell.page.accounts import Accounts, Flow
from simtent.tell.page.markup import Markup, joined, tag
from simtent.tell.page.tables import Line, table
from simtent.tell.words import percent
from simtent.units import System, scale, unit_name

WIDTH = 336.0  # of the picture: a phone's 360 points less its margins
BED = 92.0  # width of the river where all flows together
LEFT, SHORE = 6.0, 128.0  # where the river's left bank is, and where flows begin or end
BEND = 9.0  # inner radius of a bend
TIP = 7.0  # length of an arrow's point
LABEL, LETTERS = 140.0, 28  # where labels begin; letters in a line of them
LINE, TEXT = 15.0, 12.5
APART = 7.0  # between the labels of two flows
LEAST = 0.05  # of the unit shown; half of the last digit
WAIST = 34.0  # height of the place where all flows together


@dataclass(frozen=True, slots=True)
class Band:
    """A flow as drawn: where its strip lies in the river, how wide it is, and the middle of its arm."""

    flow: Flow
    left: float
    width: float
    middle: float


def energy(given: Accounts, system: System = "si") -> Markup:
    """The picture, and the same as a table with its sums."""
    return joined(
        [
            tag("figure", _drawn(given, system), tag("figcaption", CAPTION)),
            _table(given, system),
            tag("p", _closing(given, system)),
        ]
    )


CAPTION = (
    "Widths are proportional to energy. From above what came in through the night, below what went, and, hatched, "
    "what stayed inside."
)


def _closing(given: Accounts, system: System) -> str:
    kept = sum(flow.joules for flow in given.went if flow.kept)
    out = words.energy(given.gone - kept, system)
    return f"In {words.energy(given.whole, system)} = out {out} + stayed inside {words.energy(kept, system)}."


def _table(given: Accounts, system: System) -> Markup:
    def lines(flows: Sequence[Flow], total: str) -> list[Line]:
        rows = [Line(_words(flow), _amount(flow.joules, given.whole, system)) for flow in flows]
        return [*rows, Line(total, _amount(sum(flow.joules for flow in flows), given.whole, system))]

    head = ("way", "energy", "share")
    return joined(
        [
            table("What came in", head, lines(given.came, "all that came in"), "words"),
            table("What went or stayed", head, lines(given.went, "all that went or stayed"), "words"),
        ]
    )


def _amount(joules: float, whole: float, system: System) -> tuple[str, str]:
    """Energy and share of the whole; what rounds to nothing says so otherwise."""
    energy, share = words.energy(joules, system), percent(joules / whole if whole > 0.0 else 0.0)
    least = LEAST * scale(unit_name("energy", system), "energy")[0]
    if 0.0 < joules < least:
        energy = f"under {words.energy(2.0 * least, system)}"
    return energy, "under 1 %" if joules > 0.0 and share == "0 %" else share


def _words(flow: Flow) -> str:
    return f"stays {flow.words}" if flow.kept else flow.words


def _drawn(given: Accounts, system: System) -> Markup:
    wide = BED / given.whole if given.whole > 0.0 else 0.0
    came, waist = _bands(given.came, wide, 4.0, grows=True)
    went, end = _bands(given.went, wide, waist + WAIST, grows=False)
    middle = waist + 0.5 * WAIST
    shapes = [
        *(tag("path", d=_arm_in(band, middle), class_="came") for band in came),
        *(
            tag("path", d=_arm_out(band, middle), class_="kept" if band.flow.kept else "went")
            for band in went
        ),
    ]
    labels = [text for band in (*came, *went) for text in _label(band, given.whole, system)]
    total = _text(LABEL - 12.0, middle + 4.5, f"in all {words.energy(given.whole, system)}", bold=True)
    name = "Energy of the night: " + "; ".join(
        [
            "came in "
            + ", ".join(f"{words.energy(flow.joules, system)} {_words(flow)}" for flow in given.came),
            "went " + ", ".join(f"{words.energy(flow.joules, system)} {_words(flow)}" for flow in given.went),
        ]
    )
    return tag(
        "svg", tag("title", name, id="river-title"), HATCH, *shapes, total, *labels,
        viewBox=f"0 0 {WIDTH:g} {end:.1f}", role="img", aria_labelledby="river-title", class_="river",
    )  # fmt: skip


def _bands(flows: Sequence[Flow], wide: float, top: float, *, grows: bool) -> tuple[list[Band], float]:
    """The bands below `top`, and where the next may begin.

    What comes in lies further left the higher it joins; what goes leaves from the right bank, so that no two cross.
    """
    whole = wide * sum(flow.joules for flow in flows)
    bands, gone, at = [], 0.0, top
    for flow in flows:
        width = wide * flow.joules
        height = max(width + APART, LINE * (1 + len(_wrapped(flow))) + APART)
        left = LEFT + (gone if grows else whole - gone - width)
        bands.append(Band(flow, left, width, at + 0.5 * height))
        gone += width
        at += height
    return bands, at


def _arm_in(band: Band, end: float) -> str:
    """From the side to the left, round a bend, and down to `end`."""
    a, b = band.left, band.left + band.width
    upper, lower = band.middle - 0.5 * band.width, band.middle + 0.5 * band.width
    round_ = BEND + band.width
    return (
        f"M{SHORE + TIP:.2f} {upper:.2f}L{SHORE:.2f} {band.middle:.2f}L{SHORE + TIP:.2f} {lower:.2f}"
        f"L{b + BEND:.2f} {lower:.2f}A{BEND:g} {BEND:g} 0 0 0 {b:.2f} {lower + BEND:.2f}L{b:.2f} {end:.2f}"
        f"L{a:.2f} {end:.2f}L{a:.2f} {upper + round_:.2f}A{round_:.2f} {round_:.2f} 0 0 1 {a + round_:.2f} {upper:.2f}Z"
    )


def _arm_out(band: Band, begin: float) -> str:
    """From `begin` down, round a bend, and to the side, where it ends in a point."""
    a, b = band.left, band.left + band.width
    upper, lower = band.middle - 0.5 * band.width, band.middle + 0.5 * band.width
    round_ = BEND + band.width
    return (
        f"M{a:.2f} {begin:.2f}L{b:.2f} {begin:.2f}L{b:.2f} {upper - BEND:.2f}"
        f"A{BEND:g} {BEND:g} 0 0 0 {b + BEND:.2f} {upper:.2f}L{SHORE:.2f} {upper:.2f}"
        f"L{SHORE + TIP:.2f} {band.middle:.2f}L{SHORE:.2f} {lower:.2f}L{a + round_:.2f} {lower:.2f}"
        f"A{round_:.2f} {round_:.2f} 0 0 1 {a:.2f} {lower - round_:.2f}Z"
    )


def _label(band: Band, whole: float, system: System) -> list[Markup]:
    energy, share = _amount(band.flow.joules, whole, system)
    lines = [f"{energy}, {share}", *_wrapped(band.flow)]
    first = band.middle - 0.5 * LINE * (len(lines) - 1) + 4.5
    return [_text(LABEL, first + k * LINE, line, bold=k == 0) for k, line in enumerate(lines)]


def _wrapped(flow: Flow) -> list[str]:
    return textwrap.wrap(_words(flow), LETTERS)


def _text(x: float, y: float, words: str, *, bold: bool = False) -> Markup:
    return tag(
        "text", words, x=f"{x:g}", y=f"{y:.1f}", font_size=f"{TEXT:g}", font_weight="bold" if bold else None
    )


HATCH = tag(
    "defs",
    tag(
        "pattern",
        tag("rect", width="6", height="6", class_="ground"),
        tag("path", d="M0 0V6", class_="hatch"),
        id="river-kept", width="6", height="6", patternUnits="userSpaceOnUse", patternTransform="rotate(45)",
    ),
)  # fmt: skip

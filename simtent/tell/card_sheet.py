"""A sheet of paper or a screen in points, and what is put on it line by line; nothing is drawn here."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from simtent.tell.words import tied

Role = Literal["ink", "warning"]
FONT = "DejaVu Sans"  # comes with matplotlib
PIXELS = 1.01  # width of a text drawn on pixels over that of its outline, at most
LEADING = 1.17  # of a line, in its size


@dataclass(frozen=True)
class Sheet:
    """A piece of paper or a screen, in points.

    margin  kept clear all round
    digits  size of times and pieces, at least
    small   size of everything else, at least
    height  what it may be at most
    """

    width: float
    height: float
    margin: float
    digits: float
    small: float


@dataclass(frozen=True)
class Word:
    """A text: left end (or right, by `right`) and baseline from the sheet's upper left corner [pt]."""

    x: float
    y: float
    text: str
    size: float
    bold: bool = False
    role: Role = "ink"
    right: bool = False


@dataclass(frozen=True)
class Line:
    """A rule across the sheet [pt]."""

    y: float
    weight: float


@dataclass
class Laid:
    """A card laid out: how high it came, and what stands on it."""

    sheet: Sheet
    growth: float
    y: float = 0.0
    words: list[Word] = field(default_factory=list)
    rules: list[Line] = field(default_factory=list)

    @property
    def small(self) -> float:
        """Size of sentences [pt]."""
        return self.sheet.small * self.growth

    @property
    def digits(self) -> float:
        """Size of times and pieces [pt]."""
        return self.sheet.digits * self.growth

    @property
    def room(self) -> float:
        """Width between the margins [pt]."""
        return self.sheet.width - 2.0 * self.sheet.margin

    def put(self, x: float, text: str, size: float, **how: object) -> None:
        """A text with its baseline one line below the cursor."""
        self.words.append(Word(self.sheet.margin + x, self.y + size, text, size, **how))  # type: ignore[arg-type]

    def paragraph(
        self, text: str, head: str = "", *, bold: bool = False, role: Role = "ink", x: float = 0.0
    ) -> None:
        """A sentence in lines, behind a bold head."""
        size = self.small
        first = x + (wide(head, size, True) + 0.5 * size if head else 0.0)
        for k, line in enumerate(_broken(text, size, bold, self.room - first, self.room - x)):
            if k == 0 and head:
                self.put(x, head, size, bold=True)
            if line:
                self.put(first if k == 0 else x, line, size, bold=bold, role=role)
            self.y += LEADING * size

    def rule(self, weight: float = 0.8) -> None:
        """A rule, with a little room about it."""
        self.rules.append(Line(self.y + 0.35 * self.small, weight))
        self.y += 0.6 * self.small


def _broken(text: str, size: float, bold: bool, first: float, rest: float) -> Iterator[str]:
    """A text in lines no wider than `first`, then `rest` [pt], the first empty where nothing fits.

    A word wider than a line stands alone.
    """
    line, most = "", first
    for word in tied(text).split(" "):
        longer = f"{line} {word}" if line else word
        if (line or most < rest) and wide(longer, size, bold) > most:
            yield line
            line, most = word, rest
        else:
            line = longer
    yield line


def wide(text: str, size: float, bold: bool) -> float:
    """Width of a text [pt]: it grows with the size, but for what fitting to pixels adds."""
    return PIXELS * size * _width_of_one(text, bold)


@lru_cache(8192)
def _width_of_one(text: str, bold: bool) -> float:
    font = FontProperties(family=FONT, size=100.0, weight="bold" if bold else "normal")
    width, _, _ = text_to_path.get_text_width_height_descent(text, font, ismath=False)
    return float(width) / 100.0

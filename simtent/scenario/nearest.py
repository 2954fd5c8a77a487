"""The known word nearest to one that is not known."""

from collections.abc import Iterable
from difflib import get_close_matches

ALIKE = 0.6  # how much alike two words must be
OTHER_WORDS = {
    "weight": "mass", "weighs": "mass", "weighed": "mass", "thickness": "thick", "lenght": "length", "depth": "length",
    "dia": "diameter", "diam": "diameter", "top": "peak", "temperature": "air", "temp": "air",
    "elevation": "altitude", "people": "asleep", "persons": "asleep", "sleepers": "asleep",
    "wood": "pieces", "time": "at", "when": "at", "date": "evening", "start": "begin", "timezone": "zone",
    "material": "sheet", "metal": "sheet", "walls": "wall", "sidewall": "wall", "chimney": "pipe", "flue": "pipe",
    "stovepipe": "pipe", "damp": "moisture", "humidity": "moisture", "clouds": "cloud",
}  # fmt: skip
"""Words that people write for keys, and the key that is meant where a table has it."""


def nearest_words(word: str, known: Iterable[str], count: int = 3, alike: float = ALIKE) -> list[str]:
    """Up to `count` known words that look like the word, nearest first, then those that share a part.

    alike  from 0, anything, to 1, the same word: how much alike two words must be
    """
    words = list(known)
    lower = {name.lower(): name for name in words}
    close = [lower[name] for name in get_close_matches(word.lower(), lower, n=count, cutoff=alike)]
    parts = set(word.lower().split())
    sharing = [name for name in words if parts & set(name.lower().split()) and name not in close]
    return (close + sharing)[:count]


def nearest(word: str, known: Iterable[str]) -> str | None:
    """A question that offers the nearest known words, or None if none is near."""
    close = nearest_words(word, known)
    quoted = [f'"{name}"' for name in close]
    return f"Is {' or '.join(quoted)} meant?" if quoted else None

"""The known word nearest to one that is not known."""

from collections.abc import Iterable
from difflib import get_close_matches


def nearest_words(word: str, known: Iterable[str], count: int = 3) -> list[str]:
    """Up to `count` known words that look like the word, nearest first, then those that share a part."""
    words = list(known)
    lower = {name.lower(): name for name in words}
    close = [lower[name] for name in get_close_matches(word.lower(), lower, n=count, cutoff=0.6)]
    parts = set(word.lower().split())
    sharing = [name for name in words if parts & set(name.lower().split()) and name not in close]
    return (close + sharing)[:count]


def nearest(word: str, known: Iterable[str]) -> str | None:
    """A question that offers the nearest known words, or None if none is near."""
    close = nearest_words(word, known)
    quoted = [f'"{name}"' for name in close]
    return f"Is {' or '.join(quoted)} meant?" if quoted else None

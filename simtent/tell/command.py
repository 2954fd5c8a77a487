"""A command as a shell takes it: file names with blanks or other marks are quoted, so that it can be pasted."""

from pathlib import Path
from shlex import quote


def command(*words: str | Path) -> str:
    """The words of one command of simtent, "simtent check 'my camp.toml'"."""
    return " ".join(["simtent", *(quote(_no_option(word)) for word in words)])


def _no_option(word: str | Path) -> str:
    """A file whose name begins with a dash as one that is no option; other words as they are."""
    text = str(word)
    return f"./{text}" if isinstance(word, Path) and text.startswith("-") else text

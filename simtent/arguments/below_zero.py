"""Values below zero after an option: `--low -10degC` as it is meant, not as an option of its own."""

import re
from collections.abc import Iterator, Sequence

OPTION, BELOW_ZERO = re.compile(r"--[a-z][a-z-]*"), re.compile(r"-\.?\d")


def joined(given: Sequence[str]) -> list[str]:
    """The arguments, each value that begins with a minus and a digit joined to the option before it."""
    return [*_joined(given)]


def _joined(given: Sequence[str]) -> Iterator[str]:
    option: str | None = None
    for word in given:
        if option is not None and BELOW_ZERO.match(word):
            yield f"{option}={word}"
            option = None
            continue
        if option is not None:
            yield option
        option = word if OPTION.fullmatch(word) else None
        if option is None:
            yield word
    if option is not None:
        yield option

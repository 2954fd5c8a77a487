"""Texts of pictures in lines no wider than their room: names are never cut, only broken."""

import re

from simtent.tell.card_sheet import wide

PIECES = re.compile(r"[^ ._/,-]*[ ._/,-]+|[^ ._/,-]+")  # a line may end behind each of these signs


def wrapped(text: str, size: float, room: float, *, bold: bool = False) -> list[str]:
    """The text in lines no wider than `room` [pt] at that size [pt]; a piece wider than that is broken anywhere."""
    lines, line = list[str](), ""
    for piece in PIECES.findall(text):
        if line and wide(f"{line}{piece}".rstrip(), size, bold) > room:
            lines.append(line.rstrip())
            line = ""
        line += piece
        while wide(line.rstrip(), size, bold) > room and len(line.rstrip()) > 1:
            most = next(
                k for k in range(len(line) - 1, 0, -1) if k == 1 or wide(line[:k], size, bold) <= room
            )
            lines.append(line[:most])
            line = line[most:]
    return [*lines, line.rstrip()] if line.strip() or not lines else lines

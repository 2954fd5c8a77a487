"""A scenario file as one would write it by hand: tables in order, and behind every key what it means."""

import textwrap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from simtent.scenario.fields import declared_at
from simtent.scenario.tree import DEFAULT, Path, plant
from simtent.scenario.write import inline

WIDTH = 100
REMARK_AT = 34  # column of remarks, where there is room


@dataclass(frozen=True, slots=True)
class Block:
    """One table of a file.

    path    its keys; a number at the end makes it an entry of a list
    values  its keys and their values, texts with units
    remark  what stands behind its heading
    own     remarks in place of a key's meaning
    """

    path: Path
    values: Mapping[str, Any]
    remark: str = ""
    own: Mapping[str, str] = field(default_factory=dict)


def toml_page(blocks: Iterable[Block], shape: str) -> str:
    """The tables as TOML; a list of numbered entries as [[table]]."""
    return "\n\n".join("\n".join(_table(block, shape)) for block in blocks) + "\n"


def remarks(lines: Iterable[str]) -> str:
    """Lines of remarks, broken where they are long."""
    broken = (part for line in lines for part in (textwrap.wrap(line, WIDTH - 2) or [""]))
    return "".join(f"# {line}".rstrip() + "\n" for line in broken)


def _table(block: Block, shape: str) -> Iterator[str]:
    if block.path:
        keys = ".".join(str(part) for part in block.path if not isinstance(part, int))
        heading = f"[[{keys}]]" if isinstance(block.path[-1], int) else f"[{keys}]"
        yield from _with_remark(heading, block.remark)
    for key, value in block.values.items():
        yield from _with_remark(
            f"{key} = {inline(plant(value, lambda _at: DEFAULT))}", _remark(block, key, shape)
        )


def _remark(block: Block, key: str, shape: str) -> str:
    if key in block.own:
        return block.own[key]
    declared = declared_at((*block.path, key), shape)
    return declared.meaning if declared else ""


def _with_remark(text: str, remark: str) -> Iterator[str]:
    """The remark behind the text where it fits, else in lines above it."""
    if not remark:
        yield text
    elif max(len(text), REMARK_AT - 2) + len(remark) + 4 <= WIDTH:
        yield f"{text.ljust(REMARK_AT - 2)}  # {remark}"
    else:
        yield from remarks([remark]).splitlines()
        yield text

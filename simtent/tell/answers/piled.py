"""Wood as it is put on: pieces by kind, marks of levers."""

from collections.abc import Iterator

from simtent.scenario.stove import Stove
from simtent.scenario.turns import Pieces
from simtent.tell.answers.quantities import Mass, Share
from simtent.tell.answers.told import Told
from simtent.units import System


class Pile(Told):
    """Pieces of one kind."""

    kind: str
    """the name of the pieces, from [wood.pieces]"""
    count: int | None
    """how many; null where a mass was given"""
    mass: Mass | None
    """how much; null where pieces were counted"""


class Mark(Told):
    """Where a lever stands."""

    lever: str
    """air or damper"""
    mark: str
    """the mark, as the scenario names it"""
    open: Share
    """share of the full opening there"""


def piles(pieces: Pieces, system: System) -> list[Pile]:
    """What is put on, kind by kind."""
    return [
        Pile(
            kind=name,
            count=it if isinstance(it, int) else None,
            mass=None if isinstance(it, int) else Mass.of(it, system),
        )
        for name, it in pieces
    ]


def marks(stove: Stove, air: str, damper: str | None, system: System) -> Iterator[Mark]:
    """How the levers stand; a stove without a damper has one lever."""
    yield Mark(lever="air", mark=air, open=Share.of(stove.air.marks[air], system))
    if stove.damper is not None and damper is not None:
        yield Mark(lever="damper", mark=damper, open=Share.of(stove.damper.marks[damper], system))

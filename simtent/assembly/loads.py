"""The wood that may be put on: every load of the night, and every load a rule may call for, piece by piece."""

from dataclasses import dataclass

from simtent.assembly.stove import Piece
from simtent.scenario.scenario import Scenario


@dataclass(frozen=True)
class Batch:
    """One load: its slots, and its mass of moist and of dry wood [kg]."""

    slots: tuple[int, ...]
    mass: float
    dry: float


@dataclass(frozen=True)
class Woodpile:
    """All wood that may be burnt, slot by slot, and which slots belong to which load.

    loads   a batch for each load by the clock
    rules   for each rule a batch for each time it may call
    """

    pieces: tuple[Piece, ...]
    loads: tuple[Batch, ...]
    rules: tuple[tuple[Batch, ...], ...]


def stack_wood(scenario: Scenario) -> Woodpile:
    """Give every size of every load its own slot."""
    wood, stoking = scenario.wood, scenario.stoking
    assert wood is not None and stoking is not None
    pieces: list[Piece] = []

    def batch(counts: tuple[tuple[str, float], ...]) -> Batch:
        masses = wood.load_masses(counts)
        first = len(pieces)
        for name, mass in masses.items():
            dry = mass * (1.0 - wood.moisture)
            pieces.append(Piece(wood.pieces[name].thick, dry, mass - dry))
        total = sum(masses.values())
        return Batch(tuple(range(first, len(pieces))), total, total * (1.0 - wood.moisture))

    loads = tuple(batch(load.pieces) for load in stoking.loads)
    rules = tuple(tuple(batch(rule.pieces) for _ in range(rule.most)) for rule in stoking.rules)
    return Woodpile(tuple(pieces), loads, rules)

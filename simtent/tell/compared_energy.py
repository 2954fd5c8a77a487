"""Where the heat went: the energy accounts of base and variants side by side."""

from collections.abc import Sequence

from simtent.comparing.compared import Compared
from simtent.comparing.nights import Night
from simtent.tell.differences import CELL, FIRST, LABEL, blocks, head
from simtent.units import System, number, unit_name

WORDS = {
    "source": "the heat source",
    "fire": "wood that burnt",
    "people": "sleepers",
    "sun": "the sun",
    "unburnt": "unburnt, up the flue",
    "flue": "heat, up the flue",
    "drying": "drying the wood",
    "boiling": "boiling water",
    "condensation": "melting, drying, dew",
    "outside_convection": "skin to outdoor air",
    "sky_radiation": "skin to the sky",
    "leakage": "leaking air",
    "ground_edge": "ground at floor's edge",
    "water_below": "water under the ice",
    "floor_outside": "floor to air below",
    "pipe_outside": "pipe outside",
    "stove_outdoors": "stove to the outdoors",
    "stored_air": "stored in the air",
    "stored_skin": "stored in the skin",
    "stored_ground": "stored in the ground",
    "stored_contents": "stored in beds and gear",
    "stored_stove": "stored in the stove",
}
TITLE = "WHERE THE HEAT WENT"
NOTE = "Came in is above 0, left or was stored below; of the variants the difference."
LEAST = 0.05  # of the unit shown, below which an account or a difference is shown as nothing


def energies(found: Compared, system: System) -> list[str]:
    """Lines of at most 80 characters: what came in is positive, what left or was stored negative."""
    title = f"{TITLE}, {unit_name('energy', system)}"
    lines: list[str] = []
    for those in blocks(found.variants):
        lines += [
            *head(those, title),
            *(_row(found, those, name, system) for name in rows(found, system)),
            "",
        ]
    return [*lines, NOTE]


def rows(found: Compared, system: System) -> list[str]:
    """The accounts that are large enough to be told."""
    return [
        name
        for name in found.accounts
        if any(abs(_brought(it, name, system)) >= LEAST for it in found.nights)
    ]


def cells(found: Compared, those: Sequence[Night], name: str, system: System) -> list[str]:
    """An account of the base, and of each variant the difference, in the unit shown."""
    own = _brought(found.base, name, system)
    return [_shown(own), *(_shown(_brought(it, name, system) - own, "+") for it in those)]


def _row(found: Compared, those: Sequence[Night], name: str, system: System) -> str:
    own, *others = cells(found, those, name, system)
    line = f"{WORDS.get(name, name):<{LABEL}}{own.rjust(FIRST)}"
    return line + "".join(cell.rjust(CELL) for cell in others)


def _shown(amount: float, sign: str = "-") -> str:
    text = f"{amount:{sign}.1f}"
    return "0" if float(text) == 0.0 else text


def _brought(night: Night, name: str, system: System) -> float:
    """What an account brought in, in the unit shown; what was stored counts as gone."""
    energy = night.energy.get(name, 0.0)
    return number(-energy if name.startswith("stored_") else energy, "energy", system)

"""Where the heat went: the energy accounts of base and variants side by side."""

from collections.abc import Sequence

from simtent.comparing.compared import Compared
from simtent.comparing.nights import Night
from simtent.tell.differences import CELL, FIRST, LABEL, blocks, head
from simtent.units import number

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
TITLE = "WHERE THE HEAT WENT, kWh"
NOTE = "Came in is above 0, left or was stored below; of the variants the difference."
LEAST = 0.05  # kWh, below which an account or a difference is shown as nothing


def energies(found: Compared) -> list[str]:
    """Lines of at most 80 characters: what came in is positive, what left or was stored negative."""
    lines: list[str] = []
    for those in blocks(found.variants):
        lines += [*head(those, TITLE), *(_row(found, those, name) for name in rows(found)), ""]
    return [*lines, NOTE]


def rows(found: Compared) -> list[str]:
    """The accounts that are large enough to be told."""
    return [name for name in found.accounts if any(abs(_kwh(it, name)) >= LEAST for it in found.nights)]


def cells(found: Compared, those: Sequence[Night], name: str) -> list[str]:
    """An account of the base, and of each variant the difference [kWh]."""
    own = _kwh(found.base, name)
    return [_shown(own), *(_shown(_kwh(it, name) - own, "+") for it in those)]


def _row(found: Compared, those: Sequence[Night], name: str) -> str:
    own, *others = cells(found, those, name)
    line = f"{WORDS.get(name, name):<{LABEL}}{own.rjust(FIRST)}"
    return line + "".join(cell.rjust(CELL) for cell in others)


def _shown(amount: float, sign: str = "-") -> str:
    text = f"{amount:{sign}.1f}"
    return "0" if float(text) == 0.0 else text


def _kwh(night: Night, name: str) -> float:
    """What an account brought in [kWh]; what was stored counts as gone."""
    energy = night.energy.get(name, 0.0)
    return number(-energy if name.startswith("stored_") else energy, "energy", "si")

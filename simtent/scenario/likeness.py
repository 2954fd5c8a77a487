"""Which rows of the tables fit a shelter or stove of one's own: by size, by weight."""

from math import log
from typing import Any

from simtent.scenario.fields import declared_of, keys_of
from simtent.scenario.hardware import SheetText
from simtent.scenario.materials import shelter, stove, stove_names
from simtent.scenario.quantity import Quantity
from simtent.scenario.shelter import SHAPES, Shelter
from simtent.scenario.stove import FITTINGS, Firebox
from simtent.units import leading_quantity

# Firebox and floor that go together [m3, m2], and how much faster one grows: large shelters are higher too, and lose
# more by it. Common practice, no source.
FIREBOX, FLOOR, GROWTH = 0.012, 9.0, 1.5


def shelter_like(name: str, sizes: dict[str, Any]) -> Shelter:
    """The shelter of a row with other sizes; pydantic's ValidationError where they make none."""
    row = shelter(name)["shelter"]
    return SHAPES[row["shape"]].model_validate(_tuples(row | sizes))


def sizes_of(name: str) -> dict[str, Quantity]:
    """The lengths that a row gives for its shape, by key, in the order of the row."""
    row = shelter(name)["shelter"]
    keys = keys_of(SHAPES[row["shape"]])
    found = {key: declared_of(keys[key]) for key in row if key in keys}
    return {key: declared for key, declared in found.items() if isinstance(declared, Quantity)}


def firebox(name: str) -> Firebox:
    """The firebox of a row of the table of stoves."""
    return Firebox.model_validate(stove(name)["firebox"])


def body_mass(name: str) -> float:
    """Mass of the body of a row of the table of stoves, without its pipe [kg]."""
    sheet = SheetText(meaning="sheet of the row").read(stove(name)["sheet"])
    return firebox(name).area * sheet.areal_density * FITTINGS


def told_mass(name: str) -> float:
    """The mass by which a row goes [kg]: what its name says, "14 kg sheet-steel box", else that of its body."""
    named = leading_quantity(name, ("mass",)) if name[0].isdigit() else None
    return named[0] if named else body_mass(name)


def stove_of_mass(mass: float) -> str:
    """The stove of the table that weighs most nearly as much [kg]."""
    return min(stove_names(), key=lambda name: abs(log(body_mass(name) / mass)))


def stove_for(floor_area: float) -> str:
    """The stove of the table whose firebox goes with a floor [m2]."""
    wanted = FIREBOX * (floor_area / FLOOR) ** GROWTH
    return min(stove_names(), key=lambda name: abs(log(firebox(name).volume / wanted)))


def _tuples(value: Any) -> Any:
    """The value with its lists as the tuples that fields take."""
    if isinstance(value, dict):
        return {key: _tuples(item) for key, item in value.items()}
    return tuple(map(_tuples, value)) if isinstance(value, list) else value

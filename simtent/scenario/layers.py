"""Layers of skin and floor, read from text such as "10 oz/yd2 cotton canvas" or "2 in air gap"."""

from dataclasses import dataclass, replace
from typing import Any, Literal

from simtent.errors import Fault, InputError
from simtent.scenario.materials import Solid, solids
from simtent.scenario.nearest import nearest
from simtent.scenario.quantity import Reader
from simtent.units import leading_quantity

GAP = "air gap"
KINDS = ("length", "areal_density", "resistance")
# The tables of airspaces end at 300 mm (ISO 6946); below 2 mm two fabrics touch somewhere (common practice).
GAP_ALLOWED = (0.002, 0.3)
SOLID_ALLOWED = (0.00002, 0.5)
EXAMPLES = '"10 oz/yd2 cotton canvas", "2 in air gap", "20 mm closed-cell foam"'


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer.

    thickness       [m]
    resistance      of the solid itself [m2 K/W]; 0 for a gap, whose resistance depends on its temperatures
    areal_capacity  [J/(m2 K)]
    emissivity_out  of its outer or lower face, long-wave [-]; 0 for a gap
    emissivity_in   of its inner or upper face, long-wave [-]; 0 for a gap
    absorptance     share of the sunlight that it takes up [-]; 0 for a gap
    transmittance   share of the sunlight that it lets through [-]; 1 for a gap
    """

    name: str
    kind: Literal["solid", "gap"]
    thickness: float
    resistance: float
    areal_capacity: float
    emissivity_out: float
    emissivity_in: float
    absorptance: float
    transmittance: float


def read_layer(text: Any) -> Layer:
    """A layer from its text; InputError if the text names no known material or its size makes no sense.

    The text may begin with a thickness, a mass per area or a thermal resistance: each fixes the thickness,
    since density and conductivity belong to the material.
    """
    if not isinstance(text, str):
        what = "a layer is wanted, as text in quotes"
        raise InputError(Fault(what, allowed=_materials(), todo=f"Write for example {EXAMPLES}"))
    leading = leading_quantity(text, KINDS)
    name = " ".join((leading[2] if leading else text).split()).lower()
    if name == GAP:
        return _gap(text, leading)
    if name not in solids():
        todo = nearest(name, [*solids(), GAP])
        raise InputError(
            Fault(f'no material is called "{name}"', value=f'"{text}"', allowed=_materials(), todo=todo)
        )
    solid = solids()[name]
    thickness = _thickness(solid, leading)
    if thickness is None:
        todo = f'Begin with its thickness, for example "20 mm {name}"'
        raise InputError(Fault(f'"{name}" comes in many thicknesses', value=text, todo=todo))
    _refuse_odd(text, thickness, SOLID_ALLOWED, "0.02 mm to 50 cm thick")
    return Layer(
        name=name,
        kind="solid",
        thickness=thickness,
        resistance=thickness / solid.conductivity,
        areal_capacity=thickness * solid.density * solid.specific_heat,
        emissivity_out=solid.emissivity_out,
        emissivity_in=solid.emissivity_in,
        absorptance=solid.absorptance,
        transmittance=solid.transmittance,
    )


def _materials() -> str:
    return ", ".join([GAP, *solids()])


@dataclass(frozen=True, kw_only=True)
class OneLayer(Reader):
    """A layer as text, for example `such` a one."""

    such: str = "20 mm closed-cell foam"

    def read(self, value: Any, _context: Any = None) -> Layer:
        """The layer; InputError if it is a gap, or none."""
        if not isinstance(value, str):
            todo, allowed = f'Write for example "{self.such}"', ", ".join(solids())
            raise InputError(Fault("a layer is wanted, as text in quotes", allowed=allowed, todo=todo))
        layer = read_layer(value)
        if layer.kind == "gap":
            raise InputError(Fault("an air gap cannot lie here", value=str(value), todo="Name a solid layer"))
        return layer


@dataclass(frozen=True, kw_only=True)
class Skin(Reader):
    """A list of layers from the outside in."""

    takes_text = False

    def read(self, value: Any, _context: Any = None) -> tuple[Layer, ...]:
        """The layers; InputError if one is unknown or their order makes no skin."""
        if not isinstance(value, tuple) or not value:
            todo = f"Write the layers from the outside in, for example [{EXAMPLES.split(',', maxsplit=1)[0]}]"
            what = "a list with at least one layer is wanted"
            raise InputError(Fault(what, allowed=f"layers of {_materials()}", todo=todo))
        faults: list[Fault] = []
        layers: list[Layer] = []
        for position, text in enumerate(value):
            try:
                layers.append(read_layer(text))
            except InputError as error:
                faults += [replace(fault, key=str(position)) for fault in error.faults]
        if not faults:
            faults = _order_faults(layers)
        if faults:
            raise InputError(faults)
        return tuple(layers)


def _order_faults(layers: list[Layer]) -> list[Fault]:
    last = len(layers) - 1
    faults = []
    for position, layer in enumerate(layers):
        if layer.kind == "gap" and position in (0, last):
            side = "outermost" if position == 0 else "innermost"
            todo = f"Put a fabric {'outside' if position == 0 else 'inside'} of it, or leave it out"
            faults.append(Fault(f"an air gap cannot be the {side} layer", key=str(position), todo=todo))
        elif layer.kind == "gap" and layers[position - 1].kind == "gap":
            todo = "Put a fabric between them, or make one gap of both"
            faults.append(Fault("two air gaps follow each other", key=str(position), todo=todo))
    return faults


def _gap(text: str, leading: tuple[float, str, str] | None) -> Layer:
    if leading is None or leading[1] != "length":
        raise InputError(
            Fault("an air gap needs its thickness", value=text, todo='Write for example "2 in air gap"')
        )
    _refuse_odd(text, leading[0], GAP_ALLOWED, "2 mm to 300 mm")
    return Layer(GAP, "gap", leading[0], 0.0, 0.0, 0.0, 0.0, absorptance=0.0, transmittance=1.0)


def _thickness(solid: Solid, leading: tuple[float, str, str] | None) -> float | None:
    if leading is None:
        return solid.thickness
    value, kind, _ = leading
    if kind == "areal_density":
        return value / solid.density
    return value * solid.conductivity if kind == "resistance" else value


def _refuse_odd(text: str, thickness: float, allowed: tuple[float, float], words: str) -> None:
    if not allowed[0] <= thickness <= allowed[1]:
        what = f"out of range: a layer {1000.0 * thickness:.3g} mm thick"
        raise InputError(Fault(what, value=text, allowed=words, todo="Give a size in this range"))

"""Fields in words: what one means, how it is written, what is allowed, usual and taken by default."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache

from simtent.scenario.fields import ENTRY, NAME, Field, declared_of, keys_of, words_of
from simtent.scenario.in_units import allowed_text, usual_text
from simtent.scenario.materials import shelter, shelter_names, stove, stove_names
from simtent.scenario.quantity import Declared
from simtent.scenario.shelter import SHAPES
from simtent.scenario.tree import DEFAULT, leaves, plant_table
from simtent.tell.examples import allowed_names, how_written, table_of
from simtent.units import System

Line = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Variant:
    """A field as some shapes of shelter have it, or all; `shapes` is empty for all and outside the shelter."""

    field: Field
    shapes: tuple[str, ...]


def shown_key(path: tuple[str, ...]) -> str:
    """The dotted key, names of the user's own as NAME: "wood.pieces.NAME.thick", "shelter.window[].area"."""
    return ".".join("NAME" if part == NAME else part for part in path).replace(f".{ENTRY}", ENTRY)


def where(field: Field) -> str:
    """Where in a file the field stands."""
    above = field.path[:-1]
    if not above:
        return "at the top of the file"
    if above[-1] == ENTRY:
        return f"in each [[{table_of(above)}]]"
    return f"under [{table_of(above)}]"


def variants(field: Field) -> tuple[Variant, ...]:
    """The field once for each way in which shapes of shelter declare it."""
    if field.path[0] != "shelter" or len(field.path) != 2 or not (of_shapes := _of_shapes(field)):
        return (Variant(field, field.shapes),)
    if len(of_shapes) == 1 and len(of_shapes[0].shapes) == len(SHAPES):
        return (replace(of_shapes[0], shapes=()),)
    return tuple(of_shapes)


def _of_shapes(field: Field) -> list[Variant]:
    """Shapes of one declaration together; the words that tell the shapes themselves all in one."""
    name, found = field.path[1], dict[tuple[Declared, bool, str], Variant]()
    words = tuple(
        word for model in SHAPES.values() if name in keys_of(model)
        for word in words_of(keys_of(model)[name].annotation)
    )  # fmt: skip
    for shape, model in SHAPES.items():
        info = keys_of(model).get(name)
        if info is None:
            continue
        declared, required = declared_of(info), info.is_required()
        default = None if required else info.default
        own = replace(
            field, declared=declared, required=required, default=default, words=tuple(dict.fromkeys(words))
        )
        at = (declared, required, repr(default))
        shapes = (*found[at].shapes, shape) if at in found else (shape,)
        found[at] = Variant(own, shapes)
    return list(found.values())


def facts(variant: Variant) -> Iterator[Line]:
    """What is known of a field besides its meaning, each with its label; nothing that is empty."""
    field = variant.field
    declared = field.declared
    yield "write", how_written(field)
    if names := allowed_names(declared):
        yield "allowed", names
    elif allowed := _both(declared, allowed_text):
        yield "allowed", allowed
    if usual := _both(declared, usual_text):
        yield "usual", usual
    yield "default", _default(field)
    if variant.shapes:
        yield "shapes", ", ".join(variant.shapes)
    if (spread := getattr(declared, "spread", None)) is not None:
        yield "prior", f"{spread}, one standard deviation, until a log narrows it ({spread.source})"
    elif (prior := getattr(declared, "prior", None)) is not None:
        yield "prior", f"{prior}, one standard deviation, in a fit alone ({prior.source})"
    yield "source", declared.source


def _both(declared: Declared, told: Callable[[Declared, System], str]) -> str:
    """A range in SI units, and in brackets in US units where those differ."""
    si, us = told(declared, "si"), told(declared, "us")
    return f"{si} ({us})" if si != us else si


def _default(field: Field) -> str:
    default = field.default
    if field.required:
        return f"none, it must be given{', here or by like' if field.path in _in_archetypes() else ''}"
    if default is None or default == ():
        return "none, it may be left out"
    if isinstance(default, dict):
        return ", ".join(f"{key} {value}" for key, value in default.items()) or "the defaults of its own keys"
    if isinstance(default, tuple):
        return ", ".join(map(str, default))
    return str(default).lower() if isinstance(default, bool) else str(default)


@cache
def _in_archetypes() -> frozenset[tuple[str, ...]]:
    """The keys that a row of the tables of stoves and shelters fills in."""
    rows = [{"stove": stove(name)} for name in stove_names()] + [shelter(name) for name in shelter_names()]
    return frozenset(
        tuple(map(str, path[:depth]))
        for row in rows
        for path, _ in leaves(plant_table(row, lambda _at: DEFAULT))
        for depth in range(1, len(path) + 1)
    )

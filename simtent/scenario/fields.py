"""Every field that a scenario may have, read off the declarations."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.crew import Crew, Model
from simtent.scenario.damp import Damp
from simtent.scenario.dated import InputPath
from simtent.scenario.fit import Fit
from simtent.scenario.fitted import Fitted
from simtent.scenario.heat import Heat
from simtent.scenario.instruments import Instruments, WhatIf
from simtent.scenario.logs import Log
from simtent.scenario.names import Named, name_faults
from simtent.scenario.night import Night, Wish
from simtent.scenario.outdoors import Outdoors
from simtent.scenario.quantity import Declared, Reader, Words, table_default
from simtent.scenario.section import Section
from simtent.scenario.shelter import SHAPES
from simtent.scenario.site import USUAL_LEVELS, Height, Levels, Site
from simtent.scenario.stoking import Stoking
from simtent.scenario.stove import Stove
from simtent.scenario.tree import Path
from simtent.scenario.trip import Carry, TripNight
from simtent.scenario.wood import Wood

NAME = "*"  # stands for any name of the user's own: a level, a mark, a kind of pieces
ENTRY = "[]"  # stands for any place in a list


@dataclass(frozen=True, kw_only=True)
class Name(Reader):
    """A name that can be printed."""

    def read(self, value: Any, _context: Any = None) -> str:
        """The name without blanks around it."""
        if isinstance(value, str) and value.strip() and value.isprintable() and len(value) <= LONGEST_NAME:
            return value.strip()
        todo = 'Write one line of text in quotes, for example "Larch bench"'
        raise InputError(
            Fault("a name is wanted", allowed=f"1 to {LONGEST_NAME} printable characters", todo=todo)
        )


LONGEST_NAME = 100
VARIANT = (
    "partial scenario, laid over this one before --set: any keys of a scenario but [night] and the lists"
)


@dataclass(frozen=True, kw_only=True)
class Variant(Named):
    """A partial scenario under a name of the user's own; what it says is read when it is laid over a scenario.

    written  how it stands behind the equals sign
    """

    written: str = '{ shelter.floor.mat = "none" }'


class Heading(Section):
    """What stands at the top of the file."""

    format: Annotated[Literal[1], Words(meaning="version of the file format; 1 is the only one so far")]
    name: Annotated[str, Name(meaning="name of the scenario, printed with every result")]
    invented: Annotated[
        bool, Words(meaning="true: the scenario describes no real camp; printed under every picture")
    ] = False
    units: Annotated[Literal["us", "si"], Words(meaning="units that results are printed in")] = "si"
    log: Annotated[
        tuple[Log, ...],
        Words(meaning="nights that were logged, and burns in the open: a table for each file"),
    ] = ()
    trip: Annotated[
        tuple[TripNight, ...],
        Words(meaning="the nights of a trip, for which wood is counted: a table for each"),
    ] = ()
    variants: Annotated[
        dict[str, Annotated[dict[str, Any], Variant(meaning=VARIANT)]],
        Variant(
            written='{ bare_floor = { shelter.floor.mat = "none" } }',
            meaning="what might be changed, each under a name of my own, held against this night by `simtent compare`",
        ),
    ] = table_default()

    def check_together(self, _span: Span | None) -> None:
        """Names of variants can be printed."""
        if faults := [*name_faults(self.variants, "variant", "variants")]:
            raise InputError(faults)


SECTIONS: dict[str, type[Section] | type[Levels] | None] = {
    "night": Night,
    "wish": Wish,
    "levels": Levels,
    "site": Site,
    "outdoors": Outdoors,
    "shelter": None,  # by its shape, see SHAPES
    "heat": Heat,
    "stove": Stove,
    "wood": Wood,
    "stoking": Stoking,
    "carry": Carry,
    "crew": Crew,
    "damp": Damp,
    "model": Model,
    "what_if": WhatIf,
    "instruments": Instruments,
    "fit": Fit,
    "fitted": Fitted,
}
LISTS: dict[str, type[Section]] = {"log": Log, "trip": TripNight}  # at the top of the file
OPTIONAL = (
    "heat",
    "stove",
    "wood",
    "stoking",
    "damp",
    "fit",
    "fitted",
)  # tables that may be missing altogether


@dataclass(frozen=True, slots=True)
class Field:
    """One declared field.

    path      keys from the top; "*" stands for any name of the user's own, "[]" for any entry of a list
    declared  its declaration: meaning, source, and for a number kind, allowed range and prior
    required  whether it has no default
    default   as it would stand in a file; None: without it
    table     whether it holds keys of its own
    text      whether its raw value is text
    shapes    the shapes of shelter that have it; empty: all
    words     the words or numbers it takes, where it takes a few only
    many      whether it holds a list
    """

    path: tuple[str, ...]
    declared: Declared
    required: bool
    default: Any
    table: bool
    text: bool
    shapes: tuple[str, ...] = ()
    words: tuple[str | int, ...] = ()
    many: bool = False

    @property
    def key(self) -> str:
        """The dotted key."""
        return ".".join(self.path).replace(f".{ENTRY}", ENTRY)


def fields(*, tables: bool = False) -> Iterator[Field]:
    """Every declared field, in the order of the file; with `tables` also those that hold other fields."""
    for field in _every():
        if tables or not field.table:
            yield field


def model_at(path: Path, shape: str | None) -> type[Section] | None:
    """The declaration of the table at a path; None if it is no declared table."""
    model: type[Section] | None = Heading
    name_comes = False
    for depth, part in enumerate(path):
        if depth == 0:
            model = section_model(str(part), shape)
        elif isinstance(part, int):
            continue
        elif name_comes:
            name_comes = False
        elif model is None or part not in keys_of(model):
            return None
        else:
            info = keys_of(model)[part]
            model, name_comes = inner_model(info), is_named(info)
    return None if name_comes else model


def section_model(name: str, shape: str | None) -> type[Section] | None:
    """The declaration of a section; that of the shelter depends on its shape."""
    if name == "shelter":
        return SHAPES.get(shape or "")
    if name in LISTS:  # lists of tables, so none of the sections
        return LISTS[name]
    model = SECTIONS.get(name)
    return model if isinstance(model, type) and issubclass(model, Section) else None


def declared_at(path: Path, shape: str | None) -> Declared | None:
    """The declaration of the value at a path, as the shelter's shape has it; None if there is none."""
    model = model_at(path[:-1], shape)
    keys = keys_of(model) if model else {}
    if path[-1] in keys:
        return declared_of(keys[str(path[-1])])
    field = match(tuple(ENTRY if isinstance(part, int) else part for part in path))
    return field.declared if field else None


def words_of(annotation: Any) -> tuple[str | int, ...]:
    """The words or numbers of a field that takes one of a few, or none."""
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    return tuple(word for kind in get_args(annotation) for word in words_of(kind))


def declared_of(info: FieldInfo) -> Declared:
    """The declaration of a model's field."""
    return next(item for item in info.metadata if isinstance(item, Declared))


def keys_of(model: type[Section]) -> dict[str, FieldInfo]:
    """The fields of a table by their keys in a file: `from` is no name in Python, so `from_` stands for it."""
    return {info.alias or name: info for name, info in model.model_fields.items()}


def inner_model(info: FieldInfo) -> type[Section] | None:
    """The table that a field holds, if it holds one, a list of them, or some by names of the user's own."""
    return next(
        (kind for kind in _types(info.annotation) if isinstance(kind, type) and issubclass(kind, Section)),
        None,
    )


def is_list(info: FieldInfo) -> bool:
    """Whether a field holds a list."""
    return any(
        getattr(kind, "__origin__", None) is tuple for kind in (info.annotation, *get_args(info.annotation))
    )


def is_named(info: FieldInfo) -> bool:
    """Whether a field holds a table with names of the user's own."""
    return get_origin(info.annotation) is dict


@cache
def path_fields() -> frozenset[tuple[str, ...]]:
    """The fields that hold the path of a file."""
    return frozenset(field.path for field in _every() if isinstance(field.declared, InputPath))


def match(path: tuple[str, ...]) -> Field | None:
    """The field at a path of keys, if there is one."""
    for field in _every():
        if len(field.path) == len(path) and all(
            own in (part, NAME) for own, part in zip(field.path, path, strict=True)
        ):
            return field
    return None


def _types(annotation: Any) -> Iterator[Any]:
    yield annotation
    for inner in get_args(annotation):
        yield from _types(inner)


@cache
def _every() -> tuple[Field, ...]:
    return tuple(_all())


def _all() -> Iterator[Field]:
    yield from _of(Heading, ())
    for name, model in SECTIONS.items():
        if name == "levels":
            height = next(item for item in get_args(Height) if isinstance(item, Declared))
            yield Field(
                (name, NAME), height, required=False, default=dict(USUAL_LEVELS), table=False, text=True
            )
        elif name == "shelter":
            yield from _shelters()
        elif isinstance(model, type) and issubclass(model, Section):
            yield from _of(model, (name,))


def _shelters() -> Iterator[Field]:
    every = {shape: list(_of(model, ("shelter",))) for shape, model in SHAPES.items()}
    seen = set()
    for of_shape in every.values():
        for field in of_shape:
            if field.path in seen:
                continue
            seen.add(field.path)
            having = tuple(
                shape for shape, others in every.items() if field.path in [other.path for other in others]
            )
            shapes = () if len(having) == len(every) else having
            yield replace(field, shapes=shapes)


def _of(model: type[Section], above: tuple[str, ...]) -> Iterator[Field]:
    for name, info in keys_of(model).items():
        inner, named, path = inner_model(info), _named_value(info), (*above, name)
        declared = declared_of(info)
        text = declared.takes_text and inner is None and info.annotation is not bool
        default = None if info.is_required() else info.default
        table = inner is not None or named is not None
        yield Field(
            path, declared, info.is_required(), default,
            table=table, text=text, words=words_of(info.annotation), many=is_list(info),
        )  # fmt: skip
        if inner is not None:
            below = (*path, ENTRY) if is_list(info) else (*path, NAME) if is_named(info) else path
            yield from _of(inner, below)
        elif named is not None:
            yield Field(
                (*path, NAME), named, required=False, default=None, table=False, text=named.takes_text
            )


def _named_value(info: FieldInfo) -> Declared | None:
    """The declaration of what stands under each name of the user's own, if it is no table."""
    if not is_named(info):
        return None
    return next((item for item in get_args(get_args(info.annotation)[1]) if isinstance(item, Declared)), None)

"""Faults with their place: where a key was given, what it may be, which known key is nearest."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal, get_args, get_origin

from pydantic import ValidationError

from simtent.errors import Fault
from simtent.scenario.fields import (
    SECTIONS,
    Field,
    Heading,
    declared_of,
    fields,
    inner_model,
    is_list,
    is_named,
    keys_of,
    model_at,
    words_of,
)
from simtent.scenario.nearest import OTHER_WORDS, nearest_words
from simtent.scenario.quantity import Count, Factor, Quantity
from simtent.scenario.tree import Leaf, Path, Table, dotted, find, is_none
from simtent.units import System

WANTED = {
    "string_type": ("a text is wanted", "Write it in quotes"),
    "bool_type": ("true or false is wanted", "Write true or false without quotes"),
    "tuple_type": ("a list is wanted", "Write it in square brackets, [ ... ]"),
    "model_type": ("a table is wanted", "Write its keys in braces, { key = ... }, or below a line [table]"),
    "model_attributes_type": (
        "a table is wanted",
        "Write its keys in braces, { key = ... }, or below a line [table]",
    ),
    "dict_type": ("a table is wanted", "Write its keys in braces, { key = ... }, or below a line [table]"),
}
WEIGHED = ("weight", "weighs", "weighed", "mass")  # what people call a load that was weighed
ALLOWED_HINT = "Write what is allowed here"
RETIRED_HINT = 'An overlay takes a key away with the word "none"'


@dataclass(frozen=True)
class Places:
    """Where keys were given.

    given  the merged tree after "none" took away
    whole  the merged tree with every "none"
    file   the scenario's file, from which a missing key is missing
    """

    given: Table
    whole: Table
    file: str

    @property
    def shape(self) -> str | None:
        """The shelter's shape, if one is given."""
        node, there = find(self.given, ("shelter", "shape"))
        return node.value if there and isinstance(node, Leaf) and isinstance(node.value, str) else None

    @property
    def in_the_open(self) -> bool:
        """Whether the scenario says that there is no shelter."""
        node, there = find(self.whole, ("shelter",))
        return there and is_none(node)

    @property
    def units(self) -> System:
        """The units that the scenario asks for."""
        node, there = find(self.given, ("units",))
        return "us" if there and isinstance(node, Leaf) and node.value == "us" else "si"

    def put(self, fault: Fault, path: Path) -> Fault:
        """The fault with the place of the key at `path`; what it already says of its place and of a way out stays."""
        fault = replace(fault, todo=fault.todo or ALLOWED_HINT)
        if fault.file is not None:  # it stands in a file that the scenario names
            return replace(fault, key=dotted(path))
        node, there = find(self.given, path)
        if not there:
            node, _ = find(self.whole, path)
        origin = node.origin
        named = {"file": origin.file, "archetype": origin.file, "default": self.file}.get(
            origin.source, origin.source
        )
        value = fault.value
        if value is None and there and isinstance(node, Leaf):
            value = _written(node.value)
        return replace(fault, file=named or self.file, line=origin.line, key=dotted(path), value=value)


def faults_of(error: ValidationError, above: Path, places: Places) -> Iterator[Fault]:
    """Every fault of a section that was refused; `above` is the path of the section."""
    for detail in error.errors(include_url=False):
        path = (*above, *detail["loc"])
        kind, context = detail["type"], detail.get("ctx", {})
        if kind == "faults":
            for fault in context["faults"]:
                yield places.put(replace(fault, key=None), (*path, *_below(fault.key)))
        elif kind == "missing":
            yield places.put(missing_fault(path, places), path)
        elif kind == "extra_forbidden":
            yield places.put(_unknown(path, places.shape), path)
        elif kind == "literal_error":
            yield places.put(_no_such_word(path, detail["input"], places.shape), path)
        else:
            yield places.put(_of_another_kind(kind, detail["msg"], detail["input"], path), path)


def _of_another_kind(kind: str, message: str, given: Any, path: Path) -> Fault:
    """The fault of a value of another kind than wanted: a text, a list, a table."""
    what, todo = WANTED.get(kind, (message, "Correct the value"))
    if kind == "tuple_type" and isinstance(given, dict) and not any(isinstance(part, int) for part in path):
        return Fault("there may be several of these", todo=f"Write [[{dotted(path)}]], with double brackets")
    return Fault(what, value=_short(given), todo=todo)


def _below(key: str | None) -> Path:
    """The part of a path that a section's own check names."""
    return tuple(int(part) if part.isdigit() else part for part in key.split(".")) if key else ()


def missing_fault(path: Path, places: Places) -> Fault:
    """The fault of a required key that is missing: what it may be, and what it means."""
    model = model_at(path[:-1], places.shape)
    if model is None:
        return Fault("a required key is missing")
    info = keys_of(model)[str(path[-1])]
    declared, key = declared_of(info), path[-1]
    where = f" under [{dotted(path[:-1])}]" if len(path) > 1 and not isinstance(path[-2], int) else ""
    if inner_model(info):
        form = f"{key} = {{ ... }}" if len(path) > 2 else f"the table [{dotted(path)}]"
        return Fault("a required table is missing", todo=f"Add {form}: {declared.meaning}")
    allowed = declared.range_text(places.units) if isinstance(declared, Quantity | Factor | Count) else None
    words = (
        [_written(word) for word in get_args(info.annotation)]
        if get_origin(info.annotation) is Literal
        else []
    )
    brackets = "[ ... ]" if is_list(info) else "{ name = ... }" if is_named(info) else ""
    form = " or ".join(words) or brackets or ('"..."' if declared.takes_text else "...")
    return Fault(
        "a required key is missing", allowed=allowed, todo=f"Add {key} = {form}{where}: {declared.meaning}"
    )


def _unknown(path: Path, shape: str | None) -> Fault:
    """An unknown key: the known keys of its table, the nearest of them, or the table where it belongs."""
    name, table = str(path[-1]), path[:-1]
    model = model_at(table, shape) if table else Heading
    known = list(keys_of(model)) if model else []
    if not table:
        known += list(SECTIONS)
    other = OTHER_WORDS.get(name.lower())
    close = [other] if other in known else nearest_words(name, known)
    elsewhere = _elsewhere(name, table)
    if close and not (elsewhere and not table):
        todo = f"Is {' or '.join(close)} meant?"
    elif elsewhere:
        todo = f"There is a key of this name: {', '.join(elsewhere)}. Write it there, or leave it out"
    else:
        todo = "Leave it out"
    if path[0] == "shelter" and shape and dotted(path) in elsewhere:
        todo = f'A "{shape}" has no {name}. {RETIRED_HINT}: {name} = "none"'
    if table[:2] == ("stoking", "load") and name in WEIGHED:
        todo = 'Weighed wood stands among the pieces, under its kind: pieces = { split = "1.1 kg" }'
    where = f"[{dotted(table)}]" if table else "the top of a scenario"
    return Fault(f'unknown key "{name}"', allowed=f"in {where}: {', '.join(known)}", todo=todo)


def _elsewhere(name: str, table: Path) -> list[str]:
    """The keys of this name in other tables, and with a shelter those of other shapes."""
    found = sorted((field for field in fields(tables=True) if field.path[-1] == name), key=_depth)
    keys = [field.key for field in found]
    return [key if "." in key else f"{key} at the top of the file, above the first [table]" for key in keys][
        :4
    ]


def _depth(field: Field) -> int:
    return len(field.path)


def _no_such_word(path: Path, given: Any, shape: str | None) -> Fault:
    model = model_at(path[:-1], shape)
    words = words_of(keys_of(model)[str(path[-1])].annotation) if model else ()
    allowed = " or ".join(_written(word) for word in words)
    close = nearest_words(str(given), [str(word) for word in words])
    todo = f'Is "{close[0]}" meant?' if close else "Use one of these words"
    if path == ("format",):
        todo = "Write format = 1; a file of a later format needs a later simtent"
    return Fault("not one of the known words", value=_short(given), allowed=allowed, todo=todo)


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return f'"{value}"' if isinstance(value, str) else str(value)


def _short(value: Any) -> str:
    text = _written(value)
    return text if len(text) <= 60 else f"{text[:57]}..."

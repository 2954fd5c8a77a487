"""One road from a raw tree to valid parts: validate every section, gather every fault, check the whole."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path

from pydantic import BaseModel, ValidationError

from simtent.errors import Fault, InputError
from simtent.scenario.archetype import check_shape, on_archetype
from simtent.scenario.around import Around
from simtent.scenario.checks import check_whole
from simtent.scenario.clock import Span, clock_text
from simtent.scenario.effective import emptied
from simtent.scenario.faults import Places, faults_of
from simtent.scenario.fields import OPTIONAL, SECTIONS, Heading, path_fields, section_model
from simtent.scenario.kept import validated
from simtent.scenario.nearest import nearest
from simtent.scenario.night import Night
from simtent.scenario.presence import check_presence
from simtent.scenario.read import unquoted_fault
from simtent.scenario.section import Section
from simtent.scenario.shelter import SHAPES
from simtent.scenario.site import USUAL_LEVELS, Levels
from simtent.scenario.tree import (
    DEFAULT,
    Leaf,
    Table,
    any_leaf,
    change_at,
    change_table,
    find,
    leaves,
    merge,
    plain,
    plant_table,
    without_none,
)
from simtent.scenario.tree import Path as TreePath

DEFAULTS = plant_table({"levels": USUAL_LEVELS}, lambda _at: DEFAULT)
Part = tuple[str, BaseModel | list[Fault]]


def build_parts(tree: Table, path: Path, earlier: Iterable[Fault] = ()) -> dict[str, BaseModel]:
    """The valid parts of a scenario by section, the top of the file as "heading".

    `path` is the scenario's file; `earlier` are faults found while reading. Raises InputError with every
    fault of the whole scenario.
    """
    dates = any_leaf(tree, _is_date)
    whole = merge(DEFAULTS, on_archetype(change_table(tree, _dates_as_text) if dates else tree))
    given = _with_variants(_with_whole_paths(without_none(emptied(whole)), path.parent), whole)
    places = Places(given, whole, str(path))
    faults = [*earlier, *(_unquoted(tree, places) if dates else ()), *check_shape(tree, places)]
    parts: dict[str, BaseModel] = {}
    for name, part in _parts(given, places):
        if isinstance(part, BaseModel):
            parts[name] = part
        else:
            faults += part
    faults += check_presence(places)
    faults += check_whole(parts, places)
    if faults:
        # What stands somewhere comes before what is missing: a misspelt table makes its keys missing.
        raise InputError(
            sorted(faults, key=lambda fault: (fault.file or "", not fault.line, fault.line or 0))
        )
    return parts


def _with_variants(given: Table, whole: Table) -> Table:
    """The tree with every "none" inside a variant: there it takes nothing away yet."""
    kept, variants = given.nodes.get("variants"), whole.nodes.get("variants")
    if not isinstance(kept, Table) or not isinstance(variants, Table):
        return given
    nodes = {name: variants.nodes[name] for name in kept.nodes}
    return Table({**given.nodes, "variants": Table(nodes, kept.origin)}, given.origin)


def _parts(given: Table, places: Places) -> Iterator[Part]:
    """Each section, valid or as its faults; the night first, since clock times need it."""
    top = {key: node for key, node in given.nodes.items() if key not in SECTIONS}
    yield "heading", _validated(Heading, Table(top, given.origin), (), None, places)
    span: Span | None = None
    for name in SECTIONS:
        if _is_left_out(name, given, places):
            continue
        node = given.nodes.get(name, Table({}, given.origin))
        model = Levels if name == "levels" else section_model(name, places.shape)
        if not isinstance(node, Table):
            open_air = ', or shelter = "none" for a stove in the open' if name == "shelter" else ""
            fault = Fault("a table is wanted", todo=f"Write [{name}] and its keys below it{open_air}")
            yield name, [places.put(fault, (name,))]
        elif model is None:
            yield name, [_shape_fault(places)]
        else:
            part = _validated(model, node, (name,), span, places)
            if isinstance(part, Night):
                span = part.span
            yield name, part


def _is_left_out(name: str, given: Table, places: Places) -> bool:
    """Whether a section is not there, and need not be; which go together is checked apart."""
    if name in ("wood", "stoking") and "stove" not in given.nodes:
        return True
    return name not in given.nodes and (name in OPTIONAL or (name == "shelter" and places.in_the_open))


def _validated(
    model: type[BaseModel], node: Table, above: TreePath, span: Span | None, places: Places
) -> BaseModel | list[Fault]:
    faults: list[Fault] = []
    if issubclass(model, Section):
        found = model.key_faults(node.nodes.keys())
        faults += [places.put(fault, (*above, fault.key) if fault.key else above) for fault in found]
    told = {fault.key for fault in faults}
    try:
        part = validated(
            model, plain(node), Around(span, places.units), reads_a_file=_names_a_file(node, above)
        )
    except ValidationError as error:
        faults += (fault for fault in faults_of(error, above, places) if fault.key not in told)
    return faults or part


def _names_a_file(node: Table, above: TreePath) -> bool:
    """Whether a section names a file that it reads."""
    depth = len(above)
    return any(path[:depth] == above and find(node, path[depth:])[1] for path in path_fields())


def _shape_fault(places: Places) -> Fault:
    shape = places.shape
    allowed = ", ".join(f'"{name}"' for name in SHAPES)
    if shape is None:
        fault = Fault("the shelter has no shape", allowed=allowed, todo='Add shape = "..." under [shelter]')
    else:
        fault = Fault("unknown shape", allowed=allowed, todo=nearest(shape, SHAPES))
    return places.put(fault, ("shelter", "shape"))


def _unquoted(tree: Table, places: Places) -> Iterator[Fault]:
    """A fault for every date or time that TOML read as such: in a scenario they are text."""
    for path, leaf in leaves(tree):
        if _is_date(leaf.value):
            yield places.put(unquoted_fault(_as_text(leaf.value)), path)


def _dates_as_text(_path: TreePath, leaf: Leaf) -> Leaf:
    """Dates and times as text, so that the rest can be checked in the same run."""
    return replace(leaf, value=_as_text(leaf.value)) if _is_date(leaf.value) else leaf


def _is_date(value: object) -> bool:
    return isinstance(value, date | datetime | time)


def _as_text(value: date | datetime | time) -> str:
    return clock_text(value) if isinstance(value, time) else value.isoformat()


def _with_whole_paths(given: Table, folder: Path) -> Table:
    """The tree with every path to a file made whole from the folder of the file that names it."""

    def whole(leaf: Leaf) -> Leaf:
        if not isinstance(leaf.value, str) or not leaf.value:
            return leaf
        base = Path(leaf.origin.file).parent if leaf.origin.file else folder
        return replace(leaf, value=str((base / leaf.value).absolute()))

    for path in path_fields():
        given = change_at(given, path, whole)
    return given

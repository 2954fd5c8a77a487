"""Scenario files, settings and replacements turned into raw trees."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.fields import match, path_fields
from simtent.scenario.nearest import nearest
from simtent.scenario.toml_lines import dotted_key, key_lines
from simtent.scenario.tree import (
    Leaf,
    Origin,
    Source,
    Table,
    change_at,
    dotted,
    is_none,
    leaves,
    plant,
    plant_table,
)
from simtent.scenario.tree import Path as TreePath

BARE_CLOCK = re.compile(r"(?<=[=\[,\s])\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?=\s*(?:[,\]}#\n]|\Z))")
BARE_QUANTITY = re.compile(r"=\s*([+-]?\d[\d./ ]*\s*[A-Za-z°%][^,#}\]\n\"']*)")
QUOTED_OR_COMMENT = re.compile(
    r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*', re.DOTALL
)
MANY_DIGITS = re.compile(r"[0-9][0-9_]{999,}")
LONG_KEY = re.compile(r"(?<![^\s.=\[\]{},])(?:[^\s.=\[\]{},]+[ \t]*\.[ \t]*){20,}")
LIST_ENTRY = re.compile(r"\s*[\w.]+\[\d*\]")
LARGEST_WHOLE = 2**63 - 1  # 64 bits, what does not fit is an error: TOML 1.0.0, "Integer", from memory
DEEPEST = 20  # tables and lists in one another; a scenario needs five
QUOTED_KEY = re.compile(r"'([^']*)'")
CURLY_QUOTES = "\u201c\u201d\u2018\u2019\u201e\u00ab\u00bb"
INCH_MARK = re.compile(r"""=\s*("[^"]*\d\s*"\s*"|'[^']*\d\s*'\s*')$""")
DECLARED_TWICE = re.compile(r"(?:declare|namespace) (\([^)]*\))(?: twice)?")
SLIPS = (  # in a line without what stands in its quotes, and what to do
    (
        re.compile(r"=\s*[+-]?\d+,\d+$"),
        'Write decimals with a point, and a number with its unit in quotes, for example "4.2 m"',
    ),
    (re.compile(r"^[\w.-]+\s*:"), "Write = between a key and its value"),
    (re.compile(r"=\s*(?:true|yes|on)$", re.IGNORECASE), "Write true in small letters, without quotes"),
    (re.compile(r"=\s*(?:false|no|off)$", re.IGNORECASE), "Write false in small letters, without quotes"),
    (re.compile(r"""=\s*["']_+\s*[^\s,\]}_"']"""), "Begin a remark behind the value with #"),
)
AT_LINE = re.compile(r"\s*\(at line (\d+), column \d+\)|\s*\(at end of document\)")


def read_file(path: str | Path) -> tuple[Table, list[Fault]]:
    """The raw tree of a TOML file, and what is wrong with a clock time or two that stand without quotes.

    Raises InputError if there is no such file, it is no text, or no TOML that a scenario could be.
    """
    file = Path(path)
    text = _text(file)
    faults: list[Fault] = []
    try:
        values = _values(text, str(file))
    except tomllib.TOMLDecodeError:
        faults, text = _bare_clocks(text, str(file))
        try:
            values = _values(text, str(file))
        except tomllib.TOMLDecodeError as error:
            raise InputError([*faults, _no_toml(text, str(file), str(error))]) from None
    lines = key_lines(text)
    tree = plant_table(values, lambda at: Origin("file", str(file), lines.get(at)))
    if huge := [_huge_fault(path, leaf) for path, leaf in leaves(tree) if _is_huge(leaf)]:
        raise InputError([*faults, *huge])
    return tree, [_with_key(fault, tree) for fault in faults]


def _values(text: str, file: str | None = None) -> dict[str, Any]:
    """What TOML reads; TOMLDecodeError if it is none, InputError for a depth or a number that no scenario has."""
    if line := _too_deep(text):
        what = f"more than {DEEPEST} tables or lists stand in one another"
        todo = "Take brackets, braces or points away until it looks like the other lines"
        raise InputError(Fault(what, file=file, line=line, todo=todo))
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise
    except ValueError:  # Python reads no whole number of thousands of digits
        found = MANY_DIGITS.search(text)
        place = text.count("\n", 0, found.start()) + 1 if found else None
        what, todo = "a number has thousands of digits", "Write a shorter one"
        raise InputError(Fault(what, file=file, line=place, todo=todo)) from None


def _is_huge(leaf: Leaf) -> bool:
    return isinstance(leaf.value, int) and abs(leaf.value) > LARGEST_WHOLE


def _huge_fault(path: TreePath, leaf: Leaf) -> Fault:
    what, todo = "a whole number has more than 18 digits", "Write a shorter one"
    return Fault(what, file=leaf.origin.file, line=leaf.origin.line, key=dotted(path), todo=todo)


def _too_deep(text: str) -> int:
    """The line at which tables and lists stand too deep in one another, 0 if they nowhere do."""
    depth = 0
    for number, line in enumerate(_masked(text).split("\n"), 1):
        for mark in line:
            depth = max(depth + (mark in "[{") - (mark in "]}"), 0)
            if depth > DEEPEST:
                return number
        if LONG_KEY.search(line):
            return number
    return 0


def read_settings(settings: Iterable[str], source: Source = "--set") -> list[Table]:
    """A raw tree for each of texts such as "model.walls=1.2"; InputError names every one that is none."""
    tables: list[Table] = []
    faults: list[Fault] = []
    for setting in settings:
        key, equals, text = setting.partition("=")
        try:
            if not equals:
                raise ValueError("no equals sign")
            path = dotted_key(key)
            if len(path) > DEEPEST:
                raise ValueError("no field stands so deep")
        except (ValueError, IndexError):
            what, todo = f'"{setting}" is no setting', "Write key=value, for example --set model.walls=1.2"
            if source == "--variant":
                todo = 'Write for example --variant "thicker: model.walls=1.2", and ; before the next change'
            if LIST_ENTRY.match(key):
                what = "one entry of a list cannot be changed from outside"
                todo = "Change it in the scenario file, or lay a file over it that has the whole list"
            faults.append(Fault(what, file=source, value=setting, todo=todo))
            continue
        tables.append(_nested(path, as_field_reads(path, text.strip()), source))
    if faults:
        raise InputError(faults)
    return tables


def read_replacements(values: Mapping[str, Any]) -> list[Table]:
    """A raw tree for each of replacements by dotted key; text is read as the text of a setting."""
    tables = []
    for key, value in values.items():
        try:
            path = dotted_key(key)
        except (ValueError, IndexError):
            todo = 'Write for example "model.walls"'
            raise InputError(
                Fault(f'"{key}" is no dotted key', file="replace", value=key, todo=todo)
            ) from None
        tables.append(
            _nested(path, as_field_reads(path, value) if isinstance(value, str) else value, "replace")
        )
    return tables


def as_field_reads(path: tuple[str, ...], text: str) -> Any:
    """What a text from outside a file means for the field at the path.

    A field that wants text takes it as it stands, with or without quotation marks. For any other field it is
    a TOML value if it can be read as one, else text.
    """
    field = match(path)
    try:
        value = _values(f"value = {text}")["value"]
    except (tomllib.TOMLDecodeError, InputError):
        return text
    if any(_is_huge(leaf) for _, leaf in leaves(plant(value, lambda _at: Origin("--set")))):
        return text
    if isinstance(value, str):
        return value
    if (field and field.text) or not isinstance(value, bool | int | float | list | dict):
        return text
    return value


def _nested(path: tuple[str, ...], value: Any, source: Source) -> Table:
    """One value as a tree; a path to a file counts from the working folder."""
    origin = Origin(source)
    *above, last = path
    table = Table({last: plant(value, lambda _at: origin)}, origin)
    for key in reversed(above):
        table = Table({key: table}, origin)

    def from_here(leaf: Leaf) -> Leaf:
        if isinstance(leaf.value, str) and not is_none(leaf):
            return replace(leaf, value=str(Path(leaf.value).absolute()))
        return leaf

    for field in path_fields():
        table = change_at(table, field, from_here)
    return table


def _text(file: Path) -> str:
    try:
        raw = file.read_bytes()
    except FileNotFoundError:
        there = [other.name for other in file.parent.glob("*.toml")] if file.parent.is_dir() else []
        todo = nearest(file.name, there) or "Check the name and the folder; simtent new writes a first file"
        raise InputError(Fault("there is no such file", file=str(file), todo=todo)) from None
    except IsADirectoryError:
        raise InputError(
            Fault("this is a folder", file=str(file), todo="Name a scenario file in it")
        ) from None
    except OSError as error:
        raise InputError(
            Fault(f"the file cannot be read: {error.strerror}", file=str(file), todo="See who may read it")
        ) from None
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        todo = "Save it as UTF-8 in your editor; a scenario is a plain text file"
        raise InputError(Fault("the file is not UTF-8 text", file=str(file), line=line, todo=todo)) from None


def _masked(text: str) -> str:
    """The text with everything in quotes or comments blanked, line for line and column for column."""
    return QUOTED_OR_COMMENT.sub(lambda found: found[0][0] + re.sub(r"[^\n]", "_", found[0][1:]), text)


def _bare_clocks(text: str, file: str) -> tuple[list[Fault], str]:
    """A fault for every clock time without quotes, and the text with them in quotes, to look further."""
    faults, mended, last = [], "", 0
    for found in BARE_CLOCK.finditer(_masked(text)):
        faults.append(unquoted_fault(found.group(), file, text.count("\n", 0, found.start()) + 1))
        mended += f'{text[last : found.start()]}"{found.group()}"'
        last = found.end()
    return faults, mended + text[last:]


def unquoted_fault(value: str, file: str | None = None, line: int | None = None) -> Fault:
    """A date or clock time stands without quotes."""
    what = f"{value} stands without quotes"
    return Fault(what, file=file, line=line, value=value, todo=f'Put it in quotes: "{value}"')


def _without_remark(line: str) -> str:
    return line[: _masked(line).find("#")].strip() if "#" in _masked(line) else line.strip()


def _with_key(fault: Fault, tree: Table) -> Fault:
    """The fault of a mended clock time with the key that it belongs to."""
    here = (dotted(path) for path, leaf in leaves(tree) if leaf.origin.line == fault.line)
    return replace(fault, key=next(here, None))


def _no_toml(text: str, file: str, message: str) -> Fault:
    """The fault of a text that TOML refuses, at the line that it names or at the last one."""
    at = AT_LINE.search(message)
    line = int(at[1]) if at and at[1] else text.rstrip().count("\n") + 1
    given = _without_remark(text.split("\n")[line - 1])
    what, todo = _slip(given, AT_LINE.sub("", message), at_end=not (at and at[1]))
    return Fault(what, file=file, line=line, value=given or None, todo=todo)


def _slip(given: str, reason: str, *, at_end: bool) -> tuple[str, str]:
    """What is wrong with a line and what to do, by what people most often get wrong."""
    if bare := BARE_QUANTITY.search(_masked(given)):
        value = given[bare.start(1) : bare.end(1)].strip()
        return f"{value} stands without quotes", f'Put it in quotes: "{value}"'
    if "overwrite" in reason or "Duplicate" in reason:
        return "this key is given twice", "Keep one of the two"
    if twice := DECLARED_TWICE.search(reason):
        reason = f"the table [{'.'.join(re.findall(QUOTED_KEY, twice[1]))}] is given twice"
        todo = "Keep one of the two, with the keys of both"
    elif any(mark in given for mark in CURLY_QUOTES):
        todo = 'Write straight quotes ("), not the curly ones of a word processor'
    elif at_end:
        todo = "Close the quote or bracket left open in this line or above it, or mend the file's lost end"
    elif INCH_MARK.search(given):
        todo = 'Write ft and in for the marks of feet and inches, for example "4 ft 7 in"'
    elif given.count('"') % 2:
        todo = "A closing quote is missing in this line"
    else:
        other = "Correct this line; text stands in quotes, tables begin with [name]"
        todo = next((todo for slip, todo in SLIPS if slip.search(_masked(given))), other)
    return f"this is no TOML: {reason[:1].lower()}{reason[1:]}", todo

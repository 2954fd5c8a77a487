"""The map from keys to lines, held to the standard library's TOML reader on generated texts."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.scenario.toml_lines import dotted_key, key_lines

KEYS = st.sampled_from(["a", "b", "c-1", "d_2", "7", "quoted key", "a.b", "ü", 'q"q', "back\\slash", "#no"])
BLANK = st.sampled_from(["", "\n", "# remark [x] = { 'y'\n", '\n  # """\n\n', "\t\n"])
# Every scalar carries a number of its own, so that its line can be found in the text without the map.
SCALARS = st.sampled_from(
    [
        "{n}",
        '"text {n} # \\" ] }}"',
        "'literal {n} \\ ] #'",
        '"""many {n}\nlines ] \\"\\"\\" "" = }}\n"""',
        "'''many {n}\n'lines' ''[\n'''",
        '"""{n} ends in quotes"""""',
        "{n}.5e3",
        "2031-02-14T17:30:00.{n}Z",
    ]
)


class Writer:
    """A TOML text in the making; `at` counts the scalars."""

    def __init__(self, draw):
        self.draw = draw
        self.at = 100000

    def scalar(self):
        self.at += 1
        return self.draw(SCALARS).format(n=self.at)

    def key(self, name):
        bare = all(char.isascii() and (char.isalnum() or char in "-_") for char in name)
        if bare and self.draw(st.booleans()):
            return name
        escaped = name.replace("\\", "\\\\").replace('"', '\\"')
        return f"'{name}'" if self.draw(st.booleans()) else f'"{escaped}"'

    def value(self, depth):
        kind = self.draw(st.sampled_from(["scalar", "scalar", "list", "table"] if depth else ["scalar"]))
        if kind == "scalar":
            return self.scalar()
        if kind == "table":
            names = self.draw(st.lists(KEYS, max_size=3, unique=True))
            pairs = [f"{self.key(name)} = {self.value(depth - 1)}" for name in names]
            return "{ " + ", ".join(pairs) + " }"
        gaps = self.draw(st.sampled_from(["", " ", "\n", "\n  # remark ] ,\n"]))
        items = [self.value(depth - 1) for _ in range(self.draw(st.integers(0, 3)))]
        comma = "," if items and self.draw(st.booleans()) else ""
        return f"[{gaps}" + f"{gaps},{gaps}".join(items) + f"{gaps}{comma}{gaps}]"

    def pairs(self):
        lines = []
        for name in self.draw(st.lists(KEYS, max_size=4, unique=True)):
            inner = self.draw(st.lists(KEYS, max_size=2))
            dots = self.draw(st.sampled_from([".", " . "]))
            key = dots.join(self.key(part) for part in [name, *inner])
            lines.append(f"{self.draw(BLANK)}{key} = {self.value(2)}\n")
        return "".join(lines)


@st.composite
def toml_texts(draw):
    writer = Writer(draw)
    text = writer.pairs()
    for number in range(draw(st.integers(0, 4))):
        path = [f"t{number}", *draw(st.lists(KEYS, max_size=2))]
        header = ".".join(writer.key(part) for part in path)
        if draw(st.booleans()):
            text += f"{draw(BLANK)}[{header}] # remark\n{writer.pairs()}"
            continue
        for _ in range(draw(st.integers(1, 3))):
            text += f"{draw(BLANK)}[[ {header} ]]\n{writer.pairs()}"
            if draw(st.booleans()):
                text += f"[{header}.inner]\n{writer.pairs()}"
    return text


def paths_of(value, above=()):
    if above:
        yield above, value
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield from paths_of(item, (*above, key))


@given(toml_texts())
def test_every_key_has_its_line(text):
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return  # the same table twice
    lines = key_lines(text)
    known = dict(paths_of(values))
    assert set(lines) == set(known)
    rows = text.split("\n")
    for path, value in known.items():
        row = rows[lines[path] - 1]
        if isinstance(value, dict | list):
            continue
        number = next(n for n in range(100001, 100500) if str(n) in str(value) or str(n)[:6] in repr(value))
        assert str(number) in row, (path, row)


def test_a_document_by_hand():
    text = """\
title = "x"

[a.b]          # made here
c = [
    1,         # first
    { d = 2, "e f" = 3 },
]
text = '''
[not.a.table]
'''
g.h = true

[[list]]
x = 1
[[list]]
[list.sub]
y = 2
"""
    assert key_lines(text) == {
        ("title",): 1,
        ("a",): 3,
        ("a", "b"): 3,
        ("a", "b", "c"): 4,
        ("a", "b", "c", 0): 5,
        ("a", "b", "c", 1): 6,
        ("a", "b", "c", 1, "d"): 6,
        ("a", "b", "c", 1, "e f"): 6,
        ("a", "b", "text"): 8,
        ("a", "b", "g"): 11,
        ("a", "b", "g", "h"): 11,
        ("list",): 13,
        ("list", 0): 13,
        ("list", 0, "x"): 14,
        ("list", 1): 15,
        ("list", 1, "sub"): 16,
        ("list", 1, "sub", "y"): 17,
    }


def test_windows_line_ends():
    assert key_lines('a = """\r\nx"""\r\nb = 1\r\n') == {("a",): 1, ("b",): 3}


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("model.walls", ("model", "walls")),
        (' levels . "upper bunk" ', ("levels", "upper bunk")),
        ("levels.'a.b'", ("levels", "a.b")),
    ],
)
def test_dotted_keys(text, parts):
    assert dotted_key(text) == parts


@pytest.mark.parametrize("text", ["", "a.", ".a", "a b", "a..b", '"a', "levels.ü"])
def test_what_is_no_dotted_key(text):
    with pytest.raises(ValueError):
        dotted_key(text)

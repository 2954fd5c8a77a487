"""Scenario files as accidents leave them: slips of the hand, lost marks, wrong editors, torn files."""

import re

QUANTITY = re.compile(r'"([-+]?[0-9./ ]+) ?([A-Za-z°%][^"\n]*)"')
VALUE = re.compile(r"(?<== )[^\n#]+")
KEY = re.compile(r"^[A-Za-z_]+(?= *=)", re.MULTILINE)
HEADER = re.compile(r"^\[+([^\]\n]+)\]+", re.MULTILINE)
MARKS = "\"'[]{}=#,.\\"
LETTERS = "abcxyz019 _-.\t\n\"'[]{}=#,\\é%°"
UNITS = ["m", "ft", "kg", "degC", "degF", "K", "kW", "W/(m K)", "%", "cm2", "R", "furlong", "", "m/s", "min"]
NONSENSE = [
    '""', '" "', '"none"', '"five metres"', '"5,5 m"', '"1e400 m"', '"-0 m"', '"NaN m"', '"inf K"', "nan", "-inf",
    "1e309", "0x1F", "-1", "true", "false", "22:30", "2031-02-30", "2031-02-14", "1979-05-27T07:32:00Z", "25:61:00",
    "[]", "[1, 2]", '["a", 3]', "[[]]", "{}", '{ at = "18:00" }', '{ path = "no/such/file.csv" }', "[{}]", "'",
    '"""\nline\n"""', "'''x'''", '"a\\u0000b"', '"\\uD800"', '"' + "x" * 3000 + '"', "9" * 30, "9" * 400, "9" * 5000,
    "0x" + "F" * 5000,
    "0." + "1" * 400, '"' + "9" * 400 + ' m"', '"1/0 m"', '"0/0 ft"', '"1/3 in 1/3 in"', '"../.."', '"\u202e5 m"',
    '"\u0663 m"', '"\uff15 m"', "1_000", '"100 % 100 %"', '"R 5"', '"-300 degC"', '"18:00"', '"99:99"', "[true]",
]  # fmt: skip
STRAY = [
    b"\x00",
    b"\xff",
    b"\xc3",
    b"\xed\xa0\x80",
    b"\x1b",
    b"\x7f",
    b"\x0b",
    b"\r",
    b"\xe2\x80\x8b",
    b"\xef\xbb\xbf",
]


def garbled(raw, random, most=3):
    """A file's bytes after one to `most` accidents, and the names of what happened; `random` is a random.Random."""
    happened = random.choices(list(ACCIDENTS), k=random.randint(1, most))
    for name in happened:
        raw = ACCIDENTS[name](raw, random)
    return raw, happened


def _on_text(change):
    """An accident of the text as one of the bytes; what another accident made unreadable stays as it is."""
    return lambda raw, random: change(raw.decode("utf-8", "surrogateescape"), random).encode(
        "utf-8", "surrogateescape"
    )


def _somewhere(text, random):
    return random.randrange(len(text) + 1)


def _drop(text, random):
    at = _somewhere(text, random)
    return text[:at] + text[at + 1 :]


def _double(text, random):
    at = _somewhere(text, random)
    return text[:at] + text[at : at + 1] + text[at:]


def _swap(text, random):
    at = _somewhere(text, random)
    return text[:at] + text[at : at + 2][::-1] + text[at + 2 :]


def _put(text, random):
    at = _somewhere(text, random)
    return text[:at] + random.choice(LETTERS) + text[at + random.randint(0, 1) :]


def _delete_line(text, random):
    lines = text.split("\n")
    del lines[random.randrange(len(lines))]
    return "\n".join(lines)


def _double_line(text, random):
    lines = text.split("\n")
    at = random.randrange(len(lines))
    return "\n".join([*lines[: at + 1], *lines[at:]])


def _move_line(text, random):
    lines = text.split("\n")
    line = lines.pop(random.randrange(len(lines)))
    lines.insert(random.randrange(len(lines) + 1), line)
    return "\n".join(lines)


def _join_lines(text, random):
    return _without(text, random, "\n")


def _without(text, random, marks):
    """The text without one of the marks."""
    places = [n for n, mark in enumerate(text) if mark in marks]
    if not places:
        return text
    at = random.choice(places)
    return text[:at] + text[at + 1 :]


def _lose_mark(text, random):
    return _without(text, random, MARKS)


def _curl_quotes(text, random):
    return _changed(re.compile('"'), text, random, lambda _found: random.choice("\u201c\u201d\u201e\u00ab"))


def _changed(pattern, text, random, new):
    """The text with one find of a pattern written anew."""
    finds = list(pattern.finditer(text))
    if not finds:
        return text
    found = random.choice(finds)
    return text[: found.start()] + new(found) + text[found.end() :]


def _other_value(text, random):
    return _changed(VALUE, text, random, lambda _found: random.choice(NONSENSE))


def _other_unit(text, random):
    return _changed(QUANTITY, text, random, lambda found: f'"{found[1]} {random.choice(UNITS)}"')


def _other_number(text, random):
    huge = ["1e9", "-1e9", "0", "1e-9", "999999999999", "00012", "1.2.3", "--3", "1e", ".", "1/2/3"]
    return _changed(QUANTITY, text, random, lambda found: f'"{random.choice(huge)} {found[2]}"')


def _value_of_another(text, random):
    values = VALUE.findall(text) or [""]
    return _changed(VALUE, text, random, lambda _found: random.choice(values))


def _misspell(text, random):
    return _changed(KEY, text, random, lambda found: _slip(found[0], random))


def _rename_table(text, random):
    words = [
        "night",
        "shelter",
        "heat",
        "stove",
        "wood",
        "levels",
        "stoking.load",
        "a.b.c.d",
        "",
        "shelter.skin.wall",
    ]
    return _changed(
        HEADER,
        text,
        random,
        lambda found: found[0].replace(found[1], random.choice([*words, _slip(found[1], random)])),
    )


def _list_of_tables(text, random):
    return _changed(
        HEADER, text, random, lambda found: f"[{found[0]}]" if random.random() < 0.7 else found[0][1:]
    )


def _slip(word, random):
    return random.choice((_drop, _double, _swap, _put))(word, random)


def _nest(text, random):
    deep = random.choice([3, 30, 300, 3000])
    nested = random.choice(["[" * deep + "]" * deep, "{a=" * deep + "1" + "}" * deep, "[" * deep])
    return _changed(VALUE, text, random, lambda _found: nested)


def _deep_key(text, random):
    deep = ".".join(["a"] * random.choice([5, 50, 5000]))
    return _changed(KEY, text, random, lambda found: random.choice([f"{found[0]}.{deep}", deep]))


def _cut_off(text, random):
    return text[: _somewhere(text, random)]


def _stray_bytes(raw, random):
    at = random.randrange(len(raw) + 1)
    return raw[:at] + random.choice(STRAY) + raw[at:]


def _line_ends(raw, random):
    return raw.replace(b"\n", random.choice([b"\r\n", b"\r\n", b"\r", b"\n\n", b"\r\r\n"]))


def _byte_order_mark(raw, _random):
    return b"\xef\xbb\xbf" + raw


def _other_encoding(raw, random):
    return raw.decode("utf-8", "replace").encode(
        random.choice(["utf-16", "latin-1", "utf-8-sig", "cp1252"]), "replace"
    )


def _torn(raw, random):
    """A block of the file is zeros, as a full disk or a dead battery leaves it."""
    at, length = random.randrange(len(raw) + 1), random.choice([1, 16, 512])
    return raw[:at] + b"\x00" * length + raw[at + length :]


def _empty(_raw, random):
    return random.choice([b"", b"\n", b"#", b"\xef\xbb\xbf", b"format = 1\n"])


ACCIDENTS = {
    **{
        change.__name__.strip("_").replace("_", " "): _on_text(change)
        for change in (
            _drop,
            _double,
            _swap,
            _put,
            _delete_line,
            _double_line,
            _move_line,
            _join_lines,
            _lose_mark,
            _curl_quotes,
            _other_value,
            _other_unit,
            _other_number,
            _value_of_another,
            _misspell,
            _rename_table,
            _list_of_tables,
            _nest,
            _deep_key,
            _cut_off,
        )
    },
    "stray bytes": _stray_bytes,
    "line ends": _line_ends,
    "byte order mark": _byte_order_mark,
    "other encoding": _other_encoding,
    "torn": _torn,
    "empty": _empty,
}

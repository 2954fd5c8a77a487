"""Text with units <-> SI numbers; with its tables, the only module that knows a unit's name.

The field fixes the kind: "5 degF" is a temperature in one field and a difference in another. After a slash
everything stands below the line ("W/m K" is W/(m K)). Fractions keep the arithmetic exact.
"""

import difflib
import math
import re
import sys
from collections.abc import Sequence
from decimal import Context, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal, NamedTuple

from simtent.errors import Fault, InputError
from simtent.gauges import WORDS, thickness_text
from simtent.tape import feet_and_inches
from simtent.unit_table import BASE, CASE_MATTERS, KIND_TABLE, UNIT_TABLE, ZEROS

System = Literal["us", "si"]


class UnitError(InputError):
    """A text that cannot be read as the quantity wanted; its fault does not know its place yet.

    digits  the number to which only a unit is missing; empty where more is wrong
    """

    def __init__(self, fault: Fault, digits: str = "") -> None:
        super().__init__(fault)
        self.digits = digits


class _Unit(NamedTuple):
    factor: Fraction
    dims: tuple[int, ...]  # powers of the base units
    zero: Fraction | None = None  # where the scale begins [K], for a bare temperature unit only


class _Kind(NamedTuple):
    words: str
    dims: tuple[int, ...]
    known: tuple[str, ...]  # units offered in messages
    shown: dict[str, tuple[str, int]]  # system -> unit and decimals


class _UnreadableError(Exception):
    """What is wrong with a text, what to do, or a number for which to show how it is written with a unit."""

    def __init__(self, what: str, todo: str = "", digits: str = "") -> None:
        super().__init__(what)
        self.todo, self.digits = todo, digits


class _UnknownError(_UnreadableError):
    """A unit that is not in the table; the message is the part that was not understood."""


POUND = 0.45359237  # kg, exact
_LARGEST = Fraction(sys.float_info.max)
_ROW = re.compile(r"(\w+) \| (.+) \| (.+) \| (.+), ([0-9]) \| (.+), ([0-9])")
_NUMBER = (
    r"(?:[0-9]+(?: +|-)[0-9]+/[0-9]+|[0-9]+/[0-9]+"  # 4 1/2, 4-1/2, 1/2
    r"|(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3}(?![0-9]))?)"  # 4, 4.5, .5, 4e3
)
_SIGNED = re.compile(rf"([+-]?) *({_NUMBER})")
_PART = re.compile(rf"({_NUMBER}) *([A-Za-z]+|['\"]) *")
_UNFINISHED = re.compile(rf"([+-]? *{_NUMBER}) *([A-Za-z]+|') *({_NUMBER})")
_SMALLER = {"ft": ("ft", "in"), "lb": ("lb", "oz")}  # unit -> how it and the next smaller one are written
_COMPOUND = re.compile(rf"(?:{_PART.pattern}){{2,}}")
_TOKEN = re.compile(r" *(?:([A-Za-z]+)(?:\^?(-?[1-3])(?![0-9]))?|([%'\"°])|([/()]))")
_ODD = re.compile(r"/ *(?:/|$)|\([^)]*(?:[/(]|$)|\( *\)|^[^(]*\)")  # empty below a line; odd brackets
_R_VALUE = re.compile(r"R(SI)?[ -]*([0-9]+\.?[0-9]*|\.[0-9]+)(?: *(us|si)\b)?", re.IGNORECASE)
_COMMA = re.compile(r"[0-9][0-9.]*(?:,[0-9]+)+(?:\.[0-9]+)?")
_BITS = zip("½¼¾⅓⅔⅛⅜⅝⅞", ("1/2", "1/4", "3/4", "1/3", "2/3", "1/8", "3/8", "5/8", "7/8"), strict=True)
_PLAIN = zip("\u2212\u2032\u2019\u2033\u201d\u2044", "-''\"\"/", strict=True)
_MARKS = str.maketrans(dict(_PLAIN) | {sign: f" {part}" for sign, part in _BITS})
_RAISED = str.maketrans("²³¹⁻·⋅*", "231-   ")
_REWRITES = (
    (r"\b(?:sq|square)\.? ([a-z]+)", r"\g<1>2"),
    (r"\b(?:cu|cubic)\.? ([a-z]+)", r"\g<1>3"),
    (r"\bin\.? ?(?:H2O|H₂O|w\.?c\.?)(?![a-z])", "inWater"),
    (r"℃|(?:[°º]|\bdeg(?:rees?|s)?) ?(?:C|celsius)\b", "degC"),
    (r"℉|(?:[°º]|\bdeg(?:rees?|s)?) ?(?:F|fahrenheit)\b", "degF"),
    (r"\b(m|kg)(?-i:K)\b", r"\1 K"),
    (r"\bper\b", "/"),
)


def to_si(text: str, kind: str) -> float:
    """Read a quantity: "5 ft 6 in" as a "length" is 1.6764.

    Returns SI [m, m2, m3, kg, K, m/s, W, J, kg/m3, kg/m2, W/(m K), m2 K/W, W/K, Pa, s, 1, rad, m3/s, J/(kg K)].
    Raises UnitError, which says what was written, what is wanted and how to write it.
    """
    return _read(text, kind)


@lru_cache(
    4096
)  # a batch of scenarios reads the same texts thousands of times; what cannot be read is not kept
def _read(text: str, kind: str) -> float:
    try:
        plain = _tidy(text)
        if "," in plain:
            raise _comma(plain)
        value, unit = _quantity(plain)
        if not _fits(unit, kind):
            raise _misfit(plain, unit, (kind,))
        return _value(plain, value, unit, kind)
    except _UnreadableError as trouble:
        raise _error(text, trouble, (kind,)) from None


def leading_quantity(text: str, kinds: Sequence[str]) -> tuple[float, str, str] | None:
    """Read the quantity at the head of a text such as "2 in air gap".

    Returns SI value, kind (the first of `kinds` that fits) and the rest of the text; None if the text starts
    with no number. Raises UnitError if it starts with a number that is no such quantity.
    """
    return _leading(text, tuple(kinds))


@lru_cache(1024)
def _leading(text: str, kinds: tuple[str, ...]) -> tuple[float, str, str] | None:
    plain = _tidy(text)
    if not re.match(r"[+-]? *\.?[0-9]|R(SI)?[ -]*\.?[0-9]", plain, re.IGNORECASE):
        return None
    if _COMMA.match(plain.lstrip("+- ")):
        raise _error(text, _comma(plain), kinds)
    troubles = []
    ends = [found.end() for found in re.finditer(r"\S+", plain)][:10]
    for end in reversed(ends):  # the longest head that is a quantity: "0.85 m2 K/W" before "0.85 m2"
        try:
            value, unit = _quantity(plain[:end])
            for kind in kinds:
                if _fits(unit, kind):
                    return _value(plain[:end], value, unit, kind), kind, plain[end:].strip()
            raise _misfit(plain[:end], unit, kinds)
        except _UnreadableError as trouble:
            troubles.append(trouble)
    # Most telling is a unit of another kind, then an unknown unit, then none at all.
    told = max(troubles, key=lambda it: 1 if isinstance(it, _UnknownError) else 2 * (not it.digits))
    raise _error(text, told, kinds)


def scale(unit: str, kind: str) -> tuple[float, float]:
    """Return (factor, zero), so that SI value = number * factor + zero: for whole columns in one unit."""
    try:
        found = _unit(_tidy(unit))
        if not _fits(found, kind):
            raise _misfit(unit, found, (kind,))
    except _UnreadableError as trouble:
        raise _error(unit, trouble, (kind,)) from None
    return float(found.factor), float(found.zero or 0) if kind == "temperature" else 0.0


def number(value_si: float, kind: str, system: System) -> float:
    """Turn an SI value into the number people see in that system of units."""
    factor, zero = scale(unit_name(kind, system), kind)
    return (value_si - zero) / factor


def unit_name(kind: str, system: System) -> str:
    """Name the unit in which a kind is shown."""
    return _KINDS[kind].shown[system][0]


def show(value_si: float, kind: str, system: System, digits: int | None = None) -> str:
    """Write an SI value for people, with its unit: "41 degF".

    digits  decimals; None is the kind's own number, or more where fewer than two figures would be seen

    Lengths in US units stand as on a tape: "5 ft 6 in", finer with two digits or more; water in pounds from one on.
    """
    if kind == "length" and system == "us":
        return feet_and_inches(value_si, fine=digits is not None and digits > 1)
    if kind == "water" and system == "us" and abs(value_si) >= POUND:
        kind = "mass"
    shown = number(value_si, kind, system)
    unit, decimals = _KINDS[kind].shown[system]
    if digits is None and "temperature" not in kind and 0 < abs(shown) < 1:
        decimals = max(decimals, 1 - math.floor(math.log10(abs(shown))))
    text = f"{shown:.{decimals if digits is None else digits}f}"
    return f"{text.lstrip('-') if float(text) == 0 else text} {unit}"


def exact(value_si: float, kind: str, system: System = "si") -> str:
    """Write a finite SI value as the shortest text that `to_si` reads back to the same number, bit by bit."""
    name = unit_name(kind, system)
    unit = _unit(_tidy(name))
    zero = unit.zero if kind == "temperature" and unit.zero else Fraction(0)
    wanted = (Fraction(value_si) - zero) / unit.factor
    for figures in range(1, 50):
        rounded = Context(prec=figures).divide(Decimal(wanted.numerator), Decimal(wanted.denominator))
        text = f"{rounded:{'f' if -8 < rounded.adjusted() < 16 else 'e'}} {name}"
        if float(Fraction(rounded) * unit.factor + zero) == value_si:
            return text
    raise ValueError(f"no text gives back {value_si!r} as {kind}")


def kind_words(kind: str) -> str:
    """Name a kind with its article: "an area"."""
    return _KINDS[kind].words


def known_units(kind: str) -> tuple[str, ...]:
    """Name the units offered for a kind."""
    return _KINDS[kind].known


def _tidy(text: str) -> str:
    return " ".join(text.translate(_MARKS).split())


def _quantity(plain: str) -> tuple[Fraction, _Unit]:
    """Return (number, unit); a compound such as "5 ft 6 in" is counted in its first unit."""
    if found := _R_VALUE.match(plain):
        return _r_value(plain, found)
    head = _SIGNED.match(plain)
    if head is None:
        what = f'"{plain}" does not begin with a finite number' if plain else "nothing is written here"
        raise _UnreadableError(what, digits="12")
    rest = plain[head.end() :].strip()
    if re.match(r"[0-9./]", rest) or len(head.group()) > 60:
        joined = re.sub(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9]))", "", plain)
        todo = f'Write "{joined}"' if joined != plain else 'Write it as "12", "0.5", "3/4" or "4 1/2"'
        raise _UnreadableError(f'the number in "{plain}" cannot be read', todo)
    value = _fraction(head.group(2)) * (-1 if head.group(1) == "-" else 1)
    if not rest:
        raise _UnreadableError(f'"{plain}" has no unit', digits=head.group())
    try:
        return value, _unit(rest)
    except _UnknownError:
        if _COMPOUND.fullmatch(plain.lstrip("+- ")):
            return _compound(plain)
        _refuse_unfinished(plain)
        raise


def _refuse_unfinished(plain: str) -> None:
    """Refuse a number behind feet or pounds that has no unit, and show how it is written."""
    found = _UNFINISHED.fullmatch(plain)
    for name, (unit, smaller) in _SMALLER.items() if found else ():
        if found and found[2] in _ATOMS and _ATOMS[found[2]] == _ATOMS[name]:
            written = f"{found[1].strip()} {unit} {found[3]} {smaller}"
            raise _UnreadableError(f'the last number in "{plain}" has no unit', f'Write "{written}"')


def _compound(plain: str) -> tuple[Fraction, _Unit]:
    parts = [(_fraction(digits), _unit(name)) for digits, name in _PART.findall(plain)]
    first = parts[0][1]
    total = Fraction(0)
    for place, (amount, unit) in enumerate(parts):
        total += amount * unit.factor
        whole = amount.denominator == 1 or place == len(parts) - 1
        smaller = place == 0 or amount * unit.factor < parts[place - 1][1].factor
        if unit.dims != first.dims or unit.zero is not None or not whole or not smaller:
            raise _UnreadableError(f'the parts of "{plain}" do not make one quantity', "Write it in one unit")
    return total / first.factor * (-1 if plain.startswith("-") else 1), first


def _r_value(plain: str, found: re.Match[str]) -> tuple[Fraction, _Unit]:
    digits, us_unit = found.group(2), _unit("ft2 h degF/Btu")
    system = "si" if found.group(1) else (found.group(3) or "").lower()
    if rest := plain[found.end() :].strip():
        raise _UnknownError(rest)
    if not system:
        read = f"{float(Fraction(digits) * us_unit.factor):.3g} m2 K/W"
        todo = f'Write "R {digits} us" for the R-value of US labels ({read}), or "R {digits} si" for m2 K/W'
        raise _UnreadableError(f'"{plain}" does not say in which system its R-value is', todo)
    return Fraction(digits), us_unit if system == "us" else _unit("m2 K/W")


def _fraction(digits: str) -> Fraction:
    """Read "4", "4.5", "1/2", "4 1/2" or "4-1/2"."""
    if "/" not in digits:
        return Fraction(digits)
    *whole, top, bottom = (int(part) for part in re.findall("[0-9]+", digits))
    if top >= bottom:  # "41/2 in" may be a slip for "4 1/2 in"
        raise _UnreadableError(f'the fraction "{digits}" is not less than one', 'Write "4 1/2" or decimals')
    return sum(whole) + Fraction(top, bottom)


@lru_cache(256)
def _unit(text: str) -> _Unit:
    plain = text.translate(_RAISED)
    for pattern, better in _REWRITES:
        plain = re.sub(pattern, better, plain, flags=re.IGNORECASE)
    if _ODD.search(plain):
        raise _UnknownError(text)
    factor, dims, zero, atoms, below, place = Fraction(1), [0] * len(BASE), None, 0, 1, 0
    while place < len(plain):
        token = _TOKEN.match(plain, place)
        if token is None:
            raise _UnknownError(plain[place:].strip())
        place, (word, power, mark, sign) = token.end(), token.groups()
        if sign:
            below = -1 if sign == "/" else below
            continue
        atom, exponent = _atom(word or mark), below * int(power or 1)
        atoms += 1
        factor *= atom.factor**exponent
        dims = [have + exponent * more for have, more in zip(dims, atom.dims, strict=True)]
        zero = atom.zero if atoms == exponent == 1 else None
    if not atoms:
        raise _UnknownError(text)
    return _Unit(factor, tuple(dims), zero)


def _atom(word: str) -> _Unit:
    """Look a unit up; another case is accepted only where it can be no other unit and no other size."""
    if word in _ATOMS:
        return _ATOMS[word]
    near = _near_case(word)
    if len({_ATOMS[name] for name in near}) != 1 or not CASE_MATTERS.isdisjoint(near):
        raise _UnknownError(word)
    return _ATOMS[near[0]]


def _near_case(word: str) -> list[str]:
    return [name for name in _ATOMS if name.casefold() == word.casefold()]


def _fits(unit: _Unit, kind: str) -> bool:
    return unit.dims == _KINDS[kind].dims and (kind != "temperature" or unit.zero is not None)


def _value(plain: str, value: Fraction, unit: _Unit, kind: str) -> float:
    total = value * unit.factor + (unit.zero or 0 if kind == "temperature" else 0)
    if kind == "temperature" and total < 0:
        raise _UnreadableError(f'"{plain}" is below absolute zero')
    if abs(total) > _LARGEST:
        raise _UnreadableError(f'"{plain}" is too large')
    return float(total)


def _comma(plain: str) -> _UnreadableError:
    """Show what a number with a comma may mean, each way written as it would be read."""
    found = _COMMA.search(plain)
    if found is None:
        todo = f'Write "{" ".join(plain.replace(",", " ").split())}"'
        return _UnreadableError(f'a comma in "{plain}" is not understood', todo)
    digits, ways = found.group(), []
    if digits.count(",") == 1 and "." not in digits.split(",")[1]:
        ways.append((digits.replace(".", "").replace(",", "."), "marks the decimals"))
    if "." not in digits.split(",")[0] and re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?", digits):
        ways.append((digits.replace(",", ""), "groups thousands"))
    told = ", or ".join(f'"{plain.replace(digits, way, 1)}" if the comma {why}' for way, why in ways)
    return _UnreadableError(f'"{plain}" has a comma in its number', f"Write {told or 'it with a point'}")


def _misfit(plain: str, unit: _Unit, kinds: Sequence[str]) -> _UnreadableError:
    if unit.dims == _KINDS["angle"].dims and kinds[0].startswith("temperature"):
        head = _SIGNED.match(plain)
        return _UnreadableError(
            f'"{plain}" does not say which degrees', digits=head.group() if head else "12"
        )
    what = next((kind.words for kind in _KINDS.values() if kind.dims == unit.dims), "of no kind used here")
    todo = 'Say per which area: "oz/yd2" or "g/m2"' if what == "a mass" and "areal_density" in kinds else ""
    wanted = " or ".join(_KINDS[kind].words for kind in kinds)
    return _UnreadableError(f'"{plain}" is {what}; wanted is {wanted}', todo)


def _error(text: str, trouble: _UnreadableError, kinds: Sequence[str]) -> UnitError:
    """Turn what was found into a fault that says what is wanted and how to write it."""
    allowed = "; ".join(f"{_KINDS[kind].words} in {', '.join(known_units(kind))}" for kind in kinds)
    what, todo = str(trouble), trouble.todo
    if isinstance(trouble, _UnknownError):
        near = _near_case(what) or difflib.get_close_matches(what, sum(map(known_units, kinds), ()), 2)
        near = near or difflib.get_close_matches(what, _ATOMS, 1)
        todo = "Nearest known: " + " or ".join(f'"{name}"' for name in near) if near else ""
        if what.lower().strip("- ") in WORDS:
            todo = thickness_text(_tidy(text))
        what = f'the unit "{what}" is not known'
    elif trouble.digits and not todo:
        names = dict.fromkeys(unit for unit, _ in _KINDS[kinds[0]].shown.values())
        todo = "Write " + " or ".join(f'"{trouble.digits} {name}"' for name in names)
    return UnitError(Fault(what, value=text, allowed=allowed, todo=todo or None), trouble.digits)


_ATOMS = {
    base: _Unit(Fraction(1), tuple(int(base == other) for other in BASE), ZEROS.get(base)) for base in BASE
}
for _names, _amount, _of in re.findall(r"([^;\n]+) = ([0-9./]+) ([^;\n]+)", UNIT_TABLE):
    _base = _unit(_of)
    _made = _Unit(Fraction(_amount) * _base.factor, _base.dims, ZEROS.get(_names.split()[0], _base.zero))
    _ATOMS |= dict.fromkeys(_names.split(), _made)
_KINDS = {
    name: _Kind(words, _unit(si).dims, tuple(known.split(", ")), {"si": (si, int(m)), "us": (us, int(n))})
    for name, words, known, si, m, us, n in _ROW.findall(KIND_TABLE)
}
KINDS: tuple[str, ...] = tuple(_KINDS)

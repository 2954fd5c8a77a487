"""How a field is written: examples made of its declaration, and what its reader says to one who wrote nothing."""

from math import floor, log10, sqrt

from simtent.errors import InputError
from simtent.scenario.fields import NAME, Field
from simtent.scenario.quantity import Count, Declared, Factor, Quantity, Reader
from simtent.units import scale, to_si

NICE = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
OWN_NAME = "my_own_name"


def how_written(field: Field) -> str:
    """How the field stands in a file: `width = "3 m"` or `width = "10 ft"`, or what its reader advises."""
    key = OWN_NAME if field.path[-1] == NAME else field.path[-1]
    if written := getattr(field.declared, "written", ""):
        return f"{key} = {written}"
    if values := example_values(field):
        return f"{key} = {' or '.join(dict.fromkeys(values))}"
    if field.table:
        return f"[[{table_of(field.path)}]]" if field.many else f"[{table_of(field.path)}]"
    if (advice := _refusal(field.declared)[1]).startswith("Write"):
        return advice
    if names := allowed_names(field.declared):
        return f'{key} = "{names.split(", ", maxsplit=1)[0]}"'
    return f'{key} = ["...", "..."]' if field.many else f'{key} = "..."'


def table_of(path: tuple[str, ...]) -> str:
    """The keys of a table as they stand in its brackets, names of the user's own in capitals."""
    return ".".join("NAME" if part == NAME else part for part in path if part != "[]")


def example_values(field: Field) -> tuple[str, ...]:
    """Values as they stand behind the equals sign, in SI units first; none where only the reader knows."""
    declared = field.declared
    if isinstance(declared, Quantity):
        if type(declared).example is not Quantity.example:  # it has a way of its own to be written
            return ()
        return tuple(f'"{_quantity(declared, unit)}"' for unit in (declared.unit_si, declared.unit_us))
    if isinstance(declared, Factor | Count):
        return (_plain(declared, field.default),)
    if field.words:
        return tuple(f'"{word}"' if isinstance(word, str) else str(word) for word in field.words)
    if isinstance(declared, Reader) or field.table or field.text or field.many:
        return ()
    return ("true", "false")


def allowed_names(declared: Declared) -> str:
    """What a reader says is allowed, such as the names of a table; empty for a number, whose range is declared."""
    return "" if isinstance(declared, Quantity | Factor | Count) else _refusal(declared)[0]


def _refusal(declared: Declared) -> tuple[str, str]:
    """What a reader says to one who wrote nothing: what is allowed, and what to do."""
    if isinstance(declared, Reader):
        try:
            declared.read(None, None)
        except InputError as error:
            return error.faults[0].allowed or "", error.faults[0].todo or ""
    return "", ""


def _quantity(declared: Quantity, unit: str) -> str:
    """A round value in the middle of the usual range."""
    ends = declared.usual or declared.allowed or (f"1 {unit}", f"2 {unit}")
    factor, zero = scale(unit, declared.kind)
    low, high = ((to_si(end, declared.kind) - zero) / factor for end in ends)
    middle = round((low + high) / 10.0) * 5.0 if low < 0.0 or declared.kind == "share" else _nice(low, high)
    return f"{middle:g} {unit}"


def _nice(low: float, high: float) -> float:
    middle = sqrt(low * high) or high / 2.0
    power = 10.0 ** floor(log10(middle))
    return power * min(NICE, key=lambda nice: abs(log10(nice * power / middle)))


def _plain(declared: Factor | Count, default: object) -> str:
    if isinstance(default, int | float):
        return f"{default:g}"
    low, high = declared.usual or declared.allowed
    return f"{(low + high) // 2 if isinstance(declared, Count) else (low + high) / 2.0:g}"

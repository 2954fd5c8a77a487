"""Scenarios said in another way: other units, another evening, another hour, another order of tables and keys."""

import re
from datetime import date, timedelta
from decimal import Context, Decimal
from fractions import Fraction

from simtent.scenario.fields import ENTRY, match
from simtent.scenario.quantity import Quantity

# Factors to SI, NIST Special Publication 811 (2008), appendix B: international foot and pound, International Table Btu.
FOOT, POUND, BTU = Fraction("0.3048"), Fraction("0.45359237"), Fraction("1055.05585262")
INCH, HOUR, RANKINE = FOOT / 12, 3600, Fraction(5, 9)
FACTORS = {
    "length": {
        "m": 1,
        "cm": Fraction("0.01"),
        "mm": Fraction("0.001"),
        "ft": FOOT,
        "in": INCH,
        "yd": 3 * FOOT,
    },
    "area": {"m2": 1, "cm2": Fraction("1e-4"), "ft2": FOOT**2, "in2": INCH**2},
    "volume": {"m3": 1, "L": Fraction("0.001"), "ft3": FOOT**3, "in3": INCH**3},
    "mass": {"kg": 1, "g": Fraction("0.001"), "lb": POUND, "oz": POUND / 16},
    "temperature_difference": {"K": 1, "degC": 1, "degF": RANKINE},
    "speed": {"m/s": 1, "km/h": Fraction(1000, HOUR), "mph": 5280 * FOOT / HOUR, "ft/s": FOOT},
    "power": {"W": 1, "kW": 1000, "Btu/h": BTU / HOUR},
    "energy": {"J": 1, "kJ": 1000, "kWh": 3600000, "MJ": 1000000, "Btu": BTU},
    "density": {"kg/m3": 1, "g/cm3": 1000, "lb/ft3": POUND / FOOT**3},
    "areal_density": {"g/m2": Fraction("0.001"), "kg/m2": 1, "oz/yd2": POUND / 16 / (3 * FOOT) ** 2},
    "resistance": {"m2 K/W": 1, "ft2 h degF/Btu": FOOT**2 * HOUR * RANKINE / BTU},
    "conductance": {"W/K": 1, "Btu/(h degF)": BTU / HOUR / RANKINE},
    "pressure": {"Pa": 1, "hPa": 100, "kPa": 1000},
    "duration": {"s": 1, "min": 60, "h": HOUR},
    "share": {"%": Fraction("0.01")},
    "flow": {"m3/s": 1, "m3/h": Fraction(1, HOUR), "L/s": Fraction("0.001"), "cfm": FOOT**3 / 60},
    "specific_heat": {"J/(kg K)": 1, "kJ/(kg K)": 1000},
    "mass_flow": {
        "kg/s": 1,
        "kg/h": Fraction(1, HOUR),
        "g/h": Fraction("0.001") / HOUR,
        "lb/h": POUND / HOUR,
        "oz/h": POUND / 16 / HOUR,
    },
}
ZEROS = {
    "K": Fraction(0),
    "degC": Fraction("273.15"),
    "degF": Fraction("459.67"),
}  # on each scale, of absolute zero
DEGREES = {"K": 1, "degC": 1, "degF": RANKINE}
NAMES = ("name", "like")  # of what stands there, whatever numbers it has in it
NUMBER = re.compile(
    r"([+-]?[0-9]+(?:\.[0-9]+)?) ([^0-9]\S*(?: [^0-9].*)?)"
)  # and no second one: "5 ft 6 in" stays
CLOCK = re.compile(r"([0-9]{2}):([0-9]{2})")
DIGITS = Context(prec=30)


def in_other_units(tree, random):
    """The same scenario, each quantity in a unit drawn anew, to 30 digits; and how many have another unit now."""
    changed = [0]

    def rewritten(path, text):
        if path[-1] in NAMES:
            return text
        new = _in_other_unit(text, _kind_at(path), random)
        changed[0] += new.split(" ")[1:] != text.split(" ")[1:]
        return new

    return _texts_changed(tree, rewritten), changed[0]


def on_another_evening(tree, days):
    """The same scenario some days later."""
    evening = date.fromisoformat(tree["night"]["evening"]) + timedelta(days=days)
    return tree | {"night": tree["night"] | {"evening": evening.isoformat()}}


def at_another_hour(tree, minutes):
    """The same scenario with every clock time so much later."""

    def later(path, text):
        found = None if path[-1] in NAMES else CLOCK.fullmatch(text)
        if not found:
            return text
        hour, minute = divmod((60 * int(found[1]) + int(found[2]) + minutes) % 1440, 60)
        return f"{hour:02d}:{minute:02d}"

    return _texts_changed(tree, later)


def in_another_order(value, random, keep=()):
    """The same scenario with the keys of every table shuffled but of those named in `keep`; lists keep their order."""
    if isinstance(value, list):
        return [in_another_order(item, random, keep) for item in value]
    if not isinstance(value, dict):
        return value
    keys = random.sample(list(value), len(value))
    kept = [key for key in keys if key in keep and isinstance(value[key], dict)]
    return {key: value[key] if key in kept else in_another_order(value[key], random, keep) for key in keys}


def _texts_changed(value, change, path=()):
    """Nested tables and lists with every text passed through `change`, which takes its path too."""
    if isinstance(value, dict):
        return {key: _texts_changed(item, change, (*path, key)) for key, item in value.items()}
    if isinstance(value, list):
        return [_texts_changed(item, change, (*path, ENTRY)) for item in value]
    return change(path, value) if isinstance(value, str) else value


def _kind_at(path):
    """What a field measures; None if it is no plain quantity."""
    field = match(path)
    return field.declared.kind if field and isinstance(field.declared, Quantity) else None


def _in_other_unit(text, kind, random):
    """A text such as "40 mm air gap" with its head in another unit of the same kind; as it is if it has none."""
    found = NUMBER.fullmatch(text)
    if not found:
        return text
    if kind == "temperature":
        return _other_temperature(found[1], found[2], random) if found[2] in ZEROS else text
    if kind is None and found[2].split(" ")[0] in ZEROS:  # "149 degC of the gas" is no difference
        return text
    for units in [FACTORS[kind]] if kind in FACTORS else FACTORS.values():
        heads = [unit for unit in units if found[2] == unit or found[2].startswith(f"{unit} ")]
        if heads:
            unit, new = max(heads, key=len), random.choice(list(units))
            value = Fraction(found[1]) * units[unit] / units[new]
            return f"{_decimals(value)} {new}{found[2][len(unit) :]}"
    return text


def _other_temperature(digits, unit, random):
    new = random.choice(list(ZEROS))
    kelvin = (Fraction(digits) + ZEROS[unit]) * DEGREES[unit]
    return f"{_decimals(kelvin / DEGREES[new] - ZEROS[new])} {new}"


def _decimals(value):
    return f"{DIGITS.divide(Decimal(value.numerator), Decimal(value.denominator)):f}"

"""Strategies for single fields, from their declarations.

Numbers come from each field's usual range, in SI or US units by chance. A field of a kind that no strategy
knows fails here, so that none is forgotten.
"""

import math
from typing import get_args

from hypothesis import strategies as st

from simtent.scenario.fields import declared_of
from simtent.scenario.instruments import FlueText, MonoxideText, Shares
from simtent.scenario.quantity import Count, Factor, Quantity
from simtent.units import number, to_si, unit_name

SHARES = st.integers(1, 10_000).map(lambda hundredths: f"{hundredths / 100:g} %")
MONOXIDE = st.builds(
    lambda value, unit: f"{value} {unit}", st.integers(0, 12_800), st.sampled_from(["ppm", "mg/m3"])
)
AT_THE_PIPE = st.builds(
    lambda value, unit, where: f"{value} {unit} {where}",
    st.integers(-40, 1200),
    st.sampled_from(["degC", "degF"]),
    st.sampled_from(["at the surface", "of the gas"]),
)
OF_INSTRUMENTS = {
    Shares: st.lists(SHARES, min_size=1, max_size=3),
    MonoxideText: MONOXIDE,
    FlueText: AT_THE_PIPE,
}


@st.composite
def texts_of(draw, quantity, low=None, high=None):
    """Strategy for texts of a quantity within its usual range, or within `low` to `high` in SI."""
    usual = [to_si(text, quantity.kind) for text in quantity.usual or quantity.allowed]
    low, high = usual[0] if low is None else low, usual[1] if high is None else high
    system = draw(st.sampled_from(["si", "us"]))
    least, most = number(low, quantity.kind, system), number(high, quantity.kind, system)
    decimals = max(0, 3 - math.floor(math.log10(max(most - least, 1e-9))))
    scale = 10**decimals
    tick = draw(st.integers(math.ceil(least * scale), math.floor(most * scale)))
    return f"{tick / scale:.{decimals}f} {unit_name(quantity.kind, system)}"


def of_field(info):
    """Strategy for the value of a field in a file, from its declaration."""
    declared = declared_of(info)
    if isinstance(declared, Quantity):
        return texts_of(declared)
    if isinstance(declared, Factor):
        return st.floats(*(declared.usual or declared.allowed)).map(lambda value: round(value, 3))
    if isinstance(declared, Count):
        return st.integers(*(declared.usual or declared.allowed))
    if type(declared) in OF_INSTRUMENTS:
        return OF_INSTRUMENTS[type(declared)]
    if info.annotation is bool:
        return st.booleans()
    words = get_args(info.annotation)
    if words and all(isinstance(word, str) for word in words):
        return st.sampled_from(words)
    raise NotImplementedError(f"no strategy for {declared}")


@st.composite
def some(draw, model, skip=()):
    """Strategy for the fields of a section but those in `skip`: each required one, and some of the others."""
    return {
        name: draw(of_field(info))
        for name, info in model.model_fields.items()
        if name not in skip and (info.is_required() or draw(st.booleans()))
    }


def clock(night, minute):
    """The clock time of a minute of the night."""
    hour, rest = divmod(minutes_of(night["begin"]) + minute, 60)
    return f"{hour % 24:02d}:{rest:02d}"


def minutes_of(text):
    hour, minute = text.split(":")
    return 60 * int(hour) + int(minute)

"""Ranges as they are printed, in both systems of units: whoever types an end as it stands there is not refused."""

import pytest

from simtent.scenario.fields import fields
from simtent.scenario.in_units import allowed_text, usual_text
from simtent.scenario.quantity import Quantity
from simtent.units import to_si

# A key of the shelter may mean another thing in another shape: every declaration counts.
QUANTITIES = [(it.key, it.declared) for it in fields(tables=False) if isinstance(it.declared, Quantity)]
INCH = 0.0254  # m, the most that feet and inches lose; three figures lose no more than 1 %


@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize(("key", "declared"), QUANTITIES)
def test_each_printed_end_is_in_the_range(key, declared, system):
    for text, ends in (
        (declared.range_text(system), declared.allowed),
        (allowed_text(declared, system), declared.allowed),
        (usual_text(declared, system), declared.usual),
    ):
        if not ends:
            assert not text
            continue
        low, high = (to_si(end, declared.kind) for end in ends)
        first, last = (to_si(end, declared.kind) for end in text.split(" to "))
        assert low <= first < last <= high, f"{key}: {text}"
        inch = INCH if declared.kind == "length" and system == "us" else 0.0
        assert first - low <= max(0.01 * abs(low), inch), f"{key}: {text}"
        assert high - last <= max(0.01 * abs(high), inch), f"{key}: {text}"
        if ends is declared.allowed:
            assert [declared.read(end) for end in text.split(" to ")] == [first, last]


# By hand: 15 m = 49.2126 ft = 49 ft 2.55 in; 6000 m = 19685.04 ft; 4 cm = 1.5748 in; 400 m = 1312.34 ft.
# Exact: 1 in = 25.4 mm (international yard and pound, 1959; NIST SP 811, B.8).
@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("shelter.diameter", "1 ft 8 in to 49 ft 2 in"),
        ("site.altitude", "-1310 ft to 19600 ft"),
        ("stove.pipe.diameter", "1.58 in to 9.84 in"),
        ("stoking.door_open", "5 s to 15 min"),
    ],
)
def test_ends_are_rounded_inward(key, text):
    those = [declared for name, declared in QUANTITIES if name == key]
    assert those
    for declared in those:
        assert declared.range_text("us") == allowed_text(declared, "us") == text

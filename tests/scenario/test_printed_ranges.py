"""Ranges as they are printed, in both systems of units: whoever types an end as it stands there is not refused."""

import pytest

from simtent.errors import InputError
from simtent.scenario.fields import fields
from simtent.scenario.in_units import allowed_text, usual_text
from simtent.scenario.load import load
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


HEAD = '[site]\naltitude = {altitude}\nground = "settled snow"\nground_start = "-5 degC"\n'


@pytest.mark.parametrize(
    ("units", "settings", "text"),
    [
        ("us", [], "-1310 ft to 19600 ft"),
        ("si", [], "-400 m to 6000 m"),
        ("si", ["units=us"], "-1310 ft to 19600 ft"),
        ("us", ["units=si"], "-400 m to 6000 m"),
    ],
)
@pytest.mark.parametrize("altitude", ["true", "1e9"])
def test_a_value_without_unit_is_answered_in_the_units_asked_for(tmp_path, altitude, units, settings, text):
    file = tmp_path / "camp.toml"
    file.write_text(
        f'format = 1\nname = "a"\nunits = "{units}"\n{HEAD.format(altitude=altitude)}', encoding="utf-8"
    )
    with pytest.raises(InputError) as refused:
        load(file, settings=settings)
    (fault,) = (fault for fault in refused.value.faults if fault.key == "site.altitude")
    assert text in f"{fault.allowed} {fault.todo}"


@pytest.mark.parametrize(
    ("typed", "text"), [("30000 ft", "-1310 ft to 19600 ft"), ("9000 m", "-400 m to 6000 m")]
)
@pytest.mark.parametrize("units", ["us", "si"])
def test_a_unit_that_was_typed_wins(tmp_path, typed, text, units):
    file = tmp_path / "camp.toml"
    head = HEAD.format(altitude=f'"{typed}"')
    file.write_text(f'format = 1\nname = "a"\nunits = "{units}"\n{head}', encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load(file)
    (fault,) = (fault for fault in refused.value.faults if fault.key == "site.altitude")
    assert fault.allowed == text

"""[crew] bag and pad: what is printed on them, read with its unit or refused; it moves no law of a night."""

import pytest

from simtent.scenario.free import free, free_keys
from simtent.scenario.load import load
from tests.assembly.test_fields import BED_KEYS
from tests.scenario.example import TEXT, spoilt, the_fault, written

FOOT, HOUR, BTU, RANKINE = 0.3048, 3600.0, 1055.05585262, 5.0 / 9.0  # definitions
US = FOOT**2 * HOUR * RANKINE / BTU  # m2 K/W of a US R-value of 1
BAG = 'bag = { comfort = "15 degF", limit = "0 degF" }'


def crew(*lines, text=TEXT):
    return spoilt("[heat]", "\n".join(("[crew]", *lines, "[heat]")), text)


def test_what_is_printed_is_read(tmp_path):
    got = load(written(tmp_path, crew(BAG, 'pad = "R 4.8 us"'))).crew
    assert got.bag.comfort == pytest.approx((15.0 - 32.0) / 1.8 + 273.15)
    assert got.bag.limit == pytest.approx((0.0 - 32.0) / 1.8 + 273.15)
    assert got.pad == pytest.approx(4.8 * US)
    assert load(written(tmp_path, TEXT)).crew.bag is load(written(tmp_path, TEXT)).crew.pad is None


@pytest.mark.parametrize(
    ("text", "resistance"),
    [("R 4.8 us", 4.8 * US), ("R-4.8 US", 4.8 * US), ("R 0.85 si", 0.85), ("0.85 m2 K/W", 0.85),
     ("4.8 ft2 h degF/Btu", 4.8 * US)],
)  # fmt: skip
def test_every_way_to_write_a_pad(tmp_path, text, resistance):
    assert load(written(tmp_path, crew(f'pad = "{text}"'))).crew.pad == pytest.approx(resistance, rel=1e-6)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ('"R 4.8"', ['"R 4.8 us"', "0.845 m2 K/W", '"R 4.8 si"']),
        ('"R4.8"', ['"R 4.8 us"', '"R 4.8 si"']),
        ("4.8", ["no unit", "m2 K/W", "ft2 h degF/Btu"]),
        ('"4.8"', ["no unit", "m2 K/W"]),
        ('"4.8 cm"', ["a length", "a thermal resistance"]),
        ('"R 48 us"', ["out of range"]),
        ('"R 0 us"', ["out of range"]),
        ("true", ["a thermal resistance is wanted", '"R 4.8 us"']),
        ('"R 4,8 us"', ["4.8"]),
    ],
)
def test_pads_are_refused(tmp_path, value, words):
    fault = the_fault(tmp_path, crew(f"pad = {value}"))
    assert fault.key == "crew.pad" and fault.line
    for word in words:
        assert word in str(fault), str(fault)


@pytest.mark.parametrize(
    ("bag", "key", "words"),
    [
        ('{ comfort = "15", limit = "0 degF" }', "crew.bag.comfort", ["no unit", "degC", "degF"]),
        ('{ comfort = "15 degF", limit = 0 }', "crew.bag.limit", ["no unit", "degF"]),
        ('{ comfort = "15 degF", limit = "20 degF" }', "crew.bag.limit", ["not below comfort", "label"]),
        ('{ comfort = "15 degF", limit = "15 degF" }', "crew.bag.limit", ["not below comfort"]),
        ('{ comfort = "-9 degC", limit = "16 degF" }', "crew.bag.limit", ["not below comfort"]),
        ('{ comfort = "15 degF" }', "crew.bag.limit", ["missing"]),
        ('{ comfort = "15 degF", limit = "0 degF", extreme = "-30 degF" }', "crew.bag.extreme", ["unknown key"]),
        ('{ comfort = "60 degC", limit = "0 degF" }', "crew.bag.comfort", ["out of range"]),
        ('{ comfort = "5 kg", limit = "0 degF" }', "crew.bag.comfort", ["a mass", "a temperature"]),
        ('"15 degF"', "crew.bag", ["a table"]),
    ],
)  # fmt: skip
def test_bags_are_refused(tmp_path, bag, key, words):
    fault = the_fault(tmp_path, crew(f"bag = {bag}"))
    assert fault.key == key, str(fault)
    for word in words:
        assert word in str(fault), str(fault)


def test_they_are_numbers_that_can_be_moved(tmp_path):
    scenario = load(written(tmp_path, crew(BAG, 'pad = "R 4.8 us"')))
    assert set(free_keys(scenario)) >= BED_KEYS
    for key in BED_KEYS:
        it = free(scenario, key)
        assert free(scenario.replace(it.replacement(1.01 * it.number)), key).number == pytest.approx(
            1.01 * it.number
        )


def test_none_takes_the_bag_away(tmp_path):
    scenario = load(written(tmp_path, crew(BAG, 'pad = "R 4.8 us"')))
    assert scenario.replace({"crew.bag": "none", "crew.pad": "none"}).crew.bag is None


def test_written_back_it_is_the_same(tmp_path):
    scenario = load(written(tmp_path, crew(BAG, 'pad = "R 4.8 us"')))
    again = tmp_path / "again.toml"
    again.write_text(scenario.effective)
    assert load(again) == scenario

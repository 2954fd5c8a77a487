"""[what_if] and [instruments]: each unit and place must be said; what cannot be meant is refused, with what is allowed.

1 ppm of carbon monoxide is 1.145 mg/m3 at 25 degC and 101.325 kPa (closed form: 28.01 g/mol through the gas law).
"""

import pytest
from scipy.constants import R, convert_temperature

from simtent.cli import main
from simtent.scenario.instruments import MILLIGRAMS_AT_25, USUAL, FlueReading
from simtent.scenario.load import load
from tests.scenario.example import FIRE, TEXT, the_fault, written

CO, FLUE, SPILL = "instruments.carbon_monoxide", "instruments.flue", "what_if.spill"


def spelt(key, value):
    """A file in which the field is written so."""
    table, _, name = key.rpartition(".")
    return f"{TEXT}\n[{table}]\n{name} = {value}\n"


def read(folder, key, value):
    scenario = load(written(folder, spelt(key, value)))
    table, _, name = key.rpartition(".")
    return getattr(getattr(scenario, table), name)


@pytest.mark.parametrize(
    ("text", "ppm"),
    [
        ('"35 ppm"', 35.0),
        ('"0 ppm"', 0.0),
        ('"35ppm"', 35.0),
        ('" 1.2e2  ppm "', 120.0),
        ('"40 mg/m3"', 40.0 * R * 298.15 / (28.010 * 101.325)),
        ('"40 mg/m^3"', 40.0 * R * 298.15 / (28.010 * 101.325)),
        ('"12800 ppm"', 12800.0),
    ],
)
def test_carbon_monoxide(tmp_path, text, ppm):
    assert read(tmp_path, CO, text) == pytest.approx(ppm, rel=5e-4)


def test_milligrams_for_a_ppm():
    assert pytest.approx(28.010e-3 * 101325.0 / (R * 298.15), abs=5e-4) == MILLIGRAMS_AT_25


@pytest.mark.parametrize(
    ("text", "celsius", "where"),
    [
        ('"400 degF at the surface"', convert_temperature(400.0, "F", "C"), "surface"),
        ('"300 degC of the gas"', 300.0, "gas"),
        ('"300 degC  of  the gas"', 300.0, "gas"),
        ('"300 C at the surface"', 300.0, "surface"),
        ('"-50 degC at the surface"', -50.0, "surface"),
        ('"1200 degC of the gas"', 1200.0, "gas"),
    ],
)
def test_flue(tmp_path, text, celsius, where):
    found = read(tmp_path, FLUE, text)
    assert found == FlueReading(pytest.approx(celsius + 273.15), where)


@pytest.mark.parametrize(
    ("text", "shares"),
    [
        ('["10 %"]', (0.1,)),
        ('["100 %", "1 %", "10 %", "1 %"]', (0.01, 0.1, 1.0)),
        ('["0.01 %"]', (1e-4,)),
    ],
)
def test_spill(tmp_path, text, shares):
    assert read(tmp_path, SPILL, text) == pytest.approx(shares)


def test_what_is_asked_without_being_told(tmp_path):
    scenario = load(written(tmp_path))
    assert scenario.what_if.spill == pytest.approx((0.01, 0.1, 1.0))
    assert scenario.instruments.carbon_monoxide is None and scenario.instruments.flue is None


PPM = ["0 to 12800 ppm", "14656 mg/m3"]
NOT_IN_RANGE = ["out of range", "0.01 % to 100 %"]
# field, as written, key of the fault, words that the message has to hold
REFUSED = [
    (
        CO,
        '"35"',
        CO,
        ["without its unit", "35 ppm would be 40.1 mg/m3", "35 mg/m3 would be 30.6 ppm", '"35 ppm"'],
    ),
    (CO, "35", CO, ["without its unit", '"35 ppm" or "35 mg/m3"']),
    (CO, '"35 mg"', CO, ['"mg" is no unit of carbon monoxide', '"35 mg/m3"']),
    (CO, '"0.1 %"', CO, ['"%" is no unit']),
    (CO, '"35 ug/m3"', CO, ['"ug/m3" is no unit']),
    (CO, '"99999"', CO, ["without its unit", *PPM, "Read the instrument again"]),
    (CO, '"-3 ppm"', CO, ["out of range", *PPM]),
    (CO, '"12801 ppm"', CO, ["out of range", *PPM, "and its unit"]),
    (CO, '"14700 mg/m3"', CO, ["out of range", *PPM]),
    (CO, '"high"', CO, ["a reading of carbon monoxide is wanted", '"35 ppm"', *PPM]),
    (CO, '"nan ppm"', CO, ["is wanted", *PPM]),
    (CO, '"inf ppm"', CO, ["is wanted"]),
    (CO, '"35,5 ppm"', CO, ["a comma in the number", "a decimal point"]),
    (CO, '"35 to 40 ppm"', CO, ['"to 40 ppm" is no unit']),
    (CO, "true", CO, ["is wanted"]),
    (CO, '""', CO, ["is wanted"]),
    (
        FLUE,
        '"400 at the surface"',
        FLUE,
        [
            "without its unit",
            "400 degC would be 752 degF",
            "400 degF would be 204 degC",
            '"400 degF at the surface"',
        ],
    ),
    (FLUE, '"300 of the gas"', FLUE, ["without its unit", '"300 degC of the gas"']),
    (FLUE, '"400"', FLUE, ["without its unit", "752 degF", "204 degC"]),
    (
        FLUE,
        "400",
        FLUE,
        ["a temperature at the pipe is wanted", '"400 degF at the surface"', "-50 degC to 1200 degC"],
    ),
    (FLUE, '"hot"', FLUE, ["is wanted", '"300 degC of the gas"']),
    (
        FLUE,
        '"400 degF"',
        FLUE,
        ["the pipe's surface or the gas inside", "at the surface, of the gas", "about half"],
    ),
    (FLUE, '"400 degF inside"', FLUE, ["surface or the gas"]),
    (FLUE, '"2200 degF of the gas"', FLUE, ["out of range", "2192 degF", "and its unit"]),
    (FLUE, '"1201 degC of the gas"', FLUE, ["out of range", "-50 degC to 1200 degC"]),
    (FLUE, '"-51 degC at the surface"', FLUE, ["out of range"]),
    (FLUE, '"400 kg at the surface"', FLUE, ["a mass", "a temperature"]),
    (SPILL, '"10 %"', SPILL, ["a list of shares is wanted", '["1 %", "10 %", "100 %"]', "0.01 % to 100 %"]),
    (SPILL, "0.1", SPILL, ["a list of shares is wanted"]),
    (SPILL, "[]", SPILL, ["a list of shares is wanted"]),
    (SPILL, '["10 %", 0.1]', f"{SPILL}[2]", ["a share is wanted", '"10 %"']),
    (SPILL, '["10"]', f"{SPILL}[1]", ["no unit", "%"]),
    (SPILL, '["0 %"]', f"{SPILL}[1]", NOT_IN_RANGE),
    (SPILL, '["1 %", "101 %"]', f"{SPILL}[2]", NOT_IN_RANGE),
    (SPILL, '["0.009 %"]', f"{SPILL}[1]", NOT_IN_RANGE),
    (SPILL, '["5 ppm"]', f"{SPILL}[1]", ["ppm"]),
    ("what_if.spil", '["1 %"]', "what_if.spil", ["unknown key", "spill"]),
    ("instruments.co", '"3 ppm"', "instruments.co", ["unknown key", "carbon_monoxide, flue"]),
]


@pytest.mark.parametrize(("key", "value", "at", "words"), REFUSED)
def test_refused_once_with_place_value_and_what_to_do(tmp_path, key, value, at, words):
    text = spelt(key, value)
    fault = the_fault(tmp_path, text)
    assert (fault.key, fault.file) == (at, str(tmp_path / "camp.toml"))
    assert text.split("\n")[fault.line - 1].startswith(key.rpartition(".")[2])
    for word in words:
        assert word in str(fault)


@pytest.mark.parametrize("verb", ["check", "night"])
@pytest.mark.parametrize(
    "setting",
    [
        "instruments.carbon_monoxide=35",
        "instruments.flue=400 degF",
        'what_if.spill=["200 %"]',
        "stove.place.from_bed=-1 in",
        "stove.under=carpet",
    ],
)
def test_verbs_end_with_two_and_say_what_was_set(tmp_path, capsys, verb, setting):
    assert main([verb, str(written(tmp_path, FIRE)), "--set", setting]) == 2
    shown = capsys.readouterr()
    assert not shown.out and setting.partition("=")[0] in shown.err and "--set" in shown.err


FULL = (
    FIRE.replace("[stove.pipe]", '[stove.place]\nfrom_bed = "40 in"\nfrom_wall = "70 cm"\n\n[stove.pipe]')
    + """
[what_if]
spill = ["100 %", "2.5 %"]

[instruments]
carbon_monoxide = "12 mg/m3"
flue = "350 degF at the surface"
"""
)


def test_given_and_effective_load_as_the_same(tmp_path):
    scenario = load(written(tmp_path, FULL))
    assert scenario.stove.place.from_bed == pytest.approx(1.016)
    for name, text in (("given", scenario.given), ("effective", scenario.effective)):
        again = load(written(tmp_path, text, f"{name}.toml"))
        assert again == scenario
    assert again.effective == scenario.effective
    for part in (
        'spill = ["100 %", "2.5 %"]',
        '"12 mg/m3"',
        '"350 degF at the surface"',
        'under = "nothing"',
    ):
        assert part in scenario.effective


def test_defaults_stand_in_effective(tmp_path):
    assert 'spill = ["1 %", "10 %", "100 %"]' in load(written(tmp_path)).effective


def test_an_instrument_that_is_taken_away(tmp_path):
    scenario = load(
        written(tmp_path, FULL), settings=["instruments.flue=none", "instruments.carbon_monoxide=none"]
    )
    assert scenario.instruments.flue is None and scenario.instruments.carbon_monoxide is None
    assert scenario.replace("what_if.spill", ["7 %"]).what_if.spill == (0.07,)
    assert len(scenario.replace("what_if", None).what_if.spill) == 3


def test_usual_bands_are_those_of_practice():
    """250 to 400 degF on the pipe, 300 to 800 degF in it: common practice, no source."""
    for where, band in (("surface", (250.0, 400.0)), ("gas", (300.0, 800.0))):
        assert USUAL[where] == pytest.approx([convert_temperature(end, "F", "C") for end in band], abs=0.6)

"""What [[log]] lays over a scenario for one night; invented files."""

from datetime import date

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.logged import of_night
from tests.scenario.example import FIRE, TEXT, faults, the_fault, written

HEATER = """\
stove = "none"
wood = "none"
stoking = "none"
[heat]
radiant_share = "20 %"
table = [{ at = "17:30:05.5", power = "1 kW" }]
"""
LOG = """
[[log]]
evening = "2031-01-24"
file = "night.csv"
with = "there/heater.toml"
notes = "there/notes.csv"
sensors = { CH1 = "head" }
"""
YARD = '\n[[log]]\nevening = "2031-01-18"\nshelter = "none"\nfile = "yard.csv"\nsensors = { CH1 = "stove" }\n'


def camp(folder, overlay=HEATER, text=FIRE + LOG + YARD):
    """Path of a scenario with a heater's night and a burn in the open."""
    (folder / "there").mkdir(exist_ok=True)
    (folder / "there" / "heater.toml").write_text(overlay, encoding="utf-8")
    return written(folder, text)


def test_a_night_with_another_heat(tmp_path):
    scenario = load(camp(tmp_path))
    night = of_night(scenario, scenario.log[0])
    assert scenario.stove and not night.stove and night.heat.table[0].power == 1000.0
    assert night.night.evening == date(2031, 1, 24) and scenario.night.evening == date(2031, 2, 14)
    assert night.heat.table[0].at == "17:30:05.5"


def test_paths_are_seen_from_the_file_that_names_them(tmp_path):
    scenario = load(camp(tmp_path))
    assert scenario.log[0].with_ == tmp_path / "there" / "heater.toml"
    for text in (scenario.given, scenario.effective):
        assert 'with = "there/heater.toml"' in text and 'notes = "there/notes.csv"' in text
        assert load(written(tmp_path, text, "again.toml")) == scenario
    logs = tmp_path / "there" / "logs.toml"
    logs.write_text(LOG.replace("there/", ""), encoding="utf-8")
    assert load(written(tmp_path, FIRE), overlays=logs).log[0].with_ == scenario.log[0].with_


def test_files_that_the_overlay_names_are_seen_from_it(tmp_path):
    columns = "when,watts\n2031-01-24 17:00,500\n2031-01-25 09:00,500\n"
    overlay = HEATER[: HEATER.index("table")] + 'file = { path = "power.csv", power = "watts", unit = "W" }\n'
    (tmp_path / "there").mkdir()
    (tmp_path / "there" / "power.csv").write_text(columns, encoding="utf-8")
    scenario = load(camp(tmp_path, overlay))
    assert of_night(scenario, scenario.log[0]).heat.file


def test_a_burn_in_the_open_has_no_shelter_and_no_rule_that_watches_it(tmp_path):
    scenario = load(camp(tmp_path))
    burn = of_night(scenario, scenario.log[1])
    assert burn.shelter is None and burn.stoking.rule == () and scenario.stoking.rule
    assert len(burn.stoking.load) == len(scenario.stoking.load)
    assert burn.night.evening == date(2031, 1, 18)


def test_changes_come_last(tmp_path):
    scenario = load(camp(tmp_path))
    night = of_night(scenario, scenario.log[0], {"outdoors.steady": "-20 degC", "heat.table": "none"} | {
        "heat.table": [{"at": "18:00", "power": "2 kW"}]
    })  # fmt: skip
    assert night.heat.table[0].power == 2000.0 and "-20 degC" in night.given


def test_settings_hold_for_the_logged_night_too(tmp_path):
    scenario = load(camp(tmp_path), settings="model.walls=1.2")
    assert of_night(scenario, scenario.log[0]).model.walls == 1.2


@pytest.mark.parametrize(
    ("overlay", "line", "words"),
    [
        ("shelter.floor.matt = 1\n", 1, "unknown key"),
        ('\n[model]\nwalls = "much"\n', 3, "plain number"),
        ("x = \n", 1, "no TOML"),
        ('evening = "2031-01-01"\n\n[[log]]\nevening = "2031-01-01"\n', 3, "names logs itself"),
        ('log = "none"\n', 1, "names logs itself"),
        ("[wish]\nbed = 21:30\n", 2, "without quotes"),
    ],
)
def test_an_overlay_that_is_none_is_told_with_its_line(tmp_path, overlay, line, words):
    path = camp(tmp_path, overlay)
    with pytest.raises(InputError) as caught:
        load(path)
    fault = caught.value.faults[0]
    assert (
        fault.file == str(tmp_path / "there" / "heater.toml") and fault.line == line and words in fault.what
    )
    assert fault.todo


def test_an_overlay_that_does_not_go_with_the_scenario(tmp_path):
    path = camp(tmp_path, 'heat.radiant_share = "20 %"\nheat.table = [{ at = "17:30", power = "1 kW" }]\n')
    with pytest.raises(
        InputError, match=r"for the log of 2031-01-24, with heater\.toml: both \[heat\] and \[stove\]"
    ):
        load(path)


def test_an_overlay_that_is_not_there(tmp_path):
    found = the_fault(tmp_path, TEXT + LOG)
    assert found.key == "log[1].with" and found.value.endswith("heater.toml") and "no such file" in found.what
    assert found.file == str(tmp_path / "camp.toml")
    assert found.line == (TEXT + LOG).split("\n").index('with = "there/heater.toml"') + 1


def test_weather_for_another_night_is_no_fault_of_the_overlay(tmp_path):
    """A forecast for tomorrow does not reach back to last month."""
    hours = [*(f"14 {hour}" for hour in range(12, 24, 2)), *(f"15 0{hour}" for hour in range(0, 10, 2))]
    lines = ["when,air", *(f"2031-02-{hour}:00,-5" for hour in hours)]
    (tmp_path / "sky.csv").write_text("\n".join(lines), encoding="utf-8")
    text = FIRE.replace(
        'steady = "-10 degC"',
        'file = { path = "sky.csv", columns = { air = "air" }, units = { air = "degC" } }',
    )
    scenario = load(camp(tmp_path, text=text + LOG))
    with pytest.raises(InputError, match="does not cover the night"):
        of_night(scenario, scenario.log[0])
    gone = {"outdoors.file": "none", "outdoors.steady": "-10 degC"}
    assert of_night(scenario, scenario.log[0], gone).heat


def test_one_field_of_a_log_cannot_be_set(tmp_path):
    text = FIRE + LOG.replace('with = "there/heater.toml"\n', "")
    for setting in ("log.unit=degC", "log[1].unit=degC"):
        fault = the_fault(tmp_path, text, settings=setting)
        assert fault.file == "--set" and "cannot be changed from outside" in fault.what, str(fault)
    overlay = tmp_path / "over.toml"
    overlay.write_text('\n[log]\nunit = "degC"\n', encoding="utf-8")
    (fault,) = faults(tmp_path, text, overlays=overlay)
    assert fault.file == str(overlay) and fault.line == 2 and "cannot be changed from outside" in fault.what
    overlay.write_text(YARD, encoding="utf-8")
    assert load(written(tmp_path, text), overlays=overlay).log[0].in_the_open

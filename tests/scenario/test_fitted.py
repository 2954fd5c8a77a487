"""[fitted]: read, written back, faults with their places; what takes the place of which prior."""

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.logged import of_night
from simtent.scenario.oddities import oddities
from tests.scenario.example import FIRE, written

OVERLAY = """
[model]
walls = 1.1
[fitted]
logs = ["2031-01-24 porch_night.csv"]
readings = 3210
version = "0.1.0"
coldest = "-9 degC"
warmest = "-2 degC"
[[fitted.found]]
key = "model.walls"
value = 1.1
low = 0.95
high = 1.2
before = "+-20 %"
source = "own choice, no source"
told = "your log narrows this"
[[fitted.axis]]
times = { "model.walls" = 1.25, "model.leak_area" = 0.8 }
plus = { "site.ground_start" = "0.9 degF" }
[fitted.beyond]
cot = "4 %"
head = "6 %"
stove = "2 %"
"""


def overlaid(tmp_path, overlay=OVERLAY, **options):
    path = tmp_path / "camp.fit.toml"
    path.write_text(overlay, encoding="utf-8")
    return load(written(tmp_path, FIRE), overlays=[str(path)], **options)


def test_it_is_read_from_an_overlay(tmp_path):
    scenario = overlaid(tmp_path)
    fitted = scenario.fitted
    assert scenario.model.walls == 1.1 and fitted.readings == 3210
    assert (fitted.coldest, fitted.warmest) == (pytest.approx(264.15), pytest.approx(271.15))
    assert fitted.found[0].high == 1.2 and fitted.axis[0].times["model.leak_area"] == 0.8
    assert fitted.beyond["cot"] == pytest.approx(0.04)
    assert scenario.changes == ("model.walls = 1.1",)


@pytest.mark.parametrize("how", ["given", "effective"])
def test_it_is_written_back(tmp_path, how):
    scenario = overlaid(tmp_path)
    again = tmp_path / "again.toml"
    again.write_text(getattr(scenario, how), encoding="utf-8")
    assert load(again) == scenario and getattr(load(again), how) == getattr(scenario, how)


def test_an_axis_stands_in_place_of_the_priors_that_it_names(tmp_path):
    plain = load(written(tmp_path, FIRE))
    before = [prior.key for prior in plain.priors()]
    assert before == ["model.walls", "model.leak_area", "model.heat", "model.mixing"]
    axis, *rest = overlaid(tmp_path).priors()
    assert [prior.key for prior in rest] == ["model.heat", "model.mixing"]
    assert axis.fitted and not any(prior.fitted for prior in rest)


def test_an_axis_moves_all_its_numbers_up_and_down_by_factors_and_sums(tmp_path):
    scenario = overlaid(tmp_path)
    axis = scenario.priors()[0]
    low, high = scenario.replace(axis.low), scenario.replace(axis.high)
    assert (low.model.walls, high.model.walls) == (pytest.approx(1.1 / 1.25), pytest.approx(1.1 * 1.25))
    area = scenario.model.leak_area
    assert (low.model.leak_area, high.model.leak_area) == (
        pytest.approx(area / 0.8),
        pytest.approx(area * 0.8),
    )
    starts = [it.site.ground_start - scenario.site.ground_start for it in (low, high)]
    assert starts == pytest.approx([-0.5, 0.5])


def test_an_axis_stays_within_what_is_allowed(tmp_path):
    scenario = overlaid(tmp_path, OVERLAY.replace('"model.walls" = 1.25', '"model.walls" = 50.0'))
    axis = scenario.priors()[0]
    assert (scenario.replace(axis.low).model.walls, scenario.replace(axis.high).model.walls) == (0.3, 3.0)


def test_an_axis_without_length_costs_no_night_and_takes_the_priors_away(tmp_path):
    text = OVERLAY.replace("1.25", "1.0").replace("= 0.8", "= 1.0").replace("0.9 degF", "0 K")
    assert [prior.key for prior in overlaid(tmp_path, text).priors()] == ["model.heat", "model.mixing"]


def test_a_forecast_stays_as_unsure_as_it_was(tmp_path):
    text = OVERLAY.replace('"site.ground_start"', '"outdoors.shift"')
    keys = [prior.key for prior in overlaid(tmp_path, text, settings=["outdoors.spread=2 K"]).priors()]
    assert keys == ["fitted.axis[1]", "model.heat", "model.mixing", "outdoors.shift"]


def test_the_rule_of_a_night_outside_the_logs(tmp_path):
    """By hand: logs of -9 to -2 degC, 7 K; -23 degC is 14 K outside, so 1 + 14 / 7 times."""
    fitted = overlaid(tmp_path).fitted
    assert fitted.outside(250.15, 270.15) == pytest.approx(14.0)
    assert fitted.widened(fitted.outside(250.15, 270.15)) == pytest.approx(3.0)
    assert fitted.outside(265.15, 277.15) == pytest.approx(6.0)
    assert fitted.outside(264.15, 271.15) == 0.0 and fitted.widened(0.0) == 1.0
    same = overlaid(tmp_path, OVERLAY.replace('"-2 degC"', '"-9 degC"')).fitted
    assert same.widened(same.outside(261.15, 262.15)) == pytest.approx(2.0)  # 3 K over at least 3 K


def test_a_level_without_a_share_takes_the_largest_of_the_levels(tmp_path):
    fitted = overlaid(tmp_path).fitted
    assert [fitted.missed(level) for level in ("cot", "head", "floor")] == pytest.approx([0.04, 0.06, 0.06])
    none = overlaid(tmp_path, OVERLAY.partition("[fitted.beyond]")[0]).fitted
    assert none.missed("cot") == 0.0


CHANGES = [
    ('key = "model.walls"', 'key = "model.wals"', "fitted.found[1].key", "no number", '"model.walls"'),
    ("low = 0.95", "low = 1.15", "fitted.found[1].value", "outside its own interval", "Fit again"),
    ("high = 1.2", "high = 12", "fitted.found[1].high", "out of range", ""),
    ("value = 1.1\nlow", 'value = "1.1 m2"\nlow', "fitted.found[1].value", "plain number", "without unit"),
    ("value = 1.1\nlow", "value = true\nlow", "fitted.found[1].value", "a value of that number", "1.06"),
    ("your log narrows this", "well found", "fitted.found[1].told", "known words", ""),
    ('"model.leak_area" = 0.8', '"model.leek" = 0.8', 'fitted.axis[1].times."model.leek"', "no number", ""),
    (
        '"model.leak_area" = 0.8',
        '"model.leak_area" = 0',
        'fitted.axis[1].times."model.leak_area"',
        "out of range",
        "",
    ),
    (
        '"model.leak_area" = 0.8',
        '"outdoors.shift" = 1.2',
        'fitted.axis[1].times."outdoors.shift"',
        "no factor moves what is 0",
        "plus",
    ),
    ('"0.9 degF"', '"2 kg"', 'fitted.axis[1].plus."site.ground_start"', "difference", ""),
    (
        'plus = { "site.ground_start" = "0.9 degF" }',
        'plus = { "model.walls" = 0.1 }',
        'fitted.axis[1].plus."model.walls"',
        "moved twice",
        "Keep one",
    ),
    (
        'times = { "model.walls" = 1.25, "model.leak_area" = 0.8 }\nplus = { "site.ground_start" = "0.9 degF" }',
        "times = {}",
        "fitted.axis[1]",
        "moves nothing",
        "leave the axis out",
    ),
    ('cot = "4 %"', 'cott = "4 %"', "fitted.beyond.cott", "no place", "cot"),
    ('cot = "4 %"', 'cot = "400 %"', "fitted.beyond.cot", "out of range", ""),
    ('cot = "4 %"', "cot = 0.04", "fitted.beyond.cot", "no unit", '"4 %"'),
    ("readings = 3210", "readings = 0", "fitted.readings", "out of range", ""),
    ('coldest = "-9 degC"', 'coldest = "0 degC"', "fitted.coldest", "above the warmest", "Exchange"),
    ('version = "0.1.0"\n', "", "fitted.version", "missing", "version"),
]


@pytest.mark.parametrize(("old", "new", "key", "what", "todo"), CHANGES, ids=[case[2] for case in CHANGES])
def test_every_fault_has_its_place_and_a_way_out(tmp_path, old, new, key, what, todo):
    text = OVERLAY.replace(old, new)
    assert text != OVERLAY
    with pytest.raises(InputError) as raised:
        overlaid(tmp_path, text)
    (told,) = [fault for fault in raised.value.faults if fault.key == key]
    if new:
        assert told.file.endswith("camp.fit.toml") and told.line is not None
    assert what in told.what and todo in (told.todo or "")


def test_a_number_found_twice_is_refused(tmp_path):
    found = OVERLAY[OVERLAY.index("[[fitted.found]]") : OVERLAY.index("[[fitted.axis]]")]
    with pytest.raises(InputError, match="found twice"):
        overlaid(tmp_path, OVERLAY + found)


def test_a_number_that_was_changed_since_is_odd_and_not_refused(tmp_path):
    assert not [it for it in oddities(overlaid(tmp_path)) if it.key == "model.walls"]
    changed = overlaid(tmp_path, settings=["model.walls=1.3"])
    (odd,) = [it for it in oddities(changed) if it.key == "model.walls"]
    assert (odd.file, odd.value) == ("--set", "1.3") and "said 1.1" in odd.what
    text = OVERLAY.replace('key = "model.walls"', 'key = "model.leak_area"').replace("= 0.95", '= "100 cm2"')
    text = text.replace("value = 1.1", 'value = "150 cm2"').replace("high = 1.2", 'high = "0.02 m2"')
    assert not [it for it in oddities(overlaid(tmp_path, text)) if "[fitted]" in it.what]


def test_what_logs_said_of_a_table_that_is_away_plays_no_part(tmp_path):
    """The stove fitted, a night with an electric heater: its axis moves what is left of it."""
    text = OVERLAY.replace('"model.leak_area" = 0.8', '"stove.air.leak" = 0.8')
    text = text.replace('key = "model.walls"', 'key = "stove.air.leak"').replace("= 0.95", '= "1 cm2"')
    text = text.replace("value = 1.1", 'value = "1.5 cm2"').replace("high = 1.2", 'high = "2 cm2"')
    text += '[heat]\nradiant_share = "40 %"\ntable = [{ at = "17:30", power = "1 kW" }]\n'
    away = "".join(f'{name} = "none"\n' for name in ("stove", "wood", "stoking"))
    heater = overlaid(tmp_path, away + text)
    axis = heater.priors()[0]
    assert set(axis.high) == {"model.walls", "site.ground_start"}
    assert not [it for it in oddities(heater) if "[fitted]" in it.what]


def test_a_logged_night_with_another_heat_has_nothing_of_a_fit(tmp_path):
    """The stove's leak is free and fitted; of a night with a heater it is no number, and no fault."""
    over = tmp_path / "heater.toml"
    over.write_text(
        'stove = "none"\nwood = "none"\nstoking = "none"\n[heat]\nradiant_share = "40 %"\n'
        'table = [{ at = "17:30", power = "1 kW" }]\n',
        encoding="utf-8",
    )
    log = (
        '[[log]]\nevening = "2031-01-24"\nfile = "a.csv"\nwith = "heater.toml"\nsensors = { "CH1" = "cot" }\n'
    )
    scenario = load(written(tmp_path, FIRE + log + '[fit]\nfree = ["stove.air.leak"]\n'))
    night = of_night(scenario, scenario.log[0])
    assert night.heat is not None and night.fit is None and scenario.fit is not None

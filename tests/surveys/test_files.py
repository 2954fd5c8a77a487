"""Study files: what is read, and what is refused, each fault with its line and a way out."""

import sys

import numpy as np
import pytest

import simtent
from simtent.errors import InputError
from simtent.scenario.beliefs import belief
from simtent.surveys.survey import MANY, load_survey, refuse_many
from tests.surveys import formulas
from tests.surveys.files import CAMP, SCENARIOS, written
from tests.surveys.here import solved_here  # noqa: F401  (a fixture)

TWO = "[factors]\nmodel.walls = [0.8, 1.2]"


def faults(path):
    with pytest.raises(InputError) as told:
        load_survey(path)
    return [str(fault) for fault in told.value.faults]


def test_levels_spans_and_beliefs(tmp_path):
    text = """
[fixed]
model.layers = 6
[factors]
site.ground = ["packed snow", "forest floor"]
outdoors.wind = { from = "0 mph", to = "4 m/s", steps = 3 }
model.walls = "spread"
"""
    it = load_survey(written(tmp_path, text))
    assert it.bases[0].model.layers == 6 and it.bases[0].name == "Larch bench"
    assert it.design.size == len(list(it.cases())) == 2 * 3 * 3
    _, wind, walls = it.factors
    assert [level.label for level in wind.steps()] == ["0.0 m/s", "2.0 m/s", "4.0 m/s"]
    believed = belief(it.bases[0], "model.walls")
    numbers = [float(level.label) for level in walls.steps()]
    assert np.allclose(
        np.log(numbers) - np.log(believed.median), believed.spread * np.array([-1, 0, 1]), atol=1e-6
    )
    assert it.labels()[0] == {
        "site.ground": "packed snow",
        "outdoors.wind": "0.0 m/s",
        "model.walls": walls.steps()[0].label,
    }
    last = it.bases[0].replace(it.variations()[-1])
    assert last.outdoors.wind == 4.0 and last.site.ground == "forest floor"
    assert it.told()["factors"][1] == {"name": "outdoors.wind", "unit": "m/s", "us": "mph", "kind": "speed"}


def test_nights_by_low_high_wind_and_date(tmp_path):
    text = """
[[nights]]
name = "still"
low = "-20 degC"
wind = "0 m/s"
[[nights]]
low = "-30 degC"
high = "-12 degC"
[[nights]]
evening = "2031-03-01"
cloud = "90 %"
"""
    it = load_survey(written(tmp_path, text))
    still, day, dated = (it.bases[0].replace(case) for case in it.variations())
    air = [still.outdoors.track("air").at(600.0 * n) for n in range(85)]
    assert min(air) == pytest.approx(253.15) and still.outdoors.wind == 0.0
    assert (day.outdoors.low.air, day.outdoors.low.at) == (pytest.approx(243.15), it.bases[0].outdoors.low.at)
    assert dated.night.evening.isoformat() == "2031-03-01" and dated.outdoors.cloud == pytest.approx(0.9)
    assert [level.label for level in it.factors[0].levels] == [
        "still", "low -30 degC, high -12 degC", "evening 2031-03-01, cloud 90 %",
    ]  # fmt: skip


def test_nights_of_a_long_file(tmp_path):
    hours = np.datetime64("2031-01-01T00:00") + np.arange(24 * 20) * np.timedelta64(1, "h")
    lines = [f"{str(hour).replace('T', ' ')},{-10.0 - n / 48.0:.3f}" for n, hour in enumerate(hours)]
    (tmp_path / "january.csv").write_text("\n".join(["when,T", *lines]) + "\n")
    text = """
[weather]
path = "january.csv"
columns = { air = "T" }
units = { air = "degC" }
first = "2031-01-03"
last = "2031-01-18"
every = 5
"""
    it = load_survey(written(tmp_path, text))
    assert [level.label for level in it.factors[0].levels] == [
        "2031-01-03",
        "2031-01-08",
        "2031-01-13",
        "2031-01-18",
    ]
    colder = [it.bases[0].replace(case).outdoors.track("air").at(0.0) for case in it.variations()]
    assert np.allclose(np.diff(colder), -120.0 / 48.0)
    (line,) = faults(written(tmp_path, text.replace("01-18", "01-28"), "late.toml"))
    assert "weather" in line and "does not cover the night" in line and "late.toml" in line


def epw(path):
    """A typical year of an invented place: every hour colder than the last, wind 5 m/s, sky half covered."""
    head = ["LOCATION,Nowhere,-,-,invented,0,45.0,-110.0,-7.0,1800.0", *["-"] * 7]
    day = np.datetime64("2001-01-01T00")
    hours = day + np.arange(8760) * np.timedelta64(1, "h")
    rows = []
    for n, hour in enumerate(hours.astype(object)):
        row = ["0"] * 35
        row[:6] = [str(1990 + hour.month), str(hour.month), str(hour.day), str(hour.hour + 1), "60", "x"]
        row[6], row[8], row[21], row[22] = f"{10.0 - n / 400.0:.1f}", "70", "5.0", "5"
        rows.append(",".join(row))
    path.write_text("\n".join([*head, *rows]) + "\n")


def test_nights_of_a_typical_year(tmp_path):
    epw(tmp_path / "year.epw")
    text = """
[weather]
path = "year.epw"
wind = "40 %"
first = "2031-12-26"
last = "2032-01-02"
every = 3
"""
    path = written(tmp_path, text)
    it = load_survey(path)
    assert [level.label for level in it.factors[0].levels] == ["2031-12-26", "2031-12-29", "2032-01-01"]
    nights = [it.bases[0].replace(case) for case in it.variations()]
    begin = np.datetime64("2031-12-26T17:30") - np.datetime64("2031-01-01T00:00")
    hours = begin / np.timedelta64(1, "h")
    assert nights[0].outdoors.track("air").at(0.0) == pytest.approx(283.15 - hours / 400.0, abs=0.1)
    assert nights[2].outdoors.track("air").at(0.0) == pytest.approx(283.15 - 17.5 / 400.0, abs=0.1)
    assert nights[0].outdoors.track("wind").at(0.0) == pytest.approx(2.0)
    assert nights[0].outdoors.track("cloud").at(0.0) == pytest.approx(0.5)
    assert nights[0].outdoors.track("humidity").at(0.0) == pytest.approx(0.7)
    before = (tmp_path / "sweep.weather.csv").stat().st_mtime_ns
    assert load_survey(path).told() == it.told()
    assert (tmp_path / "sweep.weather.csv").stat().st_mtime_ns == before
    calm = load_survey(written(tmp_path, text.replace('wind = "40 %"\n', "")))
    assert (
        calm.bases[0].replace(calm.variations()[0]).outdoors.track("wind").at(0.0)
        == calm.bases[0].outdoors.wind
    )
    (tmp_path / "sweep.weather.csv").write_text("mine")
    assert "is in the way" in faults(path)[0]
    assert (tmp_path / "sweep.weather.csv").read_text() == "mine"


def test_typical_years_that_cannot_be_read(tmp_path, monkeypatch):
    text = '[weather]\npath = "year.epw"\nfirst = "2031-01-03"\nlast = "2031-01-05"'
    (line,) = faults(written(tmp_path, text))
    assert "weather.path: there is no such file" in line and "year.epw" in line
    (tmp_path / "year.epw").write_text("when,T\n")
    assert "no typical year that can be read" in faults(written(tmp_path, text))[0]
    epw(tmp_path / "year.epw")
    whole = (tmp_path / "year.epw").read_text()
    (tmp_path / "year.epw").write_text(whole.replace(",70,", ",999,", 1))
    assert (
        "this typical year lacks relative_humidity, on month 1, day 1" in faults(written(tmp_path, text))[0]
    )
    monkeypatch.setitem(sys.modules, "pvlib", None)
    (line,) = faults(written(tmp_path, text))
    assert "need the library pvlib" in line and "pip install 'simtent[weather]'" in line
    told = faults(written(tmp_path, text.replace(".epw", ".csv") + '\nwind = "40 %"'))
    assert "belongs to a typical year" in told[0]
    assert sorted(it.name for it in tmp_path.iterdir()) == ["sweep.toml", "year.epw"]


def test_choices_change_several_keys(tmp_path):
    text = """
[choices.floor]
mat = {}
bare = { shelter.floor.mat = "none", shelter.floor.mat_area = "none" }
"""
    it = load_survey(written(tmp_path, text))
    assert it.labels() == [{"floor": "mat"}, {"floor": "bare"}]
    assert it.bases[0].replace(it.variations()[1]).shelter.floor.mat is None


def test_several_scenarios_are_a_factor(tmp_path, in_this_process):
    path = tmp_path / "two.toml"
    bench, hollow = CAMP.as_posix(), (SCENARIOS / "sedge_hollow.toml").as_posix()
    path.write_text(f'format = 1\nscenario = ["{bench}", "{hollow}"]\nmethod = "grid"\n{TWO}\n')
    dataset = simtent.survey(path, tmp_path / "out", night=formulas.known, quiet=True)
    assert dataset["scenario"].values.tolist() == ["Larch bench", "Sedge hollow"] * 2
    assert dataset["model.walls"].values.tolist() == ["0.8", "0.8", "1.2", "1.2"]
    assert (dataset["state"] == "solved").all()


BAD = [
    ("[factors]\nmodel.wals = [1, 2]", ["line 6, factors.model.wals: ", 'unknown key "wals"', "walls"]),
    ("[factors]\nmodel.wals = { from = 1, to = 2, steps = 2 }", ["line 6, factors.model.wals", 'Is "model.walls"']),
    ("[factors]\nmodel.walls = []", ["line 6, factors.model.walls: a factor without a level"]),
    ("[factors]\nmodel.walls = [1.0, 9.0]", ["line 6, factors.model.walls: out of range", "Given: 9.0"]),
    ("[factors]\nmodel.walls = [1.0, 1.0]", ["the same level twice"]),
    ("[factors]\nmodel.walls = 1.2", ["line 6, factors.model.walls: a factor is wanted", "Write a list of levels"]),
    ("[factors]\nmodel.walls = { from = 1.0 }", ["a span without `to`"]),
    ("[factors]\nmodel.walls = {}\nmodel.leak = [1.0]", ["a span without `from`", "a span without `to`"]),
    ("[factors]\nmodel.walls = { from = 1, to = 2 }", ["a grid wants to know how many levels", "steps = 5"]),
    ("[factors]\nmodel.walls = { from = 1, to = 2, steps = 1 }", ["steps", "2 to 1000"]),
    ("[factors]\nmodel.walls = { from = 1, to = 1, steps = 3 }", ["a span from a number to itself"]),
    ("[factors]\noutdoors.wind = { from = 1, to = 2, steps = 3 }", ["line 6, factors.outdoors.wind.from"]),
    ('[factors]\noutdoors.wind = { from = "1 kg", to = "2 m/s", steps = 3 }', ["factors.outdoors.wind.from"]),
    ('[factors]\nsite.ground = "spread"', ["line 6, factors.site.ground: this is no number that can be moved"]),
    ("", ["factors: a study without a factor", "Add [factors]"]),
    ("[choices.floor]", ["choices.floor: a choice without levels"]),
    ("[choices]\nfloor = { bare = 1 }", ["choices.floor.bare: a level that changes no key"]),
    ('[[nights]]\nhigh = "3 degC"', ["nights[1]: high without low"]),
    ('[[nights]]\nname = "x"', ["a night that changes nothing"]),
    ('[[nights]]\nlow = "3 stone"', ["line 5, nights[1]"]),
    ('[[nights]]\nlows = "3 degC"', ['line 6, nights[1].lows: unknown key "lows"', 'Is "low" meant?']),
    ('[nights]\nlow = "3 degC"', ["Write [[nights]], with double brackets"]),
    ('[[nights]]\nlow = "-9 degC"\n[weather]\npath = "x.csv"', ["[[nights]] and [weather] at once"]),
    ('[weather]\npath = "x.csv"', ["the first evening is not said", "the last evening is not said"]),
    ('[weather]\npath = "x.csv"\nfirst = "2031-01-01"\nlast = "soon"', ["weather.last: a date is wanted"]),
    ('[weather]\npath = "x.csv"\nfirst = "2031-01-09"\nlast = "2031-01-01"', ["evenings that no file has"]),
    ('[weather]\nfirst = "2031-01-01"\nlast = "2031-01-02"', ["a weather file without its path"]),
    (f"[fixed]\nmodel.layers = 900\n{TWO}", ["line 6, fixed.model.layers"]),
    (f"{TWO}\n[factor]", ['factor: unknown key "factor"', '"factors"']),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), BAD, ids=[words[0][:60] for _, words in BAD])
def test_bad_study_files(tmp_path, text, words):
    path = written(tmp_path, text)
    told = "\n".join(faults(path))
    assert str(path) in told and "Traceback" not in told
    for word in words:
        assert word in told, told
    assert [it.name for it in tmp_path.iterdir()] == ["sweep.toml"]


@pytest.mark.parametrize(
    ("method", "more", "words"),
    [
        ("girds", "", 'method: no such method. Given: girds'),
        ("", "", "method"),
        ("grid", "cases = 9", "cases: a grid has as many cases as its levels make"),
        ("sobol", "", "cases: how many cases is not said"),
        ("saltelli", "cases = 3", "cases: too few cases for saltelli with 1 factors. Given: 3. Allowed: 6 or more"),
        ("morris", "cases = 3", "Allowed: 4 or more"),
        ("sobol", 'cases = "many"', "cases: a whole number is wanted"),
        ("sobol", "cases = 0", "cases: a whole number is wanted"),
        ("sobol", "cases = 8\nseed = -1", "seed: a whole number is wanted"),
        ("grid", 'outputs = ["lowest_in_bed"]', "lowest_in_bed is told at a level"),
        ("grid", 'outputs = ["heat_given at cot"]', "heat_given has no labels"),
        ("grid", 'outputs = ["level_temperature at cot"]', "Begin with one of: lowest, highest, mean, last"),
        ("grid", 'outputs = ["lowest heat_given"]', "heat_given is one number of a night. Given: lowest heat_given"),
        ("grid", 'outputs = ["heat_givn"]', 'Is "heat_given" meant?'),
        ("grid", 'outputs = ["highest layer_flow at a"]', "more than one kind of label"),
        ("grid", 'outputs = [3]', "outputs: a list of texts is wanted"),
        ("grid", 'keep = ["event_what"]', 'keep: a study cannot keep "event_what"'),
    ],
)  # fmt: skip
def test_bad_heads_of_study_files(tmp_path, method, more, words):
    told = "\n".join(faults(written(tmp_path, TWO, method=method, more=more)))
    assert words in told and told.startswith(str(tmp_path / "sweep.toml")), told


def test_morris_tries_four_places_of_a_factor(tmp_path):
    many = "[factors]\nmodel.walls = [0.8, 0.9, 1.0, 1.1, 1.2]"
    for levels in (["0.8", "0.9", "1.0", "1.1"], ["0.8", "0.9", "1.0"], ["0.8", "0.9"]):
        path = written(
            tmp_path, f"[factors]\nmodel.walls = [{', '.join(levels)}]", method="morris", more="cases = 40"
        )
        assert {case["model.walls"] for case in load_survey(path).labels()} == set(levels)
    (line,) = faults(written(tmp_path, many, method="morris", more="cases = 40"))
    assert "method: model.walls has 5 levels" in line and "up to 4 levels" in line


def test_all_faults_at_once(tmp_path):
    text = "[factors]\nmodel.wals = [1]\nmodel.walls = []\n[[nights]]\nlow = 3"
    told = faults(written(tmp_path, text, method="gird", more='outputs = ["x"]'))
    assert len(told) == 5
    lines = [int(fault.split("line ")[1].split(",")[0]) for fault in told]
    assert lines == sorted(lines)


def test_files_that_are_none(tmp_path):
    (line,) = faults(tmp_path / "none.toml")
    assert "there is no such file" in line
    path = tmp_path / "sweep.toml"
    path.write_text('scenario = "camp.toml"\nmethod = "grid"\n')
    told = "\n".join(faults(path))
    assert (
        "format: the version of the format is wanted" in told and "camp.toml: there is no such file" in told
    )
    path.write_text("format = 1\nscenario = [\n")
    assert "line" in faults(path)[0]
    path.write_text('format = 1\nmethod = "grid"\n')
    assert any("a study without a scenario" in line for line in faults(path))


def test_a_million_cases_are_asked_about(tmp_path):
    text = "[factors]\n" + "\n".join(
        f"{key} = {{ from = {low}, to = {high}, steps = 100 }}"
        for key, low, high in (("model.walls", 0.5, 2), ("model.mixing", 0.5, 2), ("model.heat", 0.5, 1.5))
    )
    path = written(tmp_path, text)
    with pytest.raises(InputError, match=r"1,000,000 cases: somebody may have counted wrong.*--yes"):
        simtent.survey(path, night=formulas.known, quiet=True)
    assert [it.name for it in tmp_path.iterdir()] == ["sweep.toml"]
    fine = load_survey(written(tmp_path, TWO, method="sobol", more=f"cases = {MANY}"))
    refuse_many(fine)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            '[factors]\noutdoors.wind = ["0 mph", "5 mph"]\n[[nights]]\nlow = "-20 degC"\nwind = "1 m/s"\n',
            "outdoors.wind and night both change outdoors.wind: one would hide the other",
        ),
        (
            '[factors]\noutdoors.shift = ["0 K", "-5 K"]\n[[nights]]\nlow = "-20 degC"\n',
            "both change outdoors.shift",
        ),
        (
            "[choices.state]\na = { model.walls = 0.8 }\nb = { model.walls = 1.2 }\n",
            'the name "state" is taken',
        ),
    ],
)
def test_one_factor_does_not_hide_another(tmp_path, text, words):
    assert any(words in fault for fault in faults(written(tmp_path, text)))


def test_a_misspelt_level_is_told_before_any_night(tmp_path):
    (told,) = faults(written(tmp_path, TWO, more='outputs = "lowest_in_bed at cott"'))
    assert "there is no such level" in told and "cot" in told


def test_a_shipped_study_can_be_read():
    shipped = sorted((SCENARIOS / "studies").glob("*.toml"))
    assert shipped
    for path in shipped:
        it = load_survey(path)
        assert all(base.invented for base in it.bases) and 0 < it.design.size < 2000


def test_relative_paths_count_from_the_study_file(tmp_path, monkeypatch):
    """Also those in levels, wherever the command is given."""
    file = 'time = "when", columns = { air = "T" }, units = { air = "degC" }'
    lines = [f"2031-02-{14 + n // 24:02d} {n % 24:02d}:00,-9" for n in range(48)]
    for name in ("one.csv", "two.csv"):
        (tmp_path / name).write_text("\n".join(["when,T", *lines]) + "\n")
    text = f"""
[fixed]
outdoors.high = "none"
outdoors.low = "none"
outdoors.file = {{ path = "one.csv", {file} }}
[factors]
outdoors.file.path = ["one.csv", "two.csv"]
"""
    monkeypatch.chdir(SCENARIOS)
    it = load_survey(written(tmp_path, text))
    assert it.bases[0].replace(it.variations()[1]).outdoors.file.path == tmp_path / "two.csv"

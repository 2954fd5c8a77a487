"""The road into a scenario: file, overlays, settings, replacements; defaults; and the way back to text."""

import pickle
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.openings import Openings
from tests.scenario.example import TEXT, spoilt, written

ROOT = Path(__file__).parents[2]
SHIPPED = sorted((ROOT / "scenarios").glob("*.toml"))
OVERLAYS = sorted((ROOT / "scenarios" / "overlays").glob("*.toml"))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_scenarios(path, tmp_path):
    scenario = load(path)
    assert scenario.invented
    assert scenario.stem == path.stem
    assert scenario.repairs == ()
    assert scenario.outdoors.spread
    assert scenario.shelter is None or (scenario.wish.bed and scenario.wish.cot_at_least)
    assert tomllib.loads(scenario.given) == tomllib.loads(path.read_text(encoding="utf-8"))
    for folder in {log.with_.parent for log in scenario.log if log.with_}:  # what it names must be there
        shutil.copytree(folder, tmp_path / folder.relative_to(path.parent))
    twin = load(written(tmp_path, path.read_text(encoding="utf-8")))
    assert load(written(tmp_path, scenario.effective, "again.toml")) == twin
    assert twin.log or twin == scenario
    assert pickle.loads(pickle.dumps(scenario)) == scenario


@pytest.mark.parametrize("path", OVERLAYS, ids=lambda path: path.stem)
def test_shipped_overlays_change_the_scenario_that_their_head_names(path):
    command = next(line for line in path.read_text(encoding="utf-8").splitlines() if "simtent night" in line)
    _, _, _, scenario, _, overlay = command.split()
    assert ROOT / overlay == path
    assert load(ROOT / scenario, overlays=path) != load(ROOT / scenario)


@pytest.mark.parametrize("path", [path for path in SHIPPED if load(path).shelter], ids=lambda path: path.stem)
def test_shipped_shelters_have_air_low_and_high(path):
    """Practice tells to leave a vent low and one high open while a stove burns: common practice, no source."""
    shelter = load(path).shelter
    low, high = shelter.openings.low_vent, shelter.openings.ridge_vent
    assert min(low.area * low.open, high.area * high.open) >= 50e-4
    assert low.at < 0.25 * shelter.peak < 0.75 * shelter.peak < high.at


def test_values_in_si(tmp_path):
    scenario = load(written(tmp_path, spoilt('ridge = "2.5 m"', 'ridge = "8 ft 6 in"')))
    assert scenario.shelter.peak == pytest.approx(8.5 * 0.3048, rel=1e-12)  # NIST SP 811: foot 0.3048 m
    assert scenario.outdoors.steady == pytest.approx(263.15, rel=1e-12)
    assert scenario.heat.radiant_share == 0.4
    assert scenario.night.seconds_at("00:00") == 6.5 * 3600


def test_defaults(tmp_path):
    scenario = load(written(tmp_path))
    assert scenario.units == "si"
    assert dict(scenario.levels) == {"head": 1.7, "waist": 0.9, "cot": 0.45, "floor": 0.15}
    assert scenario.site.altitude == 0.0
    assert scenario.night.inside_at_start is None
    assert [scenario.outdoors.track(name).values for name in ("wind", "cloud", "humidity")] == [
        (1.0,),
        (0.0,),
        (0.8,),
    ]
    assert scenario.outdoors.shift == 0.0
    assert (scenario.shelter.contents.mass, scenario.shelter.contents.area) == (30.0, 4.0)
    assert scenario.shelter.floor.mat is None
    assert (scenario.crew.asleep, scenario.crew.heat_each) == (0, 60.0)
    assert (scenario.model.leak_area, scenario.model.leak_below_skirt) == (0.015, None)
    assert (scenario.shelter.skirt, scenario.leak_below_skirt) == (None, 0.0)
    assert scenario.model.layers == 20
    assert (scenario.heat.from_height, scenario.heat.to_height, scenario.heat.stands) == (0.2, 0.6, "free")
    assert scenario.site.shelter_from_wind == "edge of timber"
    assert scenario.shelter.openings == Openings() and scenario.shelter.fan is None
    assert scenario.heat.between == "steps"


@pytest.mark.parametrize(
    ("shape", "sizes", "peak", "area", "perimeter"),
    [
        ("box", {"length": "4 m", "width": "3 m", "height": "2 m"}, 2.0, 12.0, 14.0),
        ("wall tent", {"length": "4 m", "width": "3 m", "wall": "1 m", "ridge": "2.5 m"}, 2.5, 12.0, 14.0),
        ("bell", {"diameter": "4 m", "wall": "1 m", "peak": "2.6 m"}, 2.6, 12.566370614, 12.566370614),
    ],
)
def test_shapes(tmp_path, shape, sizes, peak, area, perimeter):
    """Rectangle a b and 2 (a + b); circle pi d^2/4 and pi d: equal numbers for d = 4 m."""
    taken = dict.fromkeys(("length", "width", "wall", "ridge"), "none")
    new = {f"shelter.{key}": value for key, value in (taken | sizes | {"shape": shape}).items()}
    shelter = load(written(tmp_path)).replace(new).shelter
    assert shelter.shape == shape
    assert (shelter.peak, shelter.floor_area) == (peak, pytest.approx(area))
    assert shelter.perimeter == pytest.approx(perimeter)


def test_the_ground_takes_the_weighed_density_of_the_snow(tmp_path):
    site = load(written(tmp_path)).site
    weighed = load(written(tmp_path), settings=["site.snow_density=0.3 g/cm3"]).site
    assert (site.earth.density, site.earth.snow) == (370.0, True)
    assert weighed.earth.density == pytest.approx(300.0)


def test_overlays_and_settings_win_in_their_order(tmp_path):
    one = written(tmp_path, '[outdoors]\nwind = "2 m/s"\ncloud = "10 %"\nhumidity = "90 %"\n', "one.toml")
    two = written(tmp_path, '[outdoors]\nwind = "3 m/s"\ncloud = "20 %"\n', "two.toml")
    camp = written(tmp_path)

    def outdoors(**options):
        air = load(camp, **options).outdoors
        return air.wind, air.cloud, air.humidity

    assert outdoors() == (1.0, 0.0, 0.8)
    assert outdoors(overlays=[one, two]) == (3.0, 0.2, 0.9)
    assert outdoors(overlays=[two, one]) == (2.0, 0.1, 0.9)
    assert outdoors(overlays=[one, two], settings=["outdoors.wind=4 m/s", "outdoors.wind=5 m/s"]) == (
        5.0,
        0.2,
        0.9,
    )


def test_one_overlay_and_one_setting_need_no_list(tmp_path):
    camp, overlay = written(tmp_path), written(tmp_path, '[outdoors]\nwind = "2 m/s"\n', "one.toml")
    for path in (overlay, str(overlay)):
        scenario = load(camp, overlays=path, settings="outdoors.cloud=10 %")
        assert (scenario.outdoors.wind, scenario.outdoors.cloud) == (2.0, 0.1)
        assert scenario == load(camp, overlays=[path], settings=["outdoors.cloud=10 %"])


def test_changes_are_what_the_file_does_not_say(tmp_path):
    camp = written(tmp_path)
    overlay = written(tmp_path, '[heat]\ntable = [{ at = "18:00", power = "1 kW" }]\n', "one.toml")
    assert load(camp).changes == ()
    told = 'heat.table = [{ at = "18:00", power = "1 kW" }]'
    assert load(camp, overlays=overlay).changes == (told,)
    settings = ["model.walls=1.2", "shelter.length=13 ft", "wish=none", 'levels."my bunk"=1 m']
    changed = load(camp, overlays=overlay, settings=settings)
    assert sorted(changed.changes) == sorted(
        [told, "model.walls = 1.2", 'shelter.length = "13 ft"', 'wish = "none"', 'levels.my bunk = "1 m"']
    )
    again = changed.replace({"model.walls": 1.3, "outdoors.wind": "3 m/s"}).changes
    assert "model.walls = 1.3" in again and 'outdoors.wind = "3 m/s"' in again
    assert "model.walls = 1.2" not in again and len(again) == 6


def test_changes_hold_wherever_the_file_is_named_from(tmp_path, monkeypatch):
    written(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert load("camp.toml").changes == load("./camp.toml").changes == ()
    assert load("camp.toml", settings="units=us").changes == ()  # how it is told, not what it is
    assert load("camp.toml", settings='name="Other"').changes == ('name = "Other"',)


def test_contents_of_none_are_no_mass(tmp_path):
    scenario = load(written(tmp_path), settings="shelter.contents=none")
    assert scenario.shelter.contents.mass == 0.0
    assert scenario.changes == ('shelter.contents = "none"',)
    assert load(written(tmp_path, scenario.given, "given.toml")) == scenario
    assert load(written(tmp_path, scenario.effective, "effective.toml")) == scenario


def test_lists_are_replaced_whole(tmp_path):
    overlay = written(tmp_path, '[heat]\ntable = [{ at = "18:00", power = "1 kW" }]\n', "one.toml")
    assert [entry.at for entry in load(written(tmp_path), overlays=[overlay]).heat.table] == ["18:00"]


def test_none_takes_away(tmp_path):
    text = spoilt("[heat]", '[levels]\nwaist = "none"\n"upper bunk" = "1.2 m"\n[heat]')
    overlay = written(tmp_path, 'wish = "none"\n[levels]\n"upper bunk" = "none"\n', "one.toml")
    assert list(load(written(tmp_path, text)).levels) == ["head", "upper bunk", "cot", "floor"]
    without = load(written(tmp_path, text), overlays=[overlay])
    assert list(without.levels) == ["head", "cot", "floor"]
    assert without.wish.bed is None
    again = load(written(tmp_path, without.given, "two.toml"))
    assert again == without == load(written(tmp_path, without.effective, "three.toml"))


def test_a_table_given_again_after_none(tmp_path):
    scenario = load(written(tmp_path), settings=["wish=none", "wish.rise=06:00"])
    assert (scenario.wish.bed, scenario.wish.rise) == (None, "06:00")


@pytest.mark.parametrize(
    ("setting", "read", "value"),
    [
        ("night.begin=17:00", lambda s: s.night.begin, "17:00"),  # bare, though TOML would read a time
        ("night.evening = 2031-02-15", lambda s: s.night.evening.isoformat(), "2031-02-15"),
        ('night.begin="17:00"', lambda s: s.night.begin, "17:00"),
        ("name=2031", lambda s: s.name, "2031"),
        ("name=true", lambda s: s.name, "true"),
        ("invented=false", lambda s: s.invented, False),
        ("crew.asleep=3", lambda s: s.crew.asleep, 3),
        ("model.walls=2", lambda s: s.model.walls, 2.0),
        ("levels.upper=5 ft 6 in", lambda s: s.levels["upper"], pytest.approx(1.6764)),
        ('levels."lower bunk"=20 cm', lambda s: s.levels["lower bunk"], 0.2),
        ("wish.rise=06:30", lambda s: s.wish.rise, "06:30"),
        (
            'shelter.skin.wall=["polycotton canvas"]',
            lambda s: s.shelter.skin.wall[0].name,
            "polycotton canvas",
        ),
        ('heat.table=[{at="18:00", power="2 kW"}]', lambda s: s.heat.track().values, (0.0, 2000.0)),
        ("shelter.floor.mat=20 mm closed-cell foam", lambda s: s.shelter.floor.mat.thickness, 0.02),
        ("outdoors.steady=5 degF", lambda s: s.outdoors.steady, pytest.approx(258.15)),
    ],
)
def test_settings_are_read_as_the_field_reads(tmp_path, setting, read, value):
    assert read(load(written(tmp_path), settings=[setting])) == value


def test_replace(tmp_path):
    scenario = load(written(tmp_path))
    changed = scenario.replace("model.walls", 1.2)
    assert (scenario.model.walls, changed.model.walls) == (1.0, 1.2)
    assert scenario.replace("model.walls", "1.2") == changed
    assert changed.replace("model.walls", None) == scenario
    several = scenario.replace(
        {"outdoors.wind": "3 m/s", "shelter.skin.wall": ["polycotton canvas"], "wish": {"rise": "07:00"}}
    )
    assert several.outdoors.wind == 3.0
    assert several.shelter.skin.wall[0].name == "polycotton canvas"
    assert (several.wish.bed, several.wish.rise) == ("21:30", "07:00")
    assert several.path == scenario.path
    with pytest.raises(AttributeError):
        scenario.name = "other"


def test_a_scenario_does_not_depend_on_the_folder_it_is_loaded_from(tmp_path, monkeypatch):
    camp = written(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert load("camp.toml") == load(camp)


def test_loading_needs_no_array_library():
    code = (
        "import sys; from simtent.scenario.load import load; "
        f"load({str(SHIPPED[0])!r}); "
        "print(sorted({'numpy', 'scipy', 'xarray', 'pandas', 'matplotlib', 'numba'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("written_name", "name"),
    [("  Paper camp ", "Paper camp"), ("x" * 100, "x" * 100), ("5", "5"), ("é", "é")],
)
def test_names_are_taken_without_blanks_around_them(tmp_path, written_name, name):
    scenario = load(written(tmp_path, spoilt('"Test camp"', f'"{written_name}"')))
    assert scenario.name == name
    assert scenario.replace("name", written_name).name == name


def test_names_with_every_kind_of_character_survive(tmp_path):
    name = 'a "b" \\ c \u00e9 \u96ea \U0001f3d5 [x] # = \\u0041'
    scenario = load(written(tmp_path)).replace({"name": name, 'levels."x.y ü"': "1 m"})
    again = load(written(tmp_path, scenario.effective, "two.toml"))
    assert again.name == name
    assert again.levels["x.y ü"] == 1.0


def test_an_overlay_alone_is_no_scenario(tmp_path):
    with pytest.raises(InputError):
        load(written(tmp_path, '[outdoors]\nwind = "2 m/s"\n'))
    assert load(written(tmp_path, TEXT), overlays=[]).name == "Test camp"

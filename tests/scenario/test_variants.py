"""[variants] and texts of variants: what is read and kept, what lies on what, what is refused and where."""

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.varied import beside, check_variants, of_changes, of_text, of_variant, twice
from tests.scenario.example import FIRE, TEXT, spoilt, the_fault, written

VARIANTS = """
[variants.mat]
shelter.floor.mat = "20 mm closed-cell foam"

[variants.windy.outdoors]
wind = "8 m/s"
cloud = "100 %"

[variants.bare]
shelter.floor = { mat = "none", board = "none" }
"""
BOARD = '\n[shelter.floor]\nboard = "18 mm plywood"\n'


@pytest.fixture
def camp(tmp_path):
    return load(written(tmp_path, TEXT + BOARD + VARIANTS))


def refused(scenario, text):
    with pytest.raises(InputError) as caught:
        of_text(scenario, text)
    (fault,) = caught.value.faults
    assert "  " not in str(fault) and fault.todo
    return fault


def test_a_variant_is_laid_over_the_scenario_and_moves_nothing_in_it(camp, tmp_path):
    without = load(written(tmp_path, TEXT + BOARD, "without.toml"))
    assert list(camp.variants) == ["mat", "windy", "bare"]
    assert camp.replace("variants", "none") == without
    mat = of_variant(camp, "mat")
    assert mat.scenario.shelter.floor.mat.thickness == 0.02 and mat.scenario.shelter.floor.board is not None
    assert mat.changes == ('shelter.floor.mat = "20 mm closed-cell foam"',) and not mat.same
    windy = of_variant(camp, "windy").scenario
    assert (windy.outdoors.wind, windy.outdoors.cloud) == (8.0, 1.0)
    assert windy.outdoors.steady == camp.outdoors.steady


def test_none_takes_away_what_the_file_has_and_only_in_its_variant(camp):
    assert camp.shelter.floor.board is not None
    assert of_variant(camp, "bare").scenario.shelter.floor.board is None


def test_scenarios_whose_variants_differ_differ(tmp_path):
    one, other = (
        load(
            written(
                tmp_path, f"{TEXT}{BOARD}[variants.a]\nshelter.floor = {{ {more}mat = '5 mm wool felt' }}\n"
            )
        )
        for more in ("", "board = 'none', ")
    )
    assert one != other and other.variants["a"]["shelter"]["floor"]["board"] == "none"


def test_settings_lie_on_top_of_a_variant_and_overlays_below(tmp_path):
    path = written(tmp_path, TEXT + VARIANTS)
    overlay = written(tmp_path, '[outdoors]\nwind = "1 m/s"\ncloud = "0 %"\n', "calm.toml")
    scenario = load(path, overlays=overlay, settings=["outdoors.cloud=50 %"])
    windy = of_variant(scenario, "windy").scenario
    assert (windy.outdoors.wind, windy.outdoors.cloud) == (8.0, 0.5)
    clear = of_text(scenario, "clear: outdoors.cloud=10 %").scenario  # it says what to change from all that
    assert (clear.outdoors.wind, clear.outdoors.cloud) == (1.0, 0.1)
    assert of_changes(scenario, "clear", {"outdoors.cloud": "10 %"}).scenario == clear


def test_an_overlay_brings_variants_changes_and_takes_them_away(tmp_path):
    more = """
[variants]
windy = "none"
[variants.mat]
shelter.floor.mat = "5 mm wool felt"
[variants.calm]
outdoors.wind = "0 m/s"
"""
    scenario = load(written(tmp_path, TEXT + BOARD + VARIANTS), overlays=written(tmp_path, more, "more.toml"))
    assert list(scenario.variants) == ["mat", "bare", "calm"]
    assert of_variant(scenario, "mat").scenario.shelter.floor.mat.name == "wool felt"
    assert scenario.changes == ()  # a variant changes nothing of the night itself


def test_what_is_written_back_has_the_variants(camp, tmp_path):
    for text in (camp.given, camp.effective):
        again = load(written(tmp_path, text, "again.toml"))
        assert again == camp and again.variants == camp.variants
        assert of_variant(again, "bare").scenario == of_variant(camp, "bare").scenario


def test_paths_inside_a_variant_count_from_its_file(tmp_path):
    (tmp_path / "weather").mkdir()
    rows = ["when,T", *(f"2031-02-{14 + h // 24} {h % 24:02d}:00,{-h}" for h in range(16, 34))]
    (tmp_path / "weather" / "cold.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    other = """
[variants.cold.outdoors]
steady = "none"
file = { path = "cold.csv", columns = { air = "T" }, units = { air = "degC" } }
"""
    overlay = written(tmp_path / "weather", other, "cold.toml")
    scenario = load(written(tmp_path, TEXT), overlays=overlay)
    cold = of_variant(scenario, "cold").scenario
    assert cold.outdoors.track("air").at(0.0) == pytest.approx(273.15 - 17.5)
    again = load(written(tmp_path, scenario.given, "again.toml"))
    assert of_variant(again, "cold").scenario.outdoors == cold.outdoors


@pytest.mark.parametrize(
    ("text", "line", "key", "words"),
    [
        (
            '[variants.a]\nshelter.flor.mat = "5 mm wool felt"',
            2,
            "shelter.flor",
            "in the variant a: unknown key",
        ),
        ('[variants.a]\nshelter.floor.mat = "foam"', 2, "shelter.floor.mat", "in the variant a"),
        ('[variants.a]\nshelter.floor.mat_area = "3 m2"', 2, "shelter.floor.mat_area", "without a mat"),
        ('[variants.a]\nnight.end = "05:00"', 2, "variants.a.night", "[night] cannot differ"),
        ("[variants.a]\n[variants.a.variants]\n", 2, "variants.a.variants", "cannot differ"),
        ('[variants.a]\n[[variants.a.trip]]\nevening = "2031-02-14"', 2, "variants.a.trip", "cannot differ"),
        ("[variants.a]\n", 1, "variants.a", "changes nothing"),
        ("[variants]\na = 3", 2, "variants.a", "a table is wanted"),
        ('[variants]\n"" = { outdoors.wind = "3 m/s" }', 1, "variants", "cannot be printed"),
        ("variants = 3", 1, "variants", "a table is wanted"),
        ('[variants.a]\noutdoors.wind = "3 m/s"\n[variants.a]\noutdoors.wind = "4 m/s"', 3, None, "twice"),
    ],
)
def test_faults_of_a_variant_name_file_line_and_key(tmp_path, text, line, key, words):
    whole = TEXT if text.startswith("[") else text + "\n" + TEXT
    before = TEXT.count("\n") if text.startswith("[") else 0
    fault = the_fault(tmp_path, TEXT + text + "\n" if text.startswith("[") else whole)
    assert fault.file == str(tmp_path / "camp.toml") and fault.line == before + line, str(fault)
    assert fault.key == key and words in str(fault)


def test_a_fault_of_the_scenario_is_told_once(tmp_path):
    fault = the_fault(tmp_path, spoilt('steady = "-10 degC"', 'steady = "-300 degC"') + VARIANTS)
    assert fault.key == "outdoors.steady" and "variant" not in str(fault)


def test_texts(camp):
    mat = of_text(camp, "foam: shelter.floor.mat=20 mm closed-cell foam; shelter.floor.mat_area=3 m2;")
    assert mat.name == "foam" and mat.scenario.shelter.floor.mat_area == 3.0
    assert mat.changes == ('shelter.floor.mat = "20 mm closed-cell foam"', 'shelter.floor.mat_area = "3 m2"')
    assert of_text(camp, " mat ").scenario == of_variant(camp, "mat").scenario
    assert of_text(camp, "same: outdoors.steady=-10 degC").same
    late = of_text(
        camp,
        "late: shelter.openings.door={ width = '60 cm', height = '1 m', open = [{ at = '19:00', for = '1 min' }] }",
    )
    assert (
        late.scenario.shelter.openings.door.openings[0][0] == 1.5 * 3600.0
    )  # a colon further on is none of the name's
    felt = of_changes(camp, "felt", {"shelter.floor.mat": "5 mm wool felt"})
    assert felt.scenario.shelter.floor.mat.thickness == 0.005


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("mats", 'there is no such variant. Given: mats. Allowed: mat, windy, bare. Is "mat" meant?'),
        ("nothing alike", "Write [variants.mat]"),
        ("outdoors.wind=3 m/s", "a variant wants a name"),
        (": outdoors.wind=3 m/s", "a variant wants a name"),
        (f"{'x' * 31}: outdoors.wind=3 m/s", "1 to 30 printable characters"),
        ("x:", "the variant x changes nothing"),
        ("x: outdoors.wind", '"outdoors.wind" is no setting'),
        ("x: outdors.wind=3 m/s", '--variant, outdors: in the variant x: unknown key "outdors"'),
        ("x: outdoors.wind=3 m", "--variant, outdoors.wind: in the variant x"),
        ("x: night.begin=18:00", "[night] cannot differ"),
    ],
)
def test_texts_that_describe_none(camp, text, words):
    assert words in str(refused(camp, text))


def test_a_scenario_without_variants_says_what_to_write(tmp_path):
    fault = refused(load(written(tmp_path)), "mat")
    assert fault.allowed == "none in this scenario" and "[variants.mat]" in fault.todo


def test_names_that_come_twice():
    assert [fault.value for fault in twice(["a", "b", "a", "base"])] == ["a", "base"]


def test_another_scenario_has_the_same_night(tmp_path):
    one = load(written(tmp_path))
    other = load(written(tmp_path, spoilt('length = "4 m"', 'length = "5 m"'), "larger.toml"))
    assert beside(one, "larger", other).scenario is other
    late = load(written(tmp_path, spoilt('end = "07:30"', 'end = "07:00"'), "late.toml"))
    with pytest.raises(InputError, match="its night is another one"):
        beside(one, "late", late)
    with pytest.raises(InputError, match="its night is another one"):
        beside(one, "later", one.replace("night.evening", "2031-02-15"))


def test_a_variant_of_a_fire_may_change_its_whole_list_of_loads(tmp_path):
    more = '[[variants.less.stoking.load]]\nat = "18:00"\npieces = { stick = 3 }\n'
    scenario = load(written(tmp_path, FIRE + more))
    less = of_variant(scenario, "less").scenario
    assert len(less.stoking.load) == 1 and len(scenario.stoking.load) == 2


def test_a_variant_that_does_not_fit_under_an_overlay_stops_no_other_night(tmp_path):
    path = written(tmp_path, FIRE + '\n[variants.beech]\nwood.species = "beech"\n')
    heater = """
stove = "none"
wood = "none"
stoking = "none"
[heat]
radiant_share = "40 %"
table = [{ at = "17:30", power = "1 kW" }]
"""
    overlay = written(tmp_path, heater, "heater.toml")
    scenario = load(path, overlays=overlay)
    assert scenario.stove is None and list(scenario.variants) == ["beech"]
    with pytest.raises(InputError, match="in the variant beech"):
        of_variant(scenario, "beech")
    with pytest.raises(InputError, match="in the variant beech"):
        check_variants(scenario)

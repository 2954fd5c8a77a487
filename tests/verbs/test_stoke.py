"""The verb stoke: what it prints and writes, that other verbs take its overlay, what it refuses."""

from pathlib import Path

import pytest

from simtent import marked
from simtent.cli import main
from simtent.scenario.load import load
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from simtent.tell.page import frame as page_frame
from tests.planning.camps import THREE_METRES
from tests.tell.pages import by_id, read, said

SHORT = ("night.end=03:15", "wish.rise=03:00", "model.layers=5", "wish.fire_may_go_out=true")


def camp(folder: Path, text: str = THREE_METRES) -> Path:
    path = folder / "camp.toml"
    path.write_text(text, encoding="utf-8")
    return path


def settings(*texts: str) -> list[str]:
    return [part for text in texts for part in ("--set", text)]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("stoke")


@pytest.fixture(scope="module")
def told(folder):
    """A camp, and what the verb has printed of it."""
    import contextlib  # noqa: PLC0415
    import io  # noqa: PLC0415

    path = camp(folder)
    with contextlib.redirect_stdout(io.StringIO()) as out:
        assert main(["stoke", str(path), "--page", "--quiet", *settings(*SHORT)]) == 0
    return path, out.getvalue()


@pytest.mark.slow
def test_cautions_first_then_the_plan_then_what_it_promises(told):
    _, out = told
    assert out.startswith(TITLE)
    parts = ["THE PLAN", "WHAT IT PROMISES", "WAKE-UPS AGAINST", "IF THE FIRE MAY GO OUT", "Found by"]
    places = [out.index(part) for part in parts]
    assert places == sorted(places)
    assert max(map(len, out.splitlines())) <= 80
    words = " ".join(out.split())
    assert "eight nights in ten the cot stays above" in words
    assert "(seed 0)" in words
    assert "<- the plan" in words
    assert "air low (20 %)" in words


@pytest.mark.slow
def test_it_writes_an_overlay_and_a_picture_for_its_scenario(told):
    path, _ = told
    name = load(path).name
    assert marked.scenario_of(path.with_name("camp.stoke.toml")) == name
    assert frame.scenario_of(path.with_name("camp.stoke.png")) == name


@pytest.mark.slow
def test_its_page_tells_the_same(told):
    path, out = told
    page = path.with_name("camp.stoke.html")
    assert page_frame.scenario_of(page) == load(path).name
    document = read(page.read_bytes())
    said(document, out[out.index("THE PLAN") :].splitlines())
    assert by_id(document, "short").text.startswith("In short")
    assert {"plan", "picture", "hours", "energy", "profile", "sure", "assumed", "scenario"} <= {
        it.attributes.get("id") for it in document.every("section")
    }


@pytest.mark.slow
def test_a_night_takes_the_overlay(told, capsys):
    path, out = told
    laid = str(path.with_name("camp.stoke.toml"))
    assert main(["night", str(path), "--with", laid, "--quiet", *settings(*SHORT)]) == 0
    night = capsys.readouterr().out
    (promised,) = (
        line.split()[4:6]
        for line in out.splitlines()
        if line.startswith("Coldest at the cot  ") and "asked" in line
    )
    (there,) = (line.split()[4:6] for line in night.splitlines() if line.startswith("Coldest at the cot  "))
    assert promised[1] == there[1] == "degC"
    assert float(there[0]) == pytest.approx(float(promised[0]), abs=0.5)  # told in whole degrees


REFUSED = {
    "rise": ("wish.rise=21:00", "wish.rise", "rise is not after bed"),
    "outside": ("wish.bed=12:00", "wish.bed", "outside the night"),
    "wood": ("wood.at_hand=0 kg", "wood.at_hand", "out of range"),
    "little": ("wood.at_hand=500 g", "wood.at_hand", "not wood enough"),
    "cot": ("wish.head_at_most=4 degC", "wish.cot_at_least", "as warm as the head"),
    "air": ("stoking.air=half way", "stoking.air", 'unknown mark "half way"'),
    "least": ("stove.air.least_when_asleep=ajar", "stove.air", "ajar"),
    "none": ("wish.cot_at_least=none", "wish.cot_at_least", "a plan needs this wish"),
    "often": ("wish.wake_ups_at_most=13", "wish.wake_ups_at_most", "0 to 12"),
    "sure": ("wish.coals=30 %", "wish.coals", "50 % to 99 %"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_one_message_and_nothing_else(tmp_path, capsys, name):
    setting, key, words = REFUSED[name]
    path = camp(tmp_path)
    assert main(["stoke", str(path), *settings(setting)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    lines = told.err.splitlines()
    assert len(lines) == 1
    assert key in lines[0] and words in lines[0]
    assert [it.name for it in tmp_path.iterdir()] == ["camp.toml"]


def test_a_camp_without_a_stove_or_a_shelter(tmp_path, capsys):
    for name in ("larch_bench", "yard_burn"):
        assert main(["stoke", f"scenarios/{name}.toml", "--out", str(tmp_path)]) == 2
        assert capsys.readouterr().err.count("\n") == 1


def test_what_another_wrote_is_left_alone(tmp_path, capsys):
    path = camp(tmp_path)
    other = tmp_path / "camp.stoke.toml"
    other.write_text("# mine\n", encoding="utf-8")
    assert main(["stoke", str(path)]) == 2
    assert "is in the way" in capsys.readouterr().err
    assert other.read_text(encoding="utf-8") == "# mine\n"


@pytest.mark.parametrize("seed", ["-1", "many", "1.5"])
def test_a_seed_is_a_whole_number(tmp_path, seed):
    with pytest.raises(SystemExit) as ended:
        main(["stoke", str(camp(tmp_path)), "--seed", seed])
    assert ended.value.code == 2


@pytest.mark.slow
def test_no_plan_is_given_where_every_one_has_a_finding_that_says_stop(tmp_path, capsys):
    path = camp(tmp_path)
    beside_the_bed = 'stove.place={ from_bed = "5 cm" }'
    assert main(["stoke", str(path), "--quiet", *settings(*SHORT, beside_the_bed)]) == 0
    out = capsys.readouterr().out
    assert "STOP     " in out
    assert "NO PLAN IS GIVEN" in " ".join(out.split())
    assert "THE PLAN" not in out
    assert [it.name for it in tmp_path.iterdir()] == [path.name]

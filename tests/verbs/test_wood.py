"""The verb wood: what it prints and writes, in both systems of units, and what it refuses."""

import contextlib
import io
import re
from pathlib import Path

import pytest

from simtent.cli import main
from simtent.scenario.load import load
from simtent.supply.pile import Pile
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from tests.supply.trips import NIGHTS, RULE, TEXT
from tests.tell.pages import by_id, read, said

QUICK = ("--as-stoked", "--quiet", "--set", "model.layers=5")


def camp(folder: Path, text: str = TEXT) -> Path:
    path = folder / "camp.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """A trip, and what the verb has printed of it in each system of units."""
    path = camp(tmp_path_factory.mktemp("wood"))
    outs = {}
    for units in ("si", "us"):
        with contextlib.redirect_stdout(io.StringIO()) as out:
            assert main(["wood", str(path), *QUICK, "--page", "--units", units]) == 0
        outs[units] = out.getvalue()
    return path, outs


@pytest.mark.compiled
def test_cautions_first_then_what_to_take_then_the_nights(told):
    _, outs = told
    for out in outs.values():
        assert out.startswith(TITLE)
        parts = (
            "WOOD TO TAKE",
            "NIGHT BY NIGHT",
            "IF IT IS COLDER",
            "GREEN AGAINST DRY",
            "OTHER WOOD",
            "Checked by",
        )
        places = [out.index(part) for part in parts]
        assert places == sorted(places)
        assert max(map(len, out.splitlines())) <= 80


@pytest.mark.compiled
def test_its_page_tells_the_same(told):
    path, outs = told
    document = read(path.with_name("camp.wood.html").read_bytes())
    said(document, outs["us"][outs["us"].index("WOOD TO TAKE") :].splitlines())
    assert by_id(document, "short").text.startswith("In short Take ")


@pytest.mark.compiled
def test_both_units_tell_the_same(told):
    _, outs = told
    lines = {units: part(out, "WOOD TO TAKE") for units, out in outs.items()}
    assert lines["si"][2] == lines["us"][2]  # pieces
    kg, lb = (float(lines[units][4].split()[1]) for units in ("si", "us"))
    assert kg / 0.45359237 == pytest.approx(lb, abs=0.2)
    m3, ft3 = (float(lines[units][5].split()[2]) for units in ("si", "us"))
    assert m3 / 0.3048**3 == pytest.approx(ft3, rel=0.1)  # the one has a figure fewer
    assert lines["si"][6].split()[1] == lines["us"][6].split()[1]  # ways


def part(out: str, title: str) -> list[str]:
    return out[out.index(title) :].splitlines()


@pytest.mark.compiled
def test_the_nights_of_the_table_add_up(told):
    path, outs = told
    rows = " ".join(part(outs["si"], "NIGHT BY NIGHT"))
    nights, total = rows[: rows.index("in all")], rows[rows.index("in all") : rows.index("low, wind")]
    wood = load(path).wood
    for name in wood.pieces:
        counts = [int(it) for it in re.findall(rf"(\d+) {name}", nights)]
        assert len(counts) == 3
        assert [sum(counts)] == [int(it) for it in re.findall(rf"(\d+) {name}", total)]
    take = part(outs["si"], "WOOD TO TAKE")[2]
    counts = {name: int(re.search(rf"(\d+) {name}", take)[1]) for name in wood.pieces}
    assert f"{Pile(counts, wood).mass:.1f} kg as carried" in outs["si"]


@pytest.mark.compiled
def test_a_night_that_is_not_as_wished_says_so(told):
    _, outs = told
    assert "* 2031-02-02 is not as wished: the cot gets colder than asked" in " ".join(outs["si"].split())


@pytest.mark.compiled
def test_no_margin_is_praised_where_a_colder_night_burns_no_more(tmp_path, capsys):
    assert main(["wood", str(camp(tmp_path, TEXT.replace(RULE, ""))), *QUICK]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "says nothing of what a night as warm would take" in out
    assert "covers that" not in out
    assert "burn the same whatever the weather" in out


@pytest.mark.compiled
def test_it_writes_a_picture_of_its_scenario(told):
    path, _ = told
    assert frame.scenario_of(path.with_name("camp.wood.png")) == load(path).name
    assert sorted(it.name for it in path.parent.iterdir()) == [
        "camp.toml",
        "camp.wood.html",
        "camp.wood.png",
    ]


@pytest.mark.slow
def test_with_plans(tmp_path, capsys):
    nights = '\n[[trip]]\nevening = "2031-02-01"\n'
    text = TEXT.replace(NIGHTS, nights).replace('end     = "07:15"', 'end     = "03:15"')
    path = camp(tmp_path, text.replace('rise = "07:00"', 'rise = "03:00"').replace("06:30", "02:30"))
    assert main(["wood", str(path), "--quiet", "--set", "model.layers=5"]) == 0
    out = capsys.readouterr().out
    assert "NIGHT BY NIGHT, by a stoking plan for each" in out
    assert "2031-02-01, the coldest night, with air 2.0 K colder" in " ".join(out.split())


REFUSED = {
    "trip": (NIGHTS, "", "trip", "no trip"),
    "upside down": ('low = "-24 degC"', 'low = "-4 degC"', "trip[2].low", "low is above the high"),
    "twice": ('evening = "2031-02-03"', 'evening = "2031-02-02"', "trip[3].evening", "twice"),
    "sled": ('sled_load = "25 kg"', 'sled_load = "500 g"', "carry.sled_load", "not one of the heaviest"),
    "wish": ('cot_at_least = "5 degC"', "", "wish.cot_at_least", "a plan needs this wish"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_one_message_and_nothing_else(tmp_path, capsys, name):
    old, new, key, words = REFUSED[name]
    assert old in TEXT
    refused(["wood", str(camp(tmp_path, TEXT.replace(old, new)))], capsys, key, words)
    assert [it.name for it in tmp_path.iterdir()] == ["camp.toml"]


def refused(arguments, capsys, key, words):
    assert main(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    (line,) = told.err.splitlines()
    assert key in line and words in line


def test_no_wood_section(tmp_path, capsys):
    start, end = TEXT.index("[wood]"), TEXT.index("[crew]")
    path = camp(tmp_path, TEXT[:start] + TEXT[end:])
    refused(["wood", str(path)], capsys, "wood", "a stove without wood")


def test_a_shelter_with_a_known_heat_and_a_stove_in_the_open(tmp_path, capsys):
    out = ["--out", str(tmp_path)]
    refused(["wood", "scenarios/larch_bench.toml", *out], capsys, "heat", "heated by [heat]")
    refused(["wood", "scenarios/yard_burn.toml", *out], capsys, "shelter", "warms no night")


def test_a_wish_is_not_needed_as_stoked(tmp_path):
    from simtent.supply.supplied import faults_of  # noqa: PLC0415

    assert faults_of(load(camp(tmp_path, TEXT.replace('cot_at_least = "5 degC"', "")))) == []


def test_what_another_wrote_is_left_alone(tmp_path, capsys):
    path = camp(tmp_path)
    other = tmp_path / "camp.wood.png"
    other.write_bytes(b"mine")
    refused(["wood", str(path), "--as-stoked"], capsys, "camp.wood.png", "is in the way")
    assert other.read_bytes() == b"mine"

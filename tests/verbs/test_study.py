"""The verb study: what it prints and writes, refuses and survives."""

import csv
import random
import re
import sys
import time
from pathlib import Path

import numpy as np
import pytest

import simtent
from simtent.cli import INTERRUPTED, main
from simtent.studies import batch
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from simtent.tell.page import frame as page_frame
from tests.studies.folders import contents
from tests.studies.processes import chunks, group_is_gone, interrupt, run, running, wait_for_chunks
from tests.surveys.files import CAMP, written
from tests.surveys.here import solved_here  # noqa: F401  (a fixture)
from tests.tell.pages import by_id, read

ROOT = Path(__file__).parents[2]
VERB = "tests.surveys.run_verb"
GRID = """
[factors]
model.walls = [0.8, 1.0, 1.25]
outdoors.shift = { from = "-9 degF", to = "9 degF", steps = 2 }
"""
OUTPUTS = 'outputs = ["lowest_in_bed at cot", "mean level_temperature at floor"]'


@pytest.fixture
def formula(monkeypatch, in_this_process):
    """Nights follow from a formula, and are solved in this process."""
    monkeypatch.setattr(batch, "ONE_NIGHT", "tests.surveys.formulas:levels")
    return monkeypatch


def told(arguments, capsys, code=0):
    assert main(["study", *map(str, arguments)]) == code
    return capsys.readouterr()


def test_what_it_prints_and_writes(tmp_path, capsys, formula):
    path = written(tmp_path, GRID, more=OUTPUTS)
    out, err = told([path, "--csv", "--quiet"], capsys)
    assert out.startswith(TITLE) and err == ""
    lines = out[out.index("Study sweep") :].splitlines()
    assert all(len(line) <= 80 for line in out.splitlines())
    head = " ".join(lines[:2])
    assert "6 nights, 6 solved, 0 failed; 2 factors by grid" in head and "Invented scenario" in head
    place = lines.index("lowest_in_bed at cot [degF]")
    rows = [line.split() for line in lines[place + 2 : place + 7]]
    assert rows[0] == ["outdoors.shift", "-9", "degF", "3", "30.3", "28.8", "32.0"]
    assert rows[2][:2] == ["model.walls", "0.8"] and rows[4][0] == "1.25"
    lowest = 4.0 / np.array([0.8, 1.0, 1.25]) - 5.0
    assert float(rows[0][4]) == pytest.approx(lowest.mean() * 1.8 + 32.0, abs=0.051)
    assert "ask simtent night for what could hurt" in " ".join(lines)
    assert sorted(it.name for it in tmp_path.iterdir()) == [
        "sweep.study", "sweep.study.csv", "sweep.study.png", "sweep.toml",
    ]  # fmt: skip
    assert frame.scenario_of(tmp_path / "sweep.study.png") == "Larch bench"
    table = list(csv.DictReader((tmp_path / "sweep.study.csv").read_text().splitlines()))
    assert [row["case"] for row in table] == list("012345")
    assert table[3]["model.walls"] == "1.0" and table[3]["outdoors.shift"] == "5.0 K"
    assert float(table[3]["lowest_in_bed at cot [degC]"]) == 9.0 and table[3]["state"] == "solved"
    again, _ = told([path, "--csv", "--quiet", "--units", "si"], capsys)
    assert "lowest_in_bed at cot [degC]" in again and "5 K" in again


@pytest.mark.parametrize("method", ["morris", "saltelli"])
def test_what_matters_most(tmp_path, capsys, formula, method):
    text = GRID.replace("[0.8, 1.0, 1.25]", '"spread"') + 'site.ground = ["packed snow", "forest floor"]'
    out, _ = told([written(tmp_path, text, method=method, more="cases = 60")], capsys)
    lines = out[out.index("lowest_in_bed at cot") :].splitlines()
    assert all(len(line) <= 80 for line in lines)
    begin = next(n for n, line in enumerate(lines) if line.startswith("factor ")) + 1
    assert [line.split()[0] for line in lines[begin : begin + 3]] == [
        "outdoors.shift",
        "model.walls",
        "site.ground",
    ]
    assert lines[begin + 2].split()[1:3] == (["0.0", "0.0"] if method == "morris" else ["0", "%"])
    shares = re.findall(r"(-?\d+) % \+- \d+", lines[begin])
    if method == "saltelli":
        assert all(75 <= int(share) <= 110 for share in shares)
    else:
        assert lines[begin].split()[1] == "18.0"
    assert (tmp_path / "sweep.study.png").stat().st_size > 20_000


def test_its_page_stands_beside_its_picture_and_table(tmp_path, capsys, formula):
    path = written(tmp_path, GRID, more=OUTPUTS)
    out, _ = told([path, "--csv", "--page", "--quiet"], capsys)
    page = tmp_path / "sweep.study.html"
    assert page_frame.scenario_of(page) == "Larch bench"
    document = read(page.read_bytes())
    assert by_id(document, "survey-text").exact == path.read_text()
    rows = [row.text for row in by_id(document, "output1").every("tr")]
    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert any(line.endswith(" 4 30.3 28.8 32.0") or line.endswith(" 3 30.3 28.8 32.0") for line in lines)
    assert any(row.endswith("3 30.3 28.8 32.0") for row in rows)
    page.write_text("mine")
    assert "is in the way" in told([path, "--page"], capsys, 2).err and page.read_text() == "mine"


def test_how_many_is_said_first_and_how_long(tmp_path, capsys, formula):
    formula.setattr("simtent.studies.progress.SHORTEST", 0.0)
    _, err = told([written(tmp_path, GRID, method="sobol", more="cases = 128")], capsys)
    err = " ".join(err.split())
    assert err.startswith("128 nights of Larch bench: 2 factors, by sobol")
    assert re.search(r"At this pace the \d+ nights that are left take some [\d.]+ s\.", err)
    assert err.index("128 nights of") < err.index("At this pace") < err.index("128/128 nights")
    assert "Wrote" in err and "sweep.study.png" in err


def test_failed_nights_are_told_and_tried_again(tmp_path, capsys, monkeypatch, in_this_process):
    monkeypatch.setattr(batch, "ONE_NIGHT", "tests.surveys.formulas:third_fails")
    monkeypatch.setenv("MARK", str(tmp_path / "mark"))
    path = written(tmp_path, GRID)
    out, _ = told([path, "--csv"], capsys)
    text = " ".join(out.split())
    assert "6 nights, 4 solved, 2 failed" in text
    assert "Case 4 failed (model.walls 1.25, outdoors.shift -5.0 K): the solver gave up at 3.2 h" in text
    assert "--retry-failed tries them once more" in text
    assert "failed,the solver gave up at 3.2 h" in (tmp_path / "sweep.study.csv").read_text()
    (tmp_path / "mark").touch()
    out, _ = told([path], capsys)
    assert "2 failed" in out
    out, _ = told([path, "--retry-failed"], capsys)
    assert "6 nights, 6 solved, 0 failed" in " ".join(out.split())


def test_where_all_fail_there_is_no_answer(tmp_path, capsys, monkeypatch, in_this_process):
    monkeypatch.setattr(batch, "ONE_NIGHT", "tests.surveys.formulas:third_fails")
    monkeypatch.setenv("MARK", str(tmp_path / "mark"))
    _, err = told([written(tmp_path, "[factors]\nmodel.walls = [1.2, 1.5]"), "--quiet"], capsys, code=1)
    assert "All nights failed, the first for this reason: the solver gave up at 3.2 h" in err
    assert not (tmp_path / "sweep.study.png").exists()


def refused(arguments, capsys):
    out, err = told(arguments, capsys, code=2)
    assert out == "" and "Traceback" not in err
    return err.splitlines()


def test_bad_input_writes_nothing(tmp_path, capsys):
    path = written(tmp_path, "[factors]\nmodel.wals = [1.2]")
    (line,) = refused([path], capsys)
    assert f"{path}, line 6, factors.model.wals" in line and "Is walls meant?" in line
    many = "\n".join(
        f"{key} = {{ from = 0.5, to = 1.5, steps = 100 }}"
        for key in ("model.walls", "model.mixing", "model.heat")
    )
    (line,) = refused([written(tmp_path, f"[factors]\n{many}")], capsys)
    assert "1,000,000 cases" in line and "--yes" in line
    (line,) = refused([written(tmp_path, GRID), "--out", tmp_path / "nowhere"], capsys)
    assert "nowhere" in line and "--out" in line
    assert [it.name for it in tmp_path.iterdir()] == ["sweep.toml"]


def test_files_of_others_are_left_alone(tmp_path, capsys, formula):
    path = written(tmp_path, GRID)
    for name in ("sweep.study.png", "sweep.study.csv"):
        (tmp_path / name).write_text("mine")
    assert len(refused([path, "--csv"], capsys)) == 2
    (tmp_path / "sweep.study.png").unlink()
    told([path], capsys)
    assert (tmp_path / "sweep.study.csv").read_text() == "mine"
    before = contents(tmp_path / "sweep.study")
    written(tmp_path, GRID.replace("1.25", "1.5"))
    _, err = told([path], capsys, code=2)
    assert "the study in this folder is another one" in err and "1.25" in err
    assert contents(tmp_path / "sweep.study") == before


def test_an_output_that_no_night_has_costs_no_night(tmp_path, capsys, formula):
    path = written(tmp_path, GRID, more='outputs = ["lowest_in_bed at bed"]')
    _, err = told([path], capsys, code=2)
    assert "there is no such level" in err and "Allowed: head, waist, cot, floor" in err
    assert not (tmp_path / "sweep.study").exists()


def test_other_outputs_of_what_was_kept_are_no_other_study(tmp_path, capsys, formula):
    path = written(tmp_path, GRID, more='outputs = ["lowest_in_bed at floor"]')
    told([path], capsys)
    before = {it.name: it.stat().st_mtime_ns for it in (tmp_path / "sweep.study").glob("chunk*")}
    assert before
    written(tmp_path, GRID, more='outputs = ["lowest_in_bed at cot"]')
    told([path], capsys)
    assert {it.name: it.stat().st_mtime_ns for it in (tmp_path / "sweep.study").glob("chunk*")} == before


def test_a_cluster_that_does_not_answer(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("simtent.studies.cluster.CONNECT", 0.5)
    path = written(tmp_path, GRID)
    _, err = told([path, "--cluster", "tcp://127.0.0.1:9", "--quiet"], capsys, code=2)
    assert "no cluster answers at this address within 0.5 s" in err and "dask scheduler" in err
    assert [it.name for it in tmp_path.iterdir()] == ["sweep.toml"]


@pytest.mark.skipif(sys.platform == "win32", reason="signals of other systems")
@pytest.mark.slow
def test_killed_and_run_again_it_ends_as_if_it_had_not_been(tmp_path, capsys, formula):
    formula.setattr(batch, "ONE_NIGHT", "tests.surveys.formulas:slow_levels")
    path = written(tmp_path, GRID, method="latin hypercube", more="cases = 60\nseed = 3")
    for name in ("whole", "killed"):
        (tmp_path / name).mkdir()
    told([path, "--quiet", "--out", tmp_path / "whole"], capsys)
    arguments = ("slow_levels", "study", path, "--quiet", "--workers", 1, "--out", tmp_path / "killed")
    folder, dice = tmp_path / "killed" / "sweep.study", random.Random(8)
    for _ in range(3):
        count = len(chunks(folder)) + dice.randint(1, 8)
        with running(*arguments, module=VERB) as process:
            if wait_for_chunks(folder, count, process):
                time.sleep(dice.uniform(0.0, 0.1))
                process.kill()
            process.communicate()
            assert group_is_gone(process)
    code, out, err = run(*arguments, module=VERB)
    assert code == 0, err
    assert contents(folder) == contents(tmp_path / "whole" / "sweep.study")
    assert "60 nights, 60 solved" in " ".join(out.split())


@pytest.mark.skipif(sys.platform == "win32", reason="signals of other systems")
def test_ctrl_c_says_how_to_go_on(tmp_path):
    text = '[factors]\noutdoors.shift = { from = "0 K", to = "-19 K", steps = 20 }'
    with running("endless", "study", written(tmp_path, text), "--workers", 1, module=VERB) as process:
        assert wait_for_chunks(tmp_path / "sweep.study", 8, process)
        interrupt(process)
        _, err = process.communicate(timeout=60)
        assert group_is_gone(process)
    text = " ".join(err.split())
    assert process.returncode == INTERRUPTED and "Traceback" not in err
    assert re.search(r"\d+ of 20 nights are kept in .*the same command goes on from there", text)
    assert sorted(it.name for it in tmp_path.iterdir()) == ["sweep.study", "sweep.toml"]


@pytest.mark.slow
@pytest.mark.compiled
def test_real_nights(tmp_path, capsys):
    """Few layers, two walls and two nights: thicker losses and a colder night make a colder cot."""
    text = """
[fixed]
model.layers = 6
[factors]
model.walls = [0.8, 1.2]
[[nights]]
low = "-10 degF"
[[nights]]
low = "5 degF"
"""
    out, _ = told([written(tmp_path, text), "--quiet"], capsys)
    assert "4 nights, 4 solved" in " ".join(out.split())
    values = (
        simtent.open_study(tmp_path / "sweep.study")["lowest_in_bed"].sel(level="cot").values.reshape(2, 2)
    )
    assert (values[0] > values[1]).all() and (values[:, 1] > values[:, 0]).all()
    assert CAMP.name == "larch_bench.toml"


def test_its_picture_from_python(tmp_path, capsys, formula):
    told([written(tmp_path, GRID), "--quiet"], capsys)
    scenario = simtent.load("scenarios/larch_bench.toml")
    solved = simtent.open_study(tmp_path / "sweep.study")
    picture = simtent.pictures.study(scenario, solved, ["lowest_in_bed at cot"])
    assert any("lowest_in_bed at cot" in text.get_text() for text in picture.texts)

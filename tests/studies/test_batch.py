"""Studies of cheap nights: what is kept, joined, refused; what becomes of nights that fail."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import simtent
from simtent import cli
from simtent.errors import InputError, SimtentError, StudyError
from simtent.scenario.load import load
from simtent.studies import batch, chunk, manifest, store, worker
from simtent.studies.alone import alone
from simtent.studies.cases import cases_of
from simtent.studies.wanted import USUAL, check_wanted
from tests.studies import cheap
from tests.studies.folders import contents

COUNT, CHUNK = 23, 5


def solve(folder, variations, night=cheap.formula, **more):
    return simtent.study(cheap.base(), folder, variations, night=night, quiet=True, **{"chunk": CHUNK} | more)


@pytest.fixture(scope="module")
def solved(tmp_path_factory):
    """A study that nothing disturbed: its folder, and the nights as the formula gives them, one by one."""
    folder = tmp_path_factory.mktemp("study") / "made" / "here"
    solve(folder, cheap.shifts(COUNT), workers=2)
    nights = [cheap.formula(cheap.base().replace(v), USUAL) for v in cheap.shifts(COUNT)]
    return folder, nights


def test_values_are_those_of_the_nights(solved):
    folder, nights = solved
    dataset = simtent.open_study(folder)
    assert dataset["level_temperature"].dims == ("case", "elapsed", "level")
    assert dataset["level_temperature"].attrs["units"] == "degC"
    assert (dataset["state"] == "solved").all() and (dataset["reason"] == "").all()
    assert dataset.attrs["solved"] == COUNT and dataset.attrs["waiting"] == 0
    for name in ("level_temperature", "outdoor_temperature", "lowest_temperature", "heat_given"):
        expected = np.array([values[name] for values, _ in nights]).astype(np.float32)
        assert dataset[name].dtype == np.float32
        assert np.array_equal(dataset[name].values, expected), name
    assert dataset["changes"].values[7] == 'outdoors.shift = "-0.07 degC"'


def test_moments_are_the_begin_and_what_elapsed(solved):
    dataset = simtent.open_study(solved[0])
    night = cheap.base().night
    moments = dataset["begin"] + dataset["elapsed"]
    begin = np.datetime64(night.begin_utc.replace(tzinfo=None), "ns")
    assert (moments[:, 0] == begin).all()
    assert (moments[:, -1] == begin + np.timedelta64(int(night.seconds), "s")).all()


KEYS = [
    {"case": 3},
    {"case": -1, "elapsed": 2},
    {"case": slice(4, 17, 3)},
    {"case": slice(None, None, -2), "level": 1},
    {"case": [19, 0, 7, 7]},
    {"case": [2, 11], "elapsed": [5, 1], "level": slice(0, 2)},
    {"case": slice(5, 5)},
    {"elapsed": slice(3, None)},
]


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_any_part_can_be_asked_for(solved, key):
    lazy, whole = simtent.open_study(solved[0]), simtent.open_study(solved[0]).load()
    assert lazy["level_temperature"].isel(key).identical(whole["level_temperature"].isel(key))


def test_files_are_read_only_where_a_key_touches_them(solved, monkeypatch):
    dataset = simtent.open_study(solved[0])
    read = []
    opened = store._opened
    monkeypatch.setattr(store, "_opened", lambda path: read.append(path.name) or opened(path))
    warm = dataset["level_temperature"].sel(level="cot")
    assert read == [], "nothing is read before it is used"
    warm.isel(case=slice(6, 9)).load()
    assert read == ["chunk-000001.nc"]


def test_bytes_do_not_depend_on_the_workers(solved, tmp_path):
    solve(tmp_path / "alone", cheap.shifts(COUNT), workers=1)
    assert contents(tmp_path / "alone") == contents(solved[0])
    assert sorted(contents(solved[0])) == [".lock", *(f"chunk-00000{n}.nc" for n in range(5)), "study.json"]


def test_a_chunk_made_in_this_process_is_the_same(solved, tmp_path):
    study = manifest.read(solved[0])
    setup = worker.Setup(tmp_path, study.digest, cheap.base(), study.night, USUAL, "float32")
    task = worker.Task(1, 5, tuple(cheap.shifts(COUNT)[5:10]), {})
    said = list(worker.work(setup, task))
    ended = [(worker.Begun(n), worker.Ended(n, False)) for n in range(5, 10)]
    assert said == [*(word for pair in ended for word in pair), worker.Kept(1)]
    assert (tmp_path / "chunk-000001.nc").read_bytes() == contents(solved[0])["chunk-000001.nc"]


def test_a_solved_study_is_not_solved_again(solved):
    before = {path: path.stat().st_mtime_ns for path in solved[0].iterdir() if path.name != ".lock"}
    solve(solved[0], cheap.shifts(COUNT))
    assert {path: path.stat().st_mtime_ns for path in before} == before


def test_a_missing_file_is_told_and_solved_again(solved, tmp_path):
    folder = tmp_path / "study"
    folder.mkdir()
    for name, data in contents(solved[0]).items():
        (folder / name).write_bytes(data)
    (folder / "chunk-000002.nc").unlink()
    dataset = simtent.open_study(folder)
    assert dataset["case"][dataset["state"] == "waiting"].values.tolist() == [10, 11, 12, 13, 14]
    assert np.isnan(dataset["level_temperature"][10:15]).all()
    assert not np.isnan(dataset["level_temperature"][9]).any()
    assert np.isnat(dataset["begin"].values[12])
    solve(folder, cheap.shifts(COUNT), workers=1)
    assert contents(folder) == contents(solved[0])


def test_damaged_and_foreign_files_are_refused_by_name(solved, tmp_path):
    folder = tmp_path / "study"
    folder.mkdir()
    for name, data in contents(solved[0]).items():
        (folder / name).write_bytes(data)
    damaged = folder / "chunk-000001.nc"
    damaged.write_bytes(damaged.read_bytes()[:3000])
    with pytest.raises(StudyError, match=r"chunk-000001\.nc cannot be read.*Remove this file"):
        simtent.open_study(folder)
    damaged.write_bytes((solved[0] / "chunk-000001.nc").read_bytes())
    told = folder / "study.json"
    told.write_text(told.read_text().replace("-0.07", "-0.08"))
    with pytest.raises(StudyError, match=r"chunk-000000\.nc belongs to another study"):
        simtent.open_study(folder)
    told.write_text("{")
    with pytest.raises(StudyError, match=r"study\.json is damaged"):
        simtent.open_study(folder)


def test_half_a_study_and_one_of_another_format(solved, tmp_path):
    chunk, told = tmp_path / "chunk-000000.nc", tmp_path / "study.json"
    chunk.write_bytes(contents(solved[0])["chunk-000000.nc"])
    with pytest.raises(StudyError, match=r"holds nights of a study, but its study\.json is missing"):
        simtent.open_study(tmp_path)
    text = contents(solved[0])["study.json"].decode()
    for old, new, words in (
        (
            '"format": 3',
            '"format": 7',
            r"has format 7, and .* reads 3.*version that wrote it .simtent 0\.1\.0",
        ),
        ('"chunk": 5', '"chunk": 0', "is damaged .its nights cannot be counted"),
        ('"heat_given"', '"warmth"', "is damaged .unknown variable 'warmth'"),
        ('"precision"', '"precise"', "is damaged"),
        ('"float32"', '"float8"', "is damaged .unknown precision"),
        (text, "[]", "is damaged"),
        (text, "{}", "is damaged"),
        (text, "3", "is damaged"),
    ):
        assert old in text
        told.write_text(text.replace(old, new))
        with pytest.raises(InputError if "format" in words else StudyError, match=words) as error:
            simtent.open_study(tmp_path)
        assert "\n" not in str(error.value)
    told.write_text(text)
    assert simtent.open_study(tmp_path).attrs["waiting"] == COUNT - CHUNK
    chunk.write_bytes(b"")
    with pytest.raises(StudyError, match=r"chunk-000000\.nc cannot be read"):
        simtent.open_study(tmp_path)


def test_failed_nights_are_tried_again_and_only_those(tmp_path, monkeypatch):
    mark, folder, again = tmp_path / "mark", tmp_path / "study", {"retry_failed": True}
    monkeypatch.setenv("MARK", str(mark))
    variations = [*cheap.shifts(12), {"model.walls": "thick"}]
    # Nights of two lengths in a chunk: what a shorter one does not have is not made up.
    variations[6] |= {"night.end": "08:40"}
    solve(folder, variations, cheap.fail_at_first)
    first = contents(folder)
    solve(folder, variations, cheap.fail_at_first, **again)
    assert contents(folder) == first, "they fail again, for the same reason"
    mark.touch()
    solve(folder, variations, cheap.fail_at_first)
    assert contents(folder) == first, "not tried again unless that is asked for"
    solved = []
    work = worker.answer
    monkeypatch.setattr(batch, "solve_all", lambda setup, tasks, *_, **__: here(setup, tasks))
    monkeypatch.setattr(worker, "answer", lambda item, *rest: solved.append(item) or work(item, *rest))
    dataset = solve(folder, variations, cheap.fail_at_first, **again)
    assert solved == [variations[0], variations[4], variations[7], variations[12]]
    assert dataset["case"][dataset["state"] == "failed"].values.tolist() == [12]
    solve(tmp_path / "undisturbed", variations, cheap.fail_at_first)
    assert contents(folder) == contents(tmp_path / "undisturbed")


def here(setup, tasks):
    """The work of all workers in this process."""
    for task in tasks:
        yield from worker.work(setup, task)


def test_a_night_that_fails_is_kept_with_its_reason(tmp_path):
    dataset = solve(tmp_path, [*cheap.shifts(11), {"model.walls": "thick"}], cheap.some_fail)
    state = dataset["state"].values.tolist()
    assert [n for n, word in enumerate(state) if word == "failed"] == [1, 2, 4, 7, 9, 10, 11]
    assert dataset["reason"].values[1] == "the solver gave up at 3.2 h"
    assert dataset["reason"].values[2] == "ValueError: lowest_temperature holds numbers that are not finite"
    assert "model.walls" in dataset["reason"].values[11], "a variation that is none"
    found = np.isnan(dataset["level_temperature"].values).all(axis=(1, 2))
    assert found.tolist() == [word == "failed" for word in state]


@pytest.mark.slow
def test_a_night_that_kills_its_process_is_given_up(tmp_path):
    dataset = solve(tmp_path, cheap.shifts(9), cheap.deadly, workers=2)
    assert dataset["case"][dataset["state"] == "failed"].values.tolist() == [5]
    assert dataset["reason"].values[5].startswith("the process that solved it died 2 times (signal 9")


def test_a_process_that_is_killed_costs_nothing(tmp_path, monkeypatch):
    monkeypatch.setenv("MARK", str(tmp_path / "mark"))
    dataset = solve(tmp_path / "study", cheap.shifts(9), cheap.deadly_once, workers=2)
    assert (tmp_path / "mark").exists()
    assert (dataset["state"] == "solved").all()


def test_what_a_night_prints_disturbs_nothing(tmp_path, capfd):
    dataset = solve(tmp_path, cheap.shifts(2), cheap.talkative)
    assert (dataset["state"] == "solved").all()
    assert capfd.readouterr() == ("", "")


def refused(folder, variations, **more):
    before = contents(folder) | {".lock": b""}
    base = more.pop("base", cheap.base())
    with pytest.raises(InputError) as told:
        simtent.study(base, folder, variations, night=cheap.formula, quiet=True, **{"chunk": CHUNK} | more)
    assert contents(folder) | {".lock": b""} == before
    return str(told.value)


def test_a_changed_scenario_is_refused_with_the_difference(solved):
    folder, given = solved[0], cheap.shifts(COUNT)
    text = refused(folder, given, base=cheap.base().replace("shelter.ridge", "2.9 m"))
    assert 'shelter.ridge: was "' in text and 'is "2.9 m"' in text and "1 difference" in text
    text = refused(folder, [*given[:4], {"outdoors.shift": "1 degC", "model.walls": 2}, *given[5:]])
    assert 'case 4, outdoors.shift: was "-0.04 degC", is "1 degC"' in text
    assert "case 4, model.walls: was not there, is 2" in text
    assert "number of cases: was 23, is 22" in refused(folder, given[:-1])
    text = refused(folder, cheap.shifts(COUNT + 100), chunk=6)
    assert "number of cases: was 23, is 123" in text and "xarray.concat" in text and "1 difference" in text
    assert "keep: was level_temperature, outdoor_temperature" in refused(folder, given, keep=["heat_flow"])
    assert "precision: was float32, is float64" in refused(folder, given, precision="float64")
    assert "chunk: was 5, is 6" in refused(folder, given, chunk=6)
    text = refused(folder, [{"outdoors.shift": "9 degC"}] * COUNT)
    assert "23 differences" in text and "and 11 more" in text


def test_another_version_is_refused(solved, monkeypatch):
    changed = replace(batch.manifests.read(solved[0]), versions={"simtent": "0.0"})
    monkeypatch.setattr(batch.manifests, "manifest_of", lambda *_: changed)
    text = refused(solved[0], cheap.shifts(COUNT))
    assert "version of simtent: was 0.1.0, is 0.0" in text


def test_another_solver_or_accuracy_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(
        batch, "solve_all", lambda *_, **__: (said for said in ())
    )  # only the manifest counts
    simtent.study(cheap.base(), tmp_path, cheap.shifts(2), quiet=True)
    with pytest.raises(
        InputError, match=r"night: was simtent\.studies\.night:one_night, is tests\.studies\.cheap:formula"
    ):
        simtent.study(cheap.base(), tmp_path, cheap.shifts(2), quiet=True, night=cheap.formula)
    before = batch.ITS_ACCURACY
    monkeypatch.setattr(batch, "ITS_ACCURACY", "another")
    with pytest.raises(InputError, match=f"accuracy: was {before}, is another"):
        simtent.study(cheap.base(), tmp_path, cheap.shifts(2), quiet=True)


def test_a_changed_weather_file_is_a_changed_scenario(tmp_path):
    weather = tmp_path / "weather.csv"
    told = []
    for air in (-5, -6):
        weather.write_text(f"time,air [degC]\n2031-02-14 12:00,{air}\n2031-02-15 12:00,{air}\n")
        (changes,) = cases_of(cheap.base(), [{"outdoors.file.path": str(weather)}]).changes()
        told.append(changes["outdoors.file.path"].split(" sha256:"))
    assert told[0][0] == told[1][0] and told[0][1] != told[1][1]


def test_other_folders_are_refused(tmp_path):
    (tmp_path / "letter.txt").write_text("kept")
    assert "holds other files, letter.txt for one" in refused(tmp_path, cheap.shifts(2))
    with pytest.raises(StudyError, match=f"There is no study in {tmp_path}"):
        simtent.open_study(tmp_path)
    with pytest.raises(StudyError, match="There is no study in"):
        simtent.open_study(tmp_path / "letter.txt")
    with pytest.raises(StudyError, match="There is no study in"):
        simtent.open_study(tmp_path / "nowhere")
    for folder in (tmp_path / "letter.txt" / "study", tmp_path / "letter.txt"):
        with pytest.raises(InputError, match=f"{folder}: a file is in the way of the folder"):
            solve(folder, cheap.shifts(2))


def test_one_name_to_keep_and_a_file_for_a_scenario(tmp_path):
    assert check_wanted("heat_given", "float32") == ("heat_given",)
    for variations in (None, [{}]):
        with pytest.raises(TypeError, match="a study takes scenarios"):
            simtent.study("camp.toml", tmp_path, variations)


@pytest.mark.parametrize(
    ("keep", "asked"), [(USUAL, ("whole_night",)), (("heat_given", "layer_flow"), ("whole_night", "observe"))]
)
def test_what_still_has_to_be_compiled_is_asked_of_what_is_used(monkeypatch, tmp_path, keep, asked):
    """A study that keeps what is usual calls no kernel that reads a night: it would be told as missing for ever."""
    said = []
    monkeypatch.setattr(batch.compiled, "cold", lambda *kernels: said.extend(kernels))
    solve(tmp_path, cheap.shifts(1), keep=keep, workers=1)
    assert [kernel.partition(".")[2] for kernel in said] == list(asked)


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="a folder in which nobody may write")
def test_a_folder_that_cannot_be_written():
    with pytest.raises(InputError, match=r"/proc/self: the folder cannot be written.*Choose a folder"):
        solve("/proc/self", cheap.shifts(2))


def test_what_a_killed_process_left_half_written_is_swept_away(solved, tmp_path):
    folder = tmp_path / "study"
    folder.mkdir()
    for name, data in contents(solved[0]).items():
        (folder / name).write_bytes(data)
    (folder / ".chunk-000002.nc.4711.part").write_bytes(b"half")
    solve(folder, cheap.shifts(COUNT))
    assert contents(folder) == contents(solved[0])


def test_one_process_at_a_time(solved):
    with alone(solved[0]), pytest.raises(InputError, match="another process is at work in this folder"):
        solve(solved[0], cheap.shifts(COUNT))
    solve(solved[0], cheap.shifts(COUNT))


@pytest.mark.parametrize("chunk", [1, 2, 3])
def test_scenarios_of_ones_own_and_nights_of_other_lengths(tmp_path, chunk):
    """Joined in a file, and between files."""
    first = cheap.base()
    longer = first.replace({"night.end": "12:00", "name": "Longer"})
    later = first.replace("night.evening", "2031-02-20")
    several = [first, longer, later]
    dataset = simtent.study(several, tmp_path, night=cheap.formula, chunk=chunk, workers=1, quiet=True)
    assert dataset["changes"].values.tolist() == [
        "",
        'name = "Longer", night.end = "12:00"',
        'night.evening = "2031-02-20"',
    ]
    there = np.isfinite(dataset["level_temperature"].sel(level="cot")).sum("elapsed").values
    assert there.tolist() == [int(s.night.seconds / cheap.STEP) + 1 for s in several] == [15, 19, 15]
    six = dataset["level_temperature"].sel(elapsed="6h", level="head").values
    expected = [cheap.formula(s, ["level_temperature"])[0]["level_temperature"][6, 0] for s in several]
    assert np.array_equal(six, np.float32(expected))
    assert dataset["begin"].values[2] - dataset["begin"].values[0] == np.timedelta64(6, "D")


def test_levels_of_other_names_are_joined(tmp_path):
    first, other = cheap.base(), cheap.base().replace("name", "Other")
    dataset = simtent.study([first, other], tmp_path, night=cheap.named_levels, workers=1, quiet=True)
    assert dataset["level"].values.tolist() == ["head", "cot", "floor", "loft"]
    expected = np.array([[1.0, 2.0, 3.0, np.nan], [5.0, np.nan, 6.0, 4.0]])
    assert np.array_equal(dataset["lowest_temperature"].values, expected, equal_nan=True)


@pytest.mark.parametrize("name", ["event_what", "level_temperature_low", "finding_what", "time", "warmth"])
def test_what_cannot_be_kept_is_refused(tmp_path, name):
    with pytest.raises(InputError, match=f'a study cannot keep "{name}"'):
        solve(tmp_path / "never", cheap.shifts(1), keep=[name])
    assert not (tmp_path / "never").exists()


def test_bad_arguments(tmp_path):
    base = cheap.base()
    with pytest.raises(InputError, match="a study without a night"):
        solve(tmp_path, [])
    with pytest.raises(InputError, match="a study without a night"):
        simtent.study([], tmp_path)
    with pytest.raises(TypeError, match="scenarios, as"):
        simtent.study([str(base.path)], tmp_path)
    with pytest.raises(TypeError, match="variations belong to one scenario"):
        simtent.study([base], tmp_path, [{}])
    with pytest.raises(TypeError, match="a variation is a mapping"):
        simtent.study(base, tmp_path, ["model.walls=2"])
    with pytest.raises(TypeError, match="at the top of a module"):
        solve(tmp_path, [{}], lambda _scenario, _wanted: ({}, {}))
    with pytest.raises(InputError, match="unknown precision"):
        solve(tmp_path, [{}], precision="float16")
    with pytest.raises(ValueError, match="at least one worker"):
        solve(tmp_path, [{}], workers=0)
    for number in ({"chunk": 2.5}, {"workers": 1.5}):
        with pytest.raises(TypeError, match="workers and nights in a chunk are whole numbers"):
            solve(tmp_path, [{}], **number)
    with pytest.raises(InputError, match="no dotted key"):
        solve(tmp_path, [{"model..walls": 2}])
    assert list(tmp_path.iterdir()) == []
    assert issubclass(StudyError, SimtentError) and load(base.path) == base


def test_workers_that_do_not_start_are_told(tmp_path, monkeypatch):
    monkeypatch.setattr("simtent.studies.pool.START", "raise SystemExit('no such library')")
    with pytest.raises(
        StudyError, match=r"(?s)does not start .exit code 1.*no such library.*0 of 3 nights are kept"
    ):
        solve(tmp_path, cheap.shifts(3))


def test_progress_goes_to_standard_error(tmp_path, capfd):
    simtent.study(cheap.base(), tmp_path, cheap.shifts(4), night=cheap.some_fail)
    out, err = capfd.readouterr()
    assert out == "" and "4/4 nights" in err and "2 failed" in err and "left" in err


def test_the_command_line_tells_it_without_a_traceback(monkeypatch, capsys):
    def full(_):
        raise StudyError("The folder cannot be written: No space left on device. 4 of 8 nights are kept.")

    monkeypatch.setattr(cli, "_run", full)
    assert cli.main(["night", "camp.toml"]) == cli.OURS
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and "4 of 8 nights are kept" in err


def test_a_file_read_back_and_completed_is_the_one_that_was_missed(tmp_path):
    """Labels come in the order of the cases, each with its own: what stands between them finds its place again."""
    names = ("lowest_temperature", "highest_temperature")
    nights = [
        chunk.Answer(
            chunk.SOLVED, "", n, {name: np.arange(float(len(levels))) + n for name in names[: 1 + n % 2]},
            {"level": np.array(levels, dtype=object)},
        )
        for n, levels in enumerate((["a"], ["b", "a"], ["c"], ["d", "b"]))
    ]  # fmt: skip
    whole = chunk.to_bytes(nights, 0, "x", "float32")
    for missed in range(len(nights)):
        some = [chunk.Answer(chunk.FAILED, "why") if n == missed else one for n, one in enumerate(nights)]
        (tmp_path / "some.nc").write_bytes(chunk.to_bytes(some, 0, "x", "float32"))
        again = chunk.kept_answers(tmp_path / "some.nc")
        assert (again[missed].state, again[missed].reason) == (chunk.FAILED, "why")
        again[missed] = nights[missed]
        assert chunk.to_bytes(again, 0, "x", "float32") == whole, missed

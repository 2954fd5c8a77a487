"""Studies that are killed, interrupted or starved, and go on: nothing is lost, and nothing of it shows in the end."""

import random
import sys
import time

import pytest

import simtent
from simtent.studies import batch, worker
from tests.studies import cheap
from tests.studies.folders import contents
from tests.studies.processes import chunks, group_is_gone, interrupt, run, running, wait_for_chunks

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals and limits of other systems")
COUNT, CHUNK = 24, 3


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("study") / "undisturbed"
    simtent.study(cheap.base(), folder, cheap.shifts(COUNT), night=cheap.slow, chunk=CHUNK, quiet=True)
    return contents(folder)


def killed_until_done(folder, arguments, moments):
    """Kill the study when so many more chunks are whole and a moment has passed, again and again; then let it end."""
    for more, pause in moments:
        before = chunks(folder)
        with running(folder, *arguments) as process:
            if wait_for_chunks(folder, len(before) + more, process):
                time.sleep(pause)
                process.kill()
            process.communicate()
            assert group_is_gone(process), "workers end with their parent"
        after = chunks(folder)
        assert {name: after.get(name) for name in before} == before, "what was whole is left alone"
    code, _, err = run(folder, *arguments)
    assert code == 0, err


@pytest.mark.slow
def test_killed_and_resumed_is_byte_identical(tmp_path, undisturbed):
    dice = random.Random(5)
    moments = [(dice.randint(0, 3), dice.uniform(0.0, 0.15)) for _ in range(2)]
    killed_until_done(tmp_path / "study", ("slow", COUNT, CHUNK), moments)
    assert contents(tmp_path / "study") == undisturbed


@pytest.mark.slow
def test_workers_end_with_their_parent_in_the_middle_of_a_night(tmp_path, monkeypatch):
    mark = tmp_path / "mark"
    monkeypatch.setenv("MARK", str(mark))
    with running(tmp_path / "study", "endless", 1, 1) as process:
        while not mark.exists():
            assert process.poll() is None
            time.sleep(0.01)
        process.kill()
        process.communicate()
        assert group_is_gone(process)


@pytest.mark.slow
def test_ctrl_c_says_what_is_kept_and_leaves_no_process(tmp_path, monkeypatch):
    """Three chunks are whole when both workers are in the middle of a fourth and a fifth, however fast the machine."""
    folder, mark = tmp_path / "study", tmp_path / "mark"
    monkeypatch.setenv("MARK", str(mark))
    with running(folder, "held_up", COUNT, CHUNK) as process:
        assert wait_for_chunks(folder, 3, process)
        interrupt(process)
        _, err = process.communicate(timeout=60)
        assert group_is_gone(process)
    assert len(chunks(folder)) == 3
    assert process.returncode != 0 and "KeyboardInterrupt" in err
    assert f"9 of {COUNT} nights are kept" in " ".join(err.split())
    assert not list(folder.glob(".*.part"))
    mark.touch()
    assert run(folder, "held_up", COUNT, CHUNK)[0] == 0
    assert run(tmp_path / "undisturbed", "held_up", COUNT, CHUNK)[0] == 0
    assert contents(folder) == contents(tmp_path / "undisturbed")


def test_what_is_told_is_what_stands_on_the_disk(tmp_path, monkeypatch):
    """A worker may end a chunk that nobody hears of any more: it counts."""

    def interrupted(setup, tasks, *_arguments, **_names):
        list(worker.work(setup, next(tasks)))
        raise KeyboardInterrupt
        yield

    told = []
    monkeypatch.setattr(batch, "solve_all", interrupted)
    monkeypatch.setattr("simtent.studies.progress.Quiet.tell", lambda _self, line: told.append(line))
    with pytest.raises(KeyboardInterrupt):
        simtent.study(cheap.base(), tmp_path, cheap.shifts(7), night=cheap.formula, chunk=CHUNK, quiet=True)
    assert told == [f"3 of 7 nights are kept in {tmp_path}; the same command goes on from there."]


@pytest.mark.slow
def test_a_full_disk_is_told_and_nothing_is_lost(tmp_path, undisturbed):
    """The system refuses to write files of more than 12,000 bytes: room for the manifest, not for a chunk."""
    folder = tmp_path / "study"
    assert len(undisturbed["study.json"]) < 12_000 < len(undisturbed["chunk-000000.nc"])
    code, _, err = run(folder, "slow", COUNT, CHUNK, 2, 12_000)
    assert code == 1 and "Traceback" not in err
    text = " ".join(err.split())
    assert "The folder cannot be written: File too large" in text
    assert f"0 of {COUNT} nights are kept" in text and "the same command goes on from there" in text
    assert sorted(contents(folder)) == [".lock", "study.json"]


def test_a_full_disk_at_the_begin(tmp_path):
    code, _, err = run(tmp_path / "study", "slow", COUNT, CHUNK, 2, 100)
    assert code == 1 and "the folder cannot be written: File too large" in " ".join(err.split())
    assert [path.name for path in (tmp_path / "study").iterdir()] == [".lock"]


@pytest.mark.slow
def test_real_nights_killed_ten_times(tmp_path):
    """Kill at ten random moments, in the middle of nights and of files; the study ends as if it had not been."""
    arguments = ("one_night", 24, 1)
    code, _, err = run(tmp_path / "undisturbed", *arguments)
    assert code == 0, err
    dice = random.Random()
    moments = [(dice.randint(0, 2), dice.uniform(0.0, 0.6)) for _ in range(10)]
    killed_until_done(tmp_path / "study", arguments, moments)
    assert contents(tmp_path / "study") == contents(tmp_path / "undisturbed"), moments


@pytest.mark.slow
def test_memory_does_not_grow_with_the_nights(tmp_path):
    """Peak of the parent and of its largest worker [MB], at 100 and at 2,000 nights."""
    peaks = []
    for count in (100, 2000):
        code, out, err = run(tmp_path / str(count), "formula", count, 10)
        assert code == 0, err
        peaks.append([float(word) for word in out.split()])
    (few_own, few_worker), (many_own, many_worker) = peaks
    assert many_own < few_own + 25.0, peaks
    assert many_worker < few_worker + 10.0, peaks

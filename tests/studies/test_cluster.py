"""Studies on a Dask cluster of separate processes: workers that die, versions that differ, nobody there."""

import logging
import os
import signal
import sys
import threading
import time

import pytest

import simtent
from simtent.errors import InputError, StudyError
from simtent.studies import cluster as clusters
from tests.studies import cheap
from tests.studies.folders import contents

distributed = pytest.importorskip("distributed")
pytestmark = [
    pytest.mark.filterwarnings("ignore"),  # of a library that ends its processes in its own way
    pytest.mark.skipif(sys.platform == "win32", reason="signals of other systems"),
]
COUNT, CHUNK = 24, 3


@pytest.fixture(scope="module")
def cluster():
    """A scheduler here and two worker processes, each of one thread."""
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    with distributed.LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        dashboard_address=None,
        silence_logs=logging.CRITICAL,
    ) as found:
        yield found


@pytest.fixture(scope="module")
def serial(tmp_path_factory):
    folder = tmp_path_factory.mktemp("study") / "serial"
    solve(folder, cheap.slow, workers=1)
    return contents(folder)


def solve(folder, night, count=COUNT, **how):
    return simtent.study(
        cheap.base(), folder, cheap.shifts(count), night=night, chunk=CHUNK, quiet=True, **how
    )


@pytest.mark.slow
def test_a_worker_killed_in_the_middle_costs_nothing(tmp_path, cluster, serial):
    pids = [worker.process.pid for worker in cluster.workers.values()]

    def kill():
        while not list(tmp_path.glob("study/chunk-*.nc")):
            time.sleep(0.005)
        os.kill(pids[0], signal.SIGKILL)

    killer = threading.Thread(target=kill)
    killer.start()
    dataset = solve(tmp_path / "study", cheap.slow, cluster=cluster.scheduler_address)
    killer.join()
    assert (dataset["state"] == "solved").all()
    assert contents(tmp_path / "study") == serial


@pytest.mark.slow
def test_what_a_cluster_began_this_machine_ends(tmp_path, cluster, serial, monkeypatch):
    """And the other way round: nothing tells which of them solved a chunk."""
    kept = clusters._kept

    def stopped(setup, task, found):
        if task.number == 3:
            raise KeyboardInterrupt
        yield from kept(setup, task, found)

    monkeypatch.setattr(clusters, "_kept", stopped)
    with pytest.raises(KeyboardInterrupt):
        solve(tmp_path / "study", cheap.slow, cluster=cluster.scheduler_address)
    assert 0 < len(list(tmp_path.glob("study/chunk-*.nc"))) < COUNT // CHUNK
    solve(tmp_path / "study", cheap.slow, workers=1)
    assert contents(tmp_path / "study") == serial


@pytest.mark.slow
def test_nights_that_kill_every_worker_are_given_up(tmp_path):
    """A cluster that tries nothing twice, since every death costs it a new worker."""
    import dask  # noqa: PLC0415

    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 0}),
        distributed.LocalCluster(
            n_workers=2,
            threads_per_worker=1,
            processes=True,
            dashboard_address=None,
            silence_logs=logging.CRITICAL,
        ) as found,
    ):
        dataset = solve(tmp_path / "study", cheap.deadly, count=9, cluster=found.scheduler_address)
    assert dataset["case"][dataset["state"] == "failed"].values.tolist() == [5]
    assert dataset["reason"].values[5] == clusters.GIVEN_UP


@pytest.mark.slow
def test_failed_nights_alone_are_tried_again(tmp_path, cluster, monkeypatch):
    monkeypatch.setenv("MARK", str(tmp_path / "mark"))
    again = {"cluster": cluster.scheduler_address, "retry_failed": True}
    first = solve(tmp_path / "study", cheap.some_fail, count=11, cluster=cluster.scheduler_address)
    before = contents(tmp_path / "study")
    assert first.attrs["failed"] == 6
    solve(tmp_path / "study", cheap.some_fail, count=11, **again)
    assert contents(tmp_path / "study") == before


def test_other_versions_are_refused(tmp_path, cluster, monkeypatch):
    monkeypatch.setattr(clusters, "_versions", lambda: {"simtent": "9.9"})
    with pytest.raises(
        StudyError, match=r"other versions: simtent 0\.1\.0 there, 9\.9 here.*0 of 24 nights are kept"
    ):
        solve(tmp_path / "study", cheap.slow, cluster=cluster.scheduler_address)


def test_nobody_at_the_address(tmp_path, monkeypatch):
    monkeypatch.setattr(clusters, "CONNECT", 0.5)
    for address in ("tcp://127.0.0.1:9", "nowhere", "tcp://no.such.host.invalid:8786"):
        begin = time.monotonic()
        with pytest.raises(InputError, match=r"no cluster answers at this address within 0\.5 s"):
            solve(tmp_path / "study", cheap.slow, cluster=address)
        assert time.monotonic() - begin < 10.0
    assert list(tmp_path.iterdir()) == []


def test_a_cluster_without_workers(tmp_path, monkeypatch):
    monkeypatch.setattr(clusters, "CONNECT", 1.0)
    with (
        distributed.LocalCluster(n_workers=0, dashboard_address=None, silence_logs=logging.CRITICAL) as empty,
        pytest.raises(InputError, match=r"the cluster has no worker, and none came within 1 s.*dask worker"),
    ):
        solve(tmp_path / "study", cheap.slow, cluster=empty.scheduler_address)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_a_cluster_that_everybody_leaves(tmp_path, monkeypatch):
    monkeypatch.setattr(clusters, "DESERTED", 1.0)
    monkeypatch.setattr(clusters, "LOOK", 0.2)
    found = distributed.LocalCluster(
        n_workers=1,
        threads_per_worker=1,
        processes=True,
        dashboard_address=None,
        silence_logs=logging.CRITICAL,
    )

    def leave():
        while not list(tmp_path.glob("study/chunk-*.nc")):
            time.sleep(0.005)
        found.scale(0)

    with found:
        threading.Thread(target=leave).start()
        with pytest.raises(StudyError, match=r"no worker any more, for 1 s.*\d+ of 240 nights are kept"):
            solve(tmp_path / "study", cheap.slow, count=240, cluster=found.scheduler_address)


def test_without_the_library_it_is_named(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(InputError, match=r"Dask, which is not installed.*pip install 'simtent\[cluster\]'"):
        solve(tmp_path / "study", cheap.slow, cluster="tcp://127.0.0.1:8786")


@pytest.mark.slow
@pytest.mark.compiled
def test_real_nights_on_a_cluster_are_the_same(tmp_path, cluster):
    base = cheap.base().replace("model.layers", 6)
    for name, how in (("here", {"workers": 1}), ("there", {"cluster": cluster.scheduler_address})):
        simtent.study(base, tmp_path / name, cheap.shifts(6), chunk=2, quiet=True, **how)
    assert contents(tmp_path / "here") == contents(tmp_path / "there")

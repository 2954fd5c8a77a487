"""Studies whose workers are this process, where no process of its own is asked about."""

import pytest

from simtent.studies import batch, worker


@pytest.fixture(name="in_this_process")
def solved_here(monkeypatch):
    """Chunks are solved here, one after the other."""

    def here(setup, tasks, *_rest, **_names):
        for task in tasks:
            yield from worker.work(setup, task)

    monkeypatch.setattr(batch, "solve_all", here)

"""The nights of a study solved by the workers of a Dask cluster; this process alone writes the chunk files.

A task is a chunk. Where a worker dies, Dask gives its chunk to another; where that goes on, the nights of the chunk
are tried one by one, and those that take their process with them are given up.
"""

import logging
import queue
import time
from asyncio import CancelledError
from collections.abc import Generator, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache, partial
from typing import TYPE_CHECKING, Any

from simtent.errors import Fault, InputError, StudyError
from simtent.files import write_all
from simtent.studies import manifest
from simtent.studies.cases import Item
from simtent.studies.chunk import FAILED, Answer, answer, chunk_name, kept_answers, to_bytes
from simtent.studies.worker import Begun, Ended, Kept, Said, Setup, Task, named

if TYPE_CHECKING:
    from simtent.studies.batch import Hands

CONNECT = 10.0  # s, for the scheduler to answer, and for a first worker to be there
DESERTED = 60.0  # s without any worker, after which the cluster counts as gone
LOOK = 1.0  # s, between two looks at whether there is still anyone
AHEAD = 2  # chunks handed out for each thread of the cluster, so that none waits for this process
GIVEN_UP = "the process that solved it died, on every worker of the cluster that tried"
TODO = "Start `dask scheduler` and `dask worker`, or give the address they print; or leave the cluster out"


def answers(setup: Setup, versions: Mapping[str, str], items: Sequence[Item]) -> list[Answer]:
    """Solve nights on a worker; StudyError where it would solve them by other versions."""
    own = _versions()
    if apart := [
        f"{name} {own.get(name)} there, {it} here" for name, it in versions.items() if own.get(name) != it
    ]:
        raise StudyError(f"A worker of the cluster has other versions: {', '.join(apart)}.")
    night = named(setup.night)
    return [answer(item, setup.base, night, setup.wanted) for item in items]


_versions = cache(manifest.versions)


@contextmanager
def joined(address: str) -> "Iterator[Hands]":
    """The workers of the cluster at an address; InputError where nobody answers within a stated time."""
    try:
        import distributed  # noqa: PLC0415  (an extra dependency)
    except ImportError:
        todo = "Install it: pip install 'simtent[cluster]'; or leave the cluster out"
        raise InputError(Fault("clusters need the library Dask, which is not installed", todo=todo)) from None
    quiet = logging.getLogger("distributed")
    before = quiet.level
    quiet.setLevel(logging.CRITICAL)  # what it has to say is told in our words
    try:
        client = _client(distributed, address)
        try:
            yield partial(_solve_on, client)
        finally:
            client.close(timeout=CONNECT)
    finally:
        quiet.setLevel(before)


def _client(distributed: Any, address: str) -> Any:
    try:
        client = distributed.Client(address, timeout=CONNECT, set_as_default=False)
    except (OSError, ValueError, RuntimeError, KeyError) as error:
        why = str(error).partition("\n")[0] or type(error).__name__
        what = f"no cluster answers at this address within {CONNECT:g} s ({why})"
        raise InputError(Fault(what, key="cluster", value=address, todo=TODO)) from None
    try:
        client.wait_for_workers(1, timeout=CONNECT)
    except OSError:
        client.close()
        what = f"the cluster has no worker, and none came within {CONNECT:g} s"
        raise InputError(Fault(what, key="cluster", value=address, todo=TODO)) from None
    return client


def _solve_on(
    client: Any, setup: Setup, tasks: Iterator[Task], _count: int, *, cold: bool
) -> Generator[Said, None, None]:
    """Solve chunks on a cluster and keep them; what is done, as it is heard. StudyError where it cannot go on."""
    del cold  # how far the workers' machines have compiled is theirs to know
    crew = _Crew(client, setup)
    try:
        while crew.hand_out(tasks):
            task, found = crew.next_answered()
            yield from _kept(setup, task, found)
    finally:
        crew.dismiss()


def _kept(setup: Setup, task: Task, found: Sequence[Answer]) -> Iterator[Said]:
    """Keep a chunk, those of its nights that were not tried again as they were."""
    path, solved = setup.folder / chunk_name(task.number), iter(found)
    before = [] if task.again is None else kept_answers(path)
    every: list[Answer] = []
    for case in range(task.first, task.first + len(task.items)):
        if task.again is not None and case not in task.again:
            every.append(before[case - task.first])
            continue
        yield Begun(case)
        every.append(next(solved))
        yield Ended(case, every[-1].state == FAILED)
    whole = to_bytes(every, task.first, setup.study, setup.precision)
    try:
        write_all({path: whole})
    except OSError as error:
        raise StudyError(f"The folder cannot be written: {error.strerror or error}.") from error
    yield Kept(task.number)


class _Crew:
    """The chunks that are out on the cluster."""

    def __init__(self, client: Any, setup: Setup) -> None:
        self._client, self._setup = client, setup
        self._out: dict[Any, Task] = {}
        self._ready: queue.SimpleQueue[Any] = queue.SimpleQueue()
        self._seen = time.monotonic()

    def hand_out(self, tasks: Iterator[Task]) -> bool:
        """Keep all threads busy; whether any chunk is out."""
        while len(self._out) < AHEAD * max(self._threads(), 1):
            task = next(tasks, None)
            if task is None:
                break
            self._out[self._submit(_to_solve(task))] = task
        return bool(self._out)

    def next_answered(self) -> tuple[Task, list[Answer]]:
        """The next chunk whose nights are answered; StudyError where none can be any more."""
        future = self._wait()
        task = self._out.pop(future)
        return task, self._result(future) or [self._alone(item) for item in _to_solve(task)]

    def dismiss(self) -> None:
        """Call back what is still out."""
        for future in self._out:
            future.cancel(force=True)

    def _submit(self, items: Sequence[Item]) -> Any:
        future = self._client.submit(answers, self._setup, _versions(), items, pure=False)
        future.add_done_callback(self._ready.put)
        return future

    def _result(self, future: Any) -> list[Answer] | None:
        """The answers; None where every worker that tried died."""
        from distributed import KilledWorker  # noqa: PLC0415  (an extra dependency)

        try:
            found: list[Answer] = future.result(timeout=DESERTED)
        except KilledWorker:
            return None
        except StudyError:
            raise
        except (Exception, CancelledError) as error:
            raise StudyError(f"The cluster cannot solve nights ({type(error).__name__}: {error}).") from error
        return found

    def _alone(self, item: Item) -> Answer:
        """The answer of one night of a chunk that no worker survived."""
        future = self._submit([item])
        meanwhile = []
        while (came := self._wait()) is not future:
            meanwhile.append(came)
        for other in meanwhile:
            self._ready.put(other)
        found = self._result(future)
        return found[0] if found else Answer(FAILED, GIVEN_UP)

    def _wait(self) -> Any:
        """The next answer that has come; StudyError where nobody is left to answer."""
        while True:
            try:
                return self._ready.get(timeout=LOOK)
            except queue.Empty:
                if self._threads():
                    self._seen = time.monotonic()
                elif time.monotonic() - self._seen > DESERTED:
                    raise StudyError(f"The cluster has no worker any more, for {DESERTED:g} s.") from None

    def _threads(self) -> int:
        """Threads of all workers that are there."""
        try:
            return sum(self._client.nthreads().values())
        except (OSError, RuntimeError):  # the scheduler is gone
            return 0


def _to_solve(task: Task) -> list[Item]:
    cases = enumerate(task.items, start=task.first)
    return [item for case, item in cases if task.again is None or case in task.again]

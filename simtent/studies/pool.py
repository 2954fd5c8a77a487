"""The parent's side of the workers: hands out chunks, hears what is done, replaces workers that die.

Workers are new interpreters that begin with this process' module path, not copies of this process: so a study runs
from a script, a notebook or a prompt alike, and libraries of linear algebra can be held to one thread from the start.
"""

import itertools
import json
import os
import pickle
import queue
import signal
import subprocess
import sys
import tempfile
import threading
from collections import Counter
from collections.abc import Generator, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import IO, cast

from simtent.errors import StudyError
from simtent.studies.worker import Begun, Ended, Said, Setup, Task, Unwritten

ONE_THREAD = (
    "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS",
    "BLIS_NUM_THREADS", "NUMEXPR_NUM_THREADS", "NUMBA_NUM_THREADS",
)  # fmt: skip
START = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); from simtent.studies.worker import main; main()"
)
MOST_DEATHS = 2  # of a worker at the same case; then the case is given up
PATIENCE = 5.0  # s, for a worker that says nothing more to end
LAST_WORDS = 1500  # characters of what a dead worker printed


class WorkerDiedError(Exception):
    """A worker is gone: at which case, if it had begun one; how; and what it printed last."""

    def __init__(self, case: int | None, how: str, words: str) -> None:
        super().__init__(how)
        self.case, self.how, self.words = case, how, words


class Worker:
    """One worker process."""

    def __init__(self, setup: bytes) -> None:
        self._errors = cast(IO[bytes], tempfile.TemporaryFile())  # noqa: SIM115  (lives as long as the process)
        self._process = subprocess.Popen(
            [sys.executable, "-c", START, json.dumps(sys.path)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self._errors,
            env={**os.environ, **dict.fromkeys(ONE_THREAD, "1")},
        )
        self._setup: bytes | None = setup

    def solve(self, task: Task) -> Iterator[Said]:
        """Hand it a chunk; what it says until the chunk is kept. Raises WorkerDiedError."""
        case = None
        inbox, outbox = self._process.stdin, self._process.stdout
        assert inbox is not None and outbox is not None
        try:
            if self._setup is not None:
                inbox.write(self._setup)
                self._setup = None
            pickle.dump(task, inbox)
            inbox.flush()
            while True:
                said: Said = pickle.load(outbox)
                case = said.case if isinstance(said, Begun) else case
                yield said
                if not isinstance(said, Begun | Ended):
                    return
        except (EOFError, OSError, pickle.UnpicklingError):
            raise self._death(case) from None

    def stop(self) -> None:
        """End it at once, whatever it is doing."""
        self._process.kill()

    def close(self) -> None:
        """Let go of it: it ends where its input does."""
        for pipe in (self._process.stdin, self._process.stdout):
            try:
                if pipe is not None:
                    pipe.close()
            except OSError:
                pass  # a pipe to a dead process
        self._process.wait()
        self._errors.close()

    def _code(self) -> int:
        """Its exit code, as soon as it has one."""
        try:
            return self._process.wait(timeout=PATIENCE)
        except subprocess.TimeoutExpired:
            self._process.kill()
            return self._process.wait()

    def _death(self, case: int | None) -> WorkerDiedError:
        code = self._code()
        how = f"signal {-code}, {signal.strsignal(-code)}" if code < 0 else f"exit code {code}"
        self._errors.seek(0, os.SEEK_END)
        self._errors.seek(max(self._errors.tell() - LAST_WORDS, 0))
        return WorkerDiedError(case, how, self._errors.read().decode(errors="replace").strip())


def solve_all(
    setup: Setup, tasks: Iterable[Task], workers: int, *, cold: bool
) -> Generator[Said, None, None]:
    """Solve chunks on several workers; what they say, as they say it.

    `cold`: nothing is compiled yet; one worker does that for all before the others begin. Raises StudyError where
    the study cannot go on. However it ends, no worker is left.
    """
    pool = _Pool(pickle.dumps(setup), iter(tasks), warm=not cold)
    threads = [threading.Thread(target=pool.attend, args=(first,), daemon=True) for first in range(workers)]
    for thread in threads:
        thread.start()
    try:
        at_work = workers
        while at_work:
            heard = pool.heard.get()
            if heard is None:
                at_work -= 1
            elif isinstance(heard, BaseException):
                raise heard
            else:
                yield heard
    finally:
        pool.stop()
        for thread in threads:
            thread.join()
        pool.close()


@dataclass
class _Deaths:
    """How often a worker died over one chunk, by case; None: before or after its cases."""

    counted: Counter[int | None]

    def add(self, death: WorkerDiedError, task: Task) -> Task:
        """The chunk as it is to be tried again; StudyError where that has no sense."""
        self.counted[death.case] += 1
        if self.counted[death.case] < MOST_DEATHS:
            return task
        if death.case is None:
            words = f" It said last:\n{death.words}" if death.words else ""
            raise StudyError(f"The process that solves nights does not start ({death.how}).{words}")
        reason = f"the process that solved it died {MOST_DEATHS} times ({death.how})"
        return replace(task, given_up=task.given_up | {death.case: reason})


class _Pool:
    """Threads of this process, each of which attends to one worker at a time."""

    def __init__(self, setup: bytes, tasks: Iterator[Task], *, warm: bool) -> None:
        self.heard: queue.SimpleQueue[Said | BaseException | None] = queue.SimpleQueue()
        self._setup, self._tasks = setup, tasks
        self._guard, self._warm = threading.Lock(), threading.Event()
        self._live: set[Worker] = set()
        self._stopped = False
        if warm:
            self._warm.set()

    def attend(self, place: int) -> None:
        """Hand out chunks to a worker until there are none."""
        worker: Worker | None = None
        try:
            if place > 0:
                self._warm.wait()
            for task in iter(self._next, None):
                worker = self._through(task, worker or self._hired())
        except BaseException as error:
            self.heard.put(error)
        finally:
            self._warm.set()
            self.heard.put(None)

    def stop(self) -> None:
        """End all workers at once."""
        with self._guard:
            self._stopped = True
            live = list(self._live)
        self._warm.set()
        for worker in live:
            worker.stop()

    def close(self) -> None:
        """Let go of all workers, when no thread attends to them any more."""
        for worker in list(self._live):
            self._dismiss(worker)

    def _next(self) -> Task | None:
        with self._guard:
            return None if self._stopped else next(self._tasks, None)

    def _hired(self) -> Worker:
        with self._guard:
            if self._stopped:
                raise InterruptedError
            worker = Worker(self._setup)
            self._live.add(worker)
        return worker

    def _dismiss(self, worker: Worker) -> None:
        worker.close()
        with self._guard:
            self._live.discard(worker)

    def _through(self, task: Task, worker: Worker) -> Worker:
        """See a chunk through, by another worker where one dies; the worker that did it in the end."""
        deaths = _Deaths(Counter())
        for _ in itertools.count():
            try:
                for said in worker.solve(task):
                    if isinstance(said, Ended):
                        self._warm.set()
                    if isinstance(said, Unwritten):
                        raise StudyError(f"The folder cannot be written: {said.why}.")
                    self.heard.put(said)
                return worker
            except WorkerDiedError as death:
                self._dismiss(worker)
                task = deaths.add(death, task)
                worker = self._hired()
        raise AssertionError("not reached")

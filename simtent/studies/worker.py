"""A worker: a process that solves chunk after chunk and writes each of them to its file.

It reads what to do from its standard input and says on its standard output what it has done, both as pickles. Where
the input ends, its parent is gone, and it ends at once.
"""

import importlib
import os
import pickle
import queue
import signal
import sys
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, NamedTuple

from simtent.files import write_all
from simtent.scenario.scenario import Scenario
from simtent.studies.cases import Item
from simtent.studies.chunk import FAILED, Answer, answer, chunk_name, kept_answers, to_bytes
from simtent.studies.wanted import Night


@dataclass(frozen=True)
class Setup:
    """What all chunks of a study have in common; `night` is the function that solves one, as module:name."""

    folder: Path
    study: str
    base: Scenario
    night: str
    wanted: tuple[str, ...]
    precision: str


@dataclass(frozen=True)
class Task:
    """A chunk to solve.

    number    of the chunk
    first     its first case
    items     its nights
    given_up  cases that are not tried, each with the reason
    again     cases to solve once more, where the chunk is there and the others stay; None: all are to be solved
    """

    number: int
    first: int
    items: tuple[Item, ...]
    given_up: dict[int, str]
    again: frozenset[int] | None = None


class Begun(NamedTuple):
    """A case is begun."""

    case: int


class Ended(NamedTuple):
    """A case is solved or has failed."""

    case: int
    failed: bool


class Kept(NamedTuple):
    """A chunk is whole on the disk."""

    number: int


class Unwritten(NamedTuple):
    """A chunk cannot be written, and why."""

    number: int
    why: str


Said = Begun | Ended | Kept | Unwritten


def main() -> None:
    """Work until the parent has nothing more to do."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides what an interruption means
    outbox = _private_output()
    setup: Setup = pickle.load(sys.stdin.buffer)
    tasks: queue.SimpleQueue[Task] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(sys.stdin.buffer, tasks), daemon=True).start()
    while True:
        for said in work(setup, tasks.get()):
            pickle.dump(said, outbox)
            outbox.flush()


def named(night: str) -> Night:
    """The function of a name such as "simtent.studies.night:one_night"."""
    module, _, name = night.partition(":")
    function: Night = getattr(importlib.import_module(module), name)
    return function


def work(setup: Setup, task: Task) -> Iterable[Said]:
    """Solve the nights of a chunk and keep them, saying what is done."""
    night, path = named(setup.night), setup.folder / chunk_name(task.number)
    answers: list[Answer] = []
    before = [] if task.again is None else kept_answers(path)
    for case, item in enumerate(task.items, start=task.first):
        if task.again is not None and case not in task.again:
            answers.append(before[case - task.first])
            continue
        yield Begun(case)
        if case in task.given_up:
            answers.append(Answer(FAILED, task.given_up[case]))
        else:
            answers.append(answer(item, setup.base, night, setup.wanted))
        yield Ended(case, answers[-1].state == FAILED)
    whole = to_bytes(answers, task.first, setup.study, setup.precision)
    try:
        write_all({path: whole})
    except OSError as error:
        yield Unwritten(task.number, error.strerror or str(error))
    else:
        yield Kept(task.number)


def _private_output() -> IO[bytes]:
    """The standard output for our own words; what a night prints goes to standard error."""
    own = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    return own


def _listen(inbox: IO[bytes], tasks: "queue.SimpleQueue[Any]") -> None:
    try:
        while True:
            tasks.put(pickle.load(inbox))
    except (EOFError, OSError, pickle.UnpicklingError):
        os._exit(0)

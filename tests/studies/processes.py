"""Processes that solve a study, watched from outside."""

import os
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]


@contextmanager
def running(*arguments, module="tests.studies.run_study"):
    """A module, `run_study` by default, at work in a session of its own; whatever is left of it is gone afterwards."""
    path = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")]).rstrip(os.pathsep)
    # Killed, or with a full disk, it must not write what lines it ran through.
    kept = {name: value for name, value in os.environ.items() if not name.startswith("COVERAGE_PROCESS")}
    process = subprocess.Popen(
        [sys.executable, "-m", module, *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**kept, "PYTHONPATH": path},
        start_new_session=True,
    )
    try:
        yield process
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate()


def run(*arguments, module="tests.studies.run_study"):
    """The same to its end: (exit code, standard output, standard error)."""
    with running(*arguments, module=module) as process:
        out, err = process.communicate(timeout=600)
        return process.returncode, out, err


def chunks(folder):
    """Name of every whole chunk file -> when it was written."""
    return {path.name: path.stat().st_mtime_ns for path in folder.glob("chunk-*.nc")}


def wait_for_chunks(folder, count, process):
    """Until so many chunks are whole; False if the process ends before."""
    while process.poll() is None:
        if len(chunks(folder)) >= count:
            return True
        time.sleep(0.005)
    return False


def group_is_gone(process, patience=10.0):
    """Whether all processes of the session end within a time [s]."""
    end = time.monotonic() + patience
    while time.monotonic() < end:
        try:
            os.killpg(process.pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    return False


def interrupt(process):
    """Ctrl-C: every process of the terminal hears it."""
    os.killpg(process.pid, signal.SIGINT)

"""Invented logs: a file as a logger would write it, and the scenario that names it."""

import pytest

from simtent.errors import InputError
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from tests.scenario.example import OPEN, TEXT, written

HEAD = {"evening": '"2031-02-14"', "file": '"night.csv"', "unit": '"degC"', "sensors": '{ T = "head" }'}


def log_table(**given):
    """The text of a [[log]]; what is None is left out."""
    return "\n[[log]]\n" + "".join(f"{key} = {value}\n" for key, value in (HEAD | given).items() if value)


def camp(folder, data, text=TEXT, name="night.csv", **given):
    """The scenario of a folder with one log and its file."""
    (folder / name).write_bytes(data if isinstance(data, bytes) else data.encode())
    return load(written(folder, text + log_table(**given)))


def logged(folder, data, **given):
    """The log as read; the file is as it was."""
    scenario = camp(folder, data, **given)
    before = (folder / "night.csv").read_bytes()
    found = read_log(scenario)
    assert (folder / "night.csv").read_bytes() == before
    return found


def refused(folder, data, **given):
    """The faults of a log that cannot be read, each with file, key and a way out."""
    scenario = camp(folder, data, **given)
    with pytest.raises(InputError) as caught:
        read_log(scenario)
    for fault in caught.value.faults:
        assert fault.file and fault.key.startswith("log[1]."), str(fault)
    return caught.value


def rows(values, begin=20 * 60, step=1, form="2031-02-14 {:02d}:{:02d}", header="when,T"):
    """A file with a value a minute from 20:00 on."""
    lines = [header]
    for at, value in enumerate(values):
        minute = begin + at * step
        lines.append(f"{form.format(minute // 60, minute % 60)},{value}")
    return "\n".join(lines) + "\n"


def told(texts, *words):
    """Whether one sentence has all the words."""
    return any(all(word in text for word in words) for text in texts)


__all__ = ["OPEN", "TEXT", "camp", "log_table", "logged", "refused", "rows", "told"]

"""A chunk of a study: some nights solved one after the other, joined, and made the bytes of one file.

The bytes follow from the cases alone: no date, no machine, no order of work is in them.
"""

import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import h5netcdf
import h5py
import numpy as np
from numpy.typing import NDArray

from simtent.errors import SimtentError
from simtent.scenario.scenario import Scenario
from simtent.studies.cases import Item, scenario_of
from simtent.studies.wanted import Night, declared, dims_of

STATES = ("waiting", "solved", "failed")
WAITING, SOLVED, FAILED = range(3)
NO_TIME = np.iinfo(np.int64).min  # what numpy takes for a moment that is none
TEXT = h5py.string_dtype()

Anything = NDArray[Any]


def chunk_name(number: int) -> str:
    """Name of the file of a chunk."""
    return f"chunk-{number:06d}.nc"


@dataclass(frozen=True)
class Answer:
    """What came of one night.

    state, reason   SOLVED, or FAILED and why
    begin           of the night [ns since 1970, UTC]
    values, labels  by name, and of every dimension
    """

    state: int
    reason: str = ""
    begin: int = NO_TIME
    values: Mapping[str, Anything] = field(default_factory=dict)
    labels: Mapping[str, Anything] = field(default_factory=dict)


def answer(item: Item, base: Scenario, night: Night, wanted: Sequence[str]) -> Answer:
    """Solve one night; whatever goes wrong in it becomes the reason why it failed."""
    try:
        scenario = scenario_of(item, base)
        given, coords = night(scenario, wanted)
        labels = {dim: _labels(dim, values) for dim, values in coords.items()}
        values = {name: np.asarray(array, np.float64) for name, array in given.items()}
        for name, array in values.items():
            _check(name, array, labels)
    except MemoryError:
        raise  # the process is in no state to go on
    except SimtentError as error:
        return Answer(FAILED, str(error))
    except Exception as error:  # a fault of ours in one night must not cost the others
        return Answer(FAILED, f"{type(error).__name__}: {error}")
    begin = np.datetime64(scenario.night.begin_utc.replace(tzinfo=None), "ns")
    return Answer(SOLVED, "", int(begin.astype(np.int64)), values, labels)


def _labels(dim: str, given: Any) -> Anything:
    if dim == "elapsed":
        return np.round(np.asarray(given, np.float64) * 1e9).astype(np.int64)
    array = np.asarray(given)
    return array.astype(TEXT) if array.dtype.kind == "U" else array


def _check(name: str, array: Anything, labels: Mapping[str, Anything]) -> None:
    shape = tuple(len(labels[dim]) for dim in dims_of(name))
    if array.shape != shape:
        raise ValueError(f"{name} has shape {array.shape}, its labels {shape}")
    if not np.isfinite(array).all():
        raise ValueError(f"{name} holds numbers that are not finite")


def joined_labels(several: Iterable[Anything]) -> Anything:
    """All labels of one dimension: numbers from the least up, texts in the order in which they come."""
    distinct = {labels.tobytes() if labels.dtype.kind != "O" else tuple(labels): labels for labels in several}
    if len(distinct) == 1:
        return next(iter(distinct.values()))
    every = np.concatenate(list(distinct.values()))
    if every.dtype.kind == "O":
        return np.array(list(dict.fromkeys(every)), dtype=object)
    return np.unique(every)


def places(labels: Anything, among: Anything) -> NDArray[np.int64]:
    """Where each of the labels stands among all of them."""
    if np.array_equal(labels, among):
        return np.arange(labels.size)
    found = {label: place for place, label in enumerate(among.tolist())}
    return np.array([found[label] for label in labels.tolist()], np.int64)


def to_bytes(answers: Sequence[Answer], first_case: int, study: str, precision: str) -> bytes:
    """The file of a chunk, netCDF-4; what a case does not have is not a number.

    Labels of the cases are joined: a shorter night leaves its last times empty.
    """
    dims = dict.fromkeys(dim for one in answers for dim in one.labels)
    labels = {dim: joined_labels(one.labels[dim] for one in answers if dim in one.labels) for dim in dims}
    names = dict.fromkeys(name for one in answers for name in one.values)
    cases = np.arange(first_case, first_case + len(answers))
    own: dict[str, Anything] = {
        "state": np.array([one.state for one in answers], np.int8),
        "reason": np.array([one.reason for one in answers], dtype=object),
        "begin": np.array([one.begin for one in answers], np.int64),
    }
    buffer = io.BytesIO()
    with h5py.File(buffer, "w", track_order=True) as file:
        file.attrs["study"] = study
        scales = {
            dim: _scale(file, n, dim, of) for n, (dim, of) in enumerate(({"case": cases} | labels).items())
        }
        for name, of_cases in own.items():
            _put(file, name, of_cases, [scales["case"]])
        for name in names:
            values = _joined(name, answers, labels).astype(precision)
            _put(file, name, values, [scales["case"], *(scales[dim] for dim in dims_of(name))])
    return buffer.getvalue()


def kept_answers(path: Path) -> list[Answer]:
    """The answers in the file of a chunk, as they were: `to_bytes` makes the same file of them."""
    with h5netcdf.File(path, "r") as file:
        labels = {dim: texts(file.variables[dim][...]) for dim in file.dimensions if dim != "case"}
        own = {"case", "state", "reason", "begin", *labels}
        values = {name: np.asarray(file.variables[name][...]) for name in file.variables if name not in own}
        state, begin = (file.variables[name][...].tolist() for name in ("state", "begin"))
        reason = texts(file.variables["reason"][...]).tolist()
    return [
        Answer(
            state[k],
            reason[k],
            begin[k],
            *_of_case({name: array[k] for name, array in values.items()}, labels),
        )
        if state[k] == SOLVED
        else Answer(state[k], reason[k])
        for k in range(len(state))
    ]


def _of_case(
    values: Mapping[str, Anything], labels: Mapping[str, Anything]
) -> tuple[dict[str, Anything], dict[str, Anything]]:
    """What one case has of the values and labels of its chunk: where there are numbers."""
    own = {name: array for name, array in values.items() if not np.isnan(array).all()}
    found = {dim: np.flatnonzero(_has(dim, own, of.size)) for dim, of in labels.items() if _is_used(dim, own)}
    unused = {dim: of for dim, of in labels.items() if not _is_used(dim, values)}
    kept = {
        name: np.asarray(array[np.ix_(*(found[dim] for dim in dims_of(name)))], np.float64)
        for name, array in own.items()
    }
    return kept, {dim: labels[dim][at] for dim, at in found.items()} | unused


def _is_used(dim: str, names: Iterable[str]) -> bool:
    return any(dim in dims_of(name) for name in names)


def _has(dim: str, values: Mapping[str, Anything], size: int) -> NDArray[np.bool_]:
    """At which labels of a dimension any of the values is a number."""
    has = np.zeros(size, bool)
    for name, array in values.items():
        if dim in dims_of(name):
            others = tuple(axis for axis, other in enumerate(dims_of(name)) if other != dim)
            has |= ~np.isnan(array).all(axis=others)
    return has


def texts(array: Anything) -> Anything:
    """Text as it was: the library gives bytes or text, by its version."""
    if array.dtype.kind != "O":
        return array
    return np.array([item.decode() if isinstance(item, bytes) else item for item in array], dtype=object)


def _joined(name: str, answers: Sequence[Answer], labels: Mapping[str, Anything]) -> Anything:
    dims = dims_of(name)
    array = np.full((len(answers), *(len(labels[dim]) for dim in dims)), np.nan)
    for place, one in enumerate(answers):
        if name in one.values:
            where: tuple[Any, ...] = np.ix_(*(places(one.labels[dim], labels[dim]) for dim in dims))
            array[(place, *where)] = one.values[name]
    return array


ATTRIBUTES: dict[str, dict[str, str]] = {
    "case": {"long_name": "case", "comment": "Number of the night in the study, from 0."},
    "state": {"long_name": "what became of the case", "comment": "1 solved, 2 failed."},
    "reason": {"long_name": "why the case failed", "comment": "Empty where it did not."},
    "begin": {
        "units": "nanoseconds since 1970-01-01",
        "calendar": "proleptic_gregorian",
        "long_name": "the night's begin",
        "comment": "UTC.",
    },
    "elapsed": {
        "units": "nanoseconds",
        "long_name": declared("elapsed").long_name,
        "comment": declared("elapsed").meaning,
    },
}


# netCDF-4 is HDF5 in which dimensions are scales with a number (NetCDF User's Guide, "File Format Specifications", from
# memory). Written by h5py itself a chunk takes a seventh of the time: the library above it looks up all it writes.


def _scale(file: h5py.File, number: int, dim: str, labels: Anything) -> Any:
    """Write the labels of a dimension."""
    scale = _put(file, dim, labels, [])
    scale.make_scale(dim)
    scale.attrs["_Netcdf4Dimid"] = np.int32(number)
    return scale


def _put(file: h5py.File, name: str, values: Anything, scales: Sequence[Any]) -> Any:
    """Write a variable along its dimensions, none for a dimension itself."""
    variable = file.create_dataset(
        name, data=values, dtype=TEXT if values.dtype.kind == "O" else values.dtype
    )
    for axis, scale in enumerate(scales):
        variable.dims[axis].attach_scale(scale)
    for key, text in (ATTRIBUTES[name] if name in ATTRIBUTES else declared(name).attributes).items():
        variable.attrs[key] = text
    return variable

"""A study read back: the chunk files joined along `case`, each read only where and when it is asked for."""

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from os import PathLike
from pathlib import Path
from typing import Any

import h5netcdf
import numpy as np
import xarray as xr
from numpy.typing import NDArray
from xarray.backends import BackendArray
from xarray.core import indexing

from simtent.errors import StudyError
from simtent.studies.chunk import (
    FAILED,
    NO_TIME,
    SOLVED,
    STATES,
    WAITING,
    Anything,
    chunk_name,
    joined_labels,
    places,
    texts,
)
from simtent.studies.manifest import Manifest, read
from simtent.studies.wanted import declared, dims_of


def open_study(folder: str | PathLike[str]) -> xr.Dataset:
    """Join the nights of a study, those that are solved so far, without reading them into memory.

    Parameters
    ----------
    folder : path
        As `study` was given.

    Returns
    -------
    xarray.Dataset
        What was kept, with the dimension `case`; `elapsed` in place of a night's `time`, counted from the `begin` of
        each case. `changes` tells what each case changes, `state` whether it is solved, failed or waiting, and
        `reason` why it failed. What a case does not have is not a number. Values are read when they are used.

    Raises
    ------
    StudyError
        There is no study in the folder; a file is damaged, or belongs to another study.
    InputError
        The study has another format, older or newer.
    """
    root = Path(folder).absolute()
    manifest = read(root)
    headers = list(_headers(root, manifest))
    dims = dict.fromkeys(dim for header in headers for dim in header.labels)
    labels = {
        dim: joined_labels(header.labels[dim] for header in headers if dim in header.labels) for dim in dims
    }
    kept = dict.fromkeys(name for header in headers for name in header.names)
    chunks = {header.number: header.placed(labels) for header in headers}
    variables = {name: _variable(name, manifest, labels, chunks) for name in manifest.keep if name in kept}
    dataset = xr.Dataset(variables, coords=_coords(manifest, headers, labels))
    return dataset.assign(_cases(manifest, headers)).assign_attrs(_attributes(manifest, headers))


def failed_in(root: Path, manifest: Manifest) -> dict[int, list[int]]:
    """The cases that have failed, by the number of their chunk; StudyError where a file is damaged or foreign."""
    found = {header.number: header.state for header in _headers(root, manifest)}
    failed = {
        number: [case for case, code in zip(manifest.cases_in(number), state, strict=True) if code == FAILED]
        for number, state in found.items()
    }
    return {number: cases for number, cases in failed.items() if cases}


@dataclass(frozen=True)
class _Header:
    """What stands in a chunk file beside the values kept; `places` of its labels among those of the whole study."""

    number: int
    path: Path
    names: frozenset[str]
    labels: Mapping[str, Anything]
    state: NDArray[np.int8]
    reason: list[str]
    begin: NDArray[np.int64]
    places: Mapping[str, NDArray[np.int64]]

    def placed(self, labels: Mapping[str, Anything]) -> "_Header":
        """The same header, its labels found among those of the whole study."""
        found = {dim: places(own, labels[dim]) for dim, own in self.labels.items()}
        return _Header(
            self.number, self.path, self.names, self.labels, self.state, self.reason, self.begin, found
        )


@contextmanager
def _opened(path: Path) -> Iterator[h5netcdf.File]:
    try:
        with h5netcdf.File(path, "r") as file:
            yield file
    except (OSError, KeyError, ValueError, TypeError, AttributeError, RuntimeError) as error:
        raise StudyError(
            f"{path} cannot be read ({error}). Remove this file and run the study again: only its nights are "
            "solved anew."
        ) from error


def _headers(root: Path, manifest: Manifest) -> Iterator[_Header]:
    """The headers of all chunks that are there."""
    for number in range(manifest.chunks):
        path = root / chunk_name(number)
        if path.exists():
            yield _header(path, manifest, number)


def _header(path: Path, manifest: Manifest, number: int) -> _Header:
    count = len(manifest.cases_in(number))
    with _opened(path) as file:
        if file.attrs["study"] != manifest.digest or len(file.dimensions["case"]) != count:
            raise StudyError(f"{path} belongs to another study. Remove this file and run the study again.")
        dims = [dim for dim in file.dimensions if dim != "case"]
        own = {"case", "state", "reason", "begin", *dims}
        return _Header(
            number=number,
            path=path,
            names=frozenset(name for name in file.variables if name not in own),
            labels={dim: texts(file.variables[dim][...]) for dim in dims},
            state=file.variables["state"][...],
            reason=texts(file.variables["reason"][...]).tolist(),
            begin=file.variables["begin"][...],
            places={},
        )


class _Joined(BackendArray):
    """One variable of all cases: shape (cases, ...), read from the chunk files that a key touches."""

    def __init__(
        self, name: str, manifest: Manifest, labels: Mapping[str, Anything], chunks: Mapping[int, _Header]
    ) -> None:
        self.name, self.per_file, self.chunks = name, manifest.chunk, chunks
        self.inner = tuple(labels[dim].size for dim in dims_of(name))
        self.shape = (len(manifest.changes), *self.inner)
        self.dtype = np.dtype(manifest.precision)

    def __getitem__(self, key: indexing.ExplicitIndexer) -> Anything:
        support = indexing.IndexingSupport.BASIC
        found: Anything = indexing.explicit_indexing_adapter(key, self.shape, support, self._read)
        return found

    def _read(self, key: tuple[Any, ...]) -> Anything:
        """Values at whole numbers and slices, a chunk at a time."""
        picked = np.arange(self.shape[0])[key[0]]
        cases, rest = np.atleast_1d(picked), key[1:]
        shape = np.broadcast_to(np.float32(0.0), self.inner)[rest].shape
        values = np.full((cases.size, *shape), np.nan, self.dtype)
        for number in np.unique(cases // self.per_file).tolist():
            if number in self.chunks and self.name in self.chunks[number].names:
                here = np.flatnonzero(cases // self.per_file == number)
                block = self._block(self.chunks[number])
                values[here] = block[cases[here] - number * self.per_file][(slice(None), *rest)]
        return values if np.ndim(picked) else values[0]

    def _block(self, header: _Header) -> Anything:
        """All values of a chunk, in the places that their labels have in the whole study."""
        with _opened(header.path) as file:
            own = file.variables[self.name][...]
        if own.shape[1:] == self.inner:
            return np.asarray(own, self.dtype)
        block = np.full((own.shape[0], *self.inner), np.nan, self.dtype)
        where = (header.places[dim] for dim in dims_of(self.name))
        block[np.ix_(np.arange(own.shape[0]), *where)] = own
        return block


def _variable(
    name: str, manifest: Manifest, labels: Mapping[str, Anything], chunks: Mapping[int, _Header]
) -> xr.Variable:
    lazy = indexing.LazilyIndexedArray(_Joined(name, manifest, labels, chunks))
    return xr.Variable(("case", *dims_of(name)), lazy, declared(name).attributes)


def _coords(
    manifest: Manifest, headers: list[_Header], labels: Mapping[str, Anything]
) -> dict[str, xr.Variable]:
    cases = len(manifest.changes)
    coords = {"case": xr.Variable("case", np.arange(cases), {"long_name": "case"})}
    for dim, found in labels.items():
        values = found.astype(np.str_) if found.dtype.kind == "O" else found
        values = values.astype("timedelta64[ns]") if dim == "elapsed" else values
        coords[dim] = xr.Variable(dim, values, declared(dim).attributes)
    begin = np.full(cases, NO_TIME, np.int64)
    for header in headers:
        begin[manifest.cases_in(header.number)] = header.begin
    told = {"long_name": "the night's begin", "comment": "UTC."}
    coords["begin"] = xr.Variable("case", begin.astype("datetime64[ns]"), told)
    for factor in manifest.labels[0] if manifest.labels else ():
        told = {"long_name": factor, "comment": "As the study's design has it."}
        named = np.array([case[factor] for case in manifest.labels], np.str_)
        coords[factor] = xr.Variable("case", named, told)
    lines = [", ".join(f"{key} = {text}" for key, text in case.items()) for case in manifest.changes]
    told = {"long_name": "what the case changes", "comment": "Each key with its value; empty for the base."}
    coords["changes"] = xr.Variable("case", np.array(lines, np.str_), told)
    return coords


def _cases(manifest: Manifest, headers: list[_Header]) -> dict[str, xr.Variable]:
    """What became of every case."""
    state, reason = [STATES[WAITING]] * len(manifest.changes), [""] * len(manifest.changes)
    for header in headers:
        cases = manifest.cases_in(header.number)
        state[cases.start : cases.stop] = [STATES[code] for code in header.state]
        reason[cases.start : cases.stop] = header.reason
    text = partial(np.array, dtype=np.str_)
    return {
        "state": xr.Variable("case", text(state), {"long_name": "solved, failed or waiting"}),
        "reason": xr.Variable("case", text(reason), {"long_name": "why the case failed"}),
    }


def _attributes(manifest: Manifest, headers: list[_Header]) -> dict[str, Any]:
    cases = len(manifest.changes)
    solved, failed = (
        sum(int((header.state == code).sum()) for header in headers) for code in (SOLVED, FAILED)
    )
    return {
        "study": manifest.format,
        "name": manifest.name,
        "invented": manifest.invented,
        "zone": manifest.zone,
        "scenario_given": manifest.given,
        "night": manifest.night,
        "accuracy": manifest.accuracy,
        "precision": manifest.precision,
        "versions": ", ".join(f"{name} {text}" for name, text in manifest.versions.items()),
        **({"design": json.dumps(manifest.design, ensure_ascii=False)} if manifest.design else {}),
        "cases": cases,
        "solved": solved,
        "failed": failed,
        "waiting": cases - solved - failed,
    }

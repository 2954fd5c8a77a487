"""A night's result: built, checked and kept by the tables of `schema`.

`label` turns arrays into a Dataset that says what it holds, `extend` adds to it (findings), `check` refuses a
Dataset that breaks the schema or whose energy, wood or air does not add up, `write` keeps it as netCDF. Reading is
plain xarray: ``xarray.open_dataset(path, engine="h5netcdf")`` gives the identical Dataset back; `read` also sees that
it is a result, and of this schema. A result is never brought from one schema to another: its night is simulated anew.
"""

from collections.abc import Iterable, Iterator, Mapping
from os import PathLike
from pathlib import Path
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import ArrayLike, NDArray

from simtent.errors import Fault, InputError, SimtentError
from simtent.files import write_all
from simtent.schema import ATTRIBUTES, RESIDUAL_LIMIT, SCHEMA, TABLE, WORDS, Variable

MASS_LIMIT = 1e-9  # share of the wood put on that the stages of the fuel may miss
ANEW = "Simulate the night anew: simtent night FILE"
AIR_LIMIT = 1e-9  # share of the air that moves through the openings that may get lost
LEAST_WATER = 1e-3  # kg; a share of less than this is round-off
STILL_AIR = 1e-3  # kg/s; a share of less than this is round-off


class SchemaError(SimtentError, ValueError):
    """A result that does not keep to the schema; its text names every breach."""


def label(
    values: Mapping[str, ArrayLike], coords: Mapping[str, ArrayLike], attrs: Mapping[str, Any]
) -> xr.Dataset:
    """Build the Dataset of a night.

    Parameters
    ----------
    values : mapping
        Name to array, shaped and in the unit that `TABLE` declares (temperatures in degC).
    coords : mapping
        Name to labels, for every dimension that the values use.
    attrs : mapping
        All of `ATTRIBUTES` but ``schema``, which is set here.

    Raises
    ------
    SchemaError
        For an unknown name, wrong dimensions, a wrong kind of value, or a number that is not finite.
    """
    return _with_values(xr.Dataset(attrs=_attributes(attrs)), values, coords)


def extend(
    dataset: xr.Dataset, values: Mapping[str, ArrayLike], coords: Mapping[str, ArrayLike]
) -> xr.Dataset:
    """Give back a new Dataset with more variables, held to the schema as by `label`."""
    return _with_values(dataset, values, coords)


def check(dataset: xr.Dataset) -> None:
    """Hold a whole Dataset against the schema and the ledger.

    Raises
    ------
    SchemaError
        Names every breach: a variable missing, unknown, of wrong dimensions, kind or attributes; a number
        that is not finite; a share outside 0 to 1; times or heights that do not rise; a label that stands
        twice; energy, wood or air that does not add up.
    """
    faults = [*_breaches(dataset), *_missing(dataset)]
    if not faults:  # the ledger can be read only from a Dataset that is otherwise in order
        ledgers = (_ledger_faults, _wood_faults, _air_faults, _water_faults)
        faults = [fault for faults_of in ledgers for fault in faults_of(dataset)]
    _refuse(faults)


def write(dataset: xr.Dataset, path: str | PathLike[str]) -> None:
    """Write the Dataset as netCDF-4, all or nothing.

    The bytes go to a temporary file in the same folder, which takes the name only when it is complete; a run
    that is interrupted leaves an older file as it was.

    Raises
    ------
    SchemaError
        For a Dataset that fails `check`.
    OSError
        If the folder cannot be written.
    """
    check(dataset)
    write_all({Path(path): to_bytes(dataset)})


def read(path: str | PathLike[str]) -> xr.Dataset:
    """The result of a night, whole in memory, and its file closed.

    Raises
    ------
    InputError
        The file cannot be read, is no result of a night, or one of another schema.
    """
    try:
        with xr.open_dataset(path, engine="h5netcdf") as dataset:
            found = dataset.load()
    except (OSError, ValueError, KeyError) as error:
        what = (
            f"it cannot be read as a result: {getattr(error, 'strerror', None) or 'it is no netCDF-4 file'}"
        )
        raise InputError(Fault(what, file=str(path), todo=ANEW)) from None
    if not isinstance(found.attrs.get("schema"), int | np.integer) or "scenario_given" not in found.attrs:
        raise InputError(Fault("it is no result of a night", file=str(path), todo=ANEW))
    refuse_another(found, str(path))
    return found


def refuse_another(dataset: xr.Dataset, file: str | None = None) -> None:
    """InputError for a result of another schema than this, older or newer; one without a schema is let pass."""
    given = dataset.attrs.get("schema", SCHEMA)
    if given != SCHEMA:
        wrote = str(dataset.attrs.get("versions", "")).partition(",")[0] or "simtent"
        what = f"the result has schema {given}, and this version of simtent reads {SCHEMA}"
        raise InputError(
            Fault(what, file=file, todo=f"{ANEW}, or read it with the version that wrote it ({wrote})")
        )


def to_bytes(dataset: xr.Dataset) -> bytes:
    """The Dataset as the netCDF file it would be: the library that makes it does not survive a full disk."""
    return bytes(dataset.to_netcdf(engine="h5netcdf", encoding=_encoding(dataset)))


def scenario_of(path: Path) -> str | None:
    """Name of the scenario whose result stands in the file; None for any other file."""
    try:
        with xr.open_dataset(path, engine="h5netcdf", decode_cf=False) as dataset:
            return str(dataset.attrs["name"]) if "schema" in dataset.attrs else None
    except (OSError, ValueError, KeyError):
        return None


def _with_values(
    dataset: xr.Dataset, values: Mapping[str, ArrayLike], coords: Mapping[str, ArrayLike]
) -> xr.Dataset:
    unknown = [name for name in (*values, *coords) if name not in TABLE]
    _refuse(f"{name}: not in the schema" for name in unknown)
    used = {dim for name in values for dim in TABLE[name].dims}
    _refuse(f"{dim}: labels missing" for dim in sorted(used - set(coords) - set(dataset.coords)))
    arrays = {name: _array(TABLE[name], given) for name, given in {**values, **coords}.items()}
    shapes = [
        f"{name}: {array.ndim} dimensions where the schema has {TABLE[name].dims}"
        for name, array in arrays.items()
        if array.ndim != len(TABLE[name].dims)
    ]
    _refuse(shapes)
    entries = {name: (TABLE[name].dims, array, TABLE[name].attributes) for name, array in arrays.items()}
    try:
        result = dataset.assign_coords({name: xr.Variable(*entries[name]) for name in coords})
        result = result.assign({name: xr.Variable(*entries[name]) for name in values})
    except ValueError as error:
        raise SchemaError(f"sizes that do not fit together: {error}") from error
    _refuse(_breaches(result))
    return result


def _array(variable: Variable, given: ArrayLike) -> NDArray[Any]:
    """The value as an array of exactly the dtype that survives a netCDF file."""
    array = np.asarray(given)
    fits = {"float": "fiu", "int": "iu", "text": "UOT", "time": "M"}[variable.kind]
    if array.dtype.kind not in fits or (variable.kind == "text" and not _all_text(array)):
        raise SchemaError(f"{variable.name}: {array.dtype} given where the schema has {variable.kind}")
    if variable.kind == "text":  # fixed width, as wide as the longest: what reading gives back
        return np.array(array.tolist(), dtype=np.str_)
    return array.astype({"float": "float64", "int": "int64", "time": "datetime64[ns]"}[variable.kind])


def _all_text(array: NDArray[Any]) -> bool:
    return all(isinstance(item, str) for item in array.flat)


def _attributes(attrs: Mapping[str, Any]) -> dict[str, Any]:
    given = {**attrs, "schema": SCHEMA}
    faults = [f"attribute {name}: not in the schema" for name in given if name not in ATTRIBUTES]
    faults += [f"attribute {name}: missing" for name in ATTRIBUTES if name not in given]
    _refuse(faults)
    convert = {int: np.int64, float: np.float64, str: str}
    return {name: convert[kind](given[name]) for name, kind in ATTRIBUTES.items()}


def _breaches(dataset: xr.Dataset) -> Iterator[str]:
    """Everything that is wrong with what the Dataset holds."""
    for label_of, array in dataset.variables.items():
        name = str(label_of)
        variable = TABLE.get(name)
        if variable is None:
            yield f"{name}: not in the schema"
        elif array.dims != variable.dims:
            yield f"{name}: dimensions {array.dims} where the schema has {variable.dims}"
        else:
            yield from _value_faults(variable, array)


def _value_faults(variable: Variable, array: xr.Variable) -> Iterator[str]:
    name, values = variable.name, array.values
    expected = {"float": "float64", "int": "int64", "text": "<U", "time": "datetime64[ns]"}[variable.kind]
    if not str(values.dtype).startswith(expected):
        yield f"{name}: {values.dtype} where the schema has {expected}"
        return
    if array.attrs != variable.attributes:
        yield f"{name}: attributes that the schema does not have"
    if values.size == 0:
        yield f"{name}: empty; leave it out"
        return
    if values.dtype.kind in "fM" and not np.isfinite(values).all():
        yield f"{name}: numbers that are not finite"
        return
    if name in ("time", "height", "interface", "event", "finding") and not (values[1:] > values[:-1]).all():
        yield f"{name}: does not rise"
    if variable.units == "1" and not ((values >= 0.0) & (values <= 1.0)).all():
        yield f"{name}: outside 0 to 1"
    if name == "event_time" and (values[1:] < values[:-1]).any():
        yield f"{name}: goes back"
    if name in variable.dims and len(set(values.tolist())) < values.size:
        yield f"{name}: a label stands twice"
    for word in values.tolist() if name in WORDS else ():
        if word not in WORDS[name]:
            yield f"{name}: {word!r} is not in the schema"


def _missing(dataset: xr.Dataset) -> Iterator[str]:
    present = {TABLE[str(name)].group for name in dataset.variables if str(name) in TABLE} | {"night"}
    if present.isdisjoint({"room", "fire"}):
        yield "neither a room nor a fire"
    for variable in TABLE.values():
        if variable.group in present and variable.name not in dataset.variables:
            yield f"{variable.name}: missing"
    for name, kind in ATTRIBUTES.items():
        if name not in dataset.attrs:
            yield f"attribute {name}: missing"
        elif not isinstance(dataset.attrs[name], {int: np.int64, float: np.float64, str: str}[kind]):
            yield f"attribute {name}: not {kind.__name__}"
    yield from (f"attribute {name}: not in the schema" for name in dataset.attrs if name not in ATTRIBUTES)
    if "schema" in dataset.attrs and dataset.attrs["schema"] != SCHEMA:
        yield f"schema {dataset.attrs['schema']} where this version reads {SCHEMA}"


def _ledger_faults(dataset: xr.Dataset) -> Iterator[str]:
    residual = float(dataset.attrs["energy_residual"])
    if not 0.0 <= residual < RESIDUAL_LIMIT:  # also when it is not a number
        yield f"energy_residual {residual:.3g}: the accounts must close to {RESIDUAL_LIMIT:g}"
    stored = np.char.startswith(dataset["account"].values.astype(np.str_), "stored_")
    energy = dataset["energy"].values
    missed = float(np.abs(energy[:, ~stored].sum(axis=1) - energy[:, stored].sum(axis=1)).max())
    throughput = float(np.abs(energy).max(axis=0).sum())
    if missed > RESIDUAL_LIMIT * max(throughput, 1.0):
        yield f"energy: the accounts miss {missed:.3g} J of {throughput:.3g} J"


def _wood_faults(dataset: xr.Dataset) -> Iterator[str]:
    """Wood that is not where it was put: on the fire, in ash and coals, or gone up the flue."""
    if "fuel_mass" not in dataset:
        return
    there = dataset["fuel_mass"].values.sum(axis=1)
    put_on = np.zeros_like(there)
    if "event" in dataset.dims:
        so_far = np.concatenate([[0.0], np.cumsum(dataset["event_mass"].values)])
        put_on = so_far[np.searchsorted(dataset["event_time"].values, dataset["time"].values, side="right")]
    missed, whole = float(np.abs(there - put_on).max()), float(put_on.max())
    if missed > MASS_LIMIT * whole:
        yield f"fuel_mass: the stages miss {missed:.3g} kg of {whole:.3g} kg put on"
    if float(dataset["fuel_mass"].min()) < -MASS_LIMIT * whole:
        yield "fuel_mass: less than nothing"


def _air_faults(dataset: xr.Dataset) -> Iterator[str]:
    """Air that gets lost: what the openings bring goes to the fire, and what a reversed flue brings leaves there."""
    if "opening_flow" not in dataset:
        return
    net, inward = dataset["opening_flow"].values, dataset["opening_inflow"].values
    to_fire = dataset["air_flow"].values if "air_flow" in dataset else np.zeros(len(net))
    moved = inward.sum(axis=1) + (inward - net).sum(axis=1)
    missed = np.abs(net.sum(axis=1) - to_fire)
    if (missed > AIR_LIMIT * np.maximum(moved, STILL_AIR)).any():
        yield f"opening_flow: {float(missed.max()):.3g} kg/s of air comes from nowhere or gets lost"
    if min(float(inward.min()), float((inward - net).min())) < -AIR_LIMIT * STILL_AIR:
        yield "opening_inflow: less than nothing enters or leaves"


def _water_faults(dataset: xr.Dataset) -> Iterator[str]:
    """Water that comes from nowhere or gets lost between what came, went, was given off, and what is stored."""
    if "water" not in dataset:
        return
    stored = np.char.startswith(dataset["water_account"].values.astype(np.str_), "stored_")
    water = dataset["water"].values
    missed = float(np.abs(water[:, ~stored].sum(axis=1) - water[:, stored].sum(axis=1)).max())
    whole = float(np.abs(water).max(axis=0).sum())
    if missed > MASS_LIMIT * max(whole, LEAST_WATER):
        yield f"water: the accounts miss {missed:.3g} kg of {whole:.3g} kg"


def _encoding(dataset: xr.Dataset) -> dict[str, dict[str, Any]]:
    """How to store each variable so that reading gives back the same dtype and no attribute more."""
    times = {"units": "nanoseconds since 1970-01-01", "calendar": "proleptic_gregorian", "dtype": "int64"}
    kinds: dict[str, dict[str, Any]] = {"float": {"_FillValue": None}, "int": {}, "text": {}, "time": times}
    return {str(name): kinds[TABLE[str(name)].kind] for name in dataset.variables}


def _refuse(faults: Iterable[str]) -> None:
    found = list(faults)
    if found:
        raise SchemaError("; ".join(found))

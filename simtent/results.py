"""The schema of a night's result: every variable declared once, and the file it is kept in.

`label` turns arrays into a Dataset that says what it holds, `extend` adds to it (findings), `check` refuses a
Dataset that breaks the schema or whose energy does not add up, `write` keeps it as netCDF. Reading is plain
xarray: ``xarray.open_dataset(path, engine="h5netcdf")`` gives the identical Dataset back.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import ArrayLike, NDArray

from simtent.errors import SimtentError
from simtent.files import write_all

SCHEMA = 1
RESIDUAL_LIMIT = 1e-6  # share of the throughput of heat that the accounts may miss

INWARD = "Positive into the room air, or into the shelter where the path ends on a surface."
GAIN = "Energy that came in since the beginning is positive; so is a gain of stored energy."

PATHS: dict[str, str] = {
    "source_convective": "from the heat source into the air",
    "source_radiant": "from the heat source onto the surfaces, as radiation",
    "people": "from the sleepers",
    "wall_to_air": "from the inner face of the wall into the air",
    "roof_to_air": "from the inner face of the roof into the air",
    "floor_to_air": "from the floor into the air",
    "contents_to_air": "from beds and gear into the air",
    "leakage": "carried in by air that leaks in, less what leaves with air that leaks out",
    "outside_convection": "from the outdoor air to the outer face of the skin",
    "sky_radiation": "from sky and surroundings to the outer face of the skin, as radiation",
    "ground_edge": "in through the ground at the edge of the floor",
}
ACCOUNTS: dict[str, str] = {
    "source": "released by the heat source",
    "people": "given off by the sleepers",
    "leakage": "came in with leaking air",
    "outside_convection": "came in from the outdoor air through the skin",
    "sky_radiation": "came in from sky and surroundings through the skin",
    "ground_edge": "came in through the ground at the edge of the floor",
    "stored_air": "gained by the room air",
    "stored_skin": "gained by the skin",
    "stored_ground": "gained by the floor and the ground under it",
    "stored_contents": "gained by beds and gear",
}
WORDS: dict[str, dict[str, str]] = {"path": PATHS, "account": ACCOUNTS}

ATTRIBUTES: dict[str, type] = {
    "schema": int,  # raised on any change of the schema
    "name": str,  # of the scenario
    "invented": int,  # 1: the scenario describes no real camp
    "units": str,  # us or si: what people are shown; the Dataset itself is always in the units declared here
    "zone": str,  # time zone of the camp's clock; the Dataset's own times are UTC
    "scenario_given": str,  # the scenario as it was given, TOML
    "scenario_effective": str,  # the scenario with every default filled in, TOML
    "versions": str,  # of simtent and the libraries that matter
    "solver": str,  # its report
    "energy_residual": float,  # what the accounts miss, as a share of the throughput
    "mixing_note": str,  # what the model says about mixing of the air
}


@dataclass(frozen=True, slots=True)
class Variable:
    """One variable of the Dataset.

    kind   "float", "int", "text" or "time"
    group  "night" (always there), "band", "events", "departures" or "findings" (each whole or absent)
    sign   what a positive number means
    """

    name: str
    dims: tuple[str, ...]
    kind: str
    units: str
    long_name: str
    meaning: str
    standard_name: str = ""
    sign: str = ""
    group: str = "night"

    @property
    def attributes(self) -> dict[str, str]:
        """Attributes by the CF conventions (cfconventions.org); a time's units belong to its encoding."""
        given = {
            "units": self.units,
            "long_name": self.long_name,
            "standard_name": self.standard_name,
            "comment": f"{self.meaning} {self.sign}".strip(),
        }
        return {key: text for key, text in given.items() if text}


def _levels(name: str, long_name: str, meaning: str, standard: str = "", group: str = "night") -> Variable:
    return Variable(name, ("time", "level"), "float", "degC", long_name, meaning, standard, group=group)


def _series(
    name: str, units: str, long_name: str, meaning: str, standard: str = "", sign: str = ""
) -> Variable:
    return Variable(name, ("time",), "float", units, long_name, meaning, standard, sign)


def _text(name: str, dim: str, long_name: str, meaning: str, group: str = "night") -> Variable:
    return Variable(name, (dim,), "text", "", long_name, meaning, group=group)


def _finding(name: str, long_name: str, meaning: str) -> Variable:
    return _text(f"finding_{name}", "finding", long_name, meaning, "findings")


SPREAD = "(standard, of the level's air) in what nobody has measured: walls, leakage, heat, forecast."
FELT = "air and surrounding surfaces together, without the source's own radiation."

COORDINATES: tuple[Variable, ...] = (
    Variable("time", ("time",), "time", "", "time", "UTC; the attribute zone holds the camp's.", "time"),
    Variable(
        "height", ("height",), "float", "m", "height of the layer's centre", "Above the ground.", "height"
    ),
    _text("level", "level", "named height", "Named in the scenario; its height is level_height."),
    _text("surface", "surface", "surface", "Inner faces by layer from the floor up, outer faces, floor."),
    _text("path", "path", "way the heat flows", "One way by which heat flows."),
    _text("account", "account", "energy account", "One entry of the energy ledger."),
    _text("departure", "departure", "validity departure", "Where the run left a law's range.", "departures"),
    Variable("event", ("event",), "int", "", "event", "Counted from 0.", group="events"),
    Variable("finding", ("finding",), "int", "", "finding", "Counted from 0.", group="findings"),
)
VARIABLES: tuple[Variable, ...] = (
    Variable(
        "air_temperature",
        ("time", "height"),
        "float",
        "degC",
        "air temperature",
        "Mean over one layer of air.",
        "air_temperature",
    ),
    _levels("level_temperature", "air temperature at the level", "Between the layers.", "air_temperature"),
    _levels(
        "level_temperature_low", "low end of the usual range", f"One deviation down {SPREAD}", group="band"
    ),
    _levels(
        "level_temperature_high", "high end of the usual range", f"One deviation up {SPREAD}", group="band"
    ),
    _levels("operative_temperature", "felt temperature at the level", f"Operative temperature: {FELT}"),
    Variable("level_height", ("level",), "float", "m", "height of the level", "Above the ground.", "height"),
    Variable(
        "surface_temperature",
        ("time", "surface"),
        "float",
        "degC",
        "temperature of the surface",
        "Mean over the surface.",
    ),
    _series("outdoor_temperature", "degC", "outdoor air temperature", "As given.", "air_temperature"),
    _series("sky_temperature", "degC", "temperature of the sky", "Of a black body that radiates as it does."),
    _series("wind_speed", "m s-1", "wind speed", "At the shelter's height.", "wind_speed"),
    _series(
        "heat_release", "W", "heat released", "Convective and radiant.", sign="Positive into the shelter."
    ),
    Variable("heat_flow", ("time", "path"), "float", "W", "heat flow", "Rate along one path.", sign=INWARD),
    Variable("energy", ("time", "account"), "float", "J", "energy", "Sum since the beginning.", sign=GAIN),
    _series("leakage_flow", "kg s-1", "air that leaks through", "In, equal to out.", sign="Never negative."),
    Variable("event_time", ("event",), "time", "", "time of the event", "UTC.", group="events"),
    _text("event_what", "event", "the event", "What changed at that moment.", "events"),
    _finding("level", "level of the finding", "One of note, caution, stop."),
    _finding("what", "what was found", "A sentence."),
    _finding("where", "where", "Place in the shelter; empty if everywhere."),
    _finding("when", "when", "Time of the night; empty if always."),
    _finding("number", "number", "The number found, with its unit; empty if none."),
    _finding("limit", "limit", "What the number is held against; empty if none."),
    _finding("source", "source", "Where the limit or the sentence comes from."),
    _finding("todo", "what to do", "A sentence."),
)
TABLE: dict[str, Variable] = {variable.name: variable for variable in COORDINATES + VARIABLES}


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
        that is not finite; times or heights that do not rise; a label that stands twice; energy that does not
        add up.
    """
    faults = [*_breaches(dataset), *_missing(dataset)]
    if not faults:  # the ledger can be read only from a Dataset that is otherwise in order
        faults = list(_ledger_faults(dataset))
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
    if name in ("time", "height", "event", "finding") and not (values[1:] > values[:-1]).all():
        yield f"{name}: does not rise"
    if name in variable.dims and len(set(values.tolist())) < values.size:
        yield f"{name}: a label stands twice"
    for word in values.tolist() if name in WORDS else ():
        if word not in WORDS[name]:
            yield f"{name}: {word!r} is not in the schema"


def _missing(dataset: xr.Dataset) -> Iterator[str]:
    present = {TABLE[str(name)].group for name in dataset.variables if str(name) in TABLE} | {"night"}
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


def _encoding(dataset: xr.Dataset) -> dict[str, dict[str, Any]]:
    """How to store each variable so that reading gives back the same dtype and no attribute more."""
    times = {"units": "nanoseconds since 1970-01-01", "calendar": "proleptic_gregorian", "dtype": "int64"}
    kinds: dict[str, dict[str, Any]] = {"float": {"_FillValue": None}, "int": {}, "text": {}, "time": times}
    return {str(name): kinds[TABLE[str(name)].kind] for name in dataset.variables}


def _refuse(faults: Iterable[str]) -> None:
    found = list(faults)
    if found:
        raise SchemaError("; ".join(found))

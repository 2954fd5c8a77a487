"""Values of a Dataset over its times, as series."""

from collections.abc import Iterator
from itertools import product

import xarray as xr

from simtent.assess.curves import seconds_of
from simtent.schema import TABLE
from simtent.tell.answers import quantities as q
from simtent.tell.answers.quantities import Series, series
from simtent.tell.answers.told import Told
from simtent.units import System

# unit in the Dataset -> what it is
KINDS: dict[str, type[q.Quantity]] = {
    "degC": q.Temperature,
    "K": q.Difference,
    "W": q.Power,
    "kg": q.Mass,
    "kg s-1": q.Flow,
    "Pa": q.Pressure,
    "m s-1": q.Speed,
    "1": q.Share,
}
AS_THEY_ARE = {"W m-2": "W/m2", "h-1": "1/h"}
LABELS = (
    "level",
    "fuel_stage",
)  # whose series are told each by itself; all others stand in the result's file


class Named(Series):
    """One of the result's variables over the times of the night."""

    name: str
    """its name in the result, as scenarios/OUTPUTS.md tells it"""
    of: str
    """the level or stage it is of, empty where it is of the whole night"""


class OverTime(Told):
    """A night over its times."""

    times: Series
    """since the night's begin"""
    series: list[Named]
    """each with as many values as there are times"""


def over_time(dataset: xr.Dataset, system: System) -> OverTime:
    """Every variable of a night that has times alone, or times and levels or stages of the wood."""
    return OverTime(
        times=series(seconds_of(dataset).tolist(), q.Duration, system), series=list(_all(dataset, system))
    )


def _all(dataset: xr.Dataset, system: System) -> Iterator[Named]:
    for name, variable in TABLE.items():
        if name not in dataset or variable.kind != "float" or variable.dims[:1] != ("time",):
            continue
        labels = variable.dims[1:]
        if not set(labels) <= set(LABELS):
            continue
        for of in product(*(dataset[label].values.tolist() for label in labels)):
            values = dataset[name].sel(dict(zip(labels, of, strict=True))).values.tolist()
            told = _series(values, variable.units, system)
            yield Named(name=name, of="".join(of), unit=told.unit, values=told.values)


def _series(values: list[float], unit: str, system: System) -> Series:
    if unit in AS_THEY_ARE:
        return Series(unit=AS_THEY_ARE[unit], values=[q.rounded(value) for value in values])
    return series(values, KINDS[unit], system)

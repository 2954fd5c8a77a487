"""Draws of the numbers that a fit found, as a Dataset for nights in numbers."""

from importlib.metadata import version

import numpy as np
import xarray as xr

from simtent.calibrate.calibrated import Calibrated
from simtent.network.arrays import Array

FORMAT = 1


def draws(found: Calibrated, points: Array, how: str) -> xr.Dataset:
    """Draws as a Dataset.

    Parameters
    ----------
    found : Calibrated
        What was fitted.
    points : array
        Draws in deviations of what was believed, shape (draws, numbers).
    how : str
        How they were drawn, and how far they can be trusted; told in the Dataset.

    Returns
    -------
    xarray.Dataset
        value(draw, number) in the unit of each number, unit(number), key(number): dotted key of the scenario, empty
        for numbers of sensors and nights.
    """
    values = np.array(
        [[one.value(float(z)) for one, z in zip(found.sought, row, strict=True)] for row in points]
    )
    return xr.Dataset(
        {
            "value": (("draw", "number"), values, {"long_name": "value of a number, in its unit"}),
            "unit": ("number", [one.unit for one in found.sought], {"long_name": "unit of a number"}),
            "key": (
                "number",
                [one.name if one.keys else "" for one in found.sought],
                {"long_name": "dotted key of the scenario; empty where it belongs to a sensor or a night"},
            ),
        },
        {"draw": np.arange(len(points)), "number": [one.name for one in found.sought]},
        {
            "schema": FORMAT,
            "name": found.scenario.name,
            "invented": int(found.scenario.invented),
            "how": how,
            "logs": "\n".join(night.label for night in found.nights),
            "readings": found.readings,
            "version": version("simtent"),
        },
    )


def to_bytes(dataset: xr.Dataset) -> bytes:
    """The Dataset as the netCDF file it would be."""
    return bytes(dataset.to_netcdf(engine="h5netcdf"))

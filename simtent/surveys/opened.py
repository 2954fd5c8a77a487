"""A solved study looked at again: how it was laid out, its factors as numbers, its outputs."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from simtent.errors import Fault, InputError
from simtent.studies.manifest import FORMAT
from simtent.studies.store import open_study
from simtent.surveys.factors import number_of
from simtent.surveys.outputs import USUAL, Output, output


@dataclass(frozen=True)
class Column:
    """One factor in every case of a study.

    name    of the factor
    labels  of its levels, in their order; empty for a number
    unit    "1" for a plain number, empty for levels
    us      the unit that takes its place where results are printed in US units
    kind    of its unit; empty for a plain number, and for levels
    values  numbers, or places among the levels, of every case
    """

    name: str
    labels: tuple[str, ...]
    unit: str
    us: str
    kind: str
    values: NDArray[np.float64]


@dataclass(frozen=True)
class Opened:
    """A study with its design.

    design   as it was laid out
    columns  its factors
    outputs  what is asked
    """

    dataset: xr.Dataset
    design: Mapping[str, Any]
    columns: tuple[Column, ...]
    outputs: tuple[Output, ...]

    def values(self, of: Output) -> NDArray[np.float64]:
        """A number of every case; not a number where it failed or waits."""
        return np.asarray(of.of(self.dataset).values, np.float64)


def opened(source: str | PathLike[str] | xr.Dataset, outputs: Sequence[Output] = ()) -> Opened:
    """A study by its folder or its Dataset; InputError for one that no study file laid out.

    Outputs are no part of the study: of the same nights more may be asked later, as long as it was kept.
    """
    dataset = source if isinstance(source, xr.Dataset) else open_study(source)
    if (given := dataset.attrs.get("study", FORMAT)) != FORMAT:
        what = f"the study has format {given}, and this version of simtent reads {FORMAT}"
        raise InputError(Fault(what, todo="Solve it anew: simtent study FILE"))
    if "design" not in dataset.attrs:
        todo = "Solve it by a study file: `simtent study`, `simtent.survey`"
        raise InputError(Fault("nothing says how this study was laid out", todo=todo))
    design = json.loads(dataset.attrs["design"])
    columns = tuple(_column(told, dataset) for told in design["factors"])
    return Opened(dataset, design, columns, tuple(outputs) or (output(USUAL),))


def _column(told: Mapping[str, Any], dataset: xr.Dataset) -> Column:
    texts = [str(text) for text in dataset[told["name"]].values.tolist()]
    if "labels" in told:
        places = {label: float(n) for n, label in enumerate(told["labels"])}
        values = np.array([places[text] for text in texts])
        return Column(told["name"], tuple(told["labels"]), "", "", "", values)
    values = np.array([number_of(text, told["unit"]) for text in texts])
    return Column(told["name"], (), told["unit"], told["us"], told["kind"], values)

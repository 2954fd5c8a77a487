"""What matters most: Morris' screening and Sobol indices of a study's outputs, by SALib.

Morris (1991), Technometrics 33, 161; Campolongo et al. (2007), Environmental Modelling & Software 22, 1509 (mu_star);
Saltelli et al. (2010), Computer Physics Communications 181, 259 (Sobol indices); all as SALib has them.
"""

import warnings
from os import PathLike
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from simtent.errors import Fault, InputError
from simtent.surveys.designs import FEWEST_BLOCKS, INDICES, MORRIS_PLACES, problem, salib
from simtent.surveys.opened import Opened, opened
from simtent.surveys.outputs import Output, output

RESAMPLES = 1000
CONFIDENCE = 0.95
NAMES = {
    "mu": "mean change of the output over the whole span of the factor",
    "mu_star": "mean size of that change, whatever its sign",
    "sigma": "how much that change depends on the others, or on where the factor stands",
    "S1": "share of the output's variance that the factor brings about by itself",
    "ST": "share of the output's variance that the factor brings about with all others",
}


def sensitivity(
    source: str | PathLike[str] | xr.Dataset,
    output: str | None = None,
    *,
    confidence: float = CONFIDENCE,
    resamples: int = RESAMPLES,
    seed: int | None = None,
) -> xr.Dataset:
    """How much each factor of a study moves an output.

    Parameters
    ----------
    source : path or xarray.Dataset
        The folder of a study of a study file with the method "morris" or "saltelli", or its Dataset.
    output : str, optional
        Such as "lowest_in_bed at cot"; by default "lowest_in_bed at cot".
    confidence : float
        Of the intervals.
    resamples : int
        Resamples from which the intervals come.
    seed : int, optional
        Of the resamples; by default the study's.

    Returns
    -------
    xarray.Dataset
        Along `factor`: of Morris `mu`, `mu_star`, `sigma` in the output's unit, of Sobol `S1` and `ST`; with half the
        width of the interval as `mu_star_confidence`, `S1_confidence`, `ST_confidence`. Attributes say the method, the
        output, its units, the seed, and how many groups of cases counted or were left out, since a case in them failed.

    Raises
    ------
    InputError
        SALib is not installed; the study has another method, or too few solved cases.
    """
    salib()
    found = opened(source, [_named(output)] if output else ())
    method = str(found.design["method"])
    if method not in INDICES:
        todo = 'Lay the study out by method = "morris" or "saltelli"'
        raise InputError(Fault("from this study no indices follow", value=method, todo=todo))
    if not 0.0 < confidence < 1.0 or resamples < 2:
        raise ValueError("a confidence between 0 and 1, and two resamples or more, are wanted")
    asked = found.outputs[0]
    drawn = int(found.design["seed"]) if seed is None else seed
    values, whole = _blocks(found, asked)
    given = _morris if method == "morris" else _sobol
    numbers = given(found, values, whole, confidence, resamples, drawn)
    return _labelled(found, asked, numbers, method, whole, confidence, drawn)


def _named(text: str) -> Output:
    return output(text)


def _blocks(found: Opened, asked: Output) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """The output by blocks of cases, shape (blocks, cases of each), and which blocks are whole."""
    values = found.values(asked).reshape(int(found.design["blocks"]), -1)
    whole = np.isfinite(values).all(axis=1)
    if whole.sum() < FEWEST_BLOCKS:
        what = f"only {whole.sum()} of {whole.size} groups of cases are solved"
        todo = "Let the study go on to its end; look at the reasons of cases that failed"
        raise InputError(Fault(what, todo=todo))
    return values, np.asarray(whole, bool)


def _morris(
    found: Opened,
    values: NDArray[np.float64],
    whole: NDArray[np.bool_],
    confidence: float,
    resamples: int,
    seed: int,
) -> dict[str, Any]:
    from SALib.analyze import morris  # noqa: PLC0415  (an extra dependency)

    count = len(found.columns)
    places = np.column_stack([_places(column.values) for column in found.columns])
    kept = places.reshape(*values.shape, count)[whole].reshape(-1, count)
    told = morris.analyze(
        problem(count), kept, values[whole].ravel(),
        num_resamples=resamples, conf_level=confidence, num_levels=MORRIS_PLACES, seed=seed,
    )  # fmt: skip
    names = {"mu": "mu", "mu_star": "mu_star", "sigma": "sigma", "mu_star_confidence": "mu_star_conf"}
    return {name: np.asarray(told[theirs], np.float64) for name, theirs in names.items()}


def _places(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Numbers put between 0 and 1: only which way each moved counts."""
    low, high = float(values.min()), float(values.max())
    scaled: NDArray[np.float64] = (values - low) / (high - low if high > low else 1.0)
    return scaled


def _sobol(
    found: Opened,
    values: NDArray[np.float64],
    whole: NDArray[np.bool_],
    confidence: float,
    resamples: int,
    seed: int,
) -> dict[str, Any]:
    from SALib.analyze import sobol  # noqa: PLC0415  (an extra dependency)

    with warnings.catch_warnings(), np.errstate(divide="ignore", invalid="ignore"):
        warnings.simplefilter("ignore")  # of an output that hardly ever changes, or in no resample
        told = sobol.analyze(
            problem(len(found.columns)), values[whole].ravel(), calc_second_order=False,
            num_resamples=resamples, conf_level=confidence,
            seed=np.random.default_rng(seed),  # a seed of 0 counts as none there
        )  # fmt: skip
    if np.ptp(values[whole]) == 0.0:  # then there is nothing to be shared out
        told = {name: np.full(len(found.columns), np.nan) for name in told}
    names = {"S1": "S1", "ST": "ST", "S1_confidence": "S1_conf", "ST_confidence": "ST_conf"}
    return {name: np.asarray(told[theirs], np.float64) for name, theirs in names.items()}


def _labelled(
    found: Opened,
    asked: Output,
    numbers: dict[str, Any],
    method: str,
    whole: NDArray[np.bool_],
    confidence: float,
    seed: int,
) -> xr.Dataset:
    units = _difference(asked.units) if method == "morris" else "1"
    variables = {
        name: ("factor", values, {"units": units, "long_name": _long(name, confidence)})
        for name, values in numbers.items()
    }
    names = np.array([column.name for column in found.columns], np.str_)
    about = {
        "method": method, "output": str(asked), "output_units": asked.units, "seed": seed,
        "confidence": confidence, "groups": int(whole.sum()), "left_out": int((~whole).sum()),
        "cases": int(found.dataset.attrs["cases"]), "study": str(found.design["study"]),
    }  # fmt: skip
    return xr.Dataset(variables, {"factor": names}, about)


def _difference(units: str) -> str:
    return "K" if units == "degC" else units


def _long(name: str, confidence: float) -> str:
    base = name.removesuffix("_confidence")
    half = f"half the width of the {100.0 * confidence:g} % interval of: " if base != name else ""
    return half + NAMES[base]

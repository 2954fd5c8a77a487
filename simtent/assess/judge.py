"""All findings of one night."""

import xarray as xr

from simtent.assess.cautions import standing
from simtent.assess.findings import Finding
from simtent.assess.stove import stove_findings
from simtent.scenario.scenario import Scenario


def assess(scenario: Scenario, dataset: xr.Dataset) -> tuple[Finding, ...]:
    """Findings of a night: standing cautions, what its stove and flue came to, repairs of its files, places
    where a law's range was left.

    Parameters
    ----------
    scenario : Scenario
        What was simulated.
    dataset : xarray.Dataset
        What came out, by the schema of `results`; needs no findings of its own yet.
    """
    sentences = dataset["departure"].values.tolist() if "departure" in dataset.coords else []
    return (
        *standing(scenario),
        *stove_findings(scenario, dataset),
        *map(_repair, scenario.repairs),
        *map(_departure, sentences),
    )


def _repair(sentence: str) -> Finding:
    return Finding(
        level="note",
        what=sentence,
        todo="Look at the file if you did not expect this.",
        source="the scenario's own files",
    )


def _departure(sentence: str) -> Finding:
    return Finding(
        level="note",
        what=sentence,
        todo="Take the numbers of this night with more care.",
        source="validity range given with the law",
    )

"""All findings of one night."""

import xarray as xr

from simtent.assess import kinds
from simtent.assess.air_findings import air_findings
from simtent.assess.cautions import DEFERS, standing
from simtent.assess.close_findings import close_findings
from simtent.assess.comfort_findings import comfort_findings
from simtent.assess.damp_findings import damp_findings
from simtent.assess.findings import LEVELS, Finding
from simtent.assess.fitted_findings import fitted_findings
from simtent.assess.instruments import instrument_findings
from simtent.assess.spill_findings import spill_findings
from simtent.assess.stove import stove_findings
from simtent.results import refuse_another
from simtent.scenario.scenario import Scenario


def assess(scenario: Scenario, dataset: xr.Dataset) -> tuple[Finding, ...]:
    """Findings of a night: standing cautions, what was found in it, the gravest first, repairs of its files, places
    where a law's range was left; at the end whom to ask instead.

    Parameters
    ----------
    scenario : Scenario
        What was simulated.
    dataset : xarray.Dataset
        What came out, by the schema of `results`; needs no findings of its own yet.

    Raises
    ------
    InputError
        The Dataset is of another schema, older or newer.
    """
    refuse_another(dataset)
    sentences = dataset["departure"].values.tolist() if "departure" in dataset.coords else []
    computed = [
        *stove_findings(scenario, dataset),
        *close_findings(scenario, dataset),
        *spill_findings(scenario, dataset),
        *air_findings(scenario, dataset),
        *comfort_findings(scenario, dataset),
        *damp_findings(scenario, dataset),
        *instrument_findings(scenario),
        *fitted_findings(scenario, dataset),
    ]
    return (
        *standing(scenario),
        *sorted(computed, key=lambda finding: -LEVELS.index(finding.level)),
        *map(_repair, scenario.repairs),
        *map(_departure, sentences),
        DEFERS,
    )


def _repair(sentence: str) -> Finding:
    return kinds.FILE_MENDED.found(
        what=sentence,
        todo="Look at the file if you did not expect this.",
    )


def _departure(sentence: str) -> Finding:
    return kinds.LAW_LEFT.found(
        what=sentence,
        todo="Take the numbers of this night with more care.",
    )

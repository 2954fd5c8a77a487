"""What a night's range is made of, in words: what nobody has measured, or what logs leave open."""

from collections.abc import Sequence

import xarray as xr

from simtent.scenario.fitted import Fitted
from simtent.scenario.scenario import Scenario
from simtent.tell.words import ZERO_CELSIUS, percent

MOST = 3  # logs that are named, and numbers
NOT_COUNTED = "plumes and currents are not counted and can change more"


def name_of_range(scenario: Scenario) -> str:
    """What the range is called."""
    return "Usual range" if scenario.fitted is None else "Range after your log"


def causes(scenario: Scenario, dataset: xr.Dataset, levels: Sequence[str]) -> str:
    """What the range at some levels counts, and what it does not."""
    priors, fitted = scenario.priors(), scenario.fitted
    believed = ", ".join(prior.label for prior in priors if not prior.fitted)
    if fitted is None:
        return f"from {believed}; {NOT_COUNTED}"
    open_keys = list(dict.fromkeys(key for axis in fitted.axis for key in axis.keys))
    said = [f"from what {count_of(fitted)} leave open in {_few(open_keys)}"] if open_keys else []
    said += [f"from {believed}"] if believed else []
    if not fitted.beyond:
        return "; ".join([*said, NOT_COUNTED])
    return "; ".join([*said, _missed(fitted, dataset, levels)])


def fitted_to(scenario: Scenario) -> str:
    """The logs that a scenario's numbers come from, a sentence; empty where they come from none."""
    fitted = scenario.fitted
    return f"Numbers fitted to {count_of(fitted)}: {_few(fitted.logs)}." if fitted else ""


def count_of(fitted: Fitted) -> str:
    """How many readings of how many logs were used."""
    return f"{plural(fitted.readings, 'reading')} of {plural(len(fitted.logs), 'log')}"


def _missed(fitted: Fitted, dataset: xr.Dataset, levels: Sequence[str]) -> str:
    outdoors = dataset["outdoor_temperature"].values + ZERO_CELSIUS
    wider = fitted.widened(fitted.outside(float(outdoors.min()), float(outdoors.max())))
    shares = " and ".join(f"{percent(wider * fitted.missed(level))} at the {level}" for level in levels)
    more = ", made wider since no such night was logged" if wider > 1.0 else ""
    return f"and from what readings missed beyond that: {shares}, of the rise above outdoors{more}"


def plural(count: int, what: str) -> str:
    """A count with what is counted: "1 log", "3 logs"."""
    return f"{count} {what}{'' if count == 1 else 's'}"


def _few(names: Sequence[str]) -> str:
    more = len(names) - MOST
    return ", ".join(names[:MOST]) + (f" and {more} more" if more > 0 else "")

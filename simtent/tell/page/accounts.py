"""A night's energy accounts as what came in, what went, and what stayed: sums that close."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import xarray as xr

from simtent.tell.summary import CAME, LEAST_SHARE, WENT

KEPT = "stored_"  # what accounts of stored energy begin with


@dataclass(frozen=True, slots=True)
class Flow:
    """Energy that came in or went one way through the night [J], never negative; `kept` where it stayed inside."""

    words: str
    joules: float
    kept: bool = False


@dataclass(frozen=True, slots=True)
class Accounts:
    """All that came in and all that went or stayed, each the largest first; both sums are the same."""

    came: tuple[Flow, ...]
    went: tuple[Flow, ...]

    @property
    def whole(self) -> float:
        """Energy that came in [J]."""
        return sum(flow.joules for flow in self.came)

    @property
    def gone(self) -> float:
        """Energy that went or stayed [J]."""
        return sum(flow.joules for flow in self.went)


def accounts(dataset: xr.Dataset) -> Accounts:
    """The accounts at the end of the night; what is stored stands last, what is small is added up."""
    final = dataset["energy"].isel(time=-1)
    sums = dict(zip(final["account"].values.tolist(), final.values.tolist(), strict=True))
    gains = {name: -value if name.startswith(KEPT) else value for name, value in sums.items()}
    came = {name: gain for name, gain in gains.items() if gain > 0.0}
    went = {name: -gain for name, gain in gains.items() if gain < 0.0}
    least = LEAST_SHARE * sum(came.values())
    return Accounts(_flows(came, CAME, least), _flows(went, WENT, least))


def _flows(found: Mapping[str, float], words: Mapping[str, str], least: float) -> tuple[Flow, ...]:
    """Flows by size, those that stay inside behind the others; the small ones together at the end."""
    large = {name: joules for name, joules in found.items() if joules >= least}
    order = sorted(large, key=lambda name: (name.startswith(KEPT) and words is WENT, -large[name]))
    flows = [Flow(words[name], large[name], name.startswith(KEPT) and words is WENT) for name in order]
    small = [joules for name, joules in found.items() if joules < least]
    if small:
        flows.append(Flow(_together(len(small)), sum(small)))
    return tuple(flows)


def _together(count: int) -> str:
    return "one way too small to show" if count == 1 else f"{count} ways too small to show, together"


def shares(flows: Sequence[Flow], whole: float) -> list[float]:
    """Each flow as a share of the whole [-]; 0 where nothing flowed."""
    return [flow.joules / whole if whole > 0.0 else 0.0 for flow in flows]

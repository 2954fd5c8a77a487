"""The nights of a comparison, by the compiled driver: two at a time, since a night is one call that lets others run."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from threadpoolctl import threadpool_limits

from simtent.assess.findings import Finding
from simtent.comparing.asked import asked
from simtent.driver import SWIFT, drive
from simtent.errors import SolveError
from simtent.network.arrays import Array
from simtent.network.solve import Accuracy
from simtent.readings import accounts, level_temperatures
from simtent.scenario.scenario import Scenario
from simtent.scenario.varied import Variant
from simtent.simulate import found_in

CORES = 2
Given = TypeVar("Given")
Made = TypeVar("Made")


@dataclass(frozen=True)
class Night:
    """A night of a comparison.

    values    what people ask, by the names of `asked.NUMBERS`; NaN for what it does not have
    energy    every account at the night's end [J]: what came in since the beginning, and what was stored
    findings  what was found in it, with the standing cautions
    seconds   every time told, from the begin [s], shape (times,)
    levels    temperature at the named levels then, shape (times, levels) [degC]; no levels in the open
    """

    variant: Variant
    values: dict[str, float]
    energy: dict[str, float]
    findings: tuple[Finding, ...]
    seconds: Array
    levels: Array

    @property
    def name(self) -> str:
        """Name of its variant."""
        return self.variant.name

    @property
    def scenario(self) -> Scenario:
        """What was simulated."""
        return self.variant.scenario


def nights(
    variants: Sequence[Variant],
    accuracy: Accuracy = SWIFT,
    told: Callable[[str], None] = lambda _name: None,
) -> tuple[Night, ...]:
    """The nights of several variants in their order; SolveError, with the variant's name, if one cannot be solved."""

    def one(variant: Variant) -> Night:
        told(variant.name)
        return _night(variant, accuracy)

    return tuple(two_at_a_time(one, variants))


def two_at_a_time(work: Callable[[Given], Made], those: Sequence[Given]) -> list[Made]:
    """What becomes of each, in their order."""
    with threadpool_limits(limits=1, user_api="blas"), ThreadPoolExecutor(CORES) as threads:
        return list(threads.map(work, those))


def _night(variant: Variant, accuracy: Accuracy) -> Night:
    try:
        night = drive(variant.scenario, accuracy=accuracy)
    except SolveError as error:
        raise SolveError(f"{variant.name}: {error}") from None
    house = night.model.house
    return Night(
        variant,
        asked(night),
        {name: float(values[-1]) for name, values in accounts(night).items()},
        found_in(night),
        night.solution.times,
        np.empty((night.solution.times.size, 0)) if house is None else level_temperatures(night),
    )

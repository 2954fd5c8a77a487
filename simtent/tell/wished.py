"""The night's wishes turned into moments and limits in the Dataset's own units."""

from dataclasses import dataclass

from simtent.scenario.scenario import Scenario
from simtent.tell.words import ZERO_CELSIUS


@dataclass(frozen=True, slots=True)
class Wished:
    """What [wish] asks for: moments in seconds from begin [s], temperatures in degC, None if not asked.

    Without a bed time everybody counts as in bed from the begin, without a rise time until the end.
    """

    bed: float | None
    rise: float | None
    cot_at_least: float | None
    head_at_most: float | None
    cot_at_rise: float | None
    in_bed: tuple[float, float]

    @classmethod
    def of(cls, scenario: Scenario) -> "Wished":
        """The wishes of a scenario; a stove in the open has none."""
        wish, night = scenario.wish, scenario.night
        if scenario.shelter is None:
            return cls(None, None, None, None, None, in_bed=(0.0, night.seconds))
        bed = None if wish.bed is None else night.seconds_at(wish.bed)
        rise = None if wish.rise is None else night.seconds_at(wish.rise)
        return cls(
            bed=bed,
            rise=rise,
            cot_at_least=_celsius(wish.cot_at_least),
            head_at_most=_celsius(wish.head_at_most),
            cot_at_rise=_celsius(wish.cot_at_rise),
            in_bed=(bed or 0.0, night.seconds if rise is None else rise),
        )


def _celsius(kelvin: float | None) -> float | None:
    return None if kelvin is None else kelvin - ZERO_CELSIUS

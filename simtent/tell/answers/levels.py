"""The named levels of a night: what each meets, and the head over the floor."""

from typing import Self

import xarray as xr

from simtent.assess.curves import Curve, curve
from simtent.tell.answers.head import Around, Moment
from simtent.tell.answers.quantities import Difference, Length, Temperature
from simtent.tell.answers.told import Told
from simtent.tell.heights_levels import head_over_floor
from simtent.tell.wished import Wished
from simtent.units import System


class Ends(Told):
    """What a temperature does in a night."""

    coldest: Temperature
    """lowest from bed to rise"""
    hottest: Temperature
    """highest of the whole night"""
    bed: Temperature
    """at bed, or at the begin without a time of bed"""
    rise: Temperature
    """at rise, or at the end without a time of rising"""

    @classmethod
    def of(cls, given: Curve, wished: Wished, system: System) -> Self:
        """Of a temperature over time [degC]."""
        begin, end = wished.in_bed
        return cls(
            coldest=Temperature.of(given.between(begin, end).lowest()[1], system),
            hottest=Temperature.of(given.highest()[1], system),
            bed=Temperature.of(given.at(begin), system),
            rise=Temperature.of(given.at(end), system),
        )


class Level(Told):
    """A named height."""

    level: str
    """its name"""
    height: Length
    """above the ground"""
    air: Ends
    """the air there"""
    felt: Ends
    """what is felt there: air and the radiation around"""


class Layering(Told):
    """How much warmer the air is at the head than at the floor."""

    most: Difference
    """at most in the night"""
    at: Moment
    """when that is"""
    low: Difference | None
    """low end of its usual range then, one deviation; null without a range"""
    high: Difference | None
    """high end of it"""
    bed: Difference
    """at bed"""
    rise: Difference
    """at rise"""


def levels(around: Around, dataset: xr.Dataset) -> list[Level]:
    """Every level, from the top."""
    assert around.scenario is not None
    wished, system = Wished.of(around.scenario), around.system
    pairs = zip(dataset["level"].values.tolist(), dataset["level_height"].values.tolist(), strict=True)
    return [
        Level(
            level=name,
            height=Length.of(height, system),
            air=Ends.of(curve(dataset, "level_temperature", level=name), wished, system),
            felt=Ends.of(curve(dataset, "operative_temperature", level=name), wished, system),
        )
        for name, height in sorted(pairs, key=lambda pair: -pair[1])
    ]


def layering(around: Around, dataset: xr.Dataset) -> Layering:
    """The head over the floor."""
    assert around.scenario is not None
    system, over, night = around.system, head_over_floor(dataset), around.scenario.night
    moment, most = over.highest()
    begin, end = Wished.of(around.scenario).in_bed
    ranges = {
        side: curve(dataset, name).at(moment) if (name := f"head_over_floor_{side}") in dataset else None
        for side in ("low", "high")
    }
    return Layering(
        most=Difference.of(most, system),
        at=Moment.of(night, moment),
        low=Difference.maybe(ranges["low"], system),
        high=Difference.maybe(ranges["high"], system),
        bed=Difference.of(over.at(begin), system),
        rise=Difference.of(over.at(end), system),
    )

"""The night's water: what came and went until people rise, where it lies, dew points."""

import numpy as np
import xarray as xr

from simtent.assess import damp
from simtent.assess.curves import seconds_of
from simtent.tell.answers.head import Around, Moment
from simtent.tell.answers.quantities import Areal, Length, Mass, Temperature
from simtent.tell.answers.told import Told
from simtent.tell.wished import Wished


class WaterAccount(Told):
    """One entry of the water ledger."""

    account: str
    """its name, as scenarios/OUTPUTS.md tells it"""
    water: Mass
    """came in, was given off, or was gained by what stores it, since the beginning: positive"""


class LyingWater(Told):
    """Water on one part of the shelter."""

    part: str
    """wall, roof, windows, floor or floor mat"""
    kind: str
    """frost, or condensate for liquid water"""
    mass: Mass
    """on the whole part"""
    most: Areal
    """on its wettest band"""
    most_at: Length | None
    """height of that band's middle; null on a floor"""
    lowest: Length | None
    """height of the lowest band that bears any to see; null on a floor, or where none does"""


class Water(Told):
    """The night's water."""

    at: Moment
    """rise, or the night's end: the moment of all that follows"""
    accounts: list[WaterAccount]
    """what came and went until then"""
    lying: list[LyingWater]
    """what lies where then, the most first"""
    dripped: Mass
    """ran off or dripped in the whole night"""
    dew_points: dict[str, Temperature]
    """at every level; below freezing the frost point"""


def water(around: Around, dataset: xr.Dataset) -> Water | None:
    """The night's water; None where the night counts none."""
    if not damp.counted(dataset):
        return None
    assert around.scenario is not None
    system, rise = around.system, Wished.of(around.scenario).in_bed[1]
    names: list[str] = dataset["water_account"].values.tolist()
    nearest = int(np.argmin(np.abs(seconds_of(dataset) - rise)))
    dew, heights = dataset["dew_point"].values[nearest], dataset["height"].values
    levels = zip(dataset["level"].values.tolist(), dataset["level_height"].values.tolist(), strict=True)
    return Water(
        at=Moment.of(around.scenario.night, rise),
        accounts=[
            WaterAccount(account=name, water=Mass.of(damp.account(dataset, name).at(rise), system))
            for name in names
        ],
        lying=[
            LyingWater(
                part=it.part,
                kind=it.kind,
                mass=Mass.of(it.mass, system),
                most=Areal.of(it.most, system),
                most_at=Length.maybe(it.most_at, system),
                lowest=Length.maybe(it.lowest, system),
            )
            for it in damp.lying(dataset, rise)
        ],
        dripped=Mass.of(float(dataset["dripped"].values[-1]), system),
        dew_points={
            name: Temperature.of(float(np.interp(height, heights, dew)), system) for name, height in levels
        },
    )

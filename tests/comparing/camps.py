"""Small nights to compare: invented, short, on few layers, quick to solve."""

from simtent.scenario.load import load
from tests.scenario.example import FIRE, TEXT, spoilt, written

VARIANTS = """
[variants.mat]
shelter.floor.mat = "20 mm closed-cell foam"

[variants.windy]
outdoors.wind = "8 m/s"

[variants.lined.shelter.skin]
wall = ["10 oz/yd2 cotton canvas", "5 cm air gap", "polyester liner"]
"""
FEW = ("model.layers=6", "wish.cot_at_least=-5 degC")
WEATHER = 'steady = "-10 degC"'
SHORT = ("night.end=22:30", "wish.bed=19:30")


def known_heat(folder, text=VARIANTS, more=()):
    """A shelter with a known heat, five hours."""
    return load(written(folder, _windy(TEXT) + text), settings=[*FEW, *SHORT, *more])


def fire(folder, text=VARIANTS, more=()):
    """A shelter with a stove, its whole night."""
    return load(written(folder, _windy(FIRE) + text), settings=[*FEW, *more])


def _windy(text):
    return spoilt(WEATHER, f'{WEATHER}\nwind = "2 m/s"\nspread = "2 K"', text)

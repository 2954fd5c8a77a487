"""A small night with a stove, for tests of the assembly; invented."""

from tests.simulate.cases import EVEN, scenario

STOVE = """
[stove]
firebox = { length = "45 cm", width = "25 cm", height = "30 cm" }
sheet = "1.2 mm steel"
legs = "20 cm"
[stove.pipe]
diameter = "10 cm"
inside = "1.9 m"
outside = "70 cm"
[stove.air]
opening = "20 cm2"
marks = { shut = "0 %", half = "50 %", wide = "100 %" }
[wood]
species = "lodgepole pine"
moisture = "20 % wet"
[wood.pieces]
stick = { thick = "4 cm", long = "30 cm" }
split = { thick = "9 cm", long = "40 cm" }
[stoking]
air = "wide"
[[stoking.load]]
at = "18:00"
pieces = { stick = 4, split = "1.6 kg" }
[[stoking.load]]
at = "21:00"
pieces = { split = 2 }
"""
IN_THE_OPEN = {"shelter": "none"}


def stove_night(changes=None):
    """The even night of the shelter with a stove in place of a known heat, changed."""
    head, _, _ = EVEN.partition("[heat]")
    return scenario(head + STOVE).replace(dict(changes or {}))

"""A whole room against the German test suite for such models: VDI 6007-1, test cases 1 to 3, 60 days each.

A room of two masses behind two surfaces, an outer wall of 10.5 m2 and inner ones of 75.5 m2, air between them, all at
22 degC, 22 degC outdoors; 1 kW from 6 to 18 h every day. It is built from nodes, links and a source of
`simtent.network` alone (`rooms.py` holds every number). The standard prints the air's mean over each hour to 0.1 K and
allows 0.1 K, with the rounding 0.15 K. Its tables were seen through the open Modelica Buildings Library.

No tent is like these rooms: they show that masses, surfaces and a heat source add up over months.
"""

from simtent.network.kernels import add_links, add_sources
from simtent.network.solve import solve

from .claims import SECOND_HAND, case, claims, off
from .rooms import PRINTED, hourly_means
from .sources import VDI_6007

SUBJECT = "A room over 60 days"
ROOMS = {
    1: "heavy room, heat to the air",
    2: "heavy room, radiant heat",
    3: "light room, heat to the air",
}


@claims(
    "Mean air temperature of each of a day's 24 hours",
    VDI_6007,
    SECOND_HAND,
    unit="degC",
    allowed=off(0.15),
    laws=[solve, add_links, add_sources],
    cases=[
        case(f"case {number}, {ROOMS[number]}, day {day}", printed, number, day)
        for (number, day), printed in PRINTED.items()
    ],
)
def test_hourly_means(number, day):
    return hourly_means(number)[day - 1]

"""Where a source of heat stands in the room: its plume takes in less air beside a wall."""

from typing import Literal

from simtent.scenario.quantity import Words

Stands = Literal["free", "at a wall", "in a corner"]
STANDS = Words(
    meaning="where it stands: beside one wall or two, less air is drawn into what rises from it; "
    "the maker's clearances hold wherever it stands"
)

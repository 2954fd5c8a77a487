"""Stoking as the model reads it: seconds from the night's begin, plain tuples."""

from dataclasses import dataclass

from simtent.scenario.turns import Pieces, Steps


@dataclass(frozen=True, slots=True)
class TimedLoad:
    """Wood put on at a moment.

    at           seconds from the begin [s]
    pieces       counts or masses [kg] by kind
    lit          whether it is lit by hand
    catches      whether coals light it whatever their odds
    air, damper  what is turned
    """

    at: float
    pieces: Pieces
    lit: bool
    air: Steps
    damper: Steps
    catches: bool = False


@dataclass(frozen=True, slots=True)
class TimedSetting:
    """Levers turned at a moment, seconds from the begin [s]."""

    at: float
    air: Steps
    damper: Steps


@dataclass(frozen=True, slots=True)
class TimedRule:
    """A load that the cold calls for.

    begin, end   its hours, seconds from the night's begin, within the night [s]
    level        the level it watches
    below        it calls when the level falls to this [K]
    needs_coals  whether it calls only while the coals still light a load
    pieces       counts or masses [kg] by kind
    most         how often it may call
    wake         from its call to the open door [s]
    rearm        the level must rise so far above `below` before it can call again [K]
    """

    begin: float
    end: float
    level: str
    below: float
    needs_coals: bool
    pieces: Pieces
    air: Steps
    damper: Steps
    most: int
    wake: float
    rearm: float

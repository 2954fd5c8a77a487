"""Dated input as tables of the engine."""

from simtent.network import tables
from simtent.network.tables import Table
from simtent.scenario.track import Track


def driver(track: Track) -> Table:
    """Table of something that always is: weather. Before its first moment the first value holds."""
    if len(track.times) == 1:
        return tables.constant(track.values[0])
    if track.shape == "smooth":
        return tables.smooth(track.times, track.values)
    return tables.lines(track.times, track.values)


def release(track: Track, factor: float) -> Table:
    """Table of a source's power, scaled by a factor; nothing before its first moment."""
    values = [factor * value for value in track.values]
    if track.shape == "steps":
        return tables.steps(track.times, values)
    return tables.lines(track.times, values)

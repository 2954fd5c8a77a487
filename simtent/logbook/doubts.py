"""Readings that a sensor may have made up: values that stand still while others move, single spikes.

They are flagged and stay; limits are own choice, common practice, no source.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

STILL = 3600.0  # s that a value may stand still while another sensor moves
STILL_ALONE = 3.0 * 3600.0  # s that the only sensor may stand still
STILL_READINGS = 10
MOVED = 3.0  # K that another sensor moves meanwhile
SPIKE = 8.0  # K above both neighbours
SPIKE_AT_FIRE = 80.0  # K, of stove and pipe
AT_FIRE = ("stove", "pipe")
Track = tuple[Sequence[float], Sequence[float]]  # seconds, strictly rising; kelvin


def stuck(place: str, tracks: Mapping[str, Track]) -> Iterator[tuple[int, int]]:
    """Runs of equal readings of a sensor, as index of the first and of the one after the last.

    A run counts if it lasts an hour, has ten readings, and another sensor moved by 3 K meanwhile; of the only sensor,
    if it lasts three hours.
    """
    seconds, kelvin = tracks[place]
    others = [track for name, track in tracks.items() if name != place]
    for _, group in groupby(range(len(kelvin)), kelvin.__getitem__):
        run = list(group)
        begin, end = seconds[run[0]], seconds[run[-1]]
        if len(run) < STILL_READINGS or end - begin < (STILL if others else STILL_ALONE):
            continue
        if not others or any(_moved(track, begin, end) for track in others):
            yield run[0], run[-1] + 1


def spikes(place: str, track: Track) -> Iterator[int]:
    """Single readings far off both neighbours, which agree with each other within a third of that."""
    _, kelvin = track
    limit = SPIKE_AT_FIRE if place in AT_FIRE else SPIKE
    for at in range(1, len(kelvin) - 1):
        before, after = kelvin[at] - kelvin[at - 1], kelvin[at] - kelvin[at + 1]
        least = min(abs(before), abs(after))
        if before * after > 0.0 and least > limit and abs(before - after) < least / 3.0:
            yield at


def _moved(track: Track, begin: float, end: float) -> bool:
    seconds, kelvin = track
    within = kelvin[bisect_left(seconds, begin) : bisect_right(seconds, end)]
    return bool(within) and max(within) - min(within) >= MOVED

"""Windows lie in the skin: under the peak, no larger than the part there, and beside each other."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from simtent.errors import Fault
from simtent.geometry.face import Shape
from simtent.scenario.checks_heights import too_high
from simtent.scenario.fabric import PARTS
from simtent.scenario.faults import Places
from simtent.scenario.shelter import Shelter
from simtent.scenario.tree import Path
from simtent.scenario.windows import Window
from simtent.units import show

ROUNDING = 1.0 + 1e-9
Entry = tuple[int, Window]


def check_windows(shelter: Shelter, places: Places) -> Iterator[Fault]:
    """Faults of windows that the skin has no room for."""
    outline, fitting = shelter.outline, list[Entry]()
    for n, window in enumerate(shelter.window):
        path: Path = ("shelter", "window", n)
        there = outline.area(window.part, window.from_, window.to)
        if window.to > outline.peak:
            yield too_high((*path, "to"), "the window ends above the peak", outline.peak, places)
        elif there == 0.0:
            what = f"the shelter has no {window.part} between {_heights(window.from_, window.to, places)}"
            todo = "Give the part and the heights between which the window lies"
            yield places.put(Fault(what, todo=todo), (*path, "part"))
        elif window.area > there * ROUNDING:
            what = f"the window is larger than the {window.part} between its heights"
            yield places.put(Fault(what, allowed=_up_to(there, places), todo=SMALLER), (*path, "area"))
        else:
            fitting.append((n, window))
    for part in PARTS:
        yield from _crowded([entry for entry in fitting if entry[1].part == part], outline, places)


def _crowded(entries: Sequence[Entry], outline: Shape, places: Places) -> Iterator[Fault]:
    """The last of several windows that lie over each other and together are larger than the part there."""
    told = set[int]()
    for low, high in pairwise(sorted({h for _, window in entries for h in (window.from_, window.to)})):
        there = outline.area(entries[0][1].part, low, high)
        here = [(n, w) for n, w in entries if w.from_ <= low and high <= w.to]
        taken = sum(w.area * there / outline.area(w.part, w.from_, w.to) for _, w in here)
        if taken <= there * ROUNDING or not here or here[-1][0] in told:
            continue
        n, last = here[-1]
        told.add(n)
        others = " and ".join(f"{other + 1}" for other, _ in here[:-1])
        what = (
            f"with window {others} it takes {show(taken, 'area', places.units, 2)} of the {last.part} between "
            f"{_heights(low, high, places)}, where there is {show(there, 'area', places.units, 2)}"
        )
        yield places.put(Fault(what, todo=SMALLER), ("shelter", "window", n, "area"))


def _heights(low: float, high: float, places: Places) -> str:
    return f"{show(low, 'length', places.units, 2)} and {show(high, 'length', places.units, 2)}"


def _up_to(area: float, places: Places) -> str:
    return f"up to {show(area, 'area', places.units, 2)}"


SMALLER = "Make it smaller, or let it reach over other heights"

"""What stove, wood and stoking cannot check alone: names they use of each other, sizes, the sleepers' least."""

from collections.abc import Iterable, Iterator, Mapping

from simtent.errors import Fault
from simtent.scenario.faults import Places
from simtent.scenario.names import level_of_ones_own
from simtent.scenario.nearest import nearest
from simtent.scenario.shelter import Shelter
from simtent.scenario.stoking import Stoking
from simtent.scenario.stove import Stove
from simtent.scenario.tree import Path
from simtent.scenario.turns import Pieces, Steps
from simtent.scenario.wood import Wood
from simtent.units import show

FULLEST = 0.6
"""Wood over firebox, by volume, at most: more cannot be laid loosely. Closed-form estimate; common practice."""

TEST_LOAD = 112.0
"""Moist wood over firebox volume [kg/m3] of the load that stoves are tested with: EPA Method 28, second-hand."""

ROUNDING = 1.0 + 1e-9


def check_pipe(stove: Stove, shelter: Shelter, places: Places) -> Iterator[Fault]:
    """The stove stands under the roof, and its pipe reaches it, or passes the wall."""
    if stove.collar >= shelter.peak:
        allowed = f"below {show(shelter.peak, 'length', places.units)} with the firebox on them"
        fault = Fault("the stove is higher than the shelter", allowed=allowed, todo="Shorten its legs")
        yield places.put(fault, ("stove", "legs"))
        return
    if shelter.openings.jack is not None and shelter.openings.jack.through == "wall":
        return
    edge = shelter.eaves
    if stove.collar + stove.pipe.inside * ROUNDING < edge:
        allowed = f"at least {show(edge - stove.collar, 'length', places.units, 2)}"
        todo = (
            f"Its end is {show(stove.collar + stove.pipe.inside, 'length', places.units, 2)} above the ground, the "
            f"roof begins at {show(edge, 'length', places.units, 2)}: give the pipe's length from the stove to the roof"
        )
        fault = Fault("the pipe does not reach the roof", allowed=allowed, todo=todo)
        yield places.put(fault, ("stove", "pipe", "inside"))


def check_pieces(stove: Stove, wood: Wood, places: Places) -> Iterator[Fault]:
    """Every piece goes into the firebox."""
    box = stove.firebox
    longest, thickest = max(box.length, box.width, box.height), min(box.length, box.width, box.height)
    for name, piece in wood.pieces.items():
        for key, size, most in (("long", piece.long, longest), ("thick", piece.thick, thickest)):
            if size > most * ROUNDING:
                what = {"long": "longer than the firebox", "thick": "thicker than the firebox is wide"}[key]
                allowed = f"up to {show(most, 'length', places.units, 2)}"
                todo = "Give the size of pieces that go in with the door closed"
                yield places.put(Fault(what, allowed=allowed, todo=todo), ("wood", "pieces", name, key))


def check_loads(stove: Stove, wood: Wood, stoking: Stoking, places: Places) -> Iterator[Fault]:
    """Pieces are known, and a load leaves room in the firebox."""
    for path, pieces in piles(stoking):
        unknown = [name for name, _ in pieces if name not in wood.pieces]
        for name in unknown:
            yield places.put(_unknown("pieces", name, wood.pieces), (*path, name))
        if not unknown:
            yield from _too_much(stove, wood, pieces, path, places)


def _too_much(stove: Stove, wood: Wood, pieces: Pieces, path: Path, places: Places) -> Iterator[Fault]:
    mass = sum(wood.load_masses(pieces).values())
    share = wood.volume_of(mass) / stove.firebox.volume
    if share > FULLEST * ROUNDING:
        most = show(mass * FULLEST / share, "mass", places.units)
        fault = Fault(
            f"the wood is too much for the firebox: {100.0 * share:.0f} % of its volume",
            value=show(mass, "mass", places.units),
            allowed=f"up to {100.0 * FULLEST:.0f} %, that is {most} of this wood",
            todo="Put on less at a time",
        )
        yield places.put(fault, path)


def check_levels(levels: Mapping[str, float], stoking: Stoking, places: Places) -> Iterator[Fault]:
    """Rules watch levels that are there; in the open there are none."""
    for n, rule in enumerate(stoking.rule):
        path: Path = ("stoking", "rule", n, "when", "level")
        if places.in_the_open:
            todo = "Give loads by the clock, [[stoking.load]], and take the rule away"
            yield places.put(Fault("a rule watches a level, and in the open there is none", todo=todo), path)
        elif rule.when.level not in levels:
            own = level_of_ones_own(rule.when.level)
            yield places.put(_unknown("level", rule.when.level, levels, own), path)


def check_marks(stove: Stove, stoking: Stoking, places: Places) -> Iterator[Fault]:
    """Every mark is one of the stove's; a damper is set if and only if there is one."""
    if stove.damper is not None and stoking.damper is None:
        marks = ", ".join(stove.damper.marks)
        todo = 'Add damper = "..." under [stoking], or take the damper away: stove.damper = "none"'
        fault = Fault(
            "the stove has a damper, and nothing says how it stands at the begin", allowed=marks, todo=todo
        )
        yield places.put(fault, ("stoking", "damper"))
    for lever, mark, path in named_marks(stoking):
        if lever == "damper" and stove.damper is None:
            todo = "Add [stove.damper] with its marks, or leave it out here"
            yield places.put(Fault("a damper is set, and the stove has none", todo=todo), path)
            continue
        known = marks_of(stove, lever)
        if mark not in known:
            yield places.put(_unknown("mark", mark, known), path)


def marks_of(stove: Stove, lever: str) -> Mapping[str, float]:
    """The marks of a lever, each with its share; none for a damper that is not there."""
    if lever == "air":
        return stove.air.marks
    return stove.damper.marks if stove.damper else {}


def named_marks(stoking: Stoking) -> Iterator[tuple[str, str, Path]]:
    """Every mark that stoking names: of which lever, and where it was given."""
    for lever in ("air", "damper"):
        start: str | None = getattr(stoking, lever)
        if start is not None:
            yield lever, start, ("stoking", lever)
    for kind in ("load", "set", "rule"):
        for n, entry in enumerate(getattr(stoking, kind)):
            for lever in ("air", "damper"):
                for mark, path in marks_in(getattr(entry, lever), ("stoking", kind, n, lever)):
                    yield lever, mark, path


def marks_in(steps: Steps | None, path: Path) -> tuple[tuple[str, Path], ...]:
    """The marks of several steps, each with the place where it was given; one alone stands at the path itself."""
    if steps is None:
        return ()
    return tuple((step.mark, path if len(steps) == 1 else (*path, n, "mark")) for n, step in enumerate(steps))


def _unknown(what: str, name: str, known: Iterable[str], own: str = "Use one of these names") -> Fault:
    names = list(known)
    todo = nearest(name, names) or own
    return Fault(f'unknown {what} "{name}"', allowed=", ".join(names), todo=todo)


def piles(stoking: Stoking) -> Iterator[tuple[Path, Pieces]]:
    """Every pile of wood that stoking names, by the clock and by rules, and where it was given."""
    for n, load in enumerate(stoking.load):
        yield ("stoking", "load", n, "pieces"), tuple(load.pieces.items())
    for n, rule in enumerate(stoking.rule):
        yield ("stoking", "rule", n, "load"), tuple(rule.load.items())

"""What a plan may choose from: sizes of loads, marks of the levers, times."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from simtent.scenario.scenario import Scenario
from simtent.scenario.stove import Stove
from simtent.scenario.timed import TimedLoad
from simtent.scenario.turns import Pieces
from simtent.scenario.wood import Wood

GRID = 900.0  # s between the times that are tried
CATCHING = 900.0  # s with the levers wide open after a load; 10 to 15 min, common practice, no source
APART = 1800.0  # s between two loads at least: a load is to have caught before the next
BETWEEN = (3600.0, 5400.0, 1800.0)  # s between the loads of an evening; own choice
FOLLOWS = (1800.0, 3600.0)  # s from the first load to the second: as the user has it, within these
KINDS = 2  # kinds of pieces for loads, the thickest: thin ones are for lighting; own choice
STEP = 1.2  # a load is so many times the next smaller one; own choice
SIZES = 9  # of loads
LOOSE = 0.4  # wood over firebox, by volume, of a full load: pieces thrown in, not fitted in; from memory
SMALLEST = 6.0  # the largest load over the smallest
# Shares of the full opening from which marks are taken where no least is stated; own choice, on the careful side.
UNSTATED = {"air": 0.2, "damper": 0.5}

Pile = tuple[float, int, Pieces]  # mass [kg], count of pieces, what it is


@dataclass(frozen=True, order=True, slots=True)
class Levers:
    """Marks of air and damper; no damper, no mark."""

    air: str
    damper: str | None


@dataclass(frozen=True)
class Choices:
    """All that a plan may be made of.

    loads     piles of whole pieces, by rising mass
    levers    settings that may stand while people sleep, from the least to the most open
    wide      how they stand while a load catches
    between   spacings of the evening's loads [s]
    grid      of the times [s from the begin, counted from bed]
    first     the load that lights the fire, kept as it is
    follows   when the second load comes [s from the begin]
    bed, rise  moments [s from the begin]
    """

    loads: tuple[Pieces, ...]
    levers: tuple[Levers, ...]
    wide: Levers
    between: tuple[float, ...]
    grid: float
    first: TimedLoad
    follows: float
    bed: float
    rise: float

    @property
    def at_bed(self) -> float:
        """When the load for the night is put on [s]: it has caught, and the levers are turned down, at bedtime."""
        return self.bed - CATCHING

    @property
    def judged_from(self) -> float:
        """From when on the cot is to be as warm as wished [s]."""
        return self.bed

    @property
    def done_till(self) -> float:
        """Until when all that the scenario's file does stays as it is [s]; its first load always does."""
        return self.first.at

    @property
    def hazards_from(self) -> float:
        """From when on the hottest metal and the fullest firebox count [s]."""
        return 0.0

    @property
    def seen_glowing(self) -> float | None:
        """When somebody sees coals glow [s]: a load that is put on just then catches, whatever its odds."""
        return None

    def times(self) -> list[float]:
        """Moments between bed and rise at which somebody may get up [s]."""
        count = int((self.rise - self.bed) / self.grid + 1e-9)
        return [at for k in range(1, count + 1) if (at := self.bed + k * self.grid) < self.rise - 1.0]


def choices_of(scenario: Scenario, *, grid: float = GRID) -> Choices:
    """The choices that a scenario leaves; nothing may be wrong with it by `refused.faults_of`."""
    stove, wood, stoking, wish = scenario.stove, scenario.wood, scenario.stoking, scenario.wish
    assert stove and wood and stoking and wish.bed and wish.rise
    bed, rise = (scenario.night.seconds_at(clock) for clock in (wish.bed, wish.rise))
    first = stoking.loads[0]
    second = next((load.at for load in stoking.loads[1:] if load.at < bed), first.at + FOLLOWS[0])
    gap = round(min(max(second - first.at, FOLLOWS[0]), FOLLOWS[1]) / GRID) * GRID
    return Choices(
        loads=loads_of(stove, wood),
        levers=_levers(stove),
        wide=_widest(stove),
        between=BETWEEN,
        grid=grid,
        first=first,
        follows=first.at + gap,
        bed=bed,
        rise=rise,
    )


def loads_of(stove: Stove, wood: Wood) -> tuple[Pieces, ...]:
    """Piles of the thickest pieces that the firebox takes, each at least `STEP` times the one before.

    Of piles of about the same mass the one with the fewest pieces is taken.
    """
    kinds = sorted(wood.pieces, key=lambda name: -wood.pieces[name].thick)[:KINDS]
    room = LOOSE * stove.firebox.volume
    masses = {name: wood.piece_mass(name) for name in kinds}
    most = [int(room / wood.volume_of(masses[name]) + 1e-9) for name in kinds]
    piles: list[Pile] = []
    for counts in product(*(range(count + 1) for count in most)):
        mass = sum((count * masses[name] for count, name in zip(counts, kinds, strict=True)), start=0.0)
        if 0.0 < wood.volume_of(mass) <= room:
            pile = tuple((name, count) for name, count in zip(kinds, counts, strict=True) if count)
            piles.append((mass, sum(counts), pile))
    return tuple(_spread_out(piles))


def _spread_out(piles: list[Pile]) -> Iterator[Pieces]:
    """Some of the piles, from the smallest that is worth a load to the largest."""
    if not piles:
        return
    largest = max(mass for mass, _, _ in piles)
    under, kept = piles, list[Pile]()
    while under and len(kept) < SIZES:
        heaviest = max(mass for mass, _, _ in under)
        near = [it for it in under if it[0] * (1.0 + 0.5 * (STEP - 1.0)) >= heaviest]
        kept.append(min(near, key=lambda it: (it[1], -it[0])))
        under = [it for it in piles if it[0] >= largest / SMALLEST and it[0] * STEP <= kept[-1][0]]
    yield from (pile for _, _, pile in reversed(kept))


def _levers(stove: Stove) -> tuple[Levers, ...]:
    """Settings not below the least for sleepers; where none is stated, nothing that is nearly shut."""
    air = _allowed("air", stove.air.marks, stove.air.least_when_asleep)
    damper: list[str | None] = [None]
    if stove.damper:
        damper = [*_allowed("damper", stove.damper.marks, stove.damper.least_when_asleep)]
    return tuple(sorted((Levers(a, d) for a, d in product(air, damper)), key=lambda it: openness(stove, it)))


def openness(stove: Stove, levers: Levers) -> tuple[float, float]:
    """How far air and damper stand open [-]; without a damper its pipe is."""
    damper = 1.0 if stove.damper is None or levers.damper is None else stove.damper.marks[levers.damper]
    return stove.air.marks[levers.air], damper


def _allowed(lever: str, marks: dict[str, float], least: str | None) -> list[str]:
    """Marks that may stand while people sleep."""
    lowest = UNSTATED[lever] if least is None else marks[least]
    return [name for name, share in marks.items() if share >= lowest - 1e-12] or [
        max(marks, key=marks.__getitem__)
    ]


def _widest(stove: Stove) -> Levers:
    damper = max(stove.damper.marks, key=stove.damper.marks.__getitem__) if stove.damper else None
    return Levers(max(stove.air.marks, key=stove.air.marks.__getitem__), damper)

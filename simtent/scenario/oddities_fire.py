"""What is odd about stove, wood and stoking, where several fields must be seen together."""

from collections.abc import Iterator

from simtent.scenario.checks_fire import FULLEST, piles
from simtent.scenario.odd import Look, Oddity
from simtent.scenario.shelter import Shelter
from simtent.scenario.stove import Stove
from simtent.scenario.wood import Piece, Wood
from simtent.units import show

# All limits here: common practice, no source.
WET = 0.25  # water over moist wood
NEARLY_FULL = 0.85  # of what can be laid loosely
KINDLING = 0.03  # m, the thickest piece that a match and some tinder light
FIREBOX_PER_FLOOR = (0.0007, 0.007)  # m3/m2: 12 L for 5 to 12 m2, 60 L for 15 to 40 m2, with room to spare


def odd_fire(look: Look) -> Iterator[Oddity]:
    """Oddities of a stove, its wood and how it is tended; none where there is no stove."""
    scenario = look.scenario
    if scenario.stove is None or scenario.wood is None:
        return
    if scenario.shelter is not None:
        yield from _size(look, scenario.stove, scenario.shelter)
        yield from _held_draught(look, scenario.stove)
        yield from _no_least(look, scenario.stove)
        yield from _shut_damper(look, scenario.stove)
    yield from _wet(look, scenario.wood)
    yield from _full(look, scenario.stove, scenario.wood)
    yield from _unlit(look, scenario.wood)


def _size(look: Look, stove: Stove, shelter: Shelter) -> Iterator[Oddity]:
    share = stove.firebox.volume / shelter.floor_area
    low, high = FIREBOX_PER_FLOOR
    if low <= share <= high:
        return
    floor = show(shelter.floor_area, "area", look.units)
    small = share < low
    yield look.odd(
        ("stove", "firebox"),
        f"a firebox of {1000.0 * stove.firebox.volume:.2g} L is {'small' if small else 'large'} for {floor} of floor",
        "It may not hold heat against a cold night."
        if small
        else "It can overheat the room, and it leaves little distance to fabric and beds.",
        "Check the inner sizes of the firebox and those of the shelter, and their units.",
    )


def _held_draught(look: Look, stove: Stove) -> Iterator[Oddity]:
    if stove.pipe.draft is not None:
        yield look.odd(
            ("stove", "pipe", "draft"),
            "the draught is held, as on a test bench, and people are inside",
            "A held draught never weakens and never turns round: smoke that comes back into the room is not seen.",
            "Leave draft out for a night in a shelter.",
        )


def _no_least(look: Look, stove: Stove) -> Iterator[Oddity]:
    if stove.air.least_when_asleep is None and look.scenario.crew.asleep:
        yield look.odd(
            ("stove", "air"),
            "no lowest mark of the air is set for when people sleep",
            "A fire that is starved of air makes the most smoke and carbon monoxide, and sleepers notice neither.",
            'Add least_when_asleep = "...", the lowest mark of the air that the stove\'s maker allows.',
        )


def _shut_damper(look: Look, stove: Stove) -> Iterator[Oddity]:
    for mark, share in stove.damper.marks.items() if stove.damper else ():
        if share == 0.0:
            yield look.odd(
                ("stove", "damper", "marks", mark),
                f'at "{mark}" the damper closes the pipe altogether',
                "Smoke and carbon monoxide of a fire, and of coals that die, then stay where people are.",
                "Write the share that the shut plate leaves open. One that leaves nothing open does not belong there.",
            )


def _wet(look: Look, wood: Wood) -> Iterator[Oddity]:
    if wood.moisture > WET:
        yield look.odd(
            ("wood", "moisture"),
            f"the wood is wet: {show(wood.moisture, 'share', look.units)} of its wet weight is water",
            "Wet wood burns slowly and cool, smokes, and coats the pipe with creosote that can catch fire.",
            "Split it, bring dry wood, or correct the figure: meters show water over dry wood, a larger number.",
        )


def _full(look: Look, stove: Stove, wood: Wood) -> Iterator[Oddity]:
    stoking = look.scenario.stoking
    for path, pieces in piles(stoking) if stoking else ():
        mass = sum(wood.load_masses(pieces).values())
        share = wood.volume_of(mass) / stove.firebox.volume
        if share > NEARLY_FULL * FULLEST:
            weight = show(mass, "mass", look.units)
            yield look.odd(
                path,
                f"this load nearly fills the firebox: {weight}, {100.0 * share:.0f} % of its volume",
                "A stove fed so much with its air open glows and warps; packed tight it smoulders.",
                "Check the count. The largest load that the stove's maker allows comes first.",
            )


def _unlit(look: Look, wood: Wood) -> Iterator[Oddity]:
    """The first load has something thin to light."""
    stoking = look.scenario.stoking
    if stoking is None or not stoking.loads:
        return
    first = min(range(len(stoking.load)), key=lambda n: look.scenario.night.seconds_at(stoking.load[n].at))
    thinnest = min(wood.pieces[name].thick for name in stoking.load[first].pieces)
    if thinnest > KINDLING:
        yield look.odd(
            ("stoking", "load", first, "pieces"),
            f"the first load has no kindling: its thinnest piece is {look.told(Piece, 'thick', thinnest)} thick",
            "A match lights thin wood only. The fire of this file takes hold all the same, yours may not.",
            f"Add a kind of pieces up to {look.told(Piece, 'thick', KINDLING)} thick, and put some on first.",
        )

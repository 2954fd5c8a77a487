"""What is odd about distances to the stove, and about what instruments at it showed."""

from collections.abc import Iterator

from simtent.scenario.instruments import PLACES, USUAL, FlueReading, Where
from simtent.scenario.odd import Look, Oddity
from simtent.scenario.shelter import Shelter
from simtent.scenario.stove import Place, Stove
from simtent.scenario.tree import Leaf, Table
from simtent.units import show

# The least that a house keeps even behind sheet metal with open air behind it, 12 in; NFPA 211, second-hand.
SHIELDED = 0.3048  # m
ROUNDING = 1.0 - 1e-3
ZERO_CELSIUS = 273.15
THINGS = {
    "from_wall": "the wall of fabric",
    "from_roof": "the fabric above the stove",
    "from_bed": "bedding",
    "from_wood": "stacked wood",
}
TOLD = {where: text for text, where in PLACES.items()}


def odd_close(look: Look) -> Iterator[Oddity]:
    """Oddities of [stove.place] and of [instruments]."""
    stove, shelter = look.scenario.stove, look.scenario.shelter
    if stove is not None and stove.place is not None:
        yield from _close(look, stove.place)
        if shelter is not None:
            yield from _roof(look, stove, stove.place, shelter)
    if look.scenario.instruments.flue is not None:
        yield from _unlikely(look, look.scenario.instruments.flue)


def _close(look: Look, place: Place) -> Iterator[Oddity]:
    for key, thing in THINGS.items():
        distance = getattr(place, key)
        if distance is not None and distance < SHIELDED * ROUNDING:
            yield look.odd(
                ("stove", "place", key),
                f"{thing} only {look.told(Place, key, distance)} from the stove",
                f"A house keeps {look.told(Place, key, SHIELDED)} even behind sheet metal with open air behind it "
                "(NFPA 211, second-hand), three times that without. Cloth and bedding catch sooner than its walls.",
                "Measure again, to the nearest point of the body. If it is so, move one of them before a fire burns.",
            )


def _roof(look: Look, stove: Stove, place: Place, shelter: Shelter) -> Iterator[Oddity]:
    room = shelter.peak - stove.collar
    if place.from_roof is not None and place.from_roof * ROUNDING > room:
        yield look.odd(
            ("stove", "place", "from_roof"),
            f"there is no more than {show(room, 'length', look.units, 2)} between the stove's top and the peak",
            "From too large a distance the fabric above the stove looks cooler than it is.",
            "Measure from the top of the firebox to the nearest fabric above it.",
        )


def _unlikely(look: Look, reading: FlueReading) -> Iterator[Oddity]:
    """A reading that is out of what is usual, and would not be with another unit or at the other place."""
    written = _text(look)
    fahrenheit = "F" in written.partition("at")[0].partition("of")[0]
    if _usual(reading.kelvin, reading.where):
        return
    celsius = reading.kelvin - ZERO_CELSIUS
    number = 1.8 * celsius + 32.0 if fahrenheit else celsius
    other = number + ZERO_CELSIUS if fahrenheit else (number - 32.0) / 1.8 + ZERO_CELSIUS
    elsewhere: Where = "gas" if reading.where == "surface" else "surface"
    likely = []
    if _usual(other, reading.where):
        likely.append(f"{number:.0f} {'degC' if fahrenheit else 'degF'}")
    if _usual(reading.kelvin, elsewhere):
        likely.append(f"the same {TOLD[elsewhere]}")
    if likely:
        yield look.odd(
            ("instruments", "flue"),
            f"not usual {TOLD[reading.where]}; {' or '.join(likely)} would be",
            "A thermometer on the pipe shows about half of what a probe in the gas does, and many show degF.",
            "Check the unit, and what it measured. If it is right, leave it as it is: the answer tells what it means.",
        )


def _usual(kelvin: float, where: Where) -> bool:
    low, high = USUAL[where]
    return low <= kelvin - ZERO_CELSIUS <= high


def _text(look: Look) -> str:
    """The reading as it was written."""
    table = look.scenario.tree.nodes.get("instruments")
    leaf = table.nodes.get("flue") if isinstance(table, Table) else None
    return str(leaf.value) if isinstance(leaf, Leaf) else ""

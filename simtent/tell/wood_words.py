"""The wood of a trip in words: what to take first, then night by night, then what a colder trip takes."""

import re
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import replace

from simtent.assess.findings import Finding
from simtent.scenario.scenario import Scenario
from simtent.supply.burnt import Burnt
from simtent.supply.pile import SOLID, SOLID_RANGE
from simtent.supply.supplied import Supply, TripNight
from simtent.tell.unsure import fitted_to
from simtent.tell.wood_others import others, pieces_text
from simtent.tell.words import TIED, degrees, paragraph, percent, wood_mass
from simtent.units import System, show

ZERO_CELSIUS = 273.15
PIECES = 25  # width of the column of pieces
NO_MORE = (
    "No more wood is burnt, and it gets colder instead: that says nothing of what a night as warm would take, nor "
    "whether the margin is enough."
)
MISSED = {
    "cot": "the cot gets colder than asked", "rise": "the cot is colder than asked at rise",
    "head": "the head gets hotter than asked before bed", "coals": "coals may not light a load",
    "wood": "there is too little wood at hand", "fullest": "the firebox gets too full",
    "stove": "the stove gets too hot", "jack": "the pipe gets too hot", "cool": "wood smoulders under a cool flue",
}  # fmt: skip


def told(supply: Supply, system: System) -> list[str]:
    """All that there is to say, in lines of at most 80 characters."""
    return [
        *unfinished(supply),
        *to_take(supply, system),
        "",
        *by_night(supply, system),
        *not_kept(supply),
        "",
        *if_colder(supply, system),
        "",
        *others(supply, system),
    ]


def heading(scenario: Scenario) -> list[str]:
    """Which trip this is, and what differs from the file."""
    evenings = [night.evening for night in scenario.trip]
    count = f"{len(evenings)} night{'s' if len(evenings) > 1 else ''}"
    first = f"{scenario.name}, trip of {count}, {min(evenings)} to {max(evenings)}."
    if scenario.invented:
        first += " Invented scenario: it describes no real camp."
    fitted = [text] if (text := fitted_to(scenario)) else []
    changed = [f"Changed from the file: {change}" for change in scenario.changes]
    return [line for words in (first, *fitted, *changed) for line in paragraph(words)]


def found(supply: Supply, always: Iterable[Finding]) -> list[Finding]:
    """Findings of the coldest night beside those that hold always, and what says stop in any other."""
    told = [it for it in supply.coldest.burnt.findings if it not in always]
    there = {(it.level, it.where, _without_numbers(it.what)) for it in told}
    for night in supply.nights:
        for it in night.burnt.stops:
            key = (it.level, it.where, _without_numbers(it.what))
            if key not in there and it not in always:
                told.append(replace(it, when=f"{night.evening} {it.when}".rstrip()))
                there.add(key)
    return told


def _without_numbers(text: str) -> str:
    """A sentence by which the same finding is known in two nights."""
    return re.sub(r"\d+(\.\d+)?", "", text)


def unfinished(supply: Supply) -> list[str]:
    """That nights are missing."""
    if not supply.stopped:
        return []
    what = f"NOT THE WHOLE TRIP: it was interrupted. Counted: {len(supply.nights)} of {supply.asked} nights"
    last = ", the last by a plan that was not searched to its end" if supply.nights[-1].burnt.stopped else ""
    return [*paragraph(f"{what}{last}."), ""]


def to_take(supply: Supply, system: System) -> list[str]:
    """What to take: pieces, weight, volume, ways, kindling."""
    pile, carry = supply.to_bring, supply.scenario.carry
    kind, wet = pile.wood.species.name, percent(pile.wood.moisture)
    volumes = [show(pile.stacked * SOLID / share, "volume", system) for share in reversed(SOLID_RANGE)]
    lines = ["WOOD TO TAKE", "", *paragraph(pieces_text(pile), first="  ", rest="  "), ""]
    pairs = [
        (
            "Weight",
            f"{wood_mass(pile.mass, system)} as carried, {kind} with {wet} water by wet weight",
        ),
        (
            "Stacked",
            f"about {show(pile.stacked, 'volume', system)} ({volumes[0]} to {volumes[1]} by how it is stacked)",
        ),
    ]
    if carry.sled_load is not None:
        ways = pile.ways(carry.sled_load)
        text = f"{ways} way{'s' if ways > 1 else ''} with {wood_mass(carry.sled_load, system)} on the sled"
        pairs.append(("Carrying", text))
    pairs += [("Kindling", _kindling(supply)), ("Nights", _margin(supply, system))]
    for label, text in pairs:
        lines += paragraph(text, first=label.ljust(10), rest=" " * 10)
    return lines


def _kindling(supply: Supply) -> str:
    """The pieces that light fires, and what one fire takes."""
    names = supply.to_bring.kindling
    fires = sum(night.burnt.lit for night in supply.nights)
    first = supply.nights[0].burnt.scenario.stoking
    assert first is not None
    one = [
        f"{amount} {name}"
        for name, amount in first.loads[0].pieces
        if name in names and isinstance(amount, int)
    ]
    again = f" Each fire that has to be lit again takes {', '.join(one)} more." if one else ""
    text = ", ".join(f"{count} {name}" for name, count in names.items())
    return f"{text}, in the pieces above, for {fires} fire{'s' if fires > 1 else ''} lit by hand.{again}"


def _margin(supply: Supply, system: System) -> str:
    asked = supply.scenario.carry.margin
    nights = f"the nights come to {wood_mass(supply.pile.mass, system)} ({pieces_text(supply.pile)})"
    if supply.margin > asked:
        why = f"raised from the {percent(asked)} of [carry], for colder air takes that much"
        return f"{nights}; {percent(supply.margin)} more for the cold tail, {why}{_rounded_up(supply)}"
    return f"{nights}; {percent(asked)} more as margin, by [carry]{_rounded_up(supply)}"


def _rounded_up(supply: Supply) -> str:
    """That whole pieces of each kind make the margin larger, where a reader who divides would see it."""
    more = supply.to_bring.mass / supply.pile.mass - 1.0
    if percent(more) == percent(supply.margin):
        return ""
    return f"; {percent(more)} as it is, since each kind is rounded up to whole pieces"


def by_night(supply: Supply, system: System) -> list[str]:
    """The table of nights."""
    how = (
        "by a stoking plan for each"
        if supply.planned
        else "by its own loads and rules, as [stoking] has them"
    )
    lines = [f"NIGHT BY NIGHT, {how}", ""]
    lines.append(
        f"{'evening':<12}{'low':>8}{'wind':>9}  {'pieces':<{PIECES}}{'weight':>8}  {'up':>2}{'coldest':>9}".rstrip()
    )
    for night in supply.nights:
        lines += _row(night, system)
    pile = supply.pile
    lines += _columns(f"{'in all':<12}{'':>17}", pieces_text(pile), f"{wood_mass(pile.mass, system):>8}")
    more = "" if supply.planned else f" {_by_clock(supply)}"
    text = (
        "low, wind: outdoors in that night. up: how often somebody gets up for it between bed and rise. coldest: at "
        f"the cot from bed to rise{_asked(supply, system)}. Every night begins with a cold shelter.{more}"
    )
    return [*lines, "", *paragraph(text)]


def _asked(supply: Supply, system: System) -> str:
    wish = supply.scenario.wish.cot_at_least
    return "" if wish is None else f"; asked for {degrees(wish - ZERO_CELSIUS, system)}"


def _by_clock(supply: Supply) -> str:
    stoking = supply.scenario.stoking
    if stoking is None or stoking.rules:
        return ""
    return "All loads are by the clock, and burn the same whatever the weather: what differs is how cold it gets."


def _row(night: TripNight, system: System) -> list[str]:
    low = show(night.low, "temperature", system, 0)
    head = f"{night.evening!s:<12}{low:>8}{show(night.wind, 'speed', system, 0):>9}"
    return _columns(head, pieces_text(night.burnt.pile), _end(night.burnt, system))


def _end(burnt: Burnt, system: System) -> str:
    mark = "" if burnt.kept else " *"
    return f"{wood_mass(burnt.pile.mass, system):>8}  {burnt.wake_ups:>2}{degrees(burnt.coldest, system):>9}{mark}"


def _columns(head: str, pieces: str, end: str) -> list[str]:
    """A row whose pieces take as many lines as they need."""
    tied = re.sub(r"(?<=\d) ", TIED, pieces)
    first, *rest = [it.replace(TIED, " ") for it in textwrap.wrap(tied, PIECES - 1)] or [""]
    return [f"{head}  {first:<{PIECES}}{end}".rstrip(), *(f"{'':<31}{it}" for it in rest)]


def not_kept(supply: Supply) -> list[str]:
    """Nights that are not as wished, marked in the table."""
    lines: list[str] = []
    for night in supply.nights:
        if night.burnt.kept:
            continue
        what = [MISSED.get(name, name) for name in night.burnt.missed]
        what += ["a finding says STOP: do not go on like this"] if night.burnt.stops else []
        counted = (
            "Counted is the best that was found." if supply.planned else "Counted is what its stoking burns."
        )
        lines += paragraph(f"* {night.evening} is not as wished: {'; '.join(what)}. {counted}", rest="  ")
    return ["", *lines] if lines else []


def if_colder(supply: Supply, system: System) -> list[str]:
    """What nights take if the air is colder than foretold."""
    return [
        "IF IT IS COLDER THAN FORETOLD",
        *(line for it in _colder(supply, system) for line in paragraph(it)),
    ]


def _colder(supply: Supply, system: System) -> Iterator[str]:
    spread = supply.scenario.outdoors.spread
    nights = [night for night in supply.nights if night.colder]
    if not spread:
        yield "Nothing says how far the forecast may be off: give outdoors.spread, and that is simulated too."
        return
    if not nights or supply.tail is None:
        yield "Not simulated: it was interrupted before."
        return
    off = show(spread, "temperature_difference", system, 0 if system == "us" else 1)
    for night in nights if len(nights) == 1 else [min(nights, key=lambda it: it.mean)]:
        assert night.colder is not None
        then, own = night.colder, night.burnt
        kept = "" if then.kept or not own.kept else " Then the wish is no longer kept."
        yield (
            f"{night.evening}, the coldest night, with air {off} colder at all times: {pieces_text(then.pile)}, "
            f"{wood_mass(then.pile.mass, system)} in place of {wood_mass(own.pile.mass, system)}; coldest at the cot "
            f"{degrees(then.coldest, system)} in place of {degrees(own.coldest, system)}.{kept}"
        )
    if supply.tail == 1.0:
        yield NO_MORE
        return
    share = f"{percent(supply.tail - 1.0)} more wood"
    if len(nights) == len(supply.nights) > 1:
        yield f"All nights simulated like that take {share}."
    elif len(supply.nights) > 1:
        yield f"That is {share}. The other nights were not simulated like that, and are taken to need as much more."
    margin = supply.scenario.carry.margin
    covers = (
        "covers that"
        if supply.tail - 1.0 <= margin
        else "does not cover that: more is to be taken, as told above"
    )
    yield f"The margin of {percent(margin)} {covers}."

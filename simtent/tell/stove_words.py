"""How large a stove a shelter needs: tables, then the answer in shop terms, or why there is none."""

from collections.abc import Iterable, Iterator

from simtent.scenario.scenario import Scenario
from simtent.sizing.answer import SWING, Answer
from simtent.sizing.likened import Likened
from simtent.tell import stove_cells as cells
from simtent.tell.stove_tables import held, needs, sizes
from simtent.tell.words import paragraph, wood_mass
from simtent.units import System, show

STEADY = (
    "Design nights are steady: the same air and wind all night, a fire that has settled, levers at one mark but for 10 "
    "minutes wide open after each load, damper open. The air down to which a stove holds the wish comes from two "
    "nights and a straight line. Odds of relighting, burning rates and mixing come in part from memory: leave a margin."
)
LARGER = "A larger stove needs more distance to fabric and beds, a larger pipe jack, and is not a reserve at low air."


def told(scenario: Scenario, found: Answer, system: System) -> list[str]:
    """Lines of at most 80 characters: the design night, the need, sizes, what they hold, the answer."""
    lines = [*paragraph(occasion(scenario, found, system)), "", *tables(found, system)]
    for text in sentences(found, system):
        lines += paragraph(text)
    return lines


def of_class(system: System) -> str:
    """What the sizes of a class and a full load rest on."""
    box, load = cells.proportions(system)
    return (
        "Sizes of a class are in the proportions of the table of stoves: lengths, pipe and air inlet by the cube root "
        f"of the firebox volume from a box of {box}, sheet by its power of 0.6. They are common practice, no source, "
        f"and no maker's. Full load: {load} of firebox (test load of EPA Method 28, second-hand); its pieces are as "
        "thick as the thickest at hand, or as go in. More can be put in: simtent stoke plans loads up to 40 % of the "
        "firebox by volume, about twice as much, and says so. The stove maker's manual says what may be burnt, how "
        "much of it, in what room and how far from what: it comes before every number here."
    )


def tables(found: Answer, system: System) -> list[str]:
    """The need, sizes, and what they hold, each with a blank line behind it."""
    lines = [*needs(found, system), "", *sizes([one.size for one in found.built], system), ""]
    for every in found.asked.every:
        lines += [*held(found, every, system), ""]
    return lines


def sentences(found: Answer, system: System) -> list[str]:
    """The answer, what the scenario's own stove holds, and what all of it rests on."""
    return [*answers(found, system), *_own(found, system), *_mild(found, system), of_class(system), STEADY]


def occasion(scenario: Scenario, found: Answer, system: System) -> str:
    """The shelter, the design night, and what is wished."""
    asked = found.asked
    text = (
        f"{scenario.name}. Design night: {cells.temperature(asked.lows[0], system)} outside, wind "
        f"{show(asked.wind, 'speed', system, 0)}. Wished: {cells.temperature(found.wish, system)} or more at the cot, "
        f"{show(scenario.levels['cot'], 'length', system, 2)} above the ground. {found.nights} nights were simulated."
    )
    return text + (" Invented scenario: it describes no real camp." if scenario.invented else "")


def answers(found: Answer, system: System) -> Iterator[str]:
    """The design night's need, then for each interval the smallest stove, or why there is none."""
    wish = cells.temperature(found.wish, system)
    if found.design == 0.0:
        yield f"Without any fire the cot keeps {wish} in the design night: it needs no stove for this wish."
        return
    need = (
        f"The design night needs {cells.heat(found.design, system)} without a break to hold {wish} at the cot"
    )
    if found.heater_head is None:
        yield f"{need}: no stove holds it. Insulate, close the wind out, or wish for less."
        return
    hot = cells.no_colder(found.heater_head, system)
    yield f"{need}; the head then has {hot}. {_head(found, system)}".strip()
    for every in found.asked.every:
        yield _answer(found, every, system)
    if any(found.smallest(every) for every in found.asked.every):
        yield LARGER


def _head(found: Answer, system: System) -> str:
    """From when on a stove counts as too hot at the head, and whether the wish there can be met at all."""
    if found.head is None or found.limit is None:
        return ""
    wish, limit = cells.temperature(found.head, system), cells.no_colder(found.limit, system)
    swing = show(SWING, "temperature_difference", system, 0)
    if found.head_counts:
        return f"A fire swings: a stove counts as too hot at the head from {limit}, {swing} over the wish."
    return (
        f"So the head cannot be kept to {wish} as well; a stove counts as too hot from {limit} there, {swing} more. A "
        "cot hung higher, a fan, insulation or a lower wish bring the two together."
    )


def _answer(found: Answer, every: float, system: System) -> str:
    it = found.smallest(every)
    begin = f"Filled every {every:g} h, "
    if it is None:
        return begin + _nothing(found, every, system)
    sizes = [one.judged.size.volume for one in found.classes(every)]
    text = begin + f"the smallest of these that holds it is a stove of {shop(it, system)}."
    if it.judged.size.volume == min(sizes) and len(sizes) > 1:
        text += " A smaller one may do: ask with --volume."
    if large := [one for one in found.classes(every) if one.judged.word == "too large"]:
        first = large[0]
        text += f" From {cells.firebox(first.judged.size, system)} on, full loads are too much: {first.judged.why}."
    return text


def shop(it: Likened, system: System) -> str:
    """A stove and how it is fed, in the terms of a shop."""
    size, used = it.judged.size, it.judged.used
    return (
        f"{cells.firebox(size, system)} of firebox, for pieces up to {cells.longest(size, system)} long, with a pipe "
        f"of {cells.pipe(size, system)}, of {cells.sheet(size, system)}. A full load is about {cells.counted(size)} "
        f'{cells.thickness(size, system)} thick, {wood_mass(size.load, system)}; with the air at "{used.mark}", '
        f"{wood_mass(used.put_on, system)} go in again after {it.judged.every:g} h. At its best mark it holds the wish "
        f"{_down_to(it, system)}"
    )


def _down_to(it: Likened, system: System) -> str:
    """The outdoor air down to which the wish is held, in words."""
    assert it.air is not None
    return f"down to {cells.no_colder(it.air, system)} {'and below ' if it.beyond else ''}outside"


def _nothing(found: Answer, every: float, system: System) -> str:
    """Why no class holds the wish, and the nearest that can be had."""
    those = found.classes(every)
    large = [it for it in those if it.judged.word == "too large"]
    if large and large[0] is those[0]:
        return (
            f"even the smallest of these, {cells.firebox(those[0].judged.size, system)}, is too large with full loads: "
            f"{those[0].judged.why}. Burn less at a time, or a smaller stove. Do not shut it down to smoulder."
        )
    if large:
        first = large[0].judged
        mine = any(
            it.judged.size.own and it.judged.word == "holds" for it in found.found if it.judged.every == every
        )
        but = "none of the other sizes does" if mine else "none of these does"
        return (
            f"{but}: those below {cells.firebox(first.size, system)} are too small, from there on full "
            f"loads are too much: {first.why}. Sizes between may do, a lever between two marks, or smaller loads more "
            "often."
        )
    best = max(those, key=lambda it: it.judged.best.coldest)
    night = best.judged.best
    text = (
        f"none of these holds it. The nearest, {cells.firebox(best.judged.size, system)}, keeps "
        f"{cells.no_warmer(night.coldest, system)} at the cot: that wish can be met"
    )
    if not night.lights:
        text += "; coals are out before the next load: fill it more often"
    if best.air is not None:
        text += f". It holds {cells.temperature(found.wish, system)} {_down_to(best, system)}"
    return f"{text}. More often filled, a larger firebox, thicker walls or a lower wish bring it nearer."


def _own(found: Answer, system: System) -> Iterator[str]:
    """What the scenario's own stove holds."""
    mine = [it for it in found.found if it.judged.size.own]
    if not mine or found.design == 0.0:
        return
    wish = cells.temperature(found.wish, system)
    parts = [f"filled every {it.judged.every:g} h {_part(it, system)}" for it in mine]
    yield f"Yours, {cells.firebox(mine[0].judged.size, system)}, for {wish} at the cot: {'; '.join(parts)}."


def _part(it: Likened, system: System) -> str:
    if it.judged.word == "too large":
        return f"it is too large with full loads ({it.judged.why})"
    if it.air is None:
        return "it hardly warms, for its coals are out" if not it.judged.best.lights else "it hardly warms"
    return f"it holds {_down_to(it, system)}"


def _mild(found: Answer, system: System) -> Iterable[str]:
    """What the mildest design night makes of the stoves that hold the coldest."""
    hot = [it for it in found.mild if it.word == "too large"]
    if not found.mild or found.design == 0.0:
        return []
    where = f"In the mildest design night, {cells.temperature(found.asked.lows[-1], system)} outside"
    if not hot:
        return [f"{where}, full loads of the stoves that hold the coldest one are not too much."]
    each = ", ".join(f"{cells.label(it.size, system)} every {it.every:g} h ({it.why})" for it in hot)
    return [f"{where}, full loads are too much of {each}. Burn fewer pieces; do not starve the fire of air."]

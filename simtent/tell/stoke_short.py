"""Where a plan misses a wish: by how much, what stands in the way, and the nearest wish that can be met."""

from collections.abc import Iterator
from math import floor

from simtent.planning.outcome import Plan
from simtent.tell.words import paragraph, wood_mass
from simtent.units import System, number, show

ZERO_CELSIUS = 273.15
UNIT = {"us": "degF", "si": "degC"}


def falls_short(plan: Plan, system: System) -> list[str]:
    """What is missed, and what stands in the way."""
    lines = ["WHERE IT FALLS SHORT"]
    for sentence in sentences(plan, system):
        lines += paragraph(sentence, first="- ", rest="  ")
    return lines


def sentences(plan: Plan, system: System) -> Iterator[str]:
    """What is missed, and what stands in the way, a sentence each; none where every wish is kept."""
    yield from _misses(plan, system)
    yield from _reasons(plan, system)


def _misses(plan: Plan, system: System) -> Iterator[str]:
    broken = plan.limits.broken(plan.promised)

    def kelvins(name: str) -> str:
        return show(broken[name], "temperature_difference", system, 0 if system == "us" else 1)

    words = {
        "cot": "The cot gets {} colder than asked.",
        "rise": "At rise the cot is {} colder than asked.",
        "head": "Before bed it gets {} hotter at the head than asked.",
    }
    for name, text in words.items():
        if name in broken:
            yield text.format(kelvins(name))
    if "coals" in broken:
        least = min(plan.promised.chances, default=1.0)
        yield f"The coals light a load with a chance of {100.0 * least:.0f} % only."
    if "wood" in broken:
        yield f"It takes {wood_mass(broken['wood'], system)} more wood than there is at hand."
    if "fullest" in broken:
        yield "With what still burns in it the firebox gets fuller than wood can lie loosely."
    if "stove" in broken or "jack" in broken:
        yield "Stove or pipe get hotter than practice allows; see the findings above."
    if "cool" in broken:
        yield "Wood smoulders for long under a cool flue: creosote."


def _reasons(plan: Plan, system: System) -> Iterator[str]:
    why, limits = plan.why, plan.limits
    if why is None:
        return
    fed = show(why.fed + ZERO_CELSIUS, "temperature", system, 0)
    if why.small:
        yield (
            f"The stove is too small for this shelter and night: however it was fed, every hour with levers wide open "
            f"too, it held no more than {fed} at the cot."
        )
    elif plan.limits.broken(plan.promised).keys() & {"cot", "rise"}:
        more = next((it.wake_ups for it in plan.options if it.keeps), None)
        if more is not None and more > plan.chosen.wake_ups:
            yield f"A load does not last so long: with {more} wake-ups every wish is kept."
        else:
            yield f"A load does not last so long: fed every hour the stove would hold {fed} at the cot."
    if why.walls:
        better = show(why.fed_better + ZERO_CELSIUS, "temperature", system, 0)
        yield f"The walls let too much through: if they lost half (a liner, a fly), it would hold {better}."
    elif why.small:
        yield "Walls that lost half as much would not be enough either."
    if limits.wood is not None and plan.promised.wood > 0.9 * limits.wood:
        yield "The wood at hand is nearly all in it."


def nearest(plan: Plan, system: System) -> list[str]:
    """The nearest wish that the plan keeps, as lines for the file."""
    night, limits = plan.promised, plan.limits
    broken = limits.broken(night)
    wishes = []
    if "cot" in broken:
        wishes.append(f'cot_at_least = "{_down(night.cot_lowest, system)}"')
    if "rise" in broken:
        wishes.append(f'cot_at_rise = "{_down(night.cot_at_rise, system)}"')
    if "head" in broken:
        wishes.append(f'head_at_most = "{_up(night.head_highest, system)}"')
    if not wishes:
        return []
    return paragraph(f"Nearest wish that this plan keeps: {', '.join(wishes)}.")


def _down(celsius: float, system: System) -> str:
    """The next whole degree below."""
    return f"{floor(number(celsius + ZERO_CELSIUS, 'temperature', system))} {UNIT[system]}"


def _up(celsius: float, system: System) -> str:
    return f"{-floor(-number(celsius + ZERO_CELSIUS, 'temperature', system))} {UNIT[system]}"

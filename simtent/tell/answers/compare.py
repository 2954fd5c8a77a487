"""What `simtent compare` answers: what variants change, how far that is known, cautions that come and go."""

from collections.abc import Iterator, Sequence
from typing import Literal

from simtent.comparing.asked import NUMBERS, Number
from simtent.comparing.compared import Compared, Difference
from simtent.comparing.nights import Night
from simtent.comparing.ranked import Bought
from simtent.tell.answers.head import Around, Document, Found
from simtent.tell.answers.night import Account
from simtent.tell.answers.quantities import BY_KIND, Duration, Energy, Mass, Plain, Quantity
from simtent.tell.answers.told import Told
from simtent.tell.compared_words import changed
from simtent.units import System

HOUR = 3600.0


class Change(Told):
    """By how much a variant's number differs from the base's."""

    amount: Quantity
    """variant minus base; null where one of them does not have the number"""
    low: Quantity
    """low end of the range that holds eight draws in ten; null without draws"""
    high: Quantity
    """high end of it"""
    apart: bool
    """whether the two can be told apart: else they are alike"""


class Numbers(Told):
    """One of the numbers that people ask of a night."""

    name: str
    """its name"""
    words: str
    """what it is"""
    base: Quantity
    """the base's; null where it has none"""
    changes: dict[str, Change]
    """by variants' names"""


class VariantTold(Told):
    """One of the variants."""

    name: str
    """its name"""
    changes: list[str]
    """what it changes, each as key = value"""
    same: bool
    """whether it says the same as the base: then it is the same night"""
    adds: list[Found]
    """cautions that it has and the base does not. That none differs is no word on what is not looked for"""
    takes_away: list[Found]
    """cautions that the base has and it does not"""
    energy: list[Account]
    """where heat came from and went"""


class Ranked(Told):
    """What one change buys: what needs no carrying first, then for each unit of mass."""

    name: str
    """the variant's name"""
    cot: Change
    """mean at the cot in bed"""
    floor: Change
    """mean on the floor in bed"""
    lowest: Change
    """lowest at the cot in bed"""
    mass: Mass | None
    """carried; null where nothing counts"""
    price: Plain | None
    """as given; null without"""
    adds_a_caution: bool
    """whether it adds a caution: then it stands last"""


class CompareAnswer(Document):
    """Variants held against the scenario on the same night."""

    format: Literal["simtent.compare"] = "simtent.compare"
    version: Literal[1] = 1
    draws: int
    """draws of what nobody knows, the same for every variant; 0: no difference has a range"""
    numbers: list[Numbers]
    """what people ask, with every difference"""
    variants: list[VariantTold]
    """each of them"""
    energy: list[Account]
    """where heat came from and went in the base"""
    ranking: list[Ranked]
    """by what they buy; empty where --usual is not asked for"""


def answer(around: Around, found: Compared, rows: Sequence[Bought], currency: str) -> CompareAnswer:
    """The document of a comparison."""
    system = around.system
    return CompareAnswer(
        **around.head(_sentences(found, system, usual=bool(rows))),
        draws=int(found.drawn.shape[1]),
        numbers=[_numbers(found, it, system) for it in NUMBERS],
        variants=[_variant(found, night, system) for night in found.variants],
        energy=_energy(found.base, system),
        ranking=[_ranked(it, system, currency) for it in rows],
    )


def _sentences(found: Compared, system: System, *, usual: bool) -> Iterator[tuple[str, str]]:
    for night in found.variants:
        yield night.name, changed(night, system, usual=usual).rstrip(".")


def _quantity(it: Number, amount: float, system: System, *, difference: bool = False) -> Quantity:
    """A number of a night, or the difference of two."""
    if it.kind == "hours":
        return Duration.of(HOUR * amount, system)
    return BY_KIND["temperature_difference" if difference and it.kind == "temperature" else it.kind].of(
        amount, system
    )


def _change(it: Number, found: Difference, system: System) -> Change:
    amount, low, high = (
        _quantity(it, value, system, difference=True) for value in (found.amount, found.low, found.high)
    )
    return Change(amount=amount, low=low, high=high, apart=bool(found.apart))


def _numbers(found: Compared, it: Number, system: System) -> Numbers:
    return Numbers(
        name=it.name,
        words=it.words,
        base=_quantity(it, found.base.values[it.name], system),
        changes={
            night.name: _change(it, found.difference(night.name, it.name), system) for night in found.variants
        },
    )


def _energy(night: Night, system: System) -> list[Account]:
    return [
        Account(account=name, energy=Energy.of(float(joules), system))
        for name, joules in night.energy.items()
    ]


def _variant(found: Compared, night: Night, system: System) -> VariantTold:
    return VariantTold(
        name=night.name,
        changes=list(night.variant.changes),
        same=night.variant.same,
        adds=[Found.of(it) for it in found.added(night.name)],
        takes_away=[Found.of(it) for it in found.removed(night.name)],
        energy=_energy(night, system),
    )


def _ranked(it: Bought, system: System, currency: str) -> Ranked:
    by_name = {number.name: number for number in NUMBERS}
    return Ranked(
        name=it.name,
        cot=_change(by_name["cot_mean"], it.cot, system),
        floor=_change(by_name["floor_mean"], it.floor, system),
        lowest=_change(by_name["cot_lowest"], it.lowest, system),
        mass=Mass.maybe(it.mass, system),
        price=None if it.price is None else Plain.in_unit(it.price, currency),
        adds_a_caution=it.grave,
    )

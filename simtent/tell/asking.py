"""Seven questions in plain words, from which a first scenario is made."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from simtent.errors import Fault, InputError
from simtent.scenario.crew import Crew
from simtent.scenario.fields import declared_of, keys_of
from simtent.scenario.in_units import in_units
from simtent.scenario.likeness import shelter_like, sizes_of, stove_for, stove_of_mass, told_mass
from simtent.scenario.materials import ground_names, shelter, shelter_names, stove_names
from simtent.scenario.nearest import nearest_words
from simtent.scenario.night import Wish
from simtent.scenario.outdoors import AIR_OUTSIDE
from simtent.scenario.quantity import Count, Quantity
from simtent.scenario.stove import Stove
from simtent.tell.draft import HEAD, Typed, Wanted
from simtent.tell.words import paragraph
from simtent.units import System, show, to_si

Told = TypeVar("Told")
Say = Callable[[str], None]
Hear = Callable[[str], str]


class Talk:
    """Questions on a terminal; `hear` shows a prompt and returns a line, and raises EOFError at the end."""

    def __init__(self, say: Say, hear: Hear) -> None:
        self.say, self.hear = say, hear

    def ask(self, question: str, usual: str, read: Callable[[str], Told]) -> Told:
        """The answer as `read` takes it; Enter takes the usual one, an answer it refuses is asked for again."""
        while True:
            try:
                answer = self.hear(f"{question} [{usual}]: ").strip()
            except EOFError:
                self.say("")
                todo = "Answer all questions, or run without --ask"
                raise InputError(
                    Fault("the answers ended before the questions did; nothing is written", todo=todo)
                ) from None
            try:
                return read(answer or usual)
            except InputError as error:
                self.say("\n".join(paragraph(str(error.faults[0]), first="   ", rest="   ")))

    def choose(self, question: str, names: Mapping[str, str], usual: str) -> str:
        """One of several names, by its number or its name; each is told with a remark."""
        self.offer(names)
        return self.ask(question, usual, lambda answer: one_of(answer, list(names)))

    def offer(self, names: Mapping[str, str]) -> None:
        """The names, numbered."""
        for number, (name, remark) in enumerate(names.items(), 1):
            told = f"{name}: {remark}" if remark else name
            self.say("\n".join(paragraph(told, first=f"   {number:2d}  ", rest=" " * 9)))


def asked(wanted: Wanted, talk: Talk) -> Wanted:
    """What a draft is made from, by seven questions; what `wanted` has is offered. InputError where they end early."""
    units = wanted.units
    talk.say("Seven questions. Enter takes what stands in brackets.")
    talk.say("Write numbers with their unit: 12 ft, 3.6 m, 10 degF.")
    talk.say("\n1. Which shelter looks most like yours?")
    like = talk.choose(
        "   Number or name", {name: _size_text(name, units) for name in shelter_names()}, wanted.shelter
    )
    talk.say("\n2. How big is yours? From outside of the fabric, heights from the ground.")
    sizes = _sizes(like, units, talk)
    talk.say("\n3. Which stove looks most like yours? Its weight without pipe does too.")
    usual = wanted.stove or stove_for(shelter_like(like, sizes).floor_area)
    stove, mass = _stove(usual, units, talk)
    talk.say("\n4. How cold will it be outside?")
    high = talk.ask("   The day's high", _in(AIR_OUTSIDE, wanted.high, units), _read_as(AIR_OUTSIDE))
    low = talk.ask("   The night's low", _in(AIR_OUTSIDE, wanted.low, units), _no_higher(high))
    talk.say("\n5. What does it stand on?")
    ground = talk.choose("   Number or name", dict.fromkeys(ground_names(), ""), wanted.ground)
    talk.say("\n6. How many sleep in it?")
    asleep = talk.ask("   People", str(wanted.asleep), _people)
    talk.say("\n7. How warm do you want it in bed, at the least?")
    cot = talk.ask("   At the cot, all night", _in(_cot(), wanted.cot, units), _cooler_than_a_head)
    return replace(
        wanted,
        shelter=like,
        sizes=sizes,
        stove=stove,
        mass=mass,
        high=high,
        low=low,
        ground=ground,
        asleep=asleep,
        cot=cot,
    )


def one_of(answer: str, names: Sequence[str]) -> str:
    """The name with that number, or of that name; InputError with the nearest."""
    plain = " ".join(answer.lower().split())
    if plain.isdecimal() and 1 <= int(plain) <= len(names):
        return names[int(plain) - 1]
    if plain in names:
        return plain
    near = nearest_words(plain, names)
    todo = (
        f"Is {' or '.join(near)} meant? Write one"
        if near
        else f"Write a number from 1 to {len(names)}, or a name"
    )
    raise InputError(Fault(f'"{answer}" is none of these', todo=todo))


def _sizes(like: str, units: System, talk: Talk) -> dict[str, str]:
    """The lengths of the shelter that differ from the row's; asked again together where they make no shelter."""
    row = shelter(like)["shelter"]
    while True:
        sizes = {}
        for key, declared in sizes_of(like).items():
            usual = _in(declared, row[key], units)
            answer = talk.ask(f"   {declared.meaning.split(';')[0].capitalize()}", usual, _read_as(declared))
            if answer != usual:
                sizes[key] = answer
        try:
            shelter_like(like, sizes)
        except ValueError:  # sizes that fit one by one and not together
            talk.say("   These do not make a shelter: its top must be higher than its walls. Once more.")
        else:
            return sizes


def _stove(usual: str, units: System, talk: Talk) -> tuple[str, str | None]:
    """The stove of the table, and its weight where that was the answer."""
    mass = declared_of(keys_of(Stove)["mass"])
    talk.offer({name: f"about {show(told_mass(name), 'mass', units)}" for name in stove_names()})

    def read(answer: str) -> tuple[str, str | None]:
        try:
            weight = to_si(answer, "mass")
        except InputError:
            return one_of(answer, stove_names()), None
        if isinstance(mass, Quantity):
            mass.read(answer)  # refuses what no stove weighs
        return stove_of_mass(weight), Typed(answer)

    stove, weighed = talk.ask("   Number, name, or weight such as 9 kg or 20 lb", usual, read)
    if weighed:
        talk.say(f"   Taken: {stove}.")
    return stove, weighed


def _read_as(declared: Quantity) -> Callable[[str], str]:
    """A reader that gives the text back as it was typed, if it is such a quantity."""

    def read(answer: str) -> str:
        declared.read(answer)
        return Typed(answer)

    return read


def _no_higher(high: str) -> Callable[[str], str]:
    def read(answer: str) -> str:
        if AIR_OUTSIDE.read(answer) > AIR_OUTSIDE.read(high):
            raise InputError(Fault(f"the low is above the high, {high}", todo="Write the lower of the two"))
        return Typed(answer)

    return read


def _cot() -> Quantity:
    declared = declared_of(keys_of(Wish)["cot_at_least"])
    assert isinstance(declared, Quantity)
    return declared


def _cooler_than_a_head(answer: str) -> str:
    """The answer, if a night can hold it: the head is the warmer of the two."""
    if _cot().read(answer) >= _cot().read(HEAD):
        what = f"a draft wants no more than {HEAD} at the head, and the cot is colder than that"
        raise InputError(Fault(what, todo="Wish for a colder cot"))
    return Typed(answer)


def _people(answer: str) -> int:
    asleep = declared_of(keys_of(Crew)["asleep"])
    number = int(answer) if answer.isdecimal() else answer
    if isinstance(asleep, Count):
        asleep.read(number)
    return int(number)


def _in(declared: Quantity, text: str, units: System) -> str:
    """A text of the tables in the units that are asked for."""
    return in_units(declared, declared.read(text), "us") if units == "us" else text


def _size_text(name: str, units: System) -> str:
    row = shelter(name)["shelter"]
    sizes = ", ".join(
        f"{key.replace('_', ' ')} {_in(declared, row[key], units)}"
        for key, declared in sizes_of(name).items()
    )
    return f"{row['shape']}, {sizes}"

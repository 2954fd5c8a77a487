"""Trade words in plain ones: of stoves, shelters, sleeping, and of how sure a number is."""

from collections.abc import Iterable, Iterator

from simtent.tell.shape_words import OF_SHAPES, SHAPES
from simtent.tell.words import paragraph, sentence

LABEL = 20  # width of the left column
WORDS = {
    "air changes": "how often in an hour the room's air is replaced by what leaks in",
    "baffle": "a plate under the stove's top that leads the gas on a longer way before the pipe",
    "bell": "a round tent with one pole in the middle",
    "carboxyhaemoglobin": "the share of the blood's carrier of oxygen that carbon monoxide holds; it can kill",
    "clo": "a measure of clothing: one clo is about an indoor suit",
    "coals": "what glows once the flames are gone; they light the next load if enough are left",
    "collar": "where the pipe joins the stove",
    "comfort": "the colder air of two that a bag's label names for one kind of sleeper; the other is its limit",
    "cot": "the bed, and the height at which people lie",
    "creosote": "tar that settles in a cool pipe from smoky fires; it narrows the pipe and can burn in it",
    "damper": "a plate in the pipe that throttles the gas; never shut over anything that glows",
    "dew point": "the temperature to which air must cool for its vapour to settle as water; as frost below freezing",
    "draught": "the pull of warm gas in the pipe, which brings the fire its air",
    "eaves": "where the roof begins at the top of the wall",
    "entrainment": "the drawing in of still air by a rising or falling stream, which makes it wider and cooler",
    "felt": "what skin meets: half air, half what is seen around; see felt temperature",
    "felt temperature": "halfway between the air and what is seen around: warm stove, cold cloth",
    "firebox": "the room in the stove where wood burns; a load fills a part of it",
    "flue": "the way of the gas out of the stove: the pipe, and what it carries",
    "fly": "a second roof above the first, with air between",
    "full load": "the most wood that is laid at one time: a share of the firebox that leaves room for air",
    "gable": "the upright end of a tent below its ridge",
    "head": "the height of a sitting or standing person's head, where the air is warmest",
    "house rule": "a limit that codes set for houses, named to compare with, since none is known for tents",
    "jack": "the fitting by which the pipe passes through cloth",
    "kindling": "thin dry pieces that light a fire",
    "lee": "the side away from the wind; a vent there is sucked at, not blown into",
    "lever": "what sets the air or the damper by hand, with marks of your own",
    "liner": "a second skin inside the first, with air between",
    "load": "the wood that is put on at one time",
    "mark": "a place of your own lever: shut, one, half, wide; each is a share of the full opening",
    "mixing": "how strongly neighbouring layers of air exchange; a guess that a logged night narrows",
    "neutral height": "below it air is driven in through every gap, above it out",
    "overlay": "a partial scenario file that is laid over another by --with",
    "pad": "what lies under a sleeper against the cold ground; its R-value is printed on it",
    "plume": "the warm air that rises above stove and pipe and takes other air along",
    "prior": "how far a number may be off before anybody has measured it",
    "R-value": "how well a layer keeps heat in; one of US labels is 0.176 m2 K/W, so the system is named with it",
    "range": "where the number lies in two such nights of three, by what nobody has measured",
    "release": "heat or gas that wood gives off as it burns, at one time",
    "relight": "a load that coals light by themselves, without match or kindling",
    "ridge": "the highest line of a roof",
    "seams": "sewn edges and the like, through which air leaks over the whole skin",
    "skin": "all layers of fabric between inside and outdoors: walls and roof",
    "skirt": "cloth along the foot of the walls, weighted or under snow; a loose one lets air in",
    "sod": "earth with grass, or a strip of cloth made to lie under it, that closes the edge of the floor",
    "spark arrestor": "a mesh at the pipe's end; clogged, it sends the smoke inside",
    "spill": "smoke that comes out of the stove into the room in place of up the pipe",
    "split": "a piece of wood that was split from a log; in drafts a name for the thickest kind of pieces",
    "stick": "a thin round or split piece of wood; in drafts a name for the kind between kindling and split",
    "usual range": "values that most camps have; beyond it `check` asks, and nothing is refused",
    "waist": "a named height about the waist of a person who stands, or the chest of one who sits",
    "wake-up": "getting up between bed and rise for the fire",
    "wet basis": "moisture as a share of the wood as it is, water included; on a dry basis of the wood without it",
    "wish": "what you want of a night: bed, rise, how warm the cot, how hot the head; it tends no fire by itself",
}  # fmt: skip
ALL = "words"  # what is asked for to see every one


def named(asked: str) -> list[str]:
    """The trade word that is asked for, in one or in many, or all of them; none where it is not one."""
    word = " ".join(asked.lower().split())
    if word == ALL:
        return every()
    known = {name.lower(): name for name in every()}
    return next(([known[it]] for it in (word, f"{word}s", word.removesuffix("s")) if it in known), [])


def meaning(word: str) -> str:
    """What a word of `every` means."""
    return WORDS[word] if word in WORDS else SHAPES[word]


def found(asked: str) -> list[str]:
    """Lines of at most 80 characters on a trade word, or on all of them; none where it is not one."""
    names = named(asked)
    if names == every():
        return [*_listed(WORDS), "", *paragraph(OF_SHAPES), "", *_listed(SHAPES)]
    return list(_listed(names))


def every() -> list[str]:
    """Every word that is told."""
    return [*WORDS, *SHAPES]


def _listed(words: Iterable[str]) -> Iterator[str]:
    for word in words:
        yield from paragraph(sentence(meaning(word)), first=word.ljust(LABEL), rest=" " * LABEL)

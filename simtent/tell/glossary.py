"""Trade words in plain ones: of stoves, shelters, sleeping, and of how sure a number is."""

from collections.abc import Iterator

from simtent.tell.words import paragraph, sentence

LABEL = 18  # width of the left column
WORDS = {
    "air changes": "how often in an hour the room's air is replaced by what leaks in",
    "baffle": "a plate under the stove's top that leads the gas on a longer way before the pipe",
    "bell": "a round tent with one pole in the middle",
    "clo": "a measure of clothing: one clo is about an indoor suit",
    "coals": "what glows once the flames are gone; they light the next load if enough are left",
    "collar": "where the pipe joins the stove",
    "comfort": "the colder air of two that a bag's label names for one kind of sleeper; the other is its limit",
    "cot": "the bed, and the height at which people lie",
    "creosote": "tar that settles in a cool pipe from smoky fires; it narrows the pipe and can burn in it",
    "damper": "a plate in the pipe that throttles the gas; never shut over anything that glows",
    "dew point": "the temperature to which air must cool for its vapour to settle as water; as frost below freezing",
    "draught": "the pull of warm gas in the pipe, which brings the fire its air",
    "felt temperature": "halfway between the air and what is seen around: warm stove, cold cloth",
    "firebox": "the room in the stove where wood burns; a load fills a part of it",
    "flue": "the way of the gas out of the stove: the pipe, and what it carries",
    "fly": "a second roof above the first, with air between",
    "head": "the height of a sitting or standing person's head, where the air is warmest",
    "jack": "the fitting by which the pipe passes through cloth",
    "kindling": "thin dry pieces that light a fire",
    "liner": "a second skin inside the first, with air between",
    "load": "the wood that is put on at one time",
    "mark": "a place of your own lever: shut, one, half, wide; each is a share of the full opening",
    "neutral height": "below it air is driven in through every gap, above it out",
    "overlay": "a partial scenario file that is laid over another by --with",
    "prior": "how far a number may be off before anybody has measured it",
    "range": "where the number lies in two such nights of three, by what nobody has measured",
    "relight": "a load that coals light by themselves, without match or kindling",
    "ridge": "the highest line of a roof",
    "skirt": "cloth along the foot of the walls, weighted or under snow; a loose one lets air in",
    "spark arrestor": "a mesh at the pipe's end; clogged, it sends the smoke inside",
    "wake-up": "getting up between bed and rise for the fire",
    "wet basis": "moisture as a share of the wood as it is, water included; on a dry basis of the wood without it",
}  # fmt: skip
ALL = "words"  # what is asked for to see every one


def named(asked: str) -> list[str]:
    """The trade word that is asked for, or all of them; none where it is not one."""
    word = " ".join(asked.lower().split())
    return list(WORDS) if word == ALL else [word] if word in WORDS else []


def found(asked: str) -> list[str]:
    """Lines of at most 80 characters on a trade word, or on all of them; none where it is not one."""
    return list(_listed(named(asked)))


def _listed(words: list[str]) -> Iterator[str]:
    for word in words:
        yield from paragraph(sentence(WORDS[word]), first=word.ljust(LABEL), rest=" " * LABEL)

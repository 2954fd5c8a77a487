"""Which colours tell things apart where they stand beside each other, and what else does, for who sees them alike."""

from collections.abc import Mapping
from dataclasses import dataclass

from simtent.tell import look


@dataclass(frozen=True)
class Meaning:
    """Colours that stand beside each other and mean different things.

    where    the picture, or the part of one
    colours  by what they mean
    also     what else tells the same, for somebody who sees some of them alike; empty if nothing does
    """

    where: str
    colours: Mapping[str, str]
    also: str = ""


_LEVELS = {
    "outdoors": look.OUTDOORS,
    "head": look.ABOVE[0],
    "next above the cot": look.ABOVE[1],
    "cot": look.COT,
    "next below the cot": look.BELOW[0],
    "lowest": look.BELOW[1],
}
MEANINGS = (
    Meaning(
        "a night, a logged night, a plan: lines", _LEVELS, "each its name at its end; weight; outdoors dashed"
    ),
    Meaning("the fire under a night", {"wood": look.WOOD, "coals": look.COALS}, "names; wood filled"),
    Meaning(
        "a night: loads",
        {"load": look.INK, "get up": look.COALS},
        "a triangle and a diamond, each with its words",
    ),
    Meaning("a plan: loads", {"load": look.WOOD, "get up": look.COALS}, "the time stands over who gets up"),
    Meaning(
        "a fit, a logged night: at the fire",
        {"stove": look.HEAT, "pipe": look.PIPE},
        "each its name at its end",
    ),
    Meaning("the air: streams", look.STREAMS, "each its name; up and down by heads of arrows"),
    Meaning("the air: openings", {"in": look.COMES_IN, "out": look.GOES_OUT}, "arrows; the words in and out"),
    Meaning(
        "the air: layers",
        {"coldest": look.COLD_AIR, "between": look.MILD_AIR, "warmest": look.WARM_AIR},
        "a column of numbers beside them",
    ),
    Meaning(
        "heights: profiles",
        {"air": look.AIR_LINE, "felt": look.FELT_LINE, "dew point": look.DEW_LINE},
        "solid, dashed and dotted; names",
    ),
    Meaning(
        "heights: isotherms", dict(zip(("cold", "mild", "warm"), look.ISOTHERMS, strict=True)), "numbers"
    ),
    Meaning("wood: kinds of pieces", {f"kind {k}": colour for k, colour in enumerate(look.PIECES, 1)}),
    Meaning("a comparison", {"as it is": look.AS_IT_IS, "with it": look.COT}),
    Meaning("the need for heat", {"holds": look.HEAT, "does not": look.QUIET}, "bold and thick; not so"),
)


# Of page.css, by the names of its variables there, which are other colours by day, in the dark and on paper.
IN_PAGES = {
    ("note", "caution", "stop"): "the word itself; a single, double and broad edge",
    ("came-line", "went-line", "kept"): "names; left and right; what was kept is hatched",
    ("came", "went", "kept-ground"): "names; left and right; what was kept is hatched",
    ("air", "felt", "quiet"): "solid, dashed and dotted; names",
}


# Texts that do not stand on white: colour, and what may be behind it.
TEXTS = (
    (look.INK, look.ISOTHERMS),
    (look.INK, (look.COLD_AIR, look.MILD_AIR, look.WARM_AIR)),
    *((colour, (look.COLD_AIR, look.MILD_AIR, look.WARM_AIR)) for colour in look.STREAMS.values()),
    (look.COT, (look.COT_BAND,)),
    (look.WARNING, (look.WARNING_FILL,)),
    (look.INK, look.PIECES[1:]),
    ("#ffffff", look.PIECES[:1]),
)

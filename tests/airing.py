"""Strategies for what is open in a shelter's skin, and for a fan."""

from itertools import pairwise

from hypothesis import strategies as st

from simtent.scenario.fields import declared_of
from simtent.scenario.openings import Door, Fan, Jack, Opened, Vent
from simtent.scenario.windows import Window
from simtent.units import to_si
from tests.drawn import clock, of_field, some, texts_of

LONGEST = 600.0  # s, of a door that stands open
VENT_NAMES = st.sampled_from(["door flap", "north", "the other one", "é 2"])
HEIGHT = declared_of(Window.model_fields["from_"])


@st.composite
def open_parts(draw, night, minutes, outline, stove):
    """Strategy for the table of openings, each there or not; `stove`: whether one tells the height of the jack."""
    peak = outline.peak
    wanted = {
        "low_vent": _vents(0.02 * peak, 0.4 * peak),
        "ridge_vent": _vents(0.6 * peak, 0.98 * peak),
        "vents": st.dictionaries(VENT_NAMES, _vents(0.02 * peak, 0.98 * peak), max_size=2),
        "jack": _jacks(outline, stove),
        "door": _doors(night, minutes, peak),
    }
    return {name: draw(drawn) for name, drawn in wanted.items() if draw(st.booleans())}


@st.composite
def fans(draw, peak):
    """Strategy for a fan that carries down, or up, or mixes."""
    tree = {"flow": draw(of_field(Fan.model_fields["flow"]))}
    if draw(st.booleans()):
        high = draw(texts_of(declared_of(Fan.model_fields["from_"]), 0.6 * peak, 0.95 * peak))
        low = draw(texts_of(declared_of(Fan.model_fields["to"]), 0.02 * peak, 0.4 * peak))
        tree |= dict(zip(draw(st.permutations(["from", "to"])), (high, low), strict=True))
    return tree


@st.composite
def _vents(draw, low, high):
    at = draw(texts_of(declared_of(Vent.model_fields["at"]), low, high))
    return {"at": at, **draw(some(Vent, skip=("at",)))}


@st.composite
def _jacks(draw, outline, stove):
    tree = draw(some(Jack, skip=("at", "through")))
    if not stove or draw(st.booleans()):
        at = declared_of(Jack.model_fields["at"])
        tree["at"] = draw(texts_of(at, 0.4 * outline.peak, 0.95 * outline.peak))
        height = to_si(tree["at"], "length")
        walled = outline.area("wall", height - 1e-3, height) > 0.0
        tree["through"] = draw(st.sampled_from(["roof", "wall"] if walled else ["roof"]))
    return tree


@st.composite
def windows(draw, outline, skins):
    """Strategy for one to three windows that never crowd each other; `skins`: for their layers."""
    parts = [part for part in ("wall", "roof") if outline.has(part)]
    count = draw(st.integers(1, 3))
    return [draw(_windows(outline, skins, draw(st.sampled_from(parts)), count)) for _ in range(count)]


@st.composite
def _windows(draw, outline, skins, part, count):
    """A window that takes at most one of `count` shares of a span of heights in which some of the part lies."""
    # A flat roof lies at the peak and nowhere else, a wall may end a few millimetres above the ground.
    peak = outline.peak
    low = draw(texts_of(HEIGHT, 0.0, 0.02 * peak if part == "wall" else 0.5 * peak))
    high = draw(texts_of(HEIGHT, 0.4 * peak, 0.7 * peak)) if part == "wall" else f"{peak!r} m"
    there = outline.area(part, to_si(low, "length"), to_si(high, "length"))
    if there == 0.0:
        low, there = "0 m", outline.area(part, 0.0, to_si(high, "length"))
    share = draw(st.floats(0.01, 0.99)) / count
    window = {"area": f"{max(share * there, 1e-4):.5f} m2", "from": low, "to": high, "layers": draw(skins)}
    return window if part == "wall" and draw(st.booleans()) else window | {"part": part}


@st.composite
def _doors(draw, night, minutes, peak):
    height, sill, lasts = (
        declared_of(model.model_fields[name])
        for model, name in ((Door, "height"), (Door, "sill"), (Opened, "for_"))
    )
    tree = draw(some(Door, skip=("height", "sill", "open")))
    tree["height"] = draw(texts_of(height, 0.3 * peak, 0.75 * peak))
    if draw(st.booleans()):
        tree["sill"] = draw(texts_of(sill, 0.0, 0.2 * peak))
    moments = sorted(draw(st.sets(st.integers(0, minutes - 1), max_size=3)))
    if moments or draw(st.booleans()):
        tree["open"] = [
            {
                "at": clock(night, minute),
                "for": draw(texts_of(lasts, 10.0, min(60.0 * (until - minute) - 1.0, LONGEST))),
            }
            for minute, until in pairwise([*moments, minutes])
        ]
    return tree

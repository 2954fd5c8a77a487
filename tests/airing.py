"""Strategies for what is open in a shelter's skin, and for a fan."""

from itertools import pairwise

from hypothesis import strategies as st

from simtent.scenario.fields import declared_of
from simtent.scenario.openings import Door, Fan, Jack, Opened, Vent
from tests.drawn import clock, of_field, some, texts_of

LONGEST = 600.0  # s, of a door that stands open


@st.composite
def open_parts(draw, night, minutes, peak, stove):
    """Strategy for the table of openings, each there or not; `stove`: whether one tells the height of the jack."""
    wanted = {
        "low_vent": _vents(0.02 * peak, 0.4 * peak),
        "ridge_vent": _vents(0.6 * peak, 0.98 * peak),
        "jack": _jacks(0.4 * peak, 0.95 * peak, stove),
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
def _jacks(draw, low, high, stove):
    tree = draw(some(Jack, skip=("at",)))
    if not stove or draw(st.booleans()):
        tree["at"] = draw(texts_of(declared_of(Jack.model_fields["at"]), low, high))
    return tree


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

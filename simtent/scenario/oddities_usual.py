"""Values outside the usual range of their field."""

from collections.abc import Iterator

from simtent.scenario.fields import declared_at
from simtent.scenario.in_units import usual_text
from simtent.scenario.odd import Look, Oddity
from simtent.scenario.quantity import Declared, Reader
from simtent.scenario.tree import is_none, leaves

CHECK_IT = "Check the number and its unit. If it is right, leave it as it is."
ROUNDING = 0.005  # of the range, for a value that was rounded in another unit


def unusual(look: Look) -> Iterator[Oddity]:
    """An oddity for every given value outside its usual range; what an archetype filled in nobody has given."""
    for path, leaf in leaves(look.scenario.tree):
        declared = declared_at(path, look.places.shape)
        if declared is None or is_none(leaf) or not _is_outside(declared, leaf.value):
            continue
        what = f"outside its usual range, {usual_text(declared, look.units)}"
        yield look.odd(path, what, f"Meant is: {declared.meaning}", CHECK_IT)


def _is_outside(declared: Declared, raw: object) -> bool:
    usual = getattr(declared, "usual", None)
    if usual is None or not isinstance(declared, Reader):
        return False
    low, value, high = (float(declared.read(it, None)) for it in (usual[0], raw, usual[1]))
    slack = ROUNDING * (high - low)
    return not low - slack <= value <= high + slack

"""Numbers as README.md prints them, and whether two printings of one number are the same for another machine."""

import re
from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from .claims import Claims, Margin, Value

FLOAT = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
EXPONENT = re.compile(r"e([+-])0*(\d)")
MOST_LISTED = 4  # numbers of a sequence that are told one by one
SHARE_OF_MARGIN = 0.05  # by which a small difference may move before it is printed anew


def number(value: float, digits: int) -> str:
    """A number to some significant digits."""
    return EXPONENT.sub(lambda found: "e" + found[1].replace("+", "") + found[2], f"{value:.{digits}g}")


def numbers(values: Sequence[float], digits: int) -> str:
    """A few numbers, or how many and between what."""
    flat = np.ravel(np.asarray(values, dtype=float))
    if flat.size <= MOST_LISTED:
        return ", ".join(number(one, digits) for one in flat)
    return f"{flat.size} values, {number(flat.min(), digits)} to {number(flat.max(), digits)}"


def with_unit(text: str, unit: str) -> str:
    """A number and its unit."""
    return f"{text} {unit}" if unit and text else text


def expected_cell(group: Claims, expected: Value | None, allowed: Margin) -> str:
    """What is expected; a range is."""
    if expected is None:
        return with_unit(range_of(allowed, group.digits), group.unit)
    if isinstance(expected, bool):
        return "yes" if expected else "no"
    return with_unit(numbers(np.atleast_1d(expected), group.digits), group.unit)


def range_of(allowed: Margin, digits: int) -> str:
    """Bounds in words."""
    low, high = number(allowed.low, digits), number(allowed.high, digits)
    if np.isinf(allowed.low):
        return f"at most {high}"
    return f"at least {low}" if np.isinf(allowed.high) else f"{low} to {high}"


def obtained_cell(group: Claims, expected: Value | None, obtained: Value) -> str:
    """What was obtained; of a long sequence how far it is off at worst."""
    if isinstance(obtained, (bool, np.bool_)):
        return "yes" if obtained else "no"
    found = np.atleast_1d(np.asarray(obtained, dtype=float))
    if found.size <= MOST_LISTED or expected is None:
        return with_unit(numbers(found, group.digits), group.unit)
    worst = float(np.abs(found - np.asarray(expected, dtype=float)).max())
    return with_unit(f"{number(worst, 2)}", group.unit) + " off at worst"


def allowed_cell(group: Claims, allowed: Margin) -> str:
    """A margin in words."""
    if allowed.bounds:
        return "as expected"
    parts = []
    if allowed.rel:
        parts.append(f"{number(100.0 * allowed.rel, 3)} %")
    if allowed.off:
        parts.append(with_unit(number(allowed.off, 3), group.unit))
    return " and ".join(parts) if parts else "exactly"


def same_number(kept: str, now: str, allowed: Margin) -> bool:
    """Whether two printings differ by no more than the last digit, or by a small part of the margin's own bound."""
    one, other = Decimal(kept), Decimal(now)
    last = max(Decimal(1).scaleb(int(part.as_tuple().exponent)) for part in (one, other))
    slack = SHARE_OF_MARGIN * max(
        (abs(b) for b in (allowed.off, allowed.high) if np.isfinite(b)), default=0.0
    )
    return abs(one - other) <= max(last, Decimal(slack))


def same_cell(kept: str, now: str, allowed: Margin) -> bool:
    """Whether two cells are the same text with the same numbers, up to what another machine may change."""
    if FLOAT.sub("#", kept) != FLOAT.sub("#", now):
        return False
    pairs = zip(FLOAT.findall(kept), FLOAT.findall(now), strict=True)
    return all(same_number(a, b, allowed) for a, b in pairs)

"""What keeps the floor cold at one moment: all that warms and cools the lowest air and the floor, ranked."""

from collections.abc import Sequence

from simtent.assess.moments import clock
from simtent.balance import Balances, Share
from simtent.scenario.scenario import Scenario
from simtent.tell.words import paragraph, short_length, whole
from simtent.units import System, number, unit_name

NUMBER = 9  # width of the column of powers
LEAST = 0.02  # of the largest share; smaller ones are added up
MOST = 9  # lines of one balance


def cold(scenario: Scenario, found: Balances, system: System, why: str = "") -> list[str]:
    """Lines of at most 80 characters: two lists of powers, the largest first, each with what it comes to."""
    at = f"at {clock(scenario.night, found.seconds)}{f', {why}' if why else ''}"
    air = f"the lowest {short_length(found.height, system)} of air"
    lines = paragraph(f"What warms (+) and cools (-) {air} {at}, in {unit_name('power', system)}:")
    lines += [*_shares(found.air, found.air_stored, system), ""]
    lines += paragraph("What warms and cools the floor then, down to the top of the ground:")
    return lines + _shares(found.floor, found.floor_stored, system)


def _shares(shares: Sequence[Share], stored: float, system: System) -> list[str]:
    largest = max((abs(share.watts) for share in shares), default=0.0)
    told = [share for share in shares if abs(share.watts) >= LEAST * largest][:MOST]
    rest = sum(share.watts for share in shares) - sum(share.watts for share in told)
    lines = [_line(share.watts, share.name, system) for share in told]
    if len(told) < len(shares):
        lines.append(_line(rest, "all else together", system))
    words = "sum: by this it warms" if stored > 0.0 else "sum: by this it cools"
    rows = [share.watts for share in told] + ([rest] if len(told) < len(shares) else [])
    if sum(int(_rounded(watts, system)) for watts in rows) != int(_rounded(stored, system)):
        words += " (each number is rounded by itself)"
    return [*lines, _line(stored, words, system)]


def _line(watts: float, words: str, system: System) -> str:
    text = _rounded(watts, system)
    return f"{'+' if int(text) > 0 else ''}{text}".rjust(NUMBER) + f"  {words}"


def _rounded(watts: float, system: System) -> str:
    """A power as it is printed: to the watt, or to ten Btu/h."""
    return whole(number(watts, "power", system), -1 if system == "us" else 0)

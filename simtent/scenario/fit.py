"""[fit]: which numbers logged nights may move, which stay, which move together, and which nights are kept aside."""

import re
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from simtent.errors import Fault, InputError
from simtent.scenario.night import Day
from simtent.scenario.quantity import Reader, Spread, Words
from simtent.scenario.section import Section
from simtent.units import to_si

FROM_FIT = "[fit] of the scenario"
WAYS = '"x1.5", "+-20 %" or "+-2 K"'
FACTOR = re.compile(r"[xX]\s*([0-9]+\.?[0-9]*)")
WIDEST, LARGEST_SHARE = 100.0, 0.9  # of a factor; of a share: below 1, or the low end would be 0
WIDEST_DEGREES = 40.0  # K

Key = Annotated[str, Words(meaning="a number of the scenario, by its dotted key")]


@dataclass(frozen=True, kw_only=True)
class SpreadText(Reader):
    """How far a number may be off, "x1.5", "+-20 %" or "+-2 K"."""

    def read(self, value: Any, _context: Any = None) -> Spread:
        """The spread."""
        if isinstance(value, dict):
            todo = 'Put the whole key in quotes: spread = { "model.walls" = "x1.5" }'
            raise InputError(Fault("a dotted key without quotes is a table", todo=todo))
        text = value.strip() if isinstance(value, str) else ""
        if found := FACTOR.fullmatch(text):
            return _bounded(Spread.factor(float(found[1]), FROM_FIT), 1.0, WIDEST)
        plain = text.removeprefix("+-").strip()
        if plain.endswith("%"):
            return _bounded(Spread.relative(to_si(plain, "share"), FROM_FIT), 0.0, LARGEST_SHARE)
        if plain and plain != text:
            return _bounded(
                Spread.kelvins(to_si(plain, "temperature_difference"), FROM_FIT), 0.0, WIDEST_DEGREES
            )
        raise InputError(Fault("a spread is wanted", allowed=WAYS, todo=f"Write {WAYS}"))


def _bounded(spread: Spread, low: float, high: float) -> Spread:
    if low < spread.amount <= high:
        return spread
    allowed = "over x1 to x100, over 0 % to 90 %, over 0 K to 40 K"
    raise InputError(Fault("out of range", allowed=allowed, todo="Give a spread in this range"))


@dataclass(frozen=True, kw_only=True)
class Keys(Words):
    """A list or a table that is made of keys.

    written  how it stands behind the equals sign
    """

    written: str

    takes_text = False


class Fit(Section):
    """What logged nights may change, where the usual choice does not suit."""

    free: Annotated[
        tuple[Key, ...] | None,
        Keys(
            written='["model.walls", "model.mixing"]',
            meaning="numbers that the fit may move; without it, those that no tape measures and that play a part",
        ),
    ] = None
    fixed: Annotated[
        tuple[Key, ...], Keys(written='["model.heat"]', meaning="numbers that the fit leaves as they are")
    ] = ()
    tied: Annotated[
        tuple[tuple[Key, ...], ...],
        Keys(
            written='[["model.burn_rate", "model.char_rate"]]',
            meaning="groups of free numbers that move by one factor",
        ),
    ] = ()
    spread: Annotated[
        dict[
            str,
            Annotated[Spread, SpreadText(meaning="how far that number may be off, one standard deviation")],
        ],
        Keys(
            written='{ "model.walls" = "x1.5" }',
            meaning="how far free numbers may be off, by their keys in quotes, in place of their priors",
        ),
    ] = {}  # noqa: RUF012
    hold_out: Annotated[
        tuple[Annotated[date, Day(meaning="an evening of a log")], ...],
        Keys(written='["2031-01-24"]', meaning="evenings of logs that the fit does not see, to be judged by"),
    ] = ()

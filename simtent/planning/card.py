"""The whole story of a stoking card on one page: what is made at home for a camp without a computer."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from simtent.errors import InputError
from simtent.planning.card_colder import Colder, colder
from simtent.planning.card_dead import Dead, dead
from simtent.planning.card_late import LATE, Late, late_by
from simtent.planning.card_rows import Found, Row, first_found, found_beside, told
from simtent.planning.card_weather import (
    Weather,
    faults_of_weather,
    in_weather,
    lows_of,
    own_low,
    weathers,
    winds_of,
)
from simtent.planning.choices import Choices, choices_of
from simtent.planning.draft import Put
from simtent.planning.limits import Limits
from simtent.planning.refused import faults_of
from simtent.planning.search import Progress
from simtent.scenario.scenario import Scenario
from simtent.scenario.turns import Pieces
from simtent.units import System

BELOW = {"si": 3.0, "us": 5.0 / 1.8}  # K that the cot reads below the plan; 3 K, 5 degF
Say = Callable[[Weather], str]


@dataclass(frozen=True)
class Card:
    """Stoking plans for a band of nights; temperatures in degC but where [K] is said.

    rows     by rising low, calm before windy
    missing  nights of the band without a row: the work was ended before its end
    late     a load that comes 30 or 60 min late; without an alarm in any row, empty
    dead     a relight; None where no row's coals die before rise
    colder   the cot reads below the plan; None where there is no alarm
    nights   how many were simulated
    """

    scenario: Scenario
    system: System
    choices: Choices
    limits: Limits
    rows: tuple[Row, ...]
    missing: tuple[Weather, ...]
    late: tuple[Late, ...]
    dead: Dead | None
    colder: Colder | None
    nights: int

    @property
    def planned(self) -> tuple[Row, ...]:
        """The rows that give a plan: no finding says stop."""
        return tuple(row for row in self.rows if not row.stops)

    def asleep(self, row: Row) -> tuple[Put, ...]:
        """A row's loads from that at bed on; none where the fire may die."""
        return tuple(put for put in row.draft.puts if put.at >= self.choices.at_bed)

    def staged(self, row: Row) -> dict[str, int | float]:
        """What a row's night takes from the load at bed on, by kind of piece."""
        return _summed(put.pieces for put in self.asleep(row))

    @property
    def heaviest(self) -> Row | None:
        """The row whose night takes the most wood after bed."""
        wood = self.scenario.wood
        assert wood is not None

        def mass(row: Row) -> float:
            return sum(wood.load_masses(tuple(self.staged(row).items())).values())

        return max(self.planned, key=mass, default=None)


def stoking_card(
    scenario: Scenario,
    *,
    lows: Sequence[float] = (),
    winds: Sequence[float] = (),
    system: System | None = None,
    progress: Progress = lambda _line: None,
) -> Card:
    """Plan the fire for a band of nights: a row every 5 K or 10 degF of the low, calm and windy.

    Parameters
    ----------
    scenario : Scenario
        As for `plan_stoking`. Its air becomes colder or warmer at all times alike; its wind is replaced.
    lows : sequence of float
        The coldest and the warmest low of the band [K]; without them those of [[trip]], else two steps about the
        scenario's own.
    winds : sequence of float
        One or two winds [m/s]; without them the scenario's own, and a windy or a calm one.
    system : "si" or "us"
        Whose steps the rows have; without it the scenario's.
    progress : callable
        Is told a line now and then.

    Returns
    -------
    Card
        After an interruption by the keyboard with the rows that were finished.

    Raises
    ------
    InputError
        There is nothing to plan with, or lows and winds are none of a card.
    SolveError
        A night cannot be solved.
    """
    system = system or scenario.units
    if faults := faults_of(scenario):
        raise InputError(faults)
    band, pair = lows_of(scenario, system, lows), winds_of(scenario, winds)
    if faults := list(faults_of_weather(scenario, band, pair)):
        raise InputError(faults)
    wanted = weathers(band, pair)
    found = _all_found(scenario, wanted, progress)
    here = [it for it in wanted if it in found]
    progress("holding each row against the rows beside it")
    rows = [_told_beside(found, it) for it in here]
    progress("nights in which somebody wakes late, coals are dead, the cot is colder")
    planned = [(found[row.weather], row) for row in rows if not row.stops]
    searched, kept = [it for it, _ in planned], [row for _, row in planned]
    return Card(
        scenario=scenario,
        system=system,
        choices=choices_of(scenario),
        limits=Limits.of(scenario),
        rows=tuple(rows),
        missing=tuple(it for it in wanted if it not in found),
        late=tuple(it for by in LATE if (it := late_by(searched, kept, by)) is not None),
        dead=dead(searched, kept),
        colder=colder(searched, kept, BELOW[system]),
        nights=sum(len(it.few.known) + len(it.whole.known) for it in found.values()),
    )


def _all_found(scenario: Scenario, wanted: Sequence[Weather], progress: Progress) -> dict[Weather, Found]:
    """The searches of all rows, the scenario's own first, then row by row outward; fewer after Ctrl-C.

    A row that was not searched to its end counts as missing. Ctrl-C before the first is done goes on to the caller.
    """
    found = dict[Weather, Found]()
    choices = choices_of(scenario)
    own = own_low(scenario)
    for weather in sorted(wanted, key=lambda it: (abs(it.low - own), it.low, it.windy)):
        night = in_weather(scenario, weather)
        try:
            near = min(found.values(), key=lambda it: _far(it.weather, weather), default=None)
            this = (
                first_found(night, weather, choices, lambda _line: None)
                if near is None
                else found_beside(night, weather, near)
            )
        except KeyboardInterrupt:
            if not found:
                raise
            break
        if this.search.stopped:
            if not found:
                raise KeyboardInterrupt
            break
        found[weather] = this
        progress(
            f"{len(found)} of {len(wanted)} rows are searched, {len(this.few.known)} nights for this one"
        )
    return found


def _far(one: Weather, other: Weather) -> tuple[float, bool]:
    """How far one night is from another: by low [K], then by wind."""
    return abs(one.low - other.low), one.windy != other.windy


def _told_beside(found: dict[Weather, Found], weather: Weather) -> Row:
    """A row, of its own drafts and the plans of the rows beside it: what suits a colder night may suit this one."""
    lows = sorted({it.low for it in found})
    place = lows.index(weather.low)
    beside = [it for it in found if abs(lows.index(it.low) - place) + (it.windy != weather.windy) == 1]
    return told(found[weather], [found[it].plan for it in beside])


def _summed(loads: Iterable[Pieces]) -> dict[str, int | float]:
    total = dict[str, int | float]()
    for pieces in loads:
        for name, count in pieces:
            total[name] = total.get(name, 0) + count
    return total

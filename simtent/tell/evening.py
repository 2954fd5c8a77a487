"""A logged night with the scenario of that night and the units to show, and how its numbers are written."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from simtent.logbook import measures
from simtent.logbook.logged import Logged
from simtent.logbook.measures import Reading
from simtent.logbook.notes import STILL_AIR, Note
from simtent.scenario.logged import of_night
from simtent.scenario.scenario import Scenario
from simtent.tell.words import whole
from simtent.units import System, number, show, unit_name

Cells = Sequence[str]


@dataclass(frozen=True, slots=True)
class Evening:
    """A logged night, the scenario of that night, the scenario that names it, and the units to show."""

    logged: Logged
    scenario: Scenario
    camp: Scenario
    system: System

    @classmethod
    def of(cls, camp: Scenario, logged: Logged, system: System) -> "Evening":
        """A logged night of a scenario that names it, from noon to noon; InputError where that night is no scenario."""
        night = of_night(camp, logged.log[0], STILL_AIR)
        return cls(logged.from_noon_to_noon(night.night.zone), night, camp, system)

    def clock(self, moment: float) -> str:
        """A moment [s since 1970] on the camp's clock, to the minute."""
        rounded = 60.0 * round(moment / 60.0)
        return f"{datetime.fromtimestamp(rounded, UTC).astimezone(self.scenario.night.zone):%H:%M}"

    def noted(self, note: Note) -> str:
        """When something was noted: "~21:30" where nobody is sure."""
        return f"{'~' if note.unsure else ''}{self.clock(note.seconds)}"

    def degrees(self, kelvin: float) -> str:
        """A temperature in whole degrees with its unit."""
        return show(kelvin, "temperature", self.system, 0)

    def plain(self, kelvin: float) -> str:
        """A temperature in whole degrees."""
        return whole(number(kelvin, "temperature", self.system))

    @property
    def places(self) -> list[str]:
        """Where sensors hung: levels from the top down, then the others."""
        return measures.by_height(list(self.logged.sensors), dict(self.scenario.levels))

    def moment(self, clock: str | None, otherwise: str) -> float:
        """A clock time of the night [s since 1970], or another one where none is given."""
        night = self.scenario.night
        return night.begin_utc.timestamp() + night.seconds_at(clock or otherwise)

    @property
    def in_bed(self) -> tuple[float, float]:
        """From bed to rise [s since 1970]; from the scenario's begin, to its end, where no time is wished."""
        wish, night = self.scenario.wish, self.scenario.night
        return self.moment(wish.bed, night.begin), self.moment(wish.rise, night.end)

    def difference(self, kelvin: float, figures: int = 2) -> str:
        """A difference of temperatures to so many figures, with its unit."""
        shown = number(kelvin, "temperature_difference", self.system)
        return f"{shown:.{figures}g} {unit_name('temperature_difference', self.system)}"

    def told(self, reading: Reading) -> str:
        """A temperature and when it was: "36 degF at 05:40"."""
        return f"{self.degrees(reading.kelvin)} at {self.clock(reading.seconds)}"


def table(head: Cells, rows: Iterable[Cells]) -> Iterator[str]:
    """Columns as wide as they must be, the first to the left, the others to the right."""
    every = [head, *rows]
    widths = [max(len(row[at]) for row in every) for at in range(len(head))]
    for row in every:
        cells = (cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True))
        yield "  ".join([row[0].ljust(widths[0]), *cells]).rstrip()

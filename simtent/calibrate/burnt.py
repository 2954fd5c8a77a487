"""What notes say was burnt and turned in a night, as [stoking] of that night's scenario; unknown masses are numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from simtent.calibrate.sought import Sought
from simtent.logbook.notes import Note
from simtent.scenario.clock import Span
from simtent.scenario.wood import Wood

UNKNOWN = 0.3  # ln-deviation from which a load's mass is sought by itself
COUNTED = 0.05  # from which its pieces were counted, not weighed: all such loads share one factor
COUNT = "mass of a counted piece"
COUNT_SPREAD = 0.12  # ln-deviation of that factor; own choice: a person's usual piece against those burnt
UNSURE = 120.0  # s, from which a note's time is sought
OWN = "as noted"


@dataclass(frozen=True)
class Deed:
    """A line of the notes: when [s from the begin], what was put on by kind of pieces [kg], what was turned.

    mass, time   names of the numbers that scale the one and shift the other; None where it is taken as noted
    lit          "no" where nothing is put on or nobody knows, "by hand", "by coals"
    """

    at: float
    masses: Mapping[str, float]
    air: str | None
    damper: str | None
    lit: str
    mass: str | None
    time: str | None


def deeds_of(notes: Sequence[Note], span: Span, wood: Wood, label: str) -> tuple[list[Deed], list[Sought]]:
    """The deeds of a night, and the numbers that its notes leave open."""
    begin = span.begin_utc.timestamp()
    usual = _usual_load(notes, wood)
    deeds, sought, counted = [], [], False
    for note in notes:
        at = note.seconds - begin
        clock = f"{span.clock_at(at):%H:%M}"
        mass = time = None
        masses = _masses(note, wood, usual)
        if masses and note.mass_unsure >= UNKNOWN:
            mass = f"mass of the load at {clock}{label}"
            sought.append(Sought(mass, "1", 1.0, note.mass_unsure, 0.1, 4.0, OWN))
        elif masses and note.mass_unsure >= COUNTED:
            mass = COUNT
            counted = True
        if note.unsure >= UNSURE:
            time = f"time of {clock}{label}"
            reach = _room(note, notes)
            low, high = max(-reach, -at), min(reach, span.seconds - at)
            sought.append(Sought(time, "s", 0.0, note.unsure, low, high, OWN, factor=False))
        deeds.append(Deed(at, masses, note.air, note.damper, _lit(note), mass, time))
    if counted:
        sought.append(Sought(COUNT, "1", 1.0, COUNT_SPREAD, 0.5, 2.0, "own choice, no source"))
    return deeds, sought


def stoking(deeds: Sequence[Deed], values: Mapping[str, float], span: Span) -> dict[str, Any]:
    """Replacements that put the deeds into a scenario, with the numbers by name.

    How levers were turned before the first load is how they stand as the night begins.
    """
    loads, settings, before = [], [], dict[str, Any]()
    for deed in deeds:
        at = deed.at + (values[deed.time] if deed.time else 0.0)
        row: dict[str, Any] = {"at": clock_text(span, at)}
        row |= {name: mark for name, mark in (("air", deed.air), ("damper", deed.damper)) if mark}
        if deed.masses:
            factor = values[deed.mass] if deed.mass else 1.0
            row["pieces"] = {kind: f"{mass * factor!r} kg" for kind, mass in deed.masses.items()}
            row |= (
                {"lit": True}
                if deed.lit == "by hand"
                else {"catches": True}
                if deed.lit == "by coals"
                else {}
            )
            loads.append(row)
        elif loads and len(row) > 1:
            settings.append(row)
        elif len(row) > 1:
            before |= {f"stoking.{name}": mark for name, mark in row.items() if name != "at"}
    return {"stoking.load": loads, "stoking.set": settings or "none", "stoking.rule": "none", **before}


def clock_text(span: Span, seconds: float) -> str:
    """The clock time of a moment, to the microsecond."""
    there = span.clock_at(seconds)
    return f"{there:%H:%M}" if not (there.second or there.microsecond) else f"{there:%H:%M:%S.%f}"


def _masses(note: Note, wood: Wood, usual: float) -> dict[str, float]:
    """Mass by kind of pieces as put on [kg]; a mass alone is taken as of the thickest kind."""
    if note.pieces:
        masses = wood.load_masses(tuple((kind, _amount(it)) for kind, it in note.pieces.items()))
        weighed = 1.0 if note.mass is None else note.mass / sum(masses.values())
        return {kind: mass * weighed for kind, mass in masses.items()}
    if not note.loaded:
        return {}
    thickest = max(wood.pieces, key=lambda name: wood.pieces[name].thick)
    return {thickest: usual if note.mass is None else note.mass}


def _amount(it: float) -> int | float:
    """A whole number counts pieces, any other is a mass."""
    return it if isinstance(it, int) else float(it)


def _usual_load(notes: Sequence[Note], wood: Wood) -> float:
    """Mean mass of the loads that are known [kg]; two of the thickest pieces where none is."""
    known = [sum(_masses(note, wood, 0.0).values()) for note in notes if note.pieces or note.mass is not None]
    heaviest = max(wood.piece_mass(name) for name in wood.pieces)
    return sum(known) / len(known) if known else 2.0 * heaviest


def _lit(note: Note) -> str:
    if note.coals is None:
        return "no"
    return "by coals" if note.coals else "by hand"


def _room(note: Note, notes: Sequence[Note]) -> float:
    """How far a note's time can be moved without meeting another's [s]."""
    others = [abs(other.seconds - note.seconds) for other in notes if other is not note]
    return min([3.0 * note.unsure, *(0.45 * gap for gap in others)])

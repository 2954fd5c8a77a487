"""What every document begins with: what it is, of which night, cautions, findings, the answer in words, files."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any, Literal, Self

from simtent.assess.cautions import HEADLINE
from simtent.assess.findings import Finding, Level
from simtent.assess.kinds import PRACTICE
from simtent.assess.moments import local
from simtent.errors import Fault
from simtent.scenario.night import Night
from simtent.scenario.scenario import Scenario
from simtent.tell.answers.told import Told
from simtent.units import System

FILES = {
    ".nc": "result", ".png": "picture", ".svg": "picture", ".toml": "overlay", ".pdf": "paper", ".html": "page",
    ".csv": "table", ".study": "study",
}  # fmt: skip


class Moment(Told):
    """A moment of a night."""

    clock: str
    """on the camp's clock, HH:MM"""
    time: str
    """the same to the minute by ISO 8601, with the offset from UTC"""

    @classmethod
    def of(cls, night: Night, seconds: float) -> Self:
        """The moment so many seconds after the night's begin."""
        when = local(night, seconds)
        return cls(clock=f"{when:%H:%M}", time=when.isoformat())

    @classmethod
    def maybe(cls, night: Night, seconds: float | None) -> Self | None:
        """The same; None where there is none."""
        return None if seconds is None else cls.of(night, seconds)


class Found(Told):
    """A caution or a finding. None of them, and none missing, is a verdict that all is well."""

    level: Level
    """note (know this), caution (this can hurt), stop (do not go on like this)"""
    what: str
    """what is the matter, a sentence"""
    where: str
    """place in the shelter, empty for everywhere"""
    when: str
    """time of the night, empty for always"""
    number: str
    """the number found, as text with its unit, empty if there is none"""
    limit: str
    """what it is held against, as text with its unit, empty if there is none"""
    source: str
    """where the sentence or the limit comes from"""
    todo: str
    """what to do about it, a sentence"""

    @classmethod
    def of(cls, finding: Finding) -> Self:
        """A finding told."""
        return cls(**asdict(finding))


class Wrong(Told):
    """One fault in what was given."""

    text: str
    """all of it in words, as it stands on standard error"""
    what: str
    """the fault in one sentence, without its place"""
    file: str | None
    """the file or option it stands in"""
    line: int | None
    """the line in that file, counted from 1"""
    key: str | None
    """dotted key"""
    value: str | None
    """the value as it was written"""
    allowed: str | None
    """the allowed range or words"""
    todo: str | None
    """what to do about it"""

    @classmethod
    def of(cls, fault: Fault) -> Self:
        """A fault told."""
        return cls(text=str(fault), **asdict(fault))


class Written(Told):
    """A file that was written."""

    path: str
    """where it stands, as seen from where the command was run"""
    what: Literal["result", "picture", "overlay", "paper", "page", "table", "study", "scenario", "form"]
    """result and draws (netCDF), picture (PNG), overlay (TOML, for --with), paper (PDF), page (HTML), table (CSV)"""


class Sentence(Told):
    """A part of the answer in words, in the units asked for."""

    label: str
    """what it is about, empty where it stands by itself"""
    text: str
    """what there is to say"""


class OfScenario(Told):
    """The scenario that was asked about."""

    name: str
    """its name"""
    invented: bool
    """whether it describes no real camp"""
    evening: str
    """date on which its night begins, YYYY-MM-DD"""
    begin: Moment
    """when the night begins"""
    end: Moment
    """when the night ends"""
    zone: str
    """the camp's clock: an offset from UTC or an IANA name"""
    changes: list[str]
    """what overlays and settings changed from the file, each as key = value"""

    @classmethod
    def of(cls, scenario: Scenario) -> Self:
        """The scenario's own words."""
        night = scenario.night
        return cls(
            name=scenario.name,
            invented=scenario.invented,
            evening=f"{night.evening}",
            begin=Moment.of(night, 0.0),
            end=Moment.of(night, night.seconds),
            zone=str(night.zone).removeprefix("UTC") or "UTC",
            changes=list(scenario.changes),
        )


class Document(Told):
    """What every document begins with."""

    format: str
    """which document this is"""
    version: int
    """of this document's schema: raised where a key goes, changes its meaning or its unit; new keys do not raise it"""
    simtent: str
    """the version of simtent that wrote it"""
    file: str | None
    """the file that was asked about, as it was given"""
    units: Literal["us", "si"] | None
    """the system of units of all numbers here; null where there are none"""
    scenario: OfScenario | None
    """the scenario; null where there is none"""
    cautions: list[Found]
    """what holds whatever else is told: show it first"""
    findings: list[Found]
    """what was found in this night beside the cautions, the gravest first"""
    answer: list[Sentence]
    """the answer in words"""
    files: list[Written]
    """files that were written"""
    faults: list[Wrong]
    """what went wrong: empty, unless files could not be written (exit code 2)"""


@dataclass(frozen=True)
class Around:
    """What stands around the numbers of an answer.

    files   the files that were to be written; none of them was where there are faults
    """

    file: Path
    scenario: Scenario | None
    system: System
    cautions: Sequence[Finding]
    findings: Sequence[Finding] = ()
    files: Iterable[Path] = ()
    faults: Sequence[Fault] = ()

    def head(self, answer: Iterable[tuple[str, str]]) -> dict[str, Any]:
        """The keys that every document begins with, but for `format` and `version`.

        answer  pairs of a label and a sentence
        """
        return {
            "simtent": version("simtent"),
            "file": str(self.file),
            "units": self.system,
            "scenario": None if self.scenario is None else OfScenario.of(self.scenario),
            "cautions": [Found.of(it) for it in self.cautions],
            "findings": [Found.of(it) for it in self.findings],
            "answer": [Sentence(label=label, text=" ".join(text.split())) for label, text in answer],
            "files": [] if self.faults else [written(path) for path in self.files],
            "faults": [Wrong.of(it) for it in self.faults],
        }


def unasked(
    answer: Iterable[tuple[str, str]], file: Path | None = None, files: Iterable[Path] = ()
) -> dict[str, Any]:
    """The same keys where no scenario is asked about: the cautions in three short lines."""
    cautions = [Finding(level="caution", what=it, todo="", source=PRACTICE) for it in HEADLINE]
    return {
        "simtent": version("simtent"),
        "file": None if file is None else str(file),
        "units": None,
        "scenario": None,
        "cautions": [Found.of(it) for it in cautions],
        "findings": [],
        "answer": [Sentence(label=label, text=" ".join(text.split())) for label, text in answer],
        "files": [Written(path=str(path), what="scenario") for path in files],
        "faults": [],
    }


def written(path: Path) -> Written:
    """A file told by its ending."""
    return Written.model_validate({"path": str(path), "what": FILES[path.suffix]})

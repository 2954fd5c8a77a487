"""What is told in place of an answer where there is none."""

from collections.abc import Iterable
from importlib.metadata import version
from typing import Literal

from simtent.errors import Fault
from simtent.tell.answers.head import Wrong
from simtent.tell.answers.told import Told


class FaultsAnswer(Told):
    """Why there is no answer: faults of the user's input (exit code 2), or of ours (exit code 1)."""

    format: Literal["simtent.faults"] = "simtent.faults"
    """which document this is"""
    version: Literal[1] = 1
    """of this document's schema, as of all others"""
    simtent: str
    """the version of simtent that wrote it"""
    exit_code: Literal[1, 2]
    """2: something that was given is wrong; 1: a night could not be solved, or a study could not go on"""
    faults: list[Wrong]
    """every one that was found"""


def faults(found: Iterable[Fault], exit_code: Literal[1, 2]) -> FaultsAnswer:
    """The document of faults."""
    return FaultsAnswer(
        simtent=version("simtent"), exit_code=exit_code, faults=[Wrong.of(fault) for fault in found]
    )

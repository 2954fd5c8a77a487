"""What every table of a scenario has in common."""

from collections.abc import Iterator, Set
from typing import Self

from pydantic import BaseModel, ConfigDict, ValidationInfo, model_validator

from simtent.errors import Fault
from simtent.scenario.around import span_of
from simtent.scenario.clock import Span
from simtent.scenario.quantity import told_to_pydantic


class Section(BaseModel):
    """A frozen table that refuses unknown keys; defaults are read as a file's text would be."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, validate_default=True)

    @classmethod
    def key_faults(cls, _keys: Set[str]) -> Iterator[Fault]:
        """Faults of which keys are there together, whatever they hold; none unless a table says otherwise."""
        yield from ()

    def check_together(self, span: Span | None) -> None:
        """Check what one field alone cannot know; `span` is None while the night itself is faulty.

        Called only if every key is there and valid. Raises InputError whose faults name keys of this table
        ("wall", "table.2.at").
        """

    @model_validator(mode="after")
    def _check_together(self, info: ValidationInfo) -> Self:
        told_to_pydantic(lambda: self.check_together(span_of(info.context)))
        return self

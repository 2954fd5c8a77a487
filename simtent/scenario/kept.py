"""Valid sections, kept: they are frozen, and a batch of scenarios differs in one or two of them.

Their tables of names are frozen here: whoever wrote into one would change every scenario that says the same.
"""

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, NoReturn

from pydantic import BaseModel

from simtent.scenario.around import Around

MOST = 256  # sections; a scenario has a dozen
WRITTEN = (str, int, float, bool, type(None))


@dataclass(frozen=True, slots=True)
class _Raw:
    """What was given for a section; two are equal if they are written alike, so that 1, 1.0 and true are three."""

    written: str
    values: Any = field(compare=False)


class Fixed(dict[Any, Any]):
    """A table of names that nobody changes."""

    def _refuse(self, *_given: object, **_names: object) -> NoReturn:
        raise TypeError("a scenario does not change; `replace` gives another one")

    __setitem__ = __delitem__ = __ior__ = clear = pop = popitem = setdefault = update = _refuse

    def __reduce__(self) -> tuple[Any, ...]:
        return Fixed, (dict(self),)


def validated(model: type[BaseModel], values: Any, around: Around, *, reads_a_file: bool) -> BaseModel:
    """The section that these values make, the same one where they made one before; ValidationError if they make none.

    A section that reads a file is made anew, since the file may have changed.
    """
    if reads_a_file or not _is_written(values):
        return _fixed(model.model_validate(values, context=around))
    return _made(model, _Raw(repr(values), values), around)


@lru_cache(MOST)
def _made(model: type[BaseModel], raw: _Raw, around: Around) -> BaseModel:
    return _fixed(model.model_validate(raw.values, context=around))


def _fixed(section: BaseModel) -> BaseModel:
    """The section, with every table of names in it fixed."""
    fields = vars(section)
    for name, value in fields.items():
        fields[name] = _fixed_value(value)
    return section


def _fixed_value(value: Any) -> Any:
    if isinstance(value, BaseModel):
        return _fixed(value)
    if isinstance(value, tuple):
        for item in value:
            _fixed_value(item)
    if type(value) is dict:
        return Fixed({key: _fixed_value(item) for key, item in value.items()})
    return value


def _is_written(values: Any) -> bool:
    """Whether all values are of the types that a file gives, whose text tells them apart."""
    if type(values) is dict:
        return all(type(key) is str and _is_written(item) for key, item in values.items())
    if type(values) is tuple:
        return all(map(_is_written, values))
    return type(values) in WRITTEN

"""What a usual change writes into a file, told in US units: the table of changes is written in SI."""

import re

from simtent.scenario.fields import declared_at
from simtent.scenario.in_units import in_units
from simtent.scenario.quantity import Quantity
from simtent.scenario.toml_lines import dotted_key
from simtent.tell.draft_us import beginning_in_us, words_in_us
from simtent.units import UnitError

TEXTS = re.compile(r'"([^"\\]*)"')


def change_in_us(change: str, shape: str | None) -> str:
    """A change, key = value, with every quantity in US units: shelter.floor.mat = "3/4 in closed-cell foam".

    shape  of the shelter, which says what a key of it means
    """
    key, between, value = change.partition(" = ")
    declared = declared_at(dotted_key(key), shape)
    quantity = declared if isinstance(declared, Quantity) else None
    told = TEXTS.sub(lambda found: f'"{_in_us(quantity, found[1])}"', value)
    return f"{key}{between}{told}"


def _in_us(declared: Quantity | None, text: str) -> str:
    """A text of the file; a word as "none" stays."""
    if declared is None:
        told = beginning_in_us(text)
        return words_in_us(text) if told == text else told
    if declared.unit_us == declared.unit_si:
        return text
    try:
        return in_units(declared, declared.read(text), "us")
    except UnitError:
        return text

"""A missing unit is answered with units that bring the number into the allowed range, and with no others."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.errors import InputError
from simtent.scenario.fields import declared_of, fields, keys_of
from simtent.scenario.hardware import SheetText
from simtent.scenario.quantity import Quantity
from simtent.scenario.shapes import WALL
from simtent.scenario.stove import Pipe
from simtent.units import to_si

QUANTITIES = [
    field.declared for field in fields() if isinstance(field.declared, Quantity) and field.declared.allowed
]
OFFERED = re.compile(r'"([^"]+)"')


def todo(quantity: Quantity | SheetText, text: str) -> str:
    with pytest.raises(InputError) as caught:
        quantity.read(text)
    return caught.value.faults[0].todo or ""


@given(st.sampled_from(QUANTITIES), st.integers(1, 4000))
def test_what_is_offered_is_allowed(quantity: Quantity, number: int) -> None:
    low, high = quantity.bounds() or (0.0, 0.0)
    for text in OFFERED.findall(todo(quantity, f"{number}")):
        assert low <= to_si(text, quantity.kind) <= high


@given(st.sampled_from(QUANTITIES), st.floats(0.02, 0.98))
def test_a_number_in_the_fields_own_unit_is_offered_in_it(quantity: Quantity, share: float) -> None:
    low, high = quantity.bounds() or (0.0, 0.0)
    value = low + share * (high - low)
    if quantity.kind == "temperature":
        number = f"{value - 273.15:.6f}"
    else:
        number = f"{value / to_si(f'1 {quantity.unit_si}', quantity.kind):.6f}"
    assert f'"{number} {quantity.unit_si}"' in todo(quantity, number)


def test_examples_of_the_trade() -> None:
    pipe = declared_of(keys_of(Pipe)["diameter"])
    assert isinstance(pipe, Quantity)
    assert todo(pipe, "4") == 'Write "4 cm" or "4 in"'
    assert todo(pipe, "500") == "Write a number in the range 4 cm to 25 cm, with its unit"
    assert todo(WALL, "60") == 'Write "60 cm" or "60 in"'
    assert todo(WALL, "5") == 'Write "5 m" or "5 ft"'
    sheet = SheetText(meaning="sheet")
    assert todo(sheet, "1.2") == 'Write "1.2 mm steel"'
    assert todo(sheet, "0.4") == 'Write "0.4 mm steel" or "0.4 in steel"'  # 10 mm are allowed
    assert todo(sheet, "0.04") == 'Write "0.04 in steel"'

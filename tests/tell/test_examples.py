"""Examples that explain and FIELDS.md show: each reads back, and lies in the usual range."""

import tomllib
from pathlib import Path

import pytest

from simtent.scenario.fields import fields
from simtent.scenario.in_units import in_units, usual_text
from simtent.scenario.quantity import Count, Factor, Quantity, Reader
from simtent.tell.examples import allowed_names, example_values, how_written
from simtent.tell.fields import facts, variants
from simtent.tell.reference import reference
from simtent.units import to_si

EVERY = list(fields(tables=True))
NUMBERS = [field for field in EVERY if isinstance(field.declared, Quantity | Factor | Count)]


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.key)
def test_numbers_read_back_and_are_usual(field) -> None:
    for variant in variants(field):
        declared = variant.field.declared
        usual = declared.usual or declared.allowed
        low, high = (declared.read(end, None) for end in usual)
        for text in example_values(variant.field):
            assert low <= declared.read(tomllib.loads(f"it = {text}")["it"], None) <= high


def test_every_field_says_how_it_is_written() -> None:
    for field in EVERY:
        text = how_written(field)
        assert (text and "..." not in text) or not isinstance(field.declared, Reader), field.key


def test_names_of_tables_are_told() -> None:
    named = {field.key for field in EVERY if "fresh snow" in allowed_names(field.declared)}
    assert named == {"site.ground", "site.under_snow"}


def test_words_are_told() -> None:
    skirt = next(field for field in EVERY if field.key == "shelter.skirt")
    assert how_written(skirt).startswith('skirt = "snow" or "weighted"')
    invented = next(field for field in EVERY if field.key == "invented")
    assert how_written(invented) == "invented = true or false"


def test_keys_that_an_archetype_fills_say_so() -> None:
    defaults = {
        field.key: dict(facts(variants(field)[0]))["default"]
        for field in EVERY
        if field.required and not field.table
    }
    like = {key for key, default in defaults.items() if "like" in default}
    assert {"shelter.shape", "shelter.diameter", "stove.sheet", "stove.pipe.diameter"} <= like
    assert not {"stove.pipe.inside", "wood.species", "shelter.window[].area"} & like


def test_ranges_in_the_units_of_the_field() -> None:
    """Inch and foot: NIST Special Publication 811, exact."""
    declared = next(field for field in EVERY if field.key == "wood.pieces.*.thick").declared
    assert in_units(declared, 0.0254 * 3.5, "us") == "3.5 in"
    assert usual_text(declared, "us") == "0.394 in to 4.72 in"
    peak = next(field for field in EVERY if field.key == "shelter.peak").declared
    assert in_units(peak, 12.0 * 0.3048, "us") == "12 ft"
    assert in_units(peak, 5.5 * 0.3048, "us") == "5 ft 6 in"
    assert in_units(peak, 11.99 * 0.3048, "us") == "12 ft"
    assert in_units(peak, 0.1524, "us") == "6 in"
    altitude = next(field for field in EVERY if field.key == "site.altitude").declared
    assert to_si(in_units(altitude, -3.0, "us"), "length") == pytest.approx(-3.0, abs=0.0128)


def test_the_page_is_what_the_fields_declare() -> None:
    kept = Path(__file__).parents[2] / "scenarios" / "FIELDS.md"
    page = reference()
    assert kept.read_text(encoding="utf-8") == page, "run python .ci/fill_fields.py"
    assert all(f"**{field.key.replace('*', 'NAME')}**" in page for field in EVERY)

"""README.md of this folder names what is claimed, and no more; each law has a claim, the whole network has three."""

from importlib import import_module
from inspect import getmembers, isfunction
from pkgutil import iter_modules

import pytest

from simtent import physics

from . import page
from .claims import (
    CLOSED_FORM,
    LIBRARY,
    MISSED,
    PUBLISHED,
    REGISTRY,
    SECOND_HAND,
    Case,
    Margin,
    at_most,
    percent,
)
from .numbers import number, same_cell

# Laws that only sort or smooth what other laws make; `test_smoothness.py` holds them.
WITHOUT_A_SOURCE: dict[str, str] = {}


def public_laws():
    """Names of the laws that others may call, and their functions."""
    for info in iter_modules(physics.__path__, "simtent.physics."):
        module = import_module(info.name)
        for name, law in getmembers(module):
            own = getattr(law, "__module__", None) == info.name
            if own and not name.startswith("_") and (isfunction(law) or hasattr(law, "py_func")):
                yield f"{info.name.removeprefix('simtent.physics.')}.{name}", law


def test_lines_are_the_claims():
    claimed = {(page.heading(group), one.name) for group in page.all_groups() for one in group.cases}
    assert set(page.kept()) == claimed


def test_no_two_groups_have_one_heading():
    headings = [page.heading(group) for group in page.all_groups()]
    assert len(set(headings)) == len(headings)


def test_every_module_with_claims_is_on_the_page():
    for info in iter_modules([str(page.FILE.parent)]):
        if info.name.startswith("test_") and info.name != "test_page":
            import_module(f"{__package__}.{info.name}")
    named = {f"{__package__}.{name}" for name in page.modules()}
    assert set(REGISTRY) == named


def test_every_law_is_held_by_something_outside():
    strong = (CLOSED_FORM, LIBRARY, PUBLISHED, SECOND_HAND)
    held = {law for group in page.all_groups() if group.provenance in strong for law in group.laws}
    missing = [name for name, law in public_laws() if law not in held and name not in WITHOUT_A_SOURCE]
    assert not missing
    assert set(WITHOUT_A_SOURCE) <= {name for name, _ in public_laws()}


def test_three_claims_at_least_hold_the_whole_network():
    chapter = page.CHAPTERS["Whole networks"]
    assert sum(len(group.cases) for name in chapter for group in page.groups_of(name)) >= 3


def test_a_key_stands_for_one_source():
    keys = {}
    for group in page.all_groups():
        assert keys.setdefault(group.source.key, group.source.text) == group.source.text


@pytest.mark.parametrize("word", ["safe", "danger-free", "guaranteed"])
def test_no_verdict_about_people(word):
    assert word not in page.kept_text().lower().replace("unsafe", "")


@pytest.mark.parametrize(
    ("kept", "now", "allowed", "same"),
    [
        ("2.822 W", "2.823 W", percent(1.0), True),
        ("2.822 W", "2.824 W", percent(1.0), False),
        ("2.822 W", "2.822 m", percent(1.0), False),
        ("0.0412 K", "0.0436 K", at_most(0.05), True),
        ("0.0412 K", "0.0441 K", at_most(0.05), False),
        ("1.3e-5", "1.4e-5", percent(1.0), True),
        ("1.3e-5", "1.5e-5", percent(1.0), False),
        ("yes", "no", percent(1.0), False),
    ],
)
def test_what_another_machine_may_change(kept, now, allowed, same):
    assert same_cell(kept, now, allowed) is same


@pytest.mark.parametrize(
    ("margin", "obtained", "expected", "holds"),
    [
        (percent(1.0), 1.009, 1.0, True),
        (percent(1.0), 1.011, 1.0, False),
        (percent(1.0), float("nan"), 1.0, False),
        (percent(1.0), [1.0, 2.1], [1.0, 2.0], False),
        (Margin(off=0.1), [1.0, 2.05], [1.0, 2.0], True),
        (at_most(0.1), 0.2, None, False),
        (at_most(0.1), float("nan"), None, False),
        (Margin(), True, True, True),
        (Margin(), False, True, False),
    ],
)
def test_margins(margin, obtained, expected, holds):
    assert margin.holds(obtained, expected) is holds


def test_a_miss_is_told_with_its_reason():
    group = page.all_groups()[0]
    one = Case("far off", 1e9, group.cases[0].inputs, missed="for a reason")
    assert page.cells(group, one, 1.0)[-1] == f"**{MISSED}**: for a reason"


@pytest.mark.parametrize(
    ("value", "text"), [(1e-5, "1e-5"), (1.25e7, "1.25e7"), (-0.0312, "-0.0312"), (14.0, "14")]
)
def test_numbers_as_they_are_printed(value, text):
    assert number(value, 3) == text

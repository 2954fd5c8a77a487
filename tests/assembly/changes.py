"""A changed field of a scenario, and how what is seen of the model must move with it."""

from typing import NamedTuple

import pytest


def times(factor, within=1e-9):
    return lambda before, after: after == pytest.approx(before * factor, rel=within)


def plus(difference):
    return lambda before, after: after == pytest.approx(before + difference, rel=1e-9)


def becomes(value):
    return lambda _before, after: after == pytest.approx(value, rel=1e-9)


def up(before, after):
    return after > before + 1e-6 * abs(before)


def down(before, after):
    return after < before - 1e-6 * abs(before)


def anyhow(before, after):
    return after != pytest.approx(before, rel=1e-6)


class Change(NamedTuple):
    """Key of the field, what is changed before both nights, value before and after, and what must move how."""

    key: str
    base: dict
    before: dict
    after: dict
    moves: dict


def change(key, before, after, moves, base):
    return pytest.param(Change(key, base, {key: before}, {key: after}, moves), id=f"{key} {before} {after}")


def assert_moves(before, after, moves):
    """What is not named stays the same to 1e-9."""
    assert set(moves) <= set(before)
    for name, value in before.items():
        moved = moves.get(name, times(1.0))
        assert moved(value, after[name]), f"{name}: {value} to {after[name]}"

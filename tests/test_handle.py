"""A handle is read as its tree is, from Python and from compiled code, and every scenario is one program."""

import copy
import gc
import pickle
import weakref
from typing import NamedTuple

import numpy as np
import pytest

from simtent import compiled, load
from simtent.assembly.assemble import assemble
from simtent.handle import Handle, entry, handle
from tests.simulate.cases import SHIPPED

needs_numba = pytest.mark.skipif(compiled.NUMBA is None, reason="plain Python has no handles")


class Part(NamedTuple):
    weights: np.ndarray
    share: float


class Tree(NamedTuple):
    count: int
    first: Part
    square: np.ndarray
    rows: np.ndarray
    second: Part
    span: tuple[int, int]
    last: float


def tree():
    return Tree(
        count=3,
        first=Part(np.array([1.0, 2.0, 4.0]), 0.5),
        square=np.arange(6.0).reshape(2, 3),
        rows=np.array([7, -8], np.int64),
        second=Part(np.zeros(0), 2),
        span=(11, -13),
        last=-1e-300,
    )


def part_sum(part):
    return part.weights.sum() * part.share


def told(p):
    """Every field, each by a number of its own."""
    return (
        p.count, p.first.weights[2], p.first.share, p.square[1, 2], p.square[1, 0], p.square.shape[0], p.rows[1],
        p.second.weights.size, p.second.share, p.span[0], p.span[1], p.last, part_sum(p.first), p.square[:, 1].sum(),
    )  # fmt: skip


def compiled_told():
    global part_sum  # noqa: PLW0603
    if not hasattr(part_sum, "py_func"):
        part_sum = compiled.NUMBA.njit(part_sum)
    return compiled.NUMBA.njit(told)


def test_plain_python_reads_the_same():
    assert told(handle(tree())) == told(tree())


@needs_numba
def test_compiled_code_reads_every_field():
    assert compiled_told()(handle(tree())) == told(tree()) == compiled_told()(tree())


@needs_numba
def test_what_is_written_into_an_array_stands_in_the_tree():
    whole = tree()

    @compiled.NUMBA.njit
    def write(p):
        p.square[1, 1] = 99.0

    write(handle(whole))
    assert whole.square.tolist() == [[0.0, 1.0, 2.0], [3.0, 99.0, 5.0]]


@needs_numba
def test_a_part_outlives_the_whole():
    total = compiled.NUMBA.njit(part_sum.py_func if hasattr(part_sum, "py_func") else part_sum)
    part = handle(tree()).first
    gc.collect()
    others = [np.full(40, 1e9) for _ in range(100)]
    assert isinstance(part, Handle)
    assert total(part) == 3.5
    assert len(others) == 100


@needs_numba
def test_a_whole_number_where_a_real_one_is_declared_is_the_same_type():
    one, other = tree(), tree()._replace(last=1)
    assert compiled.NUMBA.typeof(handle(one)) == compiled.NUMBA.typeof(handle(other))
    assert handle(one)._replace(count=4).count == 4


@needs_numba
def test_another_layout_is_another_program():
    flat = tree()._replace(square=np.arange(6.0), rows=np.array([[7, -8]]))
    assert compiled.NUMBA.typeof(handle(flat)) != compiled.NUMBA.typeof(handle(tree()))


@needs_numba
def test_a_copy_stands_on_its_own():
    one = handle(tree())
    copy = pickle.loads(pickle.dumps(one))
    one.first.weights[2] = 0.0
    assert copy.address != one.address
    assert compiled_told()(copy) == told(tree())


@needs_numba
def test_a_tree_with_a_handle_in_it():
    part = handle(tree()).first
    whole = handle(tree()._replace(second=part))
    assert compiled_told()(whole)[8] == 0.5


@needs_numba
@pytest.mark.parametrize(
    "leaf",
    [np.arange(6.0)[::2], np.arange(6.0).reshape(2, 3).T, np.zeros(2, np.float32), [1.0], None, "text"],
    ids=["strided", "turned", "single", "list", "nothing", "text"],
)
def test_another_leaf_is_refused(leaf):
    with pytest.raises(TypeError, match="a handle cannot hold"):
        handle(tree()._replace(square=leaf))


class Calling(NamedTuple):
    law: object
    by: float


def test_a_function_is_called_by_its_address():
    def doubled(x, array):
        return 2.0 * x + array[0]

    def call(p, array):
        return p.law(p.by, array)

    if compiled.NUMBA is not None:
        doubled, call = compiled.NUMBA.njit(doubled), compiled.NUMBA.njit(call)
    array = np.array([0.25])
    assert call(handle(Calling(entry(doubled, 1.0, array), 21.0)), array) == 42.25


@needs_numba
def test_an_address_is_not_handed_to_another_process():
    """And its function stays as long as the handle does, though nobody else holds it."""
    array = np.array([0.25])

    def made():
        tripled = compiled.NUMBA.njit(lambda x, array: 3.0 * x + array[0])
        return handle(Calling(entry(tripled, 1.0, array), 21.0)), weakref.ref(tripled)

    whole, function = made()
    gc.collect()
    assert function() is not None
    with pytest.raises(TypeError, match="in its own process"):
        pickle.dumps(whole)
    with pytest.raises(TypeError, match="in its own process"):
        copy.deepcopy(whole)


@needs_numba
def test_every_shipped_scenario_is_the_same_program():
    kinds = {compiled.NUMBA.typeof(assemble(load(path)).shelter) for path in SHIPPED}
    assert len(SHIPPED) > 3
    assert len(kinds) == 1


@needs_numba
def test_cold_asks_for_the_kernels_that_are_named(tmp_path, monkeypatch):
    monkeypatch.setattr(compiled, "FOLDER", tmp_path)
    assert compiled.cold("rhs.observe")
    (tmp_path / "assembly").mkdir()
    (tmp_path / "assembly" / "rhs.observe-249.py311.nbi").touch()
    assert not compiled.cold("rhs.observe")
    assert compiled.cold("rhs.observe", "whole_night.whole_night")

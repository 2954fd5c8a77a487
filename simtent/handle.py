"""A tree of named tuples handed to compiled code as one pointer.

Numba hands a named tuple over by value: a whole shelter is some 150 arrays of five numbers and two owners each, taken
apart at every call from Python, passed one by one from kernel to kernel, and counted wherever they go. A handle is one
pointer to the same numbers, laid out once; a part of it is the same pointer moved on. Kernels read `p.part.array` of
either alike, so that one source serves handles, named tuples, and plain Python, where a handle is the tree itself.

What is laid out does not change: arrays may be written into, but no field be given another value.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from simtent import compiled

Tree = TypeVar("Tree", bound=tuple[Any, ...])
Function = TypeVar("Function", bound=Callable[..., Any])


class Handle:
    """A tree, where its words stand, and their type for Numba; attributes are the tree's, its parts again handles.

    Numba looks for `_numba_type_`, and compiled code reads `address`.
    """

    __slots__ = ("_numba_type_", "address", "tree", "words")

    def __init__(self, tree: Any, kind: Any, words: Any, address: int) -> None:
        self.tree, self._numba_type_, self.words, self.address = tree, kind, words, address

    def __getattr__(self, name: str) -> Any:
        value, part = getattr(self.tree, name), self._numba_type_.parts.get(name)
        if part is None:
            return value
        offset, kind = part
        return Handle(value, kind, self.words, self.address + offset)

    def __reduce__(self) -> tuple[Any, ...]:
        return handle, (self.tree,)

    def _replace(self, **fields: Any) -> Any:
        """A handle to a tree in which some fields are others."""
        return handle(self.tree._replace(**fields))


def handle(tree: Tree) -> Tree:
    """A handle to a tree of named tuples, to be read as the tree is; the tree itself in plain Python.

    Leaves are numbers, tuples of whole numbers, functions by `entry`, and arrays of float64 or int64 in C order.

    Raises TypeError at any other leaf: compiled for it, the night would be another program.
    """
    if compiled.NUMBA is None or isinstance(tree, Handle):
        return tree
    from simtent.handle_type import lay_out  # noqa: PLC0415  (needs Numba)

    bare = _bare(tree)
    kind, words = lay_out(bare)
    return cast(Tree, Handle(bare, kind, words, words.ctypes.data))


def entry(function: Function, *arguments: Any) -> Function:
    """A kernel as a leaf of a handle, compiled for arguments like these; the function itself in plain Python.

    A kernel that calls it by its address is compiled without it. Linked in, as usual, it would be compiled once more
    with every kernel on the way to it.
    """
    if compiled.NUMBA is None:
        return function
    from simtent.handle_type import Entry  # noqa: PLC0415

    return cast(Function, Entry.of(function, arguments))


def _bare(value: Any) -> Any:
    """The tree without handles in it."""
    if isinstance(value, Handle):
        return value.tree
    fields = getattr(value, "_fields", None)
    if fields is None or not any(isinstance(field, Handle | tuple) for field in value):
        return value
    return type(value)(*map(_bare, value))

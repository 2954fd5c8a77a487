"""Handles as Numba knows them: how a tree is laid out in words, and how compiled code reads a field.

An array takes a word for its data and one for each length; a number one; a part stands where it is, word after word.
"""

import hashlib
import struct
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numba import typeof
from numba.core import cgutils, types
from numba.core.imputils import impl_ret_borrowed, lower_getattr_generic
from numba.core.pythonapi import NativeValue
from numba.core.typing.templates import AttributeTemplate
from numba.extending import infer_getattr, models, register_model, unbox
from numba.np.arrayobj import make_array, populate_array

WORD = 8  # bytes
ITEMS = {np.dtype(np.float64): types.float64, np.dtype(np.int64): types.int64}


class HandleType(types.Type):  # type: ignore[misc]  # (Numba has no types of its own)
    """Fields of one class of named tuples: the byte at which each begins, and its type; `parts` are trees again."""

    def __init__(self, name: str, fields: tuple[tuple[str, int, Any], ...]) -> None:
        self.fields = {field: (offset, kind) for field, offset, kind in fields}
        self.parts = {field: at for field, at in self.fields.items() if isinstance(at[1], HandleType)}
        # The name stands for the type in the cache: the same for the same layout only.
        digest = hashlib.sha256(repr(fields).encode()).hexdigest()[:16]
        super().__init__(f"{name}.{digest}")


@dataclass(frozen=True)
class Entry:
    """A compiled function by its address in this process, and what keeps it there."""

    signature: Any
    address: int
    function: Any

    @classmethod
    def of(cls, function: Any, arguments: tuple[Any, ...]) -> "Entry":
        """The entry of a kernel, compiled for arguments like these."""
        kinds = tuple(typeof(argument) for argument in arguments)
        function.compile(kinds)
        made = function.overloads[kinds]
        return cls(made.signature, made.library.get_pointer_to_function(made.fndesc.llvm_func_name), function)

    def __reduce__(self) -> tuple[Any, ...]:
        raise TypeError("an address holds in its own process alone")


def lay_out(tree: Any) -> tuple[HandleType, Any]:
    """Type of a tree of named tuples, and its words."""
    words: list[bytes] = []
    kind = _tree(tree, words)
    return kind, np.frombuffer(b"".join(words), np.int64)


def _tree(tree: Any, words: list[bytes]) -> HandleType:
    declared, begin, fields = type(tree).__annotations__, len(words), []
    for name, value in zip(tree._fields, tree, strict=True):
        offset = WORD * (len(words) - begin)
        fields.append((name, offset, _leaf(value, declared[name], words)))
    key = (type(tree), tuple(fields))
    if key not in _KNOWN:
        _KNOWN[key] = HandleType(f"{type(tree).__module__}.{type(tree).__name__}", tuple(fields))
    return _KNOWN[key]


_KNOWN: dict[tuple[Any, ...], HandleType] = {}


def _leaf(value: Any, declared: Any, words: list[bytes]) -> Any:
    """Append a field's words; its type. A number's is the one it is declared with, lest 1 and 1.0 make two programs."""
    if isinstance(value, Entry):
        words += _whole(value.address)
        return types.FunctionType(value.signature)
    if hasattr(value, "_fields"):
        return _tree(value, words)
    if isinstance(value, np.ndarray) and value.flags.c_contiguous and value.dtype in ITEMS:
        words += _whole(value.ctypes.data, *value.shape)
        return _array(value.dtype, value.ndim)
    if declared is float and isinstance(value, int | float | np.integer | np.floating):
        words.append(struct.pack("=d", value))
        return types.float64
    if declared is int and isinstance(value, int | np.integer):
        words += _whole(int(value))
        return types.int64
    if isinstance(value, tuple) and value and all(isinstance(number, int) for number in value):
        words += _whole(*value)
        return types.UniTuple(types.int64, len(value))
    raise TypeError(f"a handle cannot hold {value!r}, declared as {declared}")


@cache
def _array(dtype: Any, dimensions: int) -> Any:
    return types.Array(ITEMS[dtype], dimensions, "C")


def _whole(*numbers: int) -> list[bytes]:
    return [struct.pack("=q", number) for number in numbers]


@register_model(HandleType)
class HandleModel(models.OpaqueModel):  # type: ignore[misc]
    """One pointer, of which nobody counts the references: whoever calls holds the handle."""


@unbox(HandleType)  # type: ignore[untyped-decorator]
def unbox_handle(_kind: HandleType, value: Any, c: Any) -> Any:
    """The address out of a Python object."""
    number = c.pyapi.object_getattr_string(value, "address")
    address = c.pyapi.long_as_ulonglong(number)
    c.pyapi.decref(number)
    return NativeValue(c.builder.inttoptr(address, cgutils.voidptr_t))


@infer_getattr
class HandleFields(AttributeTemplate):  # type: ignore[misc]
    """A field has the type with which it was laid out."""

    key = HandleType

    def generic_resolve(self, kind: HandleType, name: str) -> Any:
        """Type of a field; None where there is none of that name."""
        return kind.fields[name][1] if name in kind.fields else None


@lower_getattr_generic(HandleType)  # type: ignore[untyped-decorator]
def read_field(context: Any, builder: Any, owner: HandleType, pointer: Any, name: str) -> Any:
    """A field's value: of a part the pointer alone."""
    offset, kind = owner.fields[name]
    at = cgutils.pointer_add(builder, pointer, offset)
    if isinstance(kind, HandleType):
        return at
    if isinstance(kind, types.Array):
        return impl_ret_borrowed(context, builder, kind, _read_array(context, builder, kind, at))
    if isinstance(kind, types.FunctionType):
        return _read_function(context, builder, kind, at)
    if isinstance(kind, types.UniTuple):
        numbers = [_read_word(context, builder, at, n, kind.dtype) for n in range(kind.count)]
        return context.make_tuple(builder, kind, numbers)
    return _read_word(context, builder, at, 0, kind)


def _read_word(context: Any, builder: Any, at: Any, n: int, kind: Any) -> Any:
    """A word, which never changes: the compiler may read it once for all."""
    place = cgutils.pointer_add(builder, at, WORD * n)
    word = builder.load(builder.bitcast(place, context.get_value_type(kind).as_pointer()))
    word.set_metadata("invariant.load", builder.module.add_metadata([]))
    return word


def _read_array(context: Any, builder: Any, kind: Any, at: Any) -> Any:
    """An array without an owner: the tree holds it, and references to it need no count."""
    array = make_array(kind)(context, builder)
    shape = [_read_word(context, builder, at, 1 + n, types.intp) for n in range(kind.ndim)]
    size = context.get_constant(types.intp, WORD)
    strides = [size]
    for length in reversed(shape[1:]):
        strides.insert(0, builder.mul(strides[0], length))
    data = builder.inttoptr(_read_word(context, builder, at, 0, types.intp), array.data.type)
    populate_array(array, data=data, shape=shape, strides=strides, itemsize=size, meminfo=None)
    return array._getvalue()


def _read_function(context: Any, builder: Any, kind: Any, at: Any) -> Any:
    """A function of compiled code alone, neither of C nor of Python."""
    function = cgutils.create_struct_proxy(kind)(context, builder)
    for name in ("c_addr", "py_addr"):
        setattr(function, name, cgutils.get_null_value(getattr(function, name).type))
    address = _read_word(context, builder, at, 0, types.intp)
    function.jit_addr = builder.inttoptr(address, function.jit_addr.type)
    return function._getvalue()

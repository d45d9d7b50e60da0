"""How the library's machine code takes a NamedTuple of arrays: as the address of its fields' words (``sim.doors``), one argument instead of some hundred.

numba would hand on every field of every array one by one, through each law that only passes the plant along. A field is read from memory where it is used;
the words never change while a law runs, and the loads say so, which lets the optimiser fetch a field once.
"""

from __future__ import annotations

from typing import Any

from llvmlite import ir
from numba import types
from numba.core import imputils
from numba.core.datamodel import models, register_default
from numba.core.typing.templates import AttributeTemplate, infer_getattr
from numba.np.numpy_support import from_dtype

from sim.doors import Axes, Bundle

WORD = ir.IntType(64)
ARRAY_WORDS = 5


class BundleType(types.Type):  # type: ignore[misc]
    """The type of a NamedTuple of arrays."""

    def __init__(self, kind: Bundle) -> None:
        self.kind = kind
        super().__init__(name=kind.type.__qualname__)


@register_default(BundleType)
class BundleModel(models.PrimitiveModel):  # type: ignore[misc]
    """An address of words."""

    def __init__(self, manager: Any, of: BundleType) -> None:
        super().__init__(manager, of, WORD.as_pointer())


@infer_getattr
class BundleFields(AttributeTemplate):  # type: ignore[misc]
    """The types of the fields."""

    key = BundleType

    def generic_resolve(self, of: BundleType, name: str) -> Any:
        """The type of a field."""
        return type_of(field(of.kind, name)[0])


def type_of(kind: Axes | Bundle) -> Any:
    """numba's type of an array or of a NamedTuple of arrays."""
    if isinstance(kind, Bundle):
        return BundleType(kind)
    return types.Array(from_dtype(kind.dtype), kind.count, "C")


def field(kind: Bundle, name: str) -> tuple[Axes | Bundle, int]:
    """A field and the place of its first word."""
    at = 0
    for known, one in zip(kind.type._fields, kind.fields, strict=True):  # type: ignore[attr-defined]
        if known == name:
            return one, at
        at += words(one)
    raise AttributeError(f"{kind.type.__name__} has no field {name}")


def words(kind: Axes | Bundle) -> int:
    """How many words an array or a NamedTuple of arrays takes."""
    if isinstance(kind, Bundle):
        return sum(map(words, kind.fields))
    return ARRAY_WORDS + 2 * kind.count


@imputils.lower_getattr_generic(BundleType)  # type: ignore[untyped-decorator]
def read_field(context: Any, builder: Any, of: BundleType, address: Any, name: str) -> Any:
    """The code that reads a field."""
    kind, at = field(of.kind, name)
    place = builder.gep(address, [ir.Constant(WORD, at)])
    if isinstance(kind, Bundle):
        return place
    array = context.get_value_type(type_of(kind))
    loaded = builder.load(builder.bitcast(place, array.as_pointer()))
    loaded.set_metadata("invariant.load", builder.module.add_metadata([]))
    return loaded

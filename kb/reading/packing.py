"""Records to bytes and back, many times faster than from what a person wrote. Only for bytes that are signed.

The types of records cannot be pickled as they are, and would be set up by slow steps of their own; here each
is put together again from its values, which were found right before. What is not of our own types is refused.
"""

from __future__ import annotations

import io
import pickle
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

_HOMES = ("kb.quantities.", "kb.reading.", "kb.records.")
_OTHERS = frozenset({("datetime", "date"), ("decimal", "Decimal"), ("fractions", "Fraction")})


def packed(value: object) -> bytes | None:
    """`value` with all records in it; None where something in it cannot be packed."""
    target = io.BytesIO()
    try:
        _Packer(target).dump(value)
    except (pickle.PicklingError, TypeError, AttributeError):
        return None
    return target.getvalue()


def unpacked(data: bytes) -> Any:
    """What was packed; None where that cannot be told."""
    try:
        return _Unpacker(io.BytesIO(data)).load()
    except (
        pickle.UnpicklingError,
        EOFError,
        ImportError,
        AttributeError,
        LookupError,
        TypeError,
        ValueError,
    ):
        return None


class _Packer(pickle.Pickler):
    def __init__(self, target: io.BytesIO) -> None:
        super().__init__(target, protocol=5)
        self._sets: dict[tuple[type, frozenset[str]], set[str]] = {}

    def reducer_override(self, value: Any) -> Any:
        if isinstance(value, BaseModel):
            names = value.model_fields_set
            # Records of a kind mostly have the same keys; nobody changes the set of a frozen record.
            same = self._sets.setdefault((type(value), frozenset(names)), names)
            fields = {name: value.__dict__[name] for name in type(value).model_fields}
            return _record, (type(value), fields, same)
        if isinstance(value, MappingProxyType):
            return _read_only, (dict(value),)
        return NotImplemented


class _Unpacker(pickle.Unpickler):
    def find_class(self, module: str, name: str) -> Any:
        if not module.startswith(_HOMES) and (module, name) not in _OTHERS:
            raise pickle.UnpicklingError(f"{module}.{name} is no part of a record")
        return super().find_class(module, name)


_set_fields_set = BaseModel.__dict__["__pydantic_fields_set__"].__set__
_set_extra = BaseModel.__dict__["__pydantic_extra__"].__set__
_set_private = BaseModel.__dict__["__pydantic_private__"].__set__


def _record(kind: type[BaseModel], fields: dict[str, Any], names: set[str]) -> BaseModel:
    """As `model_construct` would make it, without looking at each field again."""
    record = object.__new__(kind)
    object.__setattr__(record, "__dict__", fields)
    _set_fields_set(record, names)
    _set_extra(record, None)
    _set_private(record, None)
    return record


def _read_only(values: dict[Any, Any]) -> Mapping[Any, Any]:
    return MappingProxyType(values)

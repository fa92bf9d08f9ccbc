"""Values to bytes and back, with some of what they hold going by name."""

from __future__ import annotations

import copyreg
import io
import pickle
from collections.abc import Callable
from types import MappingProxyType
from typing import Any

Name = tuple[str, ...]


def packed(value: Any, name_of: Callable[[Any], Name | None]) -> bytes:
    """A value as bytes; what `name_of` gives a name for goes by that name."""
    held = io.BytesIO()
    _Packing(held, name_of).dump(value)
    return held.getvalue()


def unpacked(data: bytes, thing_of: Callable[[Name], Any]) -> Any:
    """The value again; `thing_of` gives what goes by a name.

    Only for bytes that this program packed and nobody else could write: to unpack is to run them.
    """
    return _Unpacking(io.BytesIO(data), thing_of).load()


def _read_only(proxy: MappingProxyType[Any, Any]) -> tuple[Any, ...]:
    return _proxy, (dict(proxy),)


def _proxy(held: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(held)


class _Packing(pickle.Pickler):
    def __init__(self, file: io.BytesIO, name_of: Callable[[Any], Name | None]) -> None:
        super().__init__(file, protocol=5)
        self.dispatch_table = {**copyreg.dispatch_table, MappingProxyType: _read_only}
        self._name_of = name_of

    def persistent_id(self, thing: Any) -> Name | None:
        return self._name_of(thing)


class _Unpacking(pickle.Unpickler):
    def __init__(self, file: io.BytesIO, thing_of: Callable[[Name], Any]) -> None:
        super().__init__(file)
        self._thing_of = thing_of

    def persistent_load(self, name: Name) -> Any:
        return self._thing_of(name)

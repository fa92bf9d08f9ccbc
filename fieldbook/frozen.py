"""Classes whose objects do not change once made: dataclasses that are quick to define.

`dataclass(frozen=True)` writes and compiles six methods for each class, and a program of a hundred
such classes spends a tenth of a second on them before it does anything. Only `__init__` differs
between classes; the others are shared here.
"""

from __future__ import annotations

from dataclasses import FrozenInstanceError, dataclass
from operator import attrgetter
from typing import TYPE_CHECKING, Any, TypeVar

T = TypeVar("T")

if TYPE_CHECKING:
    # A type checker knows what a dataclass is; that it is frozen, the class itself sees to.
    from dataclasses import dataclass as frozen
else:

    def frozen(cls=None, /, *, kw_only=False):
        """Make a class a frozen dataclass; `dataclasses.fields` and `replace` work on it."""
        if cls is None:
            return lambda named: _made(named, kw_only)
        return _made(cls, kw_only)


def _made(cls: type[T], kw_only: bool) -> type[T]:
    for name, method in SHARED.items():
        if name not in cls.__dict__:
            setattr(cls, name, method)
    return dataclass(eq=False, repr=False, kw_only=kw_only)(cls)


def _set_once(self: Any, name: str, value: Any) -> None:
    if name in self.__dict__:
        raise FrozenInstanceError(f"cannot assign to field {name!r}")
    self.__dict__[name] = value


def _delete(self: Any, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _values(thing: Any) -> tuple[Any, ...]:
    """The values of its fields that are compared, in order."""
    names = [name for name, each in thing.__dataclass_fields__.items() if each.compare]
    return (attrgetter(*names)(thing),) if names else ()


def _equal(self: Any, other: object) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self is other or _values(self) == _values(other)


def _hashed(self: Any) -> int:
    return hash((self.__class__.__name__, _values(self)))


def _shown(self: Any) -> str:
    fields = self.__dataclass_fields__.items()
    shown = ", ".join(f"{name}={getattr(self, name)!r}" for name, each in fields if each.repr)
    return f"{self.__class__.__qualname__}({shown})"


SHARED: dict[str, Any] = {
    "__setattr__": _set_once,
    "__delattr__": _delete,
    "__eq__": _equal,
    "__hash__": _hashed,
    "__repr__": _shown,
}

__all__ = ["frozen"]

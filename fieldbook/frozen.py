"""Classes whose objects do not change once made: dataclasses that are quick to define.

`dataclass(frozen=True)` writes and compiles six methods for each class, and a program of a hundred
such classes spends a tenth of a second on them before it does anything. Only `__init__` differs
between classes, and it is compiled when the first object is made; the others are shared here.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
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
    """The class with the shared methods; the library looks at its fields when they matter."""
    for name, method in SHARED.items():
        if name not in cls.__dict__:
            setattr(cls, name, method)
    own: Any = cls
    own.__dataclass_fields__ = _Fields(cls, kw_only)
    own.__init__ = _first_init(own)
    return cls


class _Fields:
    """Stands where the library keeps the fields of a class, until somebody asks for them."""

    def __init__(self, cls: type, kw_only: bool) -> None:
        self._cls, self._kw_only = cls, kw_only

    def __get__(self, thing: object, owner: Any) -> Any:
        if self._cls.__dict__.get("__dataclass_fields__") is self:
            _finish(self._cls, self._kw_only)
        return owner.__dataclass_fields__


def _first_init(cls: Any) -> Callable[..., None]:
    def init(self: Any, *values: Any, **named: Any) -> None:
        if cls.__dataclass_fields__ is not None:  # asked for, and so the real one is in its place
            cls.__init__(self, *values, **named)

    return init


LATE = ("__match_args__", "__dataclass_params__", "__init__", "__dataclass_fields__")
NOT_COPIED = ("__dict__", "__weakref__", "__init__", "__dataclass_fields__")


def _finish(cls: type, kw_only: bool) -> None:
    """What the library makes of a copy of the class; the class itself is whole at every moment."""
    held = {name: each for name, each in cls.__dict__.items() if name not in NOT_COPIED}
    copy: Any = type(cls.__name__, cls.__bases__, {**held, "__qualname__": cls.__qualname__})
    dataclass(eq=False, repr=False, kw_only=kw_only)(copy)
    for name in copy.__dataclass_fields__:
        if name in copy.__dict__:
            setattr(cls, name, copy.__dict__[name])
        elif name in cls.__dict__:
            with suppress(AttributeError):  # another thread was first
                delattr(cls, name)
    for name in LATE:
        setattr(cls, name, copy.__dict__[name])


def _set_once(self: Any, name: str, value: Any) -> None:
    if name in self.__dict__ or name not in self.__dataclass_fields__:
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

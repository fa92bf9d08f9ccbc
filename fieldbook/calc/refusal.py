"""How a formula refuses: one line a reason, for floats, arrays and uncertain numbers alike."""

from typing import Any, TypeAlias

from fieldbook.errors import NotPossible, OutOfRange

Value: TypeAlias = Any
"""A float, an array, or a number with uncertainty: a formula takes any of them."""


def refuse_if(condition: Value, message: str) -> None:
    """Refuse inputs that contradict each other, anywhere in an array."""
    if _anywhere(condition):
        raise NotPossible(message)


def refuse_outside(condition: Value, message: str) -> None:
    """Refuse inputs outside the range that the source of a formula covers."""
    if _anywhere(condition):
        raise OutOfRange(message)


def _anywhere(condition: Value) -> bool:
    return condition if isinstance(condition, bool) else bool(condition.any())

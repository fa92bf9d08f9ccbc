"""How a formula refuses: one line a reason, for floats, arrays and uncertain numbers alike."""

from fieldbook.calc.uncertainty import Value, nominal
from fieldbook.errors import NotPossible, OutOfRange

__all__ = ["Value", "less", "negative", "not_positive", "outside", "refuse_if", "refuse_outside"]

NOISE = 1e-12
"""Of a number: less is rounding, not a slip; ours."""


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


def less(one: Value, other: Value) -> Value:
    """True where one lies below the other; of uncertain numbers, their middles.

    Equal amounts written in two units differ by the noise of binary arithmetic: that is not less.
    """
    bound = nominal(other)
    return nominal(one) < bound - NOISE * abs(bound)


def negative(*values: Value) -> Value:
    """True where any of the values is less than zero."""
    return _any_of([nominal(value) < 0 for value in values])


def not_positive(*values: Value) -> Value:
    """True where any of the values is zero or less."""
    return _any_of([nominal(value) <= 0 for value in values])


def outside(value: Value, low: float, high: float) -> Value:
    """True where a value lies below low or above high."""
    middle = nominal(value)
    return (middle < low) | (middle > high)


def _any_of(conditions: list[Value]) -> Value:
    found = conditions[0]
    for condition in conditions[1:]:
        found = found | condition
    return found

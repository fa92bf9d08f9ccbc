"""Numbers from print, from other libraries and worked out by hand, beside the formula they check.

The tests hold every formula against them, and docs/formulas.md shows them with ours beside.
"""

from typing import Any, NamedTuple


class CheckValue(NamedTuple):
    """One answer that a formula must give."""

    formula: str
    """Subject and function, such as `shrinkage.drying_shrinkage`."""
    inputs: tuple[Any, ...] | dict[str, Any]
    """In the units the formula declares."""
    expected: Any
    within: float
    """Greatest difference allowed; half the last printed digit, unless the source says why not."""
    mark: str
    """published, library, or ours: worked out here."""
    source: str


def published(formula: str, inputs: Any, expected: Any, within: float, source: str) -> CheckValue:
    return CheckValue(formula, inputs, expected, within, "published", source)


def library(formula: str, inputs: Any, expected: Any, within: float, source: str) -> CheckValue:
    return CheckValue(formula, inputs, expected, within, "library", source)


def ours(
    formula: str, inputs: Any, expected: Any, within: float, source: str = "worked out here"
) -> CheckValue:
    return CheckValue(formula, inputs, expected, within, "ours", source)


def all_rows() -> list[CheckValue]:
    from tests.check_values import brick_tests, clay_and_mix, drying, firing

    return [*clay_and_mix.ROWS, *drying.ROWS, *brick_tests.ROWS, *firing.ROWS]

"""Rounding as the standards do it: an exact half goes to the even digit, in decimal."""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

from fieldbook.errors import NotPossible

NOISE_DIGITS = 12
"""A measured and derived value is good to far fewer digits; beyond these there is only the noise
of binary arithmetic, which would push an exact half to either side."""


def as_decimal(value: float) -> Decimal:
    """The value in decimal, freed of the noise of binary arithmetic.

    Example:
        >>> as_decimal(5100 / (200 * 100) + 1e-17)
        Decimal('0.255')
    """
    number = Decimal(f"{float(value):.{NOISE_DIGITS}g}")
    if not number.is_finite():
        raise NotPossible(f"{value} cannot be rounded: it is not a finite number")
    return number


def round_to(value: float, step: float | str, *, half: str = "even") -> float:
    """The multiple of `step` nearest to `value`; an exact half goes to the even multiple.

    Args:
        value: the number.
        step: such as 0.1, 10 or "0.01".
        half: "even" as in ASTM E29 and IS 2 (from memory), or "up" as taught at school.

    Example:
        >>> round_to(0.255, 0.01), round_to(0.265, 0.01), round_to(2345, 10)
        (0.26, 0.26, 2340.0)
    """
    unit = Decimal(str(step))
    if unit <= 0:
        raise NotPossible("a rounding step must be greater than zero")
    rule = {"even": ROUND_HALF_EVEN, "up": ROUND_HALF_UP}[half]
    multiple = (as_decimal(value) / unit).quantize(Decimal(1), rounding=rule)
    return float(multiple * unit)


def same_digits(value: float, step: float | str) -> str:
    """The rounded value as text, with the digits the step asks for.

    Example:
        >>> same_digits(8.0, 0.01), same_digits(3166.0, 10)
        ('8.00', '3170')
    """
    places = max(0, -int(Decimal(str(step)).normalize().as_tuple().exponent))
    return f"{round_to(value, step):.{places}f}"

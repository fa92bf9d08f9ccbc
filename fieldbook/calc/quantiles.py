"""Quantiles of the distributions that small samples need, without a statistics library."""

import math
from collections.abc import Callable
from functools import cache

from fieldbook.errors import NotPossible


@cache
def student_t(probability: float, freedom: int) -> float:
    """Quantile of Student's t.

    Formula:
        P(T <= t) = 1 - I(v/(v + t^2); v/2, 1/2)/2 for t > 0
    Raises:
        NotPossible: no degree of freedom, or a probability not within 0 to 1.
    Source:
        Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.
    Example:
        >>> print(f"{student_t(0.975, 4):.3f} {student_t(0.95, 4):.3f}")
        2.776 2.132
    """
    if freedom < 1 or not 0 < probability < 1:
        raise NotPossible("Student's t needs a degree of freedom and a probability within 0 to 1")
    if probability == 0.5:
        return 0.0
    if probability < 0.5:
        return -student_t(1 - probability, freedom)

    def reached(t: float) -> float:
        tail = _beta_share(freedom / (freedom + t * t), freedom / 2, 0.5) / 2
        return 1 - tail if t > 0 else tail

    top = 2.0
    while reached(top) < probability:
        top *= 2
    return root(reached, probability, 0.0, top)


@cache
def normal_quantile(probability: float) -> float:
    """Quantile of the normal distribution.

    Formula:
        Phi(z) = probability
    Raises:
        NotPossible: a probability not within 0 to 1.
    Source:
        Definition; by bisection on the error function.
    Example:
        >>> print(f"{normal_quantile(0.9):.5f}")
        1.28155
    """
    if not 0 < probability < 1:
        raise NotPossible("a probability lies between 0 and 1")
    return root(lambda z: math.erfc(-z / math.sqrt(2)) / 2, probability, -40.0, 40.0)


@cache
def chi_square_quantile(probability: float, freedom: int) -> float:
    """Quantile of chi-square, lower tail.

    Formula:
        P(v/2, x/2) = probability, P the regularised incomplete gamma function
    Raises:
        NotPossible: no degree of freedom, or a probability not within 0 to 1.
    Source:
        Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4 and 6.5.29.
    Example:
        >>> print(f"{chi_square_quantile(0.01, 42):.4f}")
        23.6501
    """
    if freedom < 1 or not 0 < probability < 1:
        raise NotPossible("chi-square needs a degree of freedom and a probability within 0 to 1")
    top = 2.0 * freedom
    while gamma_share(freedom / 2, top / 2) < probability:
        top *= 2
    return root(lambda x: gamma_share(freedom / 2, x / 2), probability, 0.0, top)


def root(reached: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where a rising function reaches `wanted`: false position, halved where it stalls."""
    below, above = reached(low) - wanted, reached(high) - wanted
    for _ in range(300):
        guess = low - below * (high - low) / (above - below)
        if not low < guess < high:
            guess = (low + high) / 2
        if guess in (low, high) or high - low < 4e-16 * abs(guess):
            break
        miss = reached(guess) - wanted
        if miss < 0:
            low, below, above = guess, miss, above / 2
        else:
            high, above, below = guess, miss, below / 2
        if miss == 0 or abs(miss) < 1e-15:
            return guess
    return (low + high) / 2


def _beta_share(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function, by its continued fraction (A&S 26.5.8)."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_share(1 - x, b, a)
    front = (
        math.exp(
            math.lgamma(a + b)
            - math.lgamma(a)
            - math.lgamma(b)
            + a * math.log(x)
            + b * math.log1p(-x)
        )
        / a
    )
    tiny = 1e-300
    c, d = 1.0, 1 / max(1 - (a + b) * x / (a + 1), tiny)
    fraction = d
    for m in range(1, 500):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / (1 + step * d or tiny)
            c = 1 + step / c or tiny
            fraction *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front * fraction


def gamma_share(a: float, x: float) -> float:
    """Regularised lower incomplete gamma function, by its series (A&S 6.5.29)."""
    if x <= 0:
        return 0.0
    term = total = 1 / a
    for step in range(1, 10_000):
        term *= x / (a + step)
        total += term
        if term < total * 1e-16:
            break
    return min(1.0, total * math.exp(a * math.log(x) - x - math.lgamma(a)))

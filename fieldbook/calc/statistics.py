"""What a few bricks say about the rest: exact factors, for samples as small as three.

No statistics library at run time: Student's t by its own distribution, the tolerance factors by
numerical integration. Tests hold them against an independent library and printed tables.
"""

import math
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

import numpy as np

from fieldbook.calc.quantiles import (
    chi_square_quantile,
    gamma_share,
    normal_quantile,
    root,
    student_t,
)
from fieldbook.errors import NotPossible, OutOfRange

ROOT_2 = math.sqrt(2)


class Interval(NamedTuple):
    """Two ends of a range, in the unit of the values."""

    low: float
    high: float


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean.

    Formula:
        x = sum(x_i) / n
    Source:
        Definition.
    Example:
        >>> mean([2311, 2626, 1512, 1410, 1308])
        1833.4
    """
    if not values:
        raise NotPossible("no values: no mean")
    return math.fsum(values) / len(values)


def standard_deviation(values: Sequence[float]) -> float:
    """Scatter of single bricks, with n - 1.

    Formula:
        s = sqrt(sum((x_i - x)^2) / (n - 1))
    Raises:
        NotPossible: fewer than two values.
    Source:
        NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2.
    Example:
        >>> print(f"{standard_deviation([1, 2, 3, 4, 5]):.4f}")
        1.5811
    """
    if len(values) < 2:
        raise NotPossible("one brick shows no scatter: a standard deviation needs two")
    middle = mean(values)
    return math.sqrt(math.fsum((x - middle) ** 2 for x in values) / (len(values) - 1))


def variation(values: Sequence[float]) -> float:
    """Coefficient of variation.

    Formula:
        delta = s / x
    Raises:
        NotPossible: fewer than two values, or a mean that is not above zero.
    Source:
        GB 5101, as worked in public textbook examples.
    Example:
        >>> print(f"{variation([1, 2, 3, 4, 5]):.3f}")
        0.527
    """
    middle = mean(values)
    if middle <= 0:
        raise NotPossible("a coefficient of variation needs a mean above zero")
    return standard_deviation(values) / middle


def interval_of_mean(values: Sequence[float], confidence: float = 0.95) -> Interval:
    """Where the mean of all such bricks lies, from a sample of them.

    Formula:
        x -+ t((1 + confidence)/2, n - 1) s / sqrt(n)
    Raises:
        NotPossible: fewer than two values.
    Source:
        NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2.
    Example:
        >>> "%.4f %.4f" % interval_of_mean([1, 2, 3, 4, 5])
        '1.0368 4.9632'
    """
    n, middle, s = len(values), mean(values), standard_deviation(values)
    half = student_t((1 + confidence) / 2, n - 1) * s / math.sqrt(n)
    return Interval(middle - half, middle + half)


def lower_limit(values: Sequence[float], share: float = 0.90, confidence: float = 0.95) -> float:
    """The value that `share` of all such bricks exceed, at the stated confidence.

    Formula:
        x - k1 s
    Raises:
        NotPossible: fewer than two values.
    Source:
        NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3, exact factor.
    Example:
        >>> print(f"{lower_limit([3400, 3150, 2980, 3600, 2700]):.0f}")
        1967
    """
    return mean(values) - k1(len(values), share, confidence) * standard_deviation(values)


def upper_limit(values: Sequence[float], share: float = 0.90, confidence: float = 0.95) -> float:
    """The value that `share` of all such bricks stay below, at the stated confidence.

    Formula:
        x + k1 s
    Raises:
        NotPossible: fewer than two values.
    Source:
        NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3, exact factor.
    Example:
        >>> print(f"{upper_limit([1, 2, 3, 4, 5]):.2f}")
        8.39
    """
    return mean(values) + k1(len(values), share, confidence) * standard_deviation(values)


@cache
def k1(n: int, share: float = 0.90, confidence: float = 0.95) -> float:
    """One-sided tolerance factor of a normal sample, exact.

    Formula:
        k1 = t'(confidence; n - 1, z_share sqrt(n)) / sqrt(n), t' the noncentral t
    Raises:
        NotPossible: fewer than two bricks, or a share or confidence not within 0 to 1.
    Source:
        NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3; CMH-17-1G, B-basis factors.
    Example:
        >>> print(f"{k1(5):.3f} {k1(10):.3f} {k1(6, 0.90, 0.99):.4f}")
        3.407 2.355 4.4111
    """
    _refuse_bad_request(n, share, confidence)
    shift = normal_quantile(share) * math.sqrt(n)
    scales, weights = _chi_nodes(n - 1)

    def reached(t: float) -> float:
        return float(np.dot(weights, _normal_share(t * scales - shift)))

    low, high = shift - 1.0, shift + 1.0
    while reached(low) > confidence:
        low -= 2 * (high - low)
    while reached(high) < confidence:
        high += 2 * (high - low)
    return root(reached, confidence, low, high) / math.sqrt(n)


def k1_natrella(n: int, share: float, confidence: float) -> float:
    """The common approximation of k1, refused where it fails.

    Formula:
        k = (z_p + sqrt(z_p^2 - a b)) / a; a = 1 - z_g^2/(2(n - 1)); b = z_p^2 - z_g^2/n
    Raises:
        OutOfRange: ten bricks or fewer, where it is far off and in the end turns negative.
    Source:
        NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3 (after Natrella).
    Example:
        >>> print(f"{k1_natrella(43, 0.90, 0.99):.4f}")
        1.8752
    """
    _refuse_bad_request(n, share, confidence)
    if n <= 10:
        raise OutOfRange(f"the approximation fails for {n} bricks: use the exact factor k1")
    z_share, z_confidence = normal_quantile(share), normal_quantile(confidence)
    a = 1 - z_confidence**2 / (2 * (n - 1))
    b = z_share**2 - z_confidence**2 / n
    if a <= 0 or z_share**2 < a * b:
        raise OutOfRange("the approximation has no answer here: use the exact factor k1")
    return (z_share + math.sqrt(z_share**2 - a * b)) / a


@cache
def k2(n: int, share: float, confidence: float) -> float:
    """Two-sided tolerance factor of a normal sample, exact.

    Formula:
        2 sqrt(n/(2 pi)) integral over x > 0 of P(chi2 > v r(x)^2/k2^2) exp(-n x^2/2) = confidence,
        Phi(x + r) - Phi(x - r) = share, v = n - 1
    Raises:
        NotPossible: fewer than two bricks, or a share or confidence not within 0 to 1.
    Source:
        Odeh and Owen's definition, from memory; table 21.1 of Statistics for Environmental
        Engineers is its check.
    Example:
        >>> print(f"{k2(5, 0.95, 0.95):.2f}")
        5.08
    """
    _refuse_bad_request(n, share, confidence)
    points, weights = np.polynomial.legendre.leggauss(40)
    offsets = 8 / math.sqrt(n) * (points + 1) / 2
    weights = 8 / math.sqrt(n) * weights * math.sqrt(n / (2 * math.pi))
    weights = weights * np.exp(-n * offsets**2 / 2)
    reaches = [_half_width(float(x), share) for x in offsets]

    def reached(factor: float) -> float:
        tails = [1 - gamma_share((n - 1) / 2, (n - 1) * (r / factor) ** 2 / 2) for r in reaches]
        return float(weights @ np.array(tails))

    high = 4.0
    while reached(high) < confidence:
        high *= 2
    return root(reached, confidence, 1e-3, high)


@cache
def k2_howe(n: int, share: float, confidence: float) -> float:
    """Two-sided tolerance factor after Howe; a little above the exact one for few bricks.

    Formula:
        k2 = sqrt(v (1 + 1/n) z^2 / chi2(1 - confidence, v)), v = n - 1, z at (1 + share)/2
    Raises:
        NotPossible: fewer than two bricks, or a share or confidence not within 0 to 1.
    Source:
        NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3 (after Howe).
    Example:
        >>> print(f"{k2_howe(43, 0.90, 0.99):.3f}")
        2.217
    """
    _refuse_bad_request(n, share, confidence)
    freedom = n - 1
    z = normal_quantile((1 + share) / 2)
    least = chi_square_quantile(1 - confidence, freedom)
    return math.sqrt(freedom * (1 + 1 / n) * z**2 / least)


@cache
def en1990_kn(n: int) -> float:
    """Factor for the 5 % fractile when nothing is known of the scatter beforehand.

    Formula:
        k_n = t(0.95, n - 1) sqrt(1 + 1/n)
    Raises:
        NotPossible: fewer than three bricks.
    Source:
        EN 1990 Annex D; the formula; its table, from memory, cuts 2.335 at n = 5 to 2.33.
    Example:
        >>> print(f"{en1990_kn(3):.2f} {en1990_kn(5):.2f} {en1990_kn(10):.2f}")
        3.37 2.34 1.92
    """
    if n < 3:
        raise NotPossible("EN 1990 gives no factor below three specimens")
    return student_t(0.95, n - 1) * math.sqrt(1 + 1 / n)


def _half_width(offset: float, share: float) -> float:
    """Half-width of the interval about an offset middle that holds a share of the normal."""

    def held(r: float) -> float:
        return (math.erf((offset + r) / ROOT_2) - math.erf((offset - r) / ROOT_2)) / 2

    return root(held, share, 0.0, offset + 8.5)


def _refuse_bad_request(n: int, share: float, confidence: float) -> None:
    if n < 2:
        raise NotPossible("one brick says nothing of the others: at least two are needed")
    if not (0 < share < 1 and 0 < confidence < 1):
        raise NotPossible("share and confidence lie between 0 and 1")


def _normal_share(z: np.ndarray) -> np.ndarray:
    return np.array([math.erfc(-x / math.sqrt(2)) for x in z]) / 2


@cache
def _chi_nodes(freedom: int) -> tuple[np.ndarray, np.ndarray]:
    """Points of s/sigma and their shares, for integrals over a sample's own scatter."""
    points, weights = np.polynomial.legendre.leggauss(120)
    half = freedom / 2
    low, high = max(0.0, 1 - 9.0 / math.sqrt(2 * freedom)), 1 + 9.0 / math.sqrt(2 * freedom)
    steps = (points + 1) / 2  # cubed: the integrand turns fast where the scatter is small
    scales = low + (high - low) * steps**3
    log_density = (
        math.log(2)
        + half * math.log(half)
        - math.lgamma(half)
        + (freedom - 1) * np.log(scales)
        - half * scales**2
    )
    return scales, weights * (high - low) * 1.5 * steps**2 * np.exp(log_density)

"""How sure a number is: from the text of a reading and its instrument to any derived value.

Type B evaluation of JCGM 100:2008 (GUM), 4.3.7: what is only known to lie within ± a is taken as
a rectangular distribution, whose standard uncertainty is a / sqrt(3). Two parts make up a reading:
its step, independent from reading to reading, and the error of the whole instrument, shared by all
its readings (GUM 5.2: correlated), so that it cancels in ratios and differences as it should.
Derived values are expanded with coverage factor 2 (GUM 6.2).
"""

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple, TypeAlias

from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import Amount
from fieldbook.quantities.table import STANDARD_GRAVITY

UFloat: TypeAlias = Any
"""A number with uncertainty, of the package `uncertainties`."""
Value: TypeAlias = Any
"""A float, an array, or a number with uncertainty."""

COVERAGE = 2.0
"""Coverage factor of an expanded uncertainty: about 95 in 100 (GUM 6.2)."""

INSTRUMENT_OF = {
    "mass": "scale",
    "force": "scale",
    "length": "ruler",
    "temperature": "thermometer",
}
"""Dimension -> the instrument it is read with."""

_READS = {"scale": "mass", "ruler": "length", "thermometer": "difference"}


class Error(NamedTuple):
    """What a whole instrument may be out by: the greater of the two."""

    absolute: float = 0.0
    """In kg, m or K."""
    percent: float = 0.0
    """Of the reading; of a temperature, of its degrees Celsius."""

    def of(self, value: float) -> float:
        """Half-width for one reading."""
        return max(self.absolute, abs(value) * self.percent / 100)


class Instrument(NamedTuple):
    """One instrument: its step (0 where not set); its error (None: one step, where it is set)."""

    step: float
    error: Error | None


DEFAULTS = {
    "thermometer": Instrument(0.0, Error(2.5, 0.75)),
    "scale": Instrument(0.0, Error(percent=0.5)),
    "ruler": Instrument(0.0, None),
}
"""Where notebook.toml does not say. The thermometer is a type K thermocouple of tolerance class 2
(IEC 60584-1: 2.5 degC or 0.75 %); scale and ruler are common practice."""


class Instruments:
    """What a notebook's readings are taken with; makes readings into numbers with uncertainty.

    Ask one object for all the numbers of a notebook: the errors they share live in it.
    """

    def __init__(self, settings: Any = None, measures: Mapping[str, Amount] | None = None) -> None:
        self.unusable: list[tuple[str, Amount]] = []
        """Settings of the wrong kind, by `INSTRUMENT.step` or `INSTRUMENT.error`; not used."""
        self._instruments = {name: self._set_up(name, settings) for name in DEFAULTS}
        self._measures = dict(measures or {})
        self.errors: dict[str, UFloat] = {}
        """The error of each whole instrument that was read so far."""
        self._made: dict[int, tuple[Amount, UFloat]] = {}

    @classmethod
    def of(cls, settings: Any, measures: Mapping[str, Amount] | None = None) -> "Instruments":
        """Take the instruments of a notebook's settings, as a mapping or a record, or None."""
        return cls(settings, measures)

    def variable(self, amount: Amount) -> UFloat:
        """Give a reading as a number with uncertainty, in the canonical unit of its dimension.

        The same object gives the same variable again, so a reading used twice counts once.

        Raises:
            NotPossible: the amount is a bound, which is no value.
        """
        if amount.is_bound:
            raise NotPossible(f'"{amount.text}" is a bound and cannot be used as a value')
        known = self._made.get(id(amount))
        if known is None:
            known = self._made[id(amount)] = (amount, self._variable(amount))
        return known[1]

    def instrument(self, name: str) -> Instrument:
        """Look up `scale`, `ruler` or `thermometer`."""
        return self._instruments[name]

    def _variable(self, amount: Amount) -> UFloat:
        label = amount.where or amount.text
        local = [part for part in amount.unit.split("/") if part in self._measures]
        if local:
            return self._in_measures(rectangular(amount.value, amount.half, label), amount)
        name = INSTRUMENT_OF.get(amount.dimension)
        if name is None or amount.how != "digit":
            return rectangular(amount.value, amount.half, label)
        weight = STANDARD_GRAVITY if amount.dimension == "force" else 1.0
        instrument = self._instruments[name]
        step = max(instrument.step * weight, amount.half)
        error = _error_half(instrument, amount.value / weight) * weight
        return rectangular(amount.value, step, label) + error * self.error_of(name)

    def error_of(self, name: str) -> UFloat:
        """Give the error of one instrument as a share of its half-width; one variable for all."""
        if name not in self.errors:
            self.errors[name] = rectangular(0.0, 1.0, name)
        return self.errors[name]

    def _in_measures(self, number: UFloat, amount: Amount) -> UFloat:
        """Add what is not known of the local measures a reading is counted in."""
        upper, *lower = amount.unit.split("/")
        for part, power in [(upper, 1), *((part, -1) for part in lower)]:
            measure = self._measures.get(part)
            if measure is not None and measure.value and not measure.is_bound:
                number = number * (self.variable(measure) / measure.value) ** power
        return number

    def _set_up(self, name: str, settings: Any) -> Instrument:
        table = _get(settings, name)
        step, errors = _get(table, "step"), _listed(_get(table, "error"))
        usable = [error for error in errors if self._fits(f"{name}.error", error, "percent")]
        sized = step.value if step is not None and self._fits(f"{name}.step", step) else 0.0
        if not usable:
            return Instrument(sized, DEFAULTS[name].error)
        percent = [error.value for error in usable if error.dimension == "percent"]
        absolute = [error.value for error in usable if error.dimension != "percent"]
        return Instrument(sized, Error(max(absolute, default=0.0), max(percent, default=0.0)))

    def _fits(self, setting: str, amount: Amount, *others: str) -> bool:
        wanted = (_READS[setting.partition(".")[0]], *others)
        fits = amount.dimension in wanted and not amount.is_bound and amount.value >= 0
        if not fits:
            self.unusable.append((setting, amount))
        return fits


def _error_half(instrument: Instrument, value: float) -> float:
    """Half-width of what the whole instrument may be out by.

    Where neither error nor step is written, the last digit of a reading stands for both and is
    counted once, with the reading: taken for an error as well it would count twice.
    """
    return instrument.step if instrument.error is None else instrument.error.of(value)


def _get(table: Any, name: str) -> Any:
    return table.get(name) if isinstance(table, Mapping) else getattr(table, name, None)


def _listed(errors: Any) -> Iterable[Amount]:
    if errors is None:
        return ()
    return (errors,) if isinstance(errors, Amount) else errors


def rectangular(value: float, half: float, label: str = "") -> UFloat:
    """Make an independent number known to lie within value ± half (GUM 4.3.7)."""
    from uncertainties import ufloat

    return ufloat(value, half / math.sqrt(3), label or None) if half else exact(value)


def exact(value: float) -> UFloat:
    """Make a number without uncertainty that computes like the others."""
    from uncertainties.core import AffineScalarFunc, LinearCombination

    return AffineScalarFunc(float(value), LinearCombination({}))


def is_uncertain(value: Value) -> bool:
    """Tell a number with uncertainty from a float or an array."""
    return hasattr(type(value), "std_dev")  # asked of the type: the value would work it out


def nominal(value: Value) -> Any:
    """Give the number itself: a float for a number, an array for an array."""
    if is_uncertain(value):
        return float(value.nominal_value)
    return _mapped(nominal, value).astype(float) if _holds_objects(value) else value


def expanded(value: Value) -> float:
    """Expand the standard uncertainty with coverage factor 2; a plain float has none."""
    return COVERAGE * float(value.std_dev) if is_uncertain(value) else 0.0


def budget(value: Value) -> list[tuple[str, float]]:
    """Tell what each input adds to the expanded uncertainty, the greatest first.

    The squares add up to the square of `expanded(value)`. Labels are the file and line of a
    reading, or the name of an instrument for what all its readings share.
    """
    squares: dict[str, float] = {}
    for variable, part in value.error_components().items() if is_uncertain(value) else ():
        label = variable.tag or ""
        squares[label] = squares.get(label, 0.0) + (COVERAGE * part) ** 2
    nothing = 1e-20 * sum(squares.values())  # what is left of an error that cancels
    shares = [(label, math.sqrt(square)) for label, square in squares.items() if square > nothing]
    return sorted(shares, key=lambda share: (-share[1], share[0]))


def side(value: Value, limit: Value) -> str:
    """Say where a value lies: `below` or `above` a limit, or `near`: within its plus-minus."""
    distance = value - limit
    middle = nominal(distance)
    if not abs(middle) > expanded(distance):
        return "near"
    return "above" if middle > 0 else "below"


def exp(value: Value) -> Value:
    """Exponential of a float, an array or an uncertain number."""
    return _applied("exp", value)


def log(value: Value) -> Value:
    """Natural logarithm of a float, an array or an uncertain number."""
    return _applied("log", value)


def sqrt(value: Value) -> Value:
    """Square root of a float, an array or an uncertain number."""
    return _applied("sqrt", value)


def power(base: Value, exponent: float) -> Value:
    """Raise to a power; a fraction of a power of a negative number is refused."""
    if exponent != int(exponent) and _any(nominal(base) < 0):
        raise OutOfRange(f"a number below zero has no power {exponent:g}")
    if _is_array(base) and not _holds_objects(base):
        return base ** float(exponent)
    return _mapped(lambda part: part**exponent, base) if _is_array(base) else base**exponent


def _applied(name: str, value: Value) -> Value:
    if is_uncertain(value):
        from uncertainties import umath

        return getattr(umath, name)(value)
    if not _is_array(value):
        return getattr(math, name)(value)
    if _holds_objects(value):
        return _mapped(lambda part: _applied(name, part), value)
    import numpy as np

    return getattr(np, name)(value)


def _mapped(function: Callable[[Any], Any], values: Any) -> Any:
    import numpy as np

    return np.frompyfunc(function, 1, 1)(values)


def _any(condition: Any) -> bool:
    return bool(condition.any()) if hasattr(condition, "any") else bool(condition)


def _is_array(value: Value) -> bool:
    return getattr(value, "ndim", 0) > 0


def _holds_objects(value: Value) -> bool:
    return _is_array(value) and value.dtype == object

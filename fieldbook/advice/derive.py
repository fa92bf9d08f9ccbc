"""From what was written to one derived value, with formula, source, inputs and uncertainty.

A `Known` is a number on its way through the formulas: it carries its unit and all it came from.
What is not known travels too and says what it `needs`, so that a review states its formulas once
and need not ask at every step whether the maker has written this or that.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any, NamedTuple

from fieldbook.advice.context import Context
from fieldbook.advice.results import Input, Result, Share
from fieldbook.advice.review import Review
from fieldbook.calc.uncertainty import COVERAGE, budget, expanded, nominal, rectangular
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.quantities import CANONICAL, Amount, convert

CONTRADICTS = "the readings it rests on contradict each other"
"""Why a value is not known where nothing is missing for it."""


class Known(NamedTuple):
    """A number with its unit and what it rests on; `number` is None where it is not known."""

    name: str
    """In words, such as `dry mass of brick 1`."""
    number: Any
    """A float or a number with uncertainty."""
    unit: str
    inputs: tuple[Input, ...] = ()
    needs: tuple[str, ...] = ()
    """What is missing, by field; empty where the number is known."""

    @property
    def there(self) -> bool:
        """Whether it is known."""
        return self.number is not None

    @property
    def value(self) -> float:
        """The number itself, without its uncertainty."""
        return float(nominal(self.number))

    @property
    def where(self) -> str:
        """File and line of what it rests on; the first that has one."""
        return next((given.where for given in self.inputs if given.where), "")

    @property
    def text(self) -> str:
        """As it was written, where it is a reading."""
        return self.inputs[0].text if self.inputs else ""

    def to(self, unit: str) -> Any:
        """The number in another unit of the same kind."""
        return self.number * factor(self.unit, unit)

    def called(self, name: str) -> Known:
        """The same under another name."""
        return self._replace(name=name)


@cache
def factor(from_unit: str, to_unit: str) -> float:
    """What a number in one unit is multiplied by to be in the other."""
    if from_unit == to_unit:
        return 1.0
    return float(convert(1.0, from_unit, to_unit)) - float(convert(0.0, from_unit, to_unit))


def reading(context: Context, amount: Amount | None, name: str, field: str = "") -> Known:
    """An amount the maker wrote; not known where it is missing or only a bound."""
    if amount is None or amount.is_bound:
        return Known(name, None, "", needs=(field or name,))
    number = context.instruments.variable(amount)
    unit = CANONICAL.get(amount.dimension, "1")
    return Known(name, number, unit, (Input(name, amount.text, amount.where),))


def default(name: str, number: Any, unit: str, text: str, source: str) -> Known:
    """A number that stands in where the maker wrote none, with where it comes from."""
    return Known(name, number, unit, (Input(name, text, "", source),))


def missing(*needs: str) -> Known:
    """Something that is not known."""
    return Known("", None, "", needs=needs)


def work(formula: Any, name: str = "", /, **known: Known) -> Known:
    """One formula worked out; not known where one of its numbers is not.

    Raises:
        NotPossible, OutOfRange: the formula refuses these numbers.
    """
    unit = formula.returns or "1"
    needs = united(part.needs for part in known.values())
    inputs = united(part.inputs for part in known.values())
    if not all(part.there for part in known.values()):
        return Known(name, None, unit, inputs, needs)
    numbers = {key: part.to(formula.units.get(key, "1")) for key, part in known.items()}
    return Known(name, formula.plain(**numbers), unit, inputs)


def united(lists: Iterable[Sequence[Any]]) -> tuple[Any, ...]:
    """All items of some lists, in order, each once."""
    return tuple(dict.fromkeys(item for items in lists for item in items))


def lines_of(inputs: Iterable[Input]) -> tuple[str, ...]:
    """The files and lines that inputs stand at, each once."""
    return tuple(dict.fromkeys(given.where for given in inputs if given.where))


def shares(number: Any) -> tuple[Share, ...]:
    """How much each input adds to the uncertainty of a number."""
    return tuple(Share(label, part) for label, part in budget(number))


def as_result(
    name: str, known: Known, unit: str, formula: Any = None, method: str = "", **more: Any
) -> Result:
    """A derived value of a number, with the formula that gave it last."""
    words = told(formula, method)
    if not known.there:
        words = words if known.needs else {**words, "because": CONTRADICTS}
        return Result(
            name=name,
            value=None,
            unit=unit,
            needs=known.needs,
            inputs=known.inputs,
            **words,
            **more,
        )
    number = known.number if unit == known.unit else known.to(_plain_unit(unit))
    return Result(
        name=name,
        value=float(nominal(number)),
        unit=unit,
        plus_minus=expanded(number) or None,
        from_=lines_of(known.inputs),
        inputs=known.inputs,
        budget=shares(number),
        **{**words, **more},
    )


def as_number(result: Result) -> Any:
    """A result as one independent number again; of a range, a rectangle over it."""
    label = result.from_[0] if result.from_ else result.name
    if result.low is not None and result.high is not None:
        return rectangular(result.number, (result.high - result.low) / 2, label)
    if not result.plus_minus:
        return result.number
    from uncertainties import ufloat

    return ufloat(result.number, result.plus_minus / COVERAGE, label)


def _plain_unit(unit: str) -> str:
    """A unit as units are looked up: a shown unit may have raised figures."""
    return unit.replace("²", "2").replace("³", "3")


def told(formula: Any, method: str) -> dict[str, Any]:
    """Method, source and formula of a result, in the words of the formula's own page."""
    if formula is None:
        return {"method": method}
    return {
        "method": method or formula.summary.rstrip("."),
        "source": " ".join(formula.source.split()),
        "formula": formula.formula,
    }


def derive(
    review: Review,
    name: str,
    formula: Any,
    unit: str,
    *,
    remedy: str = "Measure it again, or see which of the two was misread.",
    method: str = "",
    extra: Mapping[str, Any] | None = None,
    **known: Known,
) -> Result:
    """Work out one formula and take it up; a refusal becomes a problem, and no value."""
    more: dict[str, Any] = {"extra": extra} if extra else {}
    try:
        worked = work(formula, name, **known)
    except (NotPossible, OutOfRange) as refusal:
        inputs = united(part.inputs for part in known.values())
        where = lines_of(inputs)
        review.question_at(where[-1] if where else review.entry.path, str(refusal), remedy)
        return review.add(
            Result(
                name=name, value=None, unit=unit, because=str(refusal), inputs=inputs,
                from_=where, **told(formula, method), **more,
            )
        )  # fmt: skip
    return review.add(as_result(name, worked, unit, formula, method, **more))

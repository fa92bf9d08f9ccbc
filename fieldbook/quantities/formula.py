"""Formulas that know the units of what they take and give."""

import re
import sys
import textwrap
from collections.abc import Callable, Mapping
from functools import cached_property, update_wrapper
from typing import Any

from fieldbook.errors import WrongUse

Returned = str | tuple[str | None, ...] | None


class Formula:
    """A plain function of numbers, with the units of its arguments and of what it returns.

    Called with quantities, it takes their units off and puts its own back on. `plain` is the bare
    function of numbers in the declared units: the one to use inside the program.
    """

    __name__: str
    __doc__: str | None

    def __init__(
        self, plain: Callable[..., Any], argument_units: Mapping[str, str], returns: Returned
    ) -> None:
        self.plain = plain
        self.units = dict(argument_units)
        self.returns = returns
        code = plain.__code__
        self.names = code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]
        if strangers := set(self.units) - set(self.names):
            raise TypeError(f"{plain.__name__} takes no {', '.join(sorted(strangers))}")
        update_wrapper(self, plain)

    def __reduce__(self) -> str:
        """Packed by its name, as a plain function is."""
        return self.__name__

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call with quantities; give back quantities."""
        bound = [self._bare(name, value) for name, value in zip(self.names, args, strict=False)]
        named = {name: self._bare(name, value) for name, value in kwargs.items()}
        return _with_units(self.plain(*bound, *args[len(bound) :], **named), self.returns)

    def _bare(self, name: str, value: Any) -> Any:
        unit = self.units.get(name)
        if unit is None or value is None:
            return value
        if not _is_quantity(value):
            if unit == "1":
                return value
            raise WrongUse(
                f"{self.__name__}: {name} has no unit; give it in {unit}, "
                f"for example units.Quantity(value, {unit!r})"
            )
        return self._in_unit(name, value, unit)

    def _in_unit(self, name: str, value: Any, unit: str) -> Any:
        from pint import PintError

        from fieldbook.quantities.registry import parsed

        wrong = WrongUse(f"{self.__name__}: {name} is in {value.units}, and {unit} is wanted")
        if "delta_" in unit and "degree" in str(value.units) and "delta" not in str(value.units):
            raise wrong
        try:
            return value.m_as(parsed(unit))
        except PintError as error:
            raise wrong from error

    @cached_property
    def _sections(self) -> dict[str, str]:
        return _sections(self.__doc__ or "")

    @property
    def summary(self) -> str:
        """First paragraph of the docstring."""
        return self._sections[""]

    @property
    def formula(self) -> str:
        """The formula in symbols."""
        return self._sections.get("Formula", "")

    @property
    def source(self) -> str:
        """Where the formula and its constants come from."""
        return self._sections.get("Source", "")

    @property
    def documented_returns(self) -> str:
        """What the docstring says of the result."""
        return self._sections.get("Returns", "")

    @cached_property
    def arguments(self) -> dict[str, str]:
        """Name of each argument -> its meaning, as documented."""
        found: dict[str, str] = {}
        for line in self._sections.get("Args", "").splitlines():
            if match := re.match(r"(\w+): +(.*)", line):
                name = match[1]
                found[name] = match[2]
            elif found:
                found[name] += " " + line.strip()
        return found


def _is_quantity(value: Any) -> bool:
    return "pint" in sys.modules and hasattr(value, "m_as") and hasattr(value, "dimensionality")


def _with_units(result: Any, returns: Returned) -> Any:
    if returns is None or result is None:
        return result
    if isinstance(returns, tuple):
        parts = [_with_units(part, unit) for part, unit in zip(result, returns, strict=True)]
        return type(result)(*parts) if hasattr(result, "_fields") else tuple(parts)
    from fieldbook.quantities.registry import parsed, units

    return units.Quantity(result, parsed(returns))


def _sections(text: str) -> dict[str, str]:
    """Split a docstring into its summary, under the empty name, and its named sections."""
    summary, _, rest = text.strip().partition("\n")
    lines = {"": [summary.strip()]}
    title, in_summary = "", True
    for line in textwrap.dedent(rest).splitlines():
        if match := re.fullmatch(r"([A-Z][A-Za-z]+):(?: +(.*))?", line):
            title = match[1]
            lines[title] = [match[2] or ""]
        elif title:
            lines[title].append(line)
        elif in_summary and line.strip():
            lines[""].append(line.strip())
        else:
            in_summary = False
    joined = {name: textwrap.dedent("\n".join(body)).strip() for name, body in lines.items()}
    joined[""] = " ".join(lines[""])
    return joined


def in_units(
    *, returns: Returned, **argument_units: str
) -> Callable[[Callable[..., Any]], Formula]:
    """Declare the units of a formula's arguments and of its result.

    `"1"` is a plain number, `"%"` per cent. A formula that gives several numbers names a unit for
    each, in a tuple; None there, or as a whole, stands for something without a unit.
    """

    def decorate(function: Callable[..., Any]) -> Formula:
        return Formula(function, argument_units, returns)

    return decorate

"""Formulas of the program, found by looking; and how to ask one."""

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from typing import Any

import fieldbook.calc
from fieldbook.quantities.formula import Formula


def formulas() -> dict[str, Any]:
    """Every public function of calc that states a source, by `subject.name`, in order."""
    return dict(sorted(_found()))


def _found() -> Iterator[tuple[str, Any]]:
    for info in pkgutil.iter_modules(fieldbook.calc.__path__):
        module = importlib.import_module(f"fieldbook.calc.{info.name}")
        for name, thing in vars(module).items():
            if name.startswith("_") or not callable(thing) or isinstance(thing, type):
                continue
            if bare(thing).__module__ == module.__name__ and "Source:" in (thing.__doc__ or ""):
                yield f"{info.name}.{name}", thing


def bare(thing: Any) -> Callable[..., Any]:
    """The function of plain numbers."""
    plain = getattr(thing, "plain", thing)
    return getattr(plain, "__wrapped__", plain)


def ask(function: Callable[..., Any], inputs: Any) -> Any:
    return function(**inputs) if isinstance(inputs, dict) else function(*inputs)


def is_formula(thing: Any) -> bool:
    return isinstance(thing, Formula)

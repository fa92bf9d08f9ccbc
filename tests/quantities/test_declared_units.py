"""Every formula of calc says in its docstring what its decorator declares."""

import importlib
import pkgutil
import re

import pytest

import fieldbook.calc
from fieldbook.quantities.formula import Formula
from fieldbook.quantities.registry import parsed


def formulas():
    for module in pkgutil.iter_modules(fieldbook.calc.__path__, "fieldbook.calc."):
        for name, found in vars(importlib.import_module(module.name)).items():
            if isinstance(found, Formula) and found.__module__ == module.name:
                yield pytest.param(
                    found, id=f"{module.name.removeprefix('fieldbook.calc.')}.{name}"
                )


FORMULAS = list(formulas())


def test_there_are_formulas_to_look_at():
    assert len(FORMULAS) > 20


def returned(formula):
    return formula.returns if isinstance(formula.returns, tuple) else (formula.returns,)


def bracketed(text):
    return re.findall(r"\[([^\]]+)\]", text)


@pytest.mark.parametrize("formula", FORMULAS)
def test_units_in_brackets_are_those_declared(formula):
    for name, unit in formula.units.items():
        assert bracketed(formula.arguments[name])[:1] == [unit], name
    declared = [unit for unit in returned(formula) if unit]
    written = bracketed(formula.documented_returns)[: len(declared)]
    if len(written) == 1:  # one for all of several alike
        written *= len(declared)
    assert written == declared


@pytest.mark.parametrize("formula", FORMULAS)
def test_declared_units_are_units(formula):
    for unit in filter(None, (*formula.units.values(), *returned(formula))):
        assert parsed(unit) is not None


@pytest.mark.parametrize("formula", FORMULAS)
def test_a_formula_has_summary_symbols_source_and_all_arguments(formula):
    assert formula.summary
    assert formula.formula
    assert formula.source
    assert set(formula.arguments) == set(formula.names)

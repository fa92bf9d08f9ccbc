"""Each constant of a formula, moved by one per cent, must be noticed by a check value."""

import ast
import inspect
import sys
import textwrap

import numpy as np
import pytest

from tests.check_values import all_rows
from tests.check_values.tables import ask, bare, formulas, is_formula

FORMULAS = {name: bare(thing) for name, thing in formulas().items() if is_formula(thing)}
ROWS = all_rows()
REFUSALS = ("refuse_if", "refuse_outside", "_refuse_outside")
GUARD = 1e-100
"""What is smaller only keeps a logarithm from zero."""


def _tree(function):
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    tree.body[0].decorator_list = []
    return tree


def _constants(tree):
    """Numbers in the body that enter the answer: not those that only bound a refusal."""
    found = []

    def walk(node):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in REFUSALS:
            return
        if isinstance(node, ast.If | ast.Raise | ast.Subscript | ast.keyword):
            return
        number = isinstance(node, ast.Constant) and type(node.value) in (int, float)
        if number and abs(node.value) > GUARD:
            found.append(node)
        for child in ast.iter_child_nodes(node):
            walk(child)

    for statement in tree.body[0].body:
        walk(statement)
    return found


def _moved(function, index):
    tree = _tree(function)
    _constants(tree)[index].value *= 1.01
    space = dict(vars(sys.modules[function.__module__]))
    exec(compile(ast.fix_missing_locations(tree), "moved", "exec"), space)
    return space[function.__name__]


CASES = [
    (name, index, ast.unparse(constant))
    for name, function in FORMULAS.items()
    for index, constant in enumerate(_constants(_tree(function)))
]


def _noticed(name, function):
    for row in (row for row in ROWS if row.formula == name):
        try:
            found = np.asarray(ask(function, row.inputs), float)
        except (ArithmeticError, TypeError, ValueError, np.exceptions.ComplexWarning):
            return True  # such as range(1, 404.0): no answer at all
        if np.any(np.abs(found - np.asarray(row.expected, float)) > row.within):
            return True
    return False


def test_there_are_constants_to_move():
    assert len(CASES) > 80


@pytest.mark.parametrize(("name", "index", "constant"), CASES)
def test_a_constant_moved_by_one_per_cent_is_noticed(name, index, constant):
    assert not _noticed(name, FORMULAS[name]), "the formula as it stands must meet its rows"
    assert _noticed(name, _moved(FORMULAS[name], index)), f"{constant} in {name}"


SHARED = [
    ("absorption", "RECKONED_AREA"), ("absorption", "SQUARE_INCH"), ("strength", "GRAVITY"),
    ("clay", "GRAVITY"),
]  # fmt: skip


@pytest.mark.parametrize(("subject", "constant"), SHARED)
def test_a_shared_constant_moved_by_one_per_cent_is_noticed(subject, constant, monkeypatch):
    module = sys.modules[f"fieldbook.calc.{subject}"]
    monkeypatch.setattr(module, constant, getattr(module, constant) * 1.01)
    names = [name for name in FORMULAS if name.startswith(f"{subject}.")]
    assert any(_noticed(name, FORMULAS[name]) for name in names)

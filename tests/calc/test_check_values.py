"""Every formula against numbers from print, from libraries, and worked out by hand."""

import inspect

import numpy as np
import pytest

from tests.check_values import all_rows
from tests.check_values.tables import ask, bare, formulas, is_formula

ROWS = all_rows()
FORMULAS = formulas()

CHECKED_BY_BEHAVIOUR = {
    "air.gas_enthalpy", "brick_size.row_of_20", "clay.carbonate_from_fizz",
    "clay.clay_from_thread", "clay.coil_says", "plasticity.plasticity_called", "clay.texture_class",
    "clay.texture_from_ribbon", "dry_mass.air_dry_water", "dry_mass.contradictions",
    "dry_mass.find_dry_mass", "drying.fit_drying", "field_verdict.field_verdict", "grading.grade",
    "mass_balance.judge_loss", "mix.trial_blends", "suitability.suitability",
}  # fmt: skip
"""Formulas that answer in words, tables or fits: their own tests hold them."""


def test_there_are_formulas_to_check():
    assert len(ROWS) > 250
    assert len(FORMULAS) > 150


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.formula}-{row.mark}")
def test_formula_gives_the_known_answer(row):
    found = np.asarray(ask(bare(FORMULAS[row.formula]), row.inputs), float)
    assert found == pytest.approx(np.asarray(row.expected, float), abs=row.within), row.source


@pytest.mark.parametrize("name", [name for name, thing in FORMULAS.items() if is_formula(thing)])
def test_every_formula_with_units_has_a_number_to_meet(name):
    assert name in {row.formula for row in ROWS} | CHECKED_BY_BEHAVIOUR


def test_every_row_says_where_it_comes_from():
    for row in ROWS:
        assert row.mark in ("published", "library", "ours")
        assert row.source.strip(), row
        assert (row.mark == "ours") == row.source.startswith("worked out here"), row


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_every_formula_names_its_source(name):
    text = inspect.getdoc(FORMULAS[name]) or ""
    source = text.partition("Source:")[2].split("Example:")[0].strip()
    assert len(source) > 8, f"{name} states no source"


@pytest.mark.parametrize("name", [name for name, thing in FORMULAS.items() if is_formula(thing)])
def test_units_in_the_docstring_are_those_of_the_decorator(name):
    formula = FORMULAS[name]
    for argument, unit in formula.units.items():
        assert f"[{unit}]" in formula.arguments.get(argument, ""), f"{name}: {argument}"

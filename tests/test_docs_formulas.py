"""The page of the formulas is what the docstrings and the check values say."""

from tests.check_values import all_rows
from tests.docs_formulas import PAGE, page, source_of, subjects


def test_the_page_of_the_formulas_is_what_the_docstrings_say():
    assert PAGE.read_text(encoding="utf-8") == page(), "python -m tests.docs_formulas --write"


def test_every_formula_has_a_source_or_says_that_it_has_none():
    bare = [
        name
        for _, _, found in subjects()
        for name, thing in found
        if len(source_of(thing)) < len("geometry")
    ]
    assert not bare


def test_every_check_value_stands_on_the_page():
    text = PAGE.read_text(encoding="utf-8")
    assert all(f"{row.mark}: {row.source} |" in text for row in all_rows())

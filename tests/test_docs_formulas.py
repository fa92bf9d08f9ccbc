"""The page of the formulas is what the docstrings say, and no formula stands without a source."""

from tests.docs_formulas import PAGE, page, subjects


def test_the_page_of_the_formulas_is_what_the_docstrings_say():
    assert PAGE.read_text(encoding="utf-8") == page(), "python -m tests.docs_formulas --write"


def test_every_formula_has_a_source_or_says_that_it_has_none():
    bare = [
        f"{name}.{formula.__name__}"
        for name, _, formulas in subjects()
        for formula in formulas
        if len(formula.source.strip()) < len("geometry")
    ]
    assert not bare

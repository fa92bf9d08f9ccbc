"""docs/format.md says what the schema says, and its examples are read without a problem."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import pytest

from fieldbook.store import Store

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/format.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n# (\S+)\n(.*?)```", PAGE, re.DOTALL)


@pytest.fixture
def maker():
    spec = importlib.util.spec_from_file_location("docs_format", ROOT / "tests/docs_format.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_has_the_fields_of_the_schema(maker):
    assert maker.page_with(PAGE) == PAGE, "run: python -m tests.docs_format --write"


@pytest.mark.parametrize(("file", "text"), EXAMPLES)
def test_its_examples_are_read_without_a_problem(folder, put, file, text):
    put(file, text)
    read = Store(folder).read(file.removesuffix(".toml"))
    assert read.record is not None and read.problems == ()
    assert len(read.record.log) == 2


def test_it_has_examples():
    assert [file for file, _ in EXAMPLES] == ["batches/2026-04-a.toml", "firings/2026-05-03.toml"]


def test_amounts_of_its_table_are_read():
    from fieldbook.quantities import read_amount

    forms = re.findall(r"^\| (`\".*?\"`(?:, `\".*?\"`)*) \|", PAGE, re.MULTILINE)
    texts = [text for form in forms for text in re.findall(r"`\"(.*?)\"`", form)]
    assert len(texts) == 10
    armload = {"armload": read_amount("8 kg", "mass")}
    for text in texts:
        kind = (
            "temperature"
            if text[-1] in "CF"
            else ("length" if "in" in text or "mm" in text else "mass")
        )
        assert read_amount(text, kind, armload).text == text

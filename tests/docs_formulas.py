"""The page docs/formulas.md, made from the docstrings of the formulas and from their check values.

python -m tests.docs_formulas            print it
python -m tests.docs_formulas --write    write the page
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from fieldbook.quantities.formula import Formula
from tests.check_values import CheckValue, all_rows
from tests.check_values.tables import ask, bare, formulas, is_formula

PAGE = Path(__file__).parents[1] / "docs/formulas.md"
HEAD = """# The formulas

Made from the docstrings of `fieldbook/calc` and from the check values of the tests by
`python -m tests.docs_formulas --write`; do not edit it by hand. Each is a plain function of numbers
in the units shown; a number outside the range of its source is refused. What no print was found for
says "common practice" or "from memory". Under a formula stand the answers it is held to, with ours
beside them: *published* is from print, *library* from an independent library, *ours* was worked out
by us. `fieldbook why` shows a formula with numbers of one's own.
"""


def subjects() -> Iterator[tuple[str, str, list[tuple[str, Any]]]]:
    """Each file of calc that holds formulas: its name, what it is about, the formulas."""
    for subject, found in groupby(formulas().items(), key=lambda pair: pair[0].partition(".")[0]):
        module = importlib.import_module(f"fieldbook.calc.{subject}")
        about = _plain((module.__doc__ or "").split("\n\n")[0])
        yield subject, about, list(found)


def as_formula(thing: Any) -> Formula:
    """The sections of a docstring, for a function without units as for one with them."""
    return thing if is_formula(thing) else Formula(bare(thing), {}, None)


def source_of(thing: Any) -> str:
    """Where a formula comes from, wherever its docstring says so."""
    said = as_formula(thing).source or (thing.__doc__ or "").partition("Source:")[2]
    return _plain(said)


def lines_of(name: str, thing: Any, rows: list[CheckValue]) -> Iterator[str]:
    """One formula as a section of the page."""
    formula = as_formula(thing)
    yield f"### {name.partition('.')[2]}"
    yield ""
    yield formula.summary
    yield ""
    if formula.formula:
        yield f"    {_plain(formula.formula)}"
        yield ""
    for argument, said in formula.arguments.items():
        yield f"- `{argument}`: {_plain(said)}"
    if returns := formula.documented_returns:
        yield f"- gives {_plain(returns)}"
    yield f"- source: {source_of(thing)}"
    yield ""
    if rows:
        yield "| with | known | ours | whose |"
        yield "| --- | --- | --- | --- |"
        for row in rows:
            ours = _shown(ask(bare(thing), row.inputs))
            yield f"| {_inputs(row)} | {_shown(row.expected)} | {ours} | {row.mark}: {row.source} |"
        yield ""


def page() -> str:
    """The whole page."""
    rows: dict[str, list[CheckValue]] = {}
    for row in all_rows():
        rows.setdefault(row.formula, []).append(row)
    parts = [HEAD]
    for subject, about, found in subjects():
        parts.append(f"## {subject}\n\n{about}\n")
        parts += ["\n".join(lines_of(name, thing, rows.get(name, []))) for name, thing in found]
    return "\n".join(parts) + "\n"


def _plain(text: str) -> str:
    return " ".join(text.split())


def _inputs(row: CheckValue) -> str:
    if isinstance(row.inputs, dict):
        return ", ".join(f"{name} {_shown(value)}" for name, value in row.inputs.items())
    return "; ".join(_shown(value) for value in row.inputs)


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, dict):
        return ", ".join(f"{name} {_shown(one)}" for name, one in value.items())
    if isinstance(value, list | tuple | np.ndarray):
        return ", ".join(_shown(one) for one in value)
    return f"{float(value):.5g}"


if __name__ == "__main__":
    if "--write" in sys.argv:
        PAGE.write_text(page(), encoding="utf-8")
    else:
        sys.stdout.write(page())

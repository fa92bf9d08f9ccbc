"""The page docs/formulas.md, made from the docstrings of the formulas.

python -m tests.docs_formulas            print it
python -m tests.docs_formulas --write    write the page
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Iterator
from pathlib import Path

import fieldbook.calc
from fieldbook.quantities.formula import Formula

PAGE = Path(__file__).parents[1] / "docs/formulas.md"
HEAD = """# The formulas

Made from the docstrings of `fieldbook/calc` by `python -m tests.docs_formulas --write`; do not
edit it by hand. Each is a plain function of numbers in the units shown; a number outside the range
of its source is refused. What no print was found for says "common practice" or "from memory". The
printed values each is held to stand in `tests/calc`, each with its source. `fieldbook why`
shows a formula with numbers of one's own.
"""


def subjects() -> Iterator[tuple[str, str, list[Formula]]]:
    """Each file of calc that holds formulas: its name, what it is about, the formulas."""
    for module in pkgutil.iter_modules(fieldbook.calc.__path__, "fieldbook.calc."):
        loaded = importlib.import_module(module.name)
        found = [
            formula
            for name, formula in vars(loaded).items()
            if isinstance(formula, Formula)
            and formula.__module__ == module.name
            and not name.startswith("_")
        ]
        if found:
            about = " ".join((loaded.__doc__ or "").split("\n\n")[0].split())
            yield module.name.rpartition(".")[2], about, found


def _plain(text: str) -> str:
    return " ".join(text.split())


def lines_of(formula: Formula) -> Iterator[str]:
    """One formula as a section of the page."""
    yield f"### {formula.__name__}"
    yield ""
    yield formula.summary
    yield ""
    yield f"    {_plain(formula.formula)}"
    yield ""
    for name, said in formula.arguments.items():
        yield f"- `{name}`: {_plain(said)}"
    yield f"- gives {_plain(formula.documented_returns)}"
    yield f"- source: {_plain(formula.source)}"
    yield ""


def page() -> str:
    """The whole page."""
    parts = [HEAD]
    for name, about, formulas in subjects():
        parts.append(f"## {name}\n\n{about}\n")
        parts += ["\n".join(lines_of(formula)) for formula in formulas]
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    if "--write" in sys.argv:
        PAGE.write_text(page(), encoding="utf-8")
    else:
        sys.stdout.write(page())

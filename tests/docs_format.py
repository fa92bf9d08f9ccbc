"""The table of fields in docs/format.md, made from the schema.

python -m tests.docs_format            print it
python -m tests.docs_format --write    put it into the page
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from fieldbook.records import KINDS, Entry, Line, Settings, Spec, specs

PAGE = Path(__file__).parents[1] / "docs/format.md"
BEGIN = "<!-- fields: made from the schema by python -m tests.docs_format --write -->"
END = "<!-- end of fields -->"

SHORT = {"air_temperature": "temperature", "elevation": "length", "money": "cost"}
HOLDS = {
    "text": "text",
    "texts": "list of texts",
    "flag": "true or false",
    "flag_or_texts": "true, or a list of texts",
    "count": "COUNT",
    "number": "a number",
    "moment": "date or time",
    "table": "table",
    "rows": "table, one row a line",
    "items": "list of tables",
    "measures": "MASS or VOLUME, by name",
    "any": "anything",
}


def holds(spec: Spec) -> str:
    """What a field holds, in the words of the page."""
    if spec.holds in ("amount", "amounts"):
        kinds = " or ".join(
            SHORT.get(dimension, dimension).upper() for dimension in spec.dimensions
        )
        return kinds if spec.holds == "amount" else f"{kinds}, or a list of them"
    if spec.holds == "words":
        return ", ".join(spec.words)
    if spec.holds == "name":
        return "name in " + " or ".join(spec.refers.split())
    return HOLDS[spec.holds]


def rows(record: type, above: str = "", leave_out: tuple[str, ...] = ()) -> Iterator[str]:
    """One row of the page's table for each field, those of inner tables after their own."""
    for key, spec in specs(record).items():
        if key in leave_out:
            continue
        mark = "*" if spec.required else ""
        yield f"| `{above}{key}`{mark} | {holds(spec)} | {spec.help} |"
        if spec.of is not None:
            inner = {"table": f"{above}{key}.", "rows": f"{above}{key}.NAME."}
            yield from rows(spec.of, inner.get(spec.holds, f"{above}{key}.N."))


def table(title: str, lines: Iterator[str]) -> Iterator[str]:
    """A heading and its table; nothing where there are no rows."""
    found = list(lines)
    if found:
        yield from ("", title, "", "| field | holds | |", "| --- | --- | --- |", *found)


def fields() -> str:
    """All tables of fields."""
    every, every_line = tuple(specs(Entry)), tuple(specs(Line))
    lines = [*table("### Every entry", rows(Entry))]
    lines += table("### Every line of a log", rows(Line))
    lines += table("### notebook.toml", rows(Settings))
    for kind, record in KINDS.items():
        lines += table(f"### {kind}", rows(record, leave_out=every))
        lines += table(f"### {kind}, its log", rows(record.line_type, leave_out=every_line))
    return "\n".join(lines).strip() + "\n"


def page_with(text: str) -> str:
    """The page with the tables put in."""
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{fields()}\n{END}{after}"


if __name__ == "__main__":
    if "--write" in sys.argv:
        PAGE.write_text(page_with(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    else:
        print(fields(), end="")

"""The keys in docs/keys.md, made from the program: `python -m tests.docs_keys` writes them anew."""

from collections.abc import Iterable
from pathlib import Path

from fieldbook.tui import keys
from fieldbook.tui.keys import Key
from fieldbook.tui.sheets import SHEETS

PAGE = Path(__file__).parents[1] / "docs" / "keys.md"
MARK = "<!-- the keys, made by python -m tests.docs_keys -->\n"


def table(some: Iterable[Key]) -> list[str]:
    rows = [f"| `{key.shown}` | {key.says} |" for key in some]
    return ["| key | does |", "| --- | --- |", *rows, ""] if rows else []


def made() -> str:
    lines = ["## Everywhere", "", *table(keys.EVERYWHERE)]
    lines += ["## While a line is typed", "", *table(keys.AT_THE_PROMPT)]
    for sheet in SHEETS:
        lines += [f"## On the sheet: {sheet.name}", "", f"{sheet.says}", "", *table(sheet.keys)]
    return "\n".join(lines).rstrip() + "\n"


def main() -> None:
    head = PAGE.read_text(encoding="utf-8").partition(MARK)[0]
    PAGE.write_text(head + MARK + made(), encoding="utf-8")


if __name__ == "__main__":
    main()

"""Published tables that ship with the program, and their loader."""

from functools import cache
from pathlib import Path
from typing import Any

from fieldbook.errors import NotPossible

FOLDER = Path(__file__).parent


def names(folder: str = "") -> tuple[str, ...]:
    """The tables there are, in order: all at the top, or those of one `folder`."""
    where = FOLDER / folder
    found = sorted(path.stem for path in where.glob("*.toml"))
    return tuple(f"{folder}/{name}" if folder else name for name in found)


@cache
def load(name: str) -> dict[str, Any]:
    """One table as plain data, such as `load("clay")` or `load("standards/astm-c62")`.

    The data is read once and shared: nobody writes into it.
    """
    import tomllib

    path = (FOLDER / f"{name}.toml").resolve()
    if not path.is_relative_to(FOLDER.resolve()) or not path.is_file():
        raise NotPossible(f"there is no table called {name}; there are: {', '.join(_all_names())}")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _all_names() -> tuple[str, ...]:
    return names() + names("standards")

"""git told what is private: entries it never adds, fields its filter takes out.

Both are written into the history's own folder, which is not shared, so that a plain `git add` keeps
back the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from fieldbook.store.durable import NotAFile, read_file, replace_file
from fieldbook.sync.private import private_fields

ATTRIBUTES = "*.toml merge=fieldbook -text -filter -ident -working-tree-encoding\n"
_BEGIN, _END = "# private entries, kept by fieldbook", "# end of private entries"


def tell_git(folder: Path, looked_at: Iterable[str]) -> set[str]:
    """Bring both lists up to date for some entries, and give every one that is private as a whole.

    Entries that are listed already are looked at anew.
    """
    info = folder / ".git" / "info"
    info.mkdir(exist_ok=True)
    hidden, filtered = _listed(info)
    for path in {*looked_at, *hidden, *filtered}:
        data = _read(folder / path)
        fields = private_fields(path, data) if data is not None else ()
        _put(hidden, path, fields is None)
        _put(filtered, path, bool(fields))
    _write(info / "attributes", ATTRIBUTES + "".join(_rows(filtered, "{} filter=fieldbook\n")))
    others, _ = _apart(_text(info / "exclude"))
    own = ["", _BEGIN, *_rows(hidden, "/{}"), _END, ""] if hidden else [""]
    _write(info / "exclude", others.rstrip("\n") + "\n".join(own))
    return hidden


def _put(names: set[str], path: str, is_in: bool) -> None:
    if is_in:
        names.add(path)
    else:
        names.discard(path)


def _rows(paths: set[str], form: str) -> list[str]:
    return [form.format(path) for path in sorted(paths)]


def _listed(info: Path) -> tuple[set[str], set[str]]:
    _, hidden = _apart(_text(info / "exclude"))
    rows = _text(info / "attributes").splitlines()
    filtered = {row.split()[0] for row in rows if row.endswith(" filter=fieldbook")}
    return {row[1:] for row in hidden if row.startswith("/")}, filtered


def _apart(text: str) -> tuple[str, list[str]]:
    """What others wrote into a list, and our rows."""
    before, begun, rest = text.partition(f"{_BEGIN}\n")
    own, _, after = rest.partition(f"{_END}\n")
    return (before + after, own.splitlines()) if begun else (text, [])


def _read(path: Path) -> bytes | None:
    try:
        return read_file(str(path))
    except (OSError, NotAFile):
        return None


def _text(path: Path) -> str:
    return (_read(path) or b"").decode("utf-8", "surrogateescape")


def _write(path: Path, text: str) -> None:
    data = text.encode("utf-8", "surrogateescape")
    if _read(path) != data:
        replace_file(str(path), data, f".git/info/{path.name}")

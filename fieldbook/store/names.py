"""Names and addresses of entries, and where a notebook begins. Kept light: every log needs it."""

import os
import re
import stat
from collections.abc import Iterable

from fieldbook.errors import FieldbookError, WrongUse

SETTINGS_FILE = "notebook.toml"
OWN_FOLDER = ".fieldbook"
"""Holds the lock and nothing else; safe to delete."""
IGNORED = f"/{OWN_FOLDER}/\n.*.tmp\n"
"""What a notebook's `.gitignore` says: nothing of ours that is no entry travels."""

FOLDERS = ("clays", "mixes", "kilns", "batches", "firings", "tests", "builds")
"""The folders of a notebook, in the order the work goes."""

LONGEST_NAME = 60
_NAME = re.compile(r"[a-z0-9][a-z0-9-]*\Z")
_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))]
)
NAME_RULE = (
    "A name has small letters, digits and hyphens, begins with a letter or digit and is "
    f"at most {LONGEST_NAME} long, such as 2026-04-a."
)


def is_name(text: str) -> bool:
    """Whether `text` may be the name of an entry on every system a notebook may travel to."""
    return bool(_NAME.match(text)) and len(text) <= LONGEST_NAME and text not in _DEVICES


def suggested_name(text: str) -> str:
    """Give the nearest name that is allowed, or nothing where there is none."""
    name = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:LONGEST_NAME].strip("-")
    return name if is_name(name) else ""


def file_of(address: str) -> str:
    """Give the file of an address, relative to the notebook, with `/` between its parts."""
    return SETTINGS_FILE if address == SETTINGS_FILE else f"{address}.toml"


def split(address: str) -> tuple[str, str]:
    """Take `FOLDER/NAME` apart; an address that could lead elsewhere is refused."""
    folder, _, name = address.removesuffix(".toml").partition("/")
    if folder not in FOLDERS or not is_name(name):
        raise WrongUse(f'"{shown(address)}" is not an entry. {NAME_RULE}')
    return folder, name


def shown(text: str) -> str:
    """Give a text that is safe to print inside a message, shortened."""
    clean = "".join(c if c.isprintable() else "\ufffd" for c in text[:80])
    return clean + ("…" if len(text) > 80 else "")


def holds_notebook(start: str) -> bool:
    """Whether `start` lies in a notebook."""
    try:
        find_notebook(start)
    except FieldbookError:
        return False
    return True


def find_notebook(start: str) -> str:
    """Find the notebook that `start` lies in: the nearest folder upward with notebook.toml."""
    folder = os.path.realpath(start)
    while True:
        if os.path.lexists(os.path.join(folder, SETTINGS_FILE)):
            return folder
        above = os.path.dirname(folder)
        if above == folder:
            raise FieldbookError(
                f"There is no notebook in {shown(os.path.realpath(start))} or above it.\n"
                "    Go into a notebook's folder, name it with --notebook FOLDER, "
                "or make one: fieldbook start FOLDER"
            )
        folder = above


def is_own_folder(path: str) -> bool:
    """Whether `path` is a folder itself, not a link to one."""
    try:
        return stat.S_ISDIR(os.lstat(path).st_mode)
    except OSError:
        return False


def resolve(notebook: str, text: str) -> str:
    """Turn what a person typed for an entry into its address.

    `2026-04-a` is enough where one folder alone has that name; the cost does not grow with the
    notebook, unless nothing is found and near names are looked for.
    """
    typed = text.removesuffix(".toml").strip("/")
    if "/" in typed:
        return _resolve_address(notebook, typed, text)
    if is_name(typed):
        found = [f"{folder}/{typed}" for folder in FOLDERS if _stands(notebook, folder, typed)]
        if len(found) == 1:
            return found[0]
        if found:
            raise WrongUse(f'"{typed}" may be {" or ".join(found)}. Write which one.')
    raise _not_found(notebook, text)


def _resolve_address(notebook: str, typed: str, text: str) -> str:
    folder, _, name = typed.partition("/")
    folder = _folder_called(folder)
    if folder and is_name(name) and _stands(notebook, folder, name):
        return f"{folder}/{name}"
    raise _not_found(notebook, text)


def _folder_called(word: str) -> str:
    """Give the folder for a word, which may be singular or plural; nothing where none fits."""
    if word in FOLDERS:
        return word
    return next((folder for folder in FOLDERS if word in (folder[:-1], folder[:-2])), "")


def _stands(notebook: str, folder: str, name: str) -> bool:
    return is_own_folder(os.path.join(notebook, folder)) and os.path.lexists(
        os.path.join(notebook, folder, f"{name}.toml")
    )


def _not_found(notebook: str, text: str) -> FieldbookError:
    near = nearest(text.rpartition("/")[2].removesuffix(".toml"), addresses(notebook))
    hint = f"Nearest: {', '.join(near)}." if near else "List them with: fieldbook find"
    return FieldbookError(f'There is no entry "{shown(text)}".\n    {hint}')


def addresses(notebook: str) -> list[str]:
    """Every entry, by folder in the order the work goes and then by name; reads no file."""
    return [f"{folder}/{name}" for folder in FOLDERS for name in names_in(notebook, folder)]


def names_in(notebook: str, folder: str) -> list[str]:
    """Give the names of the entries in one folder, sorted; links and odd files left out."""
    path = os.path.join(notebook, folder)
    if not is_own_folder(path):
        return []
    with os.scandir(path) as listing:
        return sorted(
            item.name[:-5]
            for item in listing
            if item.name.endswith(".toml")
            and is_name(item.name[:-5])
            and item.is_file(follow_symlinks=False)
        )


def nearest(word: str, among: Iterable[str], most: int = 3) -> list[str]:
    """Give those of `among` whose last part is spelled most like `word`."""
    from difflib import get_close_matches

    by_name: dict[str, list[str]] = {}
    for address in among:
        by_name.setdefault(address.rpartition("/")[2], []).append(address)
    close = get_close_matches(word[:LONGEST_NAME].lower(), by_name, most, 0.6)
    return [address for name in close for address in by_name[name]][:most]

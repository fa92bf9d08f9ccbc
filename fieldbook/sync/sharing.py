"""Setting up sharing: a history in the folder, the merge driver, the remote."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store.durable import read_file
from fieldbook.store.names import IGNORED, SETTINGS_FILE, addresses
from fieldbook.store.parsing import parse
from fieldbook.sync import consent
from fieldbook.sync.git import DRIVER, FILTER, MERGE_OPTIONS, Git
from fieldbook.sync.keeping_back import tell_git
from fieldbook.text import clean

_URL = re.compile(r"(https://|ssh://|file:///|/|\./|\.\./)[^\s]+|[\w.-]+@[\w.-]+:[^\s:][^\s]*")


def checked_url(text: str) -> str:
    """An address to share through: https, ssh, or a folder.

    Raises:
        WrongUse: it is none of these.
    """
    if text.startswith("-") or not _URL.fullmatch(text) or "::" in text:
        raise WrongUse(
            f"{clean(text)!r} is no address to share through\n"
            "    Write https://…, user@host:folder, ssh://…, or a folder such as /media/stick/yard"
        )
    return str(Path(text).resolve()) if text.startswith(("./", "../")) else text


def is_folder(url: str) -> bool:
    """Whether an address is a folder on this machine, where git would run what is set up in it."""
    return url.startswith(("/", "./", "../", "file://"))


def switch_on(git: Git, maker: str | None) -> None:
    """Make the history if there is none, set up the driver outside what is shared, consent."""
    if not git.is_here:
        git("init", "--quiet", "--initial-branch=main", "--template=")
    set_up(git, git.settings(), maker)
    ignore = git.folder / ".gitignore"
    if not ignore.exists():
        ignore.write_text(IGNORED, encoding="utf-8")
    tell_git(git.folder, [SETTINGS_FILE, *entries(git.folder)])
    consent.give(git.folder)


def entries(folder: Path) -> list[str]:
    """Every entry of a folder, by its path."""
    return [f"{address}.toml" for address in addresses(str(folder))]


def set_up(git: Git, now: Mapping[str, str], maker: str | None) -> None:
    """Set what plain git needs to merge by meaning, where it is not set as it should be."""
    wanted = {
        "merge.fieldbook.name": "entries by meaning",
        "merge.fieldbook.driver": DRIVER,
        "filter.fieldbook.clean": FILTER["clean"],
        "filter.fieldbook.smudge": FILTER["smudge"],
        "filter.fieldbook.required": "true",
    }
    if branch := git.branch:
        wanted[f"branch.{branch}.mergeoptions"] = MERGE_OPTIONS
    for key, value in wanted.items():
        if now.get(key) != value:
            git("config", "--local", "--replace-all", key, value)
    if "user.email" not in now:
        ensure_identity(git, maker)


def maker_of(folder: Path) -> str | None:
    """Who writes in a notebook, as its settings say."""
    try:
        maker = parse(read_file(str(folder / SETTINGS_FILE))).get("maker")
    except (OSError, FieldbookError):
        return None
    return maker if isinstance(maker, str) else None


def ensure_identity(git: Git, maker: str | None) -> None:
    """Who commits: git's own setting, or else the maker named in the notebook."""
    if git("config", "user.email", check=False).status == 0:
        return
    if not maker:
        raise FieldbookError(
            "nobody is named as the maker of this notebook\n"
            '    Name yourself: fieldbook set notebook.toml "maker=your name"'
        )
    address = re.sub(r"[^a-z0-9]+", "-", maker.lower()).strip("-") or "maker"
    git("config", "--local", "user.name", maker)
    git("config", "--local", "user.email", f"{address}@fieldbook.invalid")


def keep_name(git: Git, maker: str) -> bool:
    """Let what is written in this folder go by the maker's own name; whether that is a change."""
    if git("config", "user.name", check=False).text.strip() == maker:
        return False
    git("config", "--local", "user.name", maker)
    return True


def goes_by(name: str) -> str:
    """Says what one's lines go by here."""
    return f"what you write here goes by: {name}. Another: git config user.name NAME" * bool(name)


def set_remote(git: Git, url: str) -> None:
    """Name the address the group shares through."""
    known = git("remote", check=True).text.split()
    verb = "set-url" if "origin" in known else "add"
    git("remote", verb, "--", "origin", url)

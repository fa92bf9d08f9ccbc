"""Who writes here, where a notebook is shared: as git names them, read without running git.

`maker` in `notebook.toml` is shared like the rest and names one of the group; on each machine git
knows the person. On the path of every logged line, so only small files are read.
"""

import os
import re

SHARED = os.path.join(".git", "fieldbook-consent")
"""Stands in a history that sharing is switched on for."""
MOST = 64 * 1024
"""Bytes of a file of git's settings that are looked at."""
_SECTION = re.compile(r"\s*\[\s*([A-Za-z0-9.-]+)\s*(\"[^\"]*\")?\s*\]\s*(.*)")
_NAME = re.compile(r"\s*name\s*=\s*(.*)", re.IGNORECASE)


def own_maker(notebook: str) -> str | None:
    """Give the name git keeps things under in a shared notebook; None where it is not shared."""
    if not os.path.isfile(os.path.join(notebook, SHARED)):
        return None
    for path in _files(notebook):
        name = _name_in(path)
        if name:
            return name
    return None


def _files(notebook: str) -> list[str]:
    """Where git looks for a name, the nearest first."""
    home = os.path.expanduser("~")
    config = os.environ.get("XDG_CONFIG_HOME", "")
    if not os.path.isabs(config):
        config = os.path.join(home, ".config")
    own = os.environ.get("GIT_CONFIG_GLOBAL")
    elsewhere = [os.path.join(home, ".gitconfig"), os.path.join(config, "git", "config")]
    return [os.path.join(notebook, ".git", "config"), *([own] if own else elsewhere)]


def _name_in(path: str) -> str:
    """The last `name` under `[user]`; nothing where there is none."""
    try:
        with open(path, encoding="utf-8", errors="replace") as file:
            text = file.read(MOST)
    except OSError:
        return ""
    name, is_user = "", False
    for line in text.splitlines():
        section = _SECTION.match(line)
        if section:
            is_user = section[1].lower() == "user" and not section[2]
        found = _NAME.match(section[3] if section else line) if is_user else None
        if found:
            name = _value(found[1])
    return name


def _value(text: str) -> str:
    """A value of git's settings: quotes and remarks taken off."""
    said, is_quoted, rest = "", False, iter(text.strip())
    for char in rest:
        if char == "\\":
            said += {"n": " ", "t": " "}.get(following := next(rest, ""), following)
        elif char == '"':
            is_quoted = not is_quoted
        elif char in "#;" and not is_quoted:
            break
        else:
            said += char
    return " ".join(said.split())

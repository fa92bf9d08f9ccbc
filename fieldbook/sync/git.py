"""The git program, called so that nothing in a repository can make it run anything else.

An incoming notebook is data: hooks, filters, pagers, file-system monitors and links of its own are
switched off in every call, and a local configuration with keys outside a short list is refused
before git does more than list them.
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.text import clean

_PYTHON = f"{shlex.quote(sys.executable)} -P -m"
DRIVER = f"{_PYTHON} fieldbook.sync.driver %O %A %B %P"
"""git's merge driver for entries, by its full path."""
FILTER = {way: f"{_PYTHON} fieldbook.sync.filter {way} %f" for way in ("clean", "smudge")}
"""git's filter for entries with private fields."""
MERGE_OPTIONS = "-s recursive -X no-renames"
"""Without git's guess of renames; the newer strategy of git before 2.50 guesses all the same."""

SAFE = {
    "merge.fieldbook.driver": DRIVER,
    "filter.fieldbook.clean": FILTER["clean"],
    "filter.fieldbook.smudge": FILTER["smudge"],
    "filter.fieldbook.required": "true",
    "core.fsmonitor": "false",
    "core.hooksPath": os.devnull,
    "core.pager": "cat",
    "core.symlinks": "false",
    "core.autocrlf": "false",
    "core.sshCommand": "ssh -oBatchMode=yes -oConnectTimeout=20",
    "core.quotePath": "false",
    "commit.gpgSign": "false",
    "submodule.recurse": "false",
    "fetch.recurseSubmodules": "false",
    "protocol.allow": "never",
    "protocol.https.allow": "always",
    "protocol.ssh.allow": "always",
    "protocol.file.allow": "always",
    "core.fsync": "objects,reference",
    "core.fsyncMethod": "batch",
    "gc.auto": "0",
    "maintenance.auto": "false",
    "merge.renames": "false",
    "advice.diverging": "false",
}
_OURS = r"('[^']+'|[\w./+-]+) -P -m fieldbook\.sync\."
ALLOWED = {
    r"core\.repositoryformatversion": r"[01]",
    r"core\.(filemode|logallrefupdates|ignorecase|precomposeunicode)": r"true|false",
    r"core\.bare": r"false",
    r"extensions\.objectformat": r"sha1|sha256",
    r"remote\.[^.]+\.url": r"(?!-)(?!.*::).+",
    r"remote\.[^.]+\.fetch": r"\+?refs/heads/[\w./*-]+:refs/remotes/[\w./*-]+",
    r"branch\..+\.remote": r"\.|[\w][\w.-]*",
    r"branch\..+\.merge": r"refs/heads/.+",
    r"branch\..+\.mergeoptions": re.escape(MERGE_OPTIONS),
    r"user\.(name|email)": r".*",
    r"init\.defaultbranch": r"[\w./-]+",
    r"pull\.rebase": r"true|false|merges",
    r"pull\.ff": r"true|false|only",
    r"merge\.fieldbook\.name": r".*",
    r"merge\.fieldbook\.driver": rf"{_OURS}driver %O %A %B %P",
    r"filter\.fieldbook\.clean": rf"{_OURS}filter clean %f",
    r"filter\.fieldbook\.smudge": rf"{_OURS}filter smudge %f",
    r"filter\.fieldbook\.required": r"true",
}
"""Keys of a local configuration that can run nothing, with the values that are known harmless."""
PATIENCE = 120.0
"""Seconds one call may take."""


class Done(NamedTuple):
    """What a call of git gave."""

    status: int
    out: bytes
    err: str

    @property
    def text(self) -> str:
        """The output as text."""
        return self.out.decode("utf-8", "replace")


class Git:
    """One folder's git."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.program = shutil.which("git")

    def __call__(self, *words: str, check: bool = True, feed: bytes | None = None) -> Done:
        """Run git with words of our own; what a person gave stands only after `--`."""
        try:
            done = subprocess.run(
                self._command(words),
                cwd=self.folder,
                env=self._environment(),
                input=feed,
                stdin=None if feed is not None else subprocess.DEVNULL,
                capture_output=True,
                timeout=PATIENCE,
                check=False,
            )
        except subprocess.TimeoutExpired as error:
            raise FieldbookError(
                f"git {words[0]} did not end within {PATIENCE:.0f} s\n    Try again later"
            ) from error
        result = Done(done.returncode, done.stdout, done.stderr.decode("utf-8", "replace"))
        if check and result.status != 0:
            is_locked = ".lock'" in result.err and "exists" in result.err
            remedy = "\n    If no other git is at work here, delete that file, then sync"
            raise FieldbookError(
                f"git {words[0]} failed: {said(result.err)}{remedy if is_locked else ''}"
            )
        return result

    def beside(self, *words: str) -> subprocess.Popen[bytes]:
        """A git that goes on running and is asked through its pipes."""
        return subprocess.Popen(
            self._command(words),
            cwd=self.folder,
            env=self._environment(),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )

    def _command(self, words: tuple[str, ...]) -> list[str]:
        if self.program is None:
            raise FieldbookError("git is not installed\n    Install it: sudo apt install git")
        settings = [part for key, value in SAFE.items() for part in ("-c", f"{key}={value}")]
        return [self.program, *settings, *words]

    def _environment(self) -> dict[str, str]:
        """The person's own, less what could redirect git, in plain English, never asking."""
        kept = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")}
        for name in ("GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL", "GIT_CONFIG_GLOBAL"):
            if name in os.environ:
                kept[name] = os.environ[name]
        return {**kept, "GIT_TERMINAL_PROMPT": "0", "GIT_EDITOR": "true", "LC_ALL": "C.UTF-8"}

    @property
    def is_here(self) -> bool:
        """Whether the folder has a history of its own; git is not run for it."""
        return (self.folder / ".git").is_dir()

    @property
    def branch(self) -> str:
        """The branch that is checked out; empty where none is."""
        said = (self.folder / ".git" / "HEAD").read_text(encoding="utf-8").strip()
        return said.removeprefix("ref: refs/heads/") if said.startswith("ref: refs/heads/") else ""

    def refuse_strange_settings(self) -> None:
        """Refuse a local configuration that could run something, by the name of its key."""
        self.settings()

    def settings(self) -> dict[str, str]:
        """The local configuration, once nothing in it can run a program.

        Raises:
            FieldbookError: a key, or its value, that is not known to be harmless; what to do.
        """
        if (self.folder / ".git" / "config.worktree").exists():
            raise FieldbookError("this notebook's .git/config.worktree is not allowed: remove it")
        listed = self("config", "--local", "--no-includes", "--list", "-z").text
        found = {}
        for row in filter(None, listed.split("\0")):
            key, _, value = row.partition("\n")
            if not _is_harmless(key, value):
                raise FieldbookError(
                    f"the git settings of this folder hold {clean(key)} = {clean(value)[:60]}, "
                    "which could run programs\n"
                    f"    If you set it yourself: git config --local --unset {clean(key)}"
                )
            found[key] = value
        return found


def _is_harmless(key: str, value: str) -> bool:
    return any(
        re.fullmatch(pattern, key, re.IGNORECASE) and re.fullmatch(values, value)
        for pattern, values in ALLOWED.items()
    )


def said(text: str) -> str:
    """The last telling line of what git said."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("hint:")]
    telling = [line for line in lines if line.startswith(("fatal:", "error:"))]
    return clean((telling or lines or ["no reason given"])[-1].removeprefix("fatal: "))

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

DRIVER = f"{shlex.quote(sys.executable)} -P -m fieldbook.sync.driver %O %A %B %P"
"""git's merge driver for entries, by its full path."""

SAFE = {
    "merge.fieldbook.driver": DRIVER,
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
    "gc.auto": "0",
    "merge.renames": "false",
    "advice.diverging": "false",
}
ALLOWED_KEYS = re.compile(
    r"core\.(repositoryformatversion|filemode|bare|logallrefupdates|ignorecase|precomposeunicode)"
    r"|remote\.[^.]+\.(url|fetch)|branch\..+\.(remote|merge|mergeoptions)|user\.(name|email)|init\..*"
    r"|merge\.fieldbook\.(name|driver)|pull\.(rebase|ff)|extensions\.objectformat",
    re.IGNORECASE,
)
"""Keys of a local configuration that can run nothing."""
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
        if self.program is None:
            raise FieldbookError("git is not installed\n    Install it: sudo apt install git")
        settings = [part for key, value in SAFE.items() for part in ("-c", f"{key}={value}")]
        try:
            done = subprocess.run(
                [self.program, *settings, *words],
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
            raise FieldbookError(f"git {words[0]} failed: {said(result.err)}")
        return result

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

    def refuse_strange_settings(self) -> None:
        """Refuse a local configuration that could run something, by the name of its key.

        Raises:
            FieldbookError: with the key and what to do.
        """
        if (self.folder / ".git" / "config.worktree").exists():
            raise FieldbookError("this notebook's .git/config.worktree is not allowed: remove it")
        listed = self("config", "--local", "--no-includes", "--list", "-z", "--name-only")
        for key in filter(None, listed.text.split("\0")):
            if not ALLOWED_KEYS.fullmatch(key):
                raise FieldbookError(
                    f"the git settings of this folder hold {clean(key)}, which could run programs\n"
                    f"    If you set it yourself: git config --local --unset {clean(key)}"
                )


def said(text: str) -> str:
    """The last telling line of what git said."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("hint:")]
    telling = [line for line in lines if line.startswith(("fatal:", "error:"))]
    return clean((telling or lines or ["no reason given"])[-1].removeprefix("fatal: "))

"""What the history remembers: who kept what and when, and the notebook as it was.

Only non-merging moments are read for who did what: a merge brings together what others did.
Everything that comes out of git is data; a name or a date from it is cleaned where it is shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store.parsing import NotToml, parse
from fieldbook.sync import consent
from fieldbook.sync.git import Git
from fieldbook.sync.incoming import ENTRY, LARGEST
from fieldbook.sync.renames import renames
from fieldbook.sync.values import changes_between
from fieldbook.text import clean

FORMAT = "--format=%x02%H%x1f%aI%x1f%ae%x1f%an"
LOG = ("log", "--no-show-signature", "--no-color", "--encoding=UTF-8", "--topo-order")
RAW = ("--raw", "-z", "--root", "--no-abbrev", "--no-renames", "--no-ext-diff", "--no-textconv")
COMMIT = re.compile(r"[0-9a-f]{4,40}")


class Kept(NamedTuple):
    """A moment of the history: what one maker kept at once."""

    commit: str
    at: datetime
    address: str
    """The maker's address as git has it: who is who."""
    maker: str


class Change(NamedTuple):
    """What one moment did to one file."""

    kept: Kept
    path: str
    before: bytes | None
    after: bytes | None
    former: str = ""
    """The name the entry had until then, where it got another, and that was found out."""

    @property
    def was(self) -> Mapping[str, Any]:
        """What the file said before; nothing where it was not there or cannot be read."""
        return said_in(self.before)

    @property
    def now(self) -> Mapping[str, Any]:
        """What it said after."""
        return said_in(self.after)

    @property
    def lines(self) -> list[str]:
        """Keys of the log lines that came."""
        before = _log(self.was)
        return [key for key in _log(self.now) if key not in before]


@lru_cache(maxsize=256)
def said_in(data: bytes | None) -> Mapping[str, Any]:
    """What a file says; nothing where it cannot be read."""
    try:
        return parse(data) if data else {}
    except (NotToml, FieldbookError):
        return {}


def _log(data: Mapping[str, Any]) -> Mapping[str, Any]:
    log = data.get("log")
    return log if isinstance(log, Mapping) else {}


class Past:
    """The history beside one notebook, read and never written."""

    def __init__(self, git: Git) -> None:
        self.git = git

    @classmethod
    def of(cls, folder: Path) -> Past | None:
        """The history of a notebook; None where none is kept, or where it was not agreed to.

        Raises:
            FieldbookError: its settings could run something.
        """
        git = Git(folder)
        if git.program is None or not git.is_here or not consent.given(folder):
            return None
        git.refuse_strange_settings()
        past = cls(git)
        return past if past.newest is not None else None

    @property
    def newest(self) -> Kept | None:
        """The moment the notebook stands on."""
        return next(self._moments("-1", "HEAD"), None)

    @property
    def me(self) -> tuple[str, str]:
        """Who keeps things here: name and address, as git has them."""
        name, address = (
            self.git("config", f"user.{part}", check=False).text.strip()
            for part in ("name", "email")
        )
        return name, address

    def moment(self, commit: str) -> Kept:
        """A moment by the first digits of its name.

        Raises:
            WrongUse: it is none.
        """
        if COMMIT.fullmatch(commit):
            whole = self.git(
                "rev-parse", "--verify", "--quiet", f"{commit}^{{commit}}", check=False
            )
            if whole.status == 0:
                return next(self._moments("-1", whole.text.strip()))
        raise WrongUse(f"{clean(commit)!r} is no moment of this notebook's history")

    def standing(self, at: datetime, path: str = "") -> Kept | None:
        """What stood here at a time; of a file, the last moment that touched it by then."""
        until = f"--until={at.isoformat()}"
        here = next(self._moments("-1", until, "--first-parent", "HEAD"), None)
        if not path or (here is not None and self.holds(here.commit, path)):
            return here
        return next(self._moments("-1", until, "HEAD", "--", path), None)

    def has(self, commit: str) -> bool:
        """Whether a moment, by its whole name, is one of this history."""
        if not COMMIT.fullmatch(commit):
            return False
        return self.git("merge-base", "--is-ancestor", commit, "HEAD", check=False).status == 0

    def holds(self, commit: str, path: str) -> bool:
        """Whether a file was there at a moment."""
        return self.git("cat-file", "-e", f"{commit}:{path}", check=False).status == 0

    def _moments(self, *words: str) -> Iterator[Kept]:
        done = self.git(*LOG, FORMAT, "-z", *words, check=False)
        for head in filter(None, done.text.split("\0")):
            yield _kept(head)

    @contextmanager
    def as_it_was(self, kept: Kept) -> Iterator[Path]:
        """A folder with the entries as they were at a moment; it goes away afterwards."""
        wanted = self._entries(kept.commit)
        found = self._blobs(wanted.values())
        with TemporaryDirectory(prefix="fieldbook-") as name:
            for folder in {path.partition("/")[0] for path in wanted if "/" in path}:
                (Path(name) / folder).mkdir()
            for path, blob in wanted.items():
                (Path(name) / path).write_bytes(found.get(blob, b""))
            yield Path(name)

    def _entries(self, commit: str) -> dict[str, str]:
        """The plain files of a moment that are entries, each with the name of its blob."""
        listed = self.git("ls-tree", "-r", "-z", "--full-tree", commit).text
        found = {}
        for row in filter(None, listed.split("\0")):
            about, _, path = row.partition("\t")
            mode, _, blob = about.split()
            if mode.startswith("100") and ENTRY.fullmatch(path):
                found[path] = blob
        return found

    def changes(self, *paths: str, since: str | None = None) -> list[Change]:
        """What was done to entries, the newest first; `since` a moment, that one left out."""
        scope = ["HEAD", *([f"^{since}"] if since else []), "--", *paths]
        done = self.git(*LOG, "--no-merges", "--full-history", FORMAT, *RAW, *scope)
        rows = list(_rows(done.text.split("\0")))
        found = self._blobs(blob for _, _, both in rows for blob in both)
        return [
            Change(kept, path, found.get(old), found.get(new)) for kept, path, (old, new) in rows
        ]

    def of_entry(self, path: str) -> list[Change]:
        """What was done to one entry, the newest first, under its former names too."""
        found = self.changes(path)
        begun = next((change for change in reversed(found) if change.before is None), None)
        if begun is None or not self.holds(f"{begun.kept.commit}^", "notebook.toml"):
            return found
        became = renames(self.git, f"{begun.kept.commit}^", begun.kept.commit)
        former = next((old for old, new in became.items() if new == path), None)
        if former is None:
            return found
        earlier = [c for c in self.of_entry(former) if c.kept.commit != begun.kept.commit]
        before = earlier[0].after if earlier else None
        return [c._replace(before=before) if c is begun else c for c in found] + earlier

    def begun(self) -> dict[str, Kept]:
        """Who began each entry, by its path; one that was renamed is still of who began it."""
        done = self.git(*LOG, "--no-merges", "--diff-filter=AD", FORMAT, *RAW, "HEAD")
        found: dict[str, Kept] = {}
        at_once: dict[Kept, list[tuple[str, bool]]] = {}
        for kept, path, (old, _) in _rows(done.text.split("\0")):
            at_once.setdefault(kept, []).append((path, not old.strip("0")))
        for kept, rows in reversed(at_once.items()):
            gone = [path for path, is_new in rows if not is_new]
            for path in (path for path, is_new in rows if is_new):
                former = [old for old in gone if old.partition("/")[0] == path.partition("/")[0]]
                is_renamed = len(former) == 1 and former[0] in found
                found[path] = found[former[0]] if is_renamed else kept
        return found

    def _blobs(self, names: Iterable[str]) -> dict[str, bytes]:
        """The bytes behind names of blobs, those that are too large for an entry left out."""
        wanted = [name for name in dict.fromkeys(names) if name.strip("0")]
        if not wanted:
            return {}
        feed = "".join(f"{name}\n" for name in wanted).encode()
        sizes = self.git("cat-file", "--batch-check=%(objecttype) %(objectsize)", feed=feed)
        small = [
            name
            for name, about in zip(wanted, sizes.text.splitlines(), strict=True)
            if re.fullmatch(r"blob \d{1,8}", about) and int(about[5:]) <= LARGEST
        ]
        feed = "".join(f"{name}\n" for name in small).encode()
        return dict(
            zip(small, _contents(self.git("cat-file", "--batch", feed=feed).out), strict=True)
        )


def _kept(head: str) -> Kept:
    commit, at, address, maker = head.strip("\n\x02").split("\x1f", 3)
    return Kept(commit, datetime.fromisoformat(at.replace("Z", "+00:00")), address, maker)


def _rows(words: list[str]) -> Iterator[tuple[Kept, str, tuple[str, str]]]:
    """The rows of a raw log: who, which entry, the names of the blobs before and after."""
    kept: Kept | None = None
    rest = iter(words)
    for word in (each.strip("\n") for each in rest):
        if word.startswith("\x02"):
            kept = _kept(word)
        elif word.startswith(":") and kept is not None:
            path = next(rest, "")
            _, _, old, new, _ = word.split(" ")
            if ENTRY.fullmatch(path):
                yield kept, path, (old, new)


def _contents(out: bytes) -> Iterator[bytes]:
    """The bytes of each object that `cat-file --batch` gave."""
    at = 0
    while at < len(out):
        end = out.index(b"\n", at)
        size = int(out[at:end].rsplit(b" ", 1)[1])
        yield out[end + 1 : end + 1 + size]
        at = end + size + 2


class Turn(NamedTuple):
    """What one moment did to an entry, its log left out; such as a history tells it."""

    at: datetime
    by: str
    path: str
    is_begun: bool
    is_gone: bool
    fields: tuple[tuple[str, Any, Any], ...]
    """Each field that changed: its path, what it was, what it became; None where it was not."""


def turns(changes: Iterable[Change]) -> Iterator[Turn]:
    """What was done to an entry beside its log, moment by moment."""
    for change in changes:
        old, new = ({k: v for k, v in d.items() if k != "log"} for d in (change.was, change.now))
        fields = tuple(
            (".".join(path), _inside(old, path), _inside(new, path))
            for path, _ in changes_between(old, new)
        )
        begun, gone = change.before is None, change.after is None
        if fields or begun or gone:
            yield Turn(change.kept.at, change.kept.maker, change.path, begun, gone, fields)


def who_set(changes: Iterable[Change], field: tuple[str, ...], value: Any) -> Kept | None:
    """Who gave a field a value; where several did, the one who did so last."""
    for change in changes:
        for path, now in changes_between(change.was, change.now):
            if path == field and type(now) is type(value) and now == value:
                return change.kept
            if field[: len(path)] == path and _inside(now, field[len(path) :]) == value:
                return change.kept
    return None


def _inside(value: Any, path: tuple[str, ...]) -> Any:
    for part in path:
        value = value.get(part) if isinstance(value, Mapping) else None
    return value


Claimed = tuple[str, list[tuple[Any, str, datetime | None]]]
"""A disputed field, and each of its values with who set it and when."""


def who_disputes(changes: Iterable[Change], disputed: Mapping[str, Any]) -> Iterator[Claimed]:
    """Of each disputed field its values, each with who set it and when, where that is known."""
    found = list(changes)
    for field, values in disputed.items():
        claims: list[tuple[Any, str, datetime | None]] = []
        for value in values if isinstance(values, list) else [values]:
            kept = who_set(found, tuple(field.split(".")), value)
            claims.append((value, kept.maker if kept else "", kept.at if kept else None))
        yield field, claims


def claims(past: Past, path: str, disputed: Mapping[str, Any]) -> Iterator[Claimed]:
    """The same of a file, `notebook.toml` included, by its table of disputes."""
    return who_disputes(past.of_entry(path) if "/" in path else past.changes(path), disputed)


def who_saw(changes: Iterable[Change]) -> dict[str, Kept]:
    """Who kept each line of an entry's log, by its key; the first to have it."""
    found: dict[str, Kept] = {}
    for change in changes:
        found.update(dict.fromkeys(change.lines, change.kept))
    return found

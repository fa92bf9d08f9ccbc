"""Look, decide, act: what is here and there, what will be done, and doing it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.store.durable import replace_file
from fieldbook.store.lock import Lock
from fieldbook.sync import consent
from fieldbook.sync.died import under_way
from fieldbook.sync.git import Done, Git, said
from fieldbook.sync.incoming import ENTRY, OWN, refuse_unsafe
from fieldbook.sync.merge import merge
from fieldbook.sync.renames import blob, renames
from fieldbook.sync.sharing import ensure_identity, is_folder, set_remote, switch_on
from fieldbook.sync.words import entry_words

TRIES = 6
HOW = ("-s", "recursive", "-X", "no-renames")
"""Without git's guess of renames; the newer strategy of git before 2.50 guesses all the same."""

RECEIVE = (
    f"git -c core.hooksPath={os.devnull} -c core.fsmonitor=false -c core.alternateRefsCommand=true"
    " -c receive.denyCurrentBranch=refuse -c receive.autogc=false receive-pack"
)
"""The other end of a push into a folder, such as one on a stick: nothing set up in it runs."""


class Plan(NamedTuple):
    """What a sync would do, in words of the notebook."""

    to_send: tuple[str, ...]
    to_take: tuple[str, ...]
    remote: str

    def lines(self) -> list[str]:
        """The plan as people read it."""
        lines = [f"to send: {words}" for words in self.to_send]
        lines += [f"to take in: {words}" for words in self.to_take]
        return lines or ["nothing to send, nothing to take in"]


class Report(NamedTuple):
    """What a sync did."""

    sent: tuple[str, ...]
    taken: tuple[str, ...]
    note: str = ""

    def lines(self) -> list[str]:
        """What was done as people read it."""
        lines = [f"sent: {words}" for words in self.sent]
        lines += [f"taken in: {words}" for words in self.taken]
        lines = lines or ["nothing was new on either side"]
        return [*lines, self.note] if self.note else lines


class Sync:
    """The history beside one notebook's folder."""

    def __init__(self, folder: Path, maker: str | None = None) -> None:
        self.git = Git(folder)
        self.folder = folder
        self.maker = maker

    def share(self, url: str | None) -> Report:
        """Switch sharing on here; with an address, join what is there or bring it there."""
        switch_on(self.git, self.maker)
        if url is not None:
            set_remote(self.git, url)
        return self.apply()

    def ready(self) -> None:
        """Refuse where sharing is not on, or where someone left work half done.

        Raises:
            FieldbookError: what it is and what to do.
        """
        if not self.git.is_here or not consent.given(self.folder):
            raise FieldbookError(
                "sharing is not switched on for this folder\n"
                "    fieldbook share URL switches it on; without URL a history is kept here alone, "
                "or the address this folder came with is used"
            )
        self.git.refuse_strange_settings()
        ensure_identity(self.git, self.maker)
        hidden = self.folder / ".git"
        if (hidden / "rebase-merge").exists() or (hidden / "rebase-apply").exists():
            raise FieldbookError(
                "a rebase was begun by hand and not ended\n"
                "    End it (git rebase --continue) or undo it (git rebase --abort), then sync"
            )
        if self.git("symbolic-ref", "-q", "HEAD", check=False).status != 0:
            raise FieldbookError(
                "the folder stands on an old moment of its history (a detached head)\n"
                "    Go back: git switch main"
            )

    @property
    def branch(self) -> str:
        """The branch that is checked out."""
        return self.git("symbolic-ref", "--short", "HEAD").text.strip()

    @property
    def has_remote(self) -> bool:
        """Whether there is somewhere to send to."""
        return "origin" in self.git("remote").text.split()

    def plan(self) -> Plan:
        """What would be sent and taken in; fetches, changes nothing in the folder."""
        self.ready()
        there = self._fetch()
        send = self._words_of_changes()
        head = self._commit_id("HEAD")
        if there and head:
            send += self._between(there, head)
        elif head:
            send += ["the whole notebook"]
        return Plan(tuple(send), tuple(self._between(head, there) if there else ()), self._url())

    def apply(self) -> Report:
        """Keep what changed here, take in what is new there, send; all or nothing at each step."""
        self.ready()
        with Lock(str(self.folder), name="sync"), under_way(self.folder / ".git"):
            with Lock(str(self.folder)):
                self._settle_unmerged()
                self._commit_changes()
            if not self.has_remote:
                return Report((), (), "the history is kept here; there is no address to send to")
            return self._exchange()

    def _exchange(self) -> Report:
        """Fetch, take in, send. Nobody's line waits for the network: only taking in locks."""
        sent: list[str] = []
        taken: list[str] = []
        for _ in range(TRIES):
            there = self._fetch()
            with Lock(str(self.folder)):
                self._commit_changes()
                head = self._commit_id("HEAD")
                if there and there != head:
                    taken += self._take_in(there, head)
                head = self._commit_id("HEAD")
            if head is None or head == there:
                return Report(tuple(sent), tuple(taken))
            sent = self._between(there, head) if there else ["the whole notebook"]
            pushed = self._push()
            if pushed.status == 0:
                return Report(tuple(sent), tuple(taken))
            if not _was_overtaken(pushed):
                raise FieldbookError(
                    f"what is new here could not be sent: {said(pushed.err)}\n"
                    "    It is kept here; sync again when the other side answers"
                )
        raise FieldbookError("others keep sending at the same moment; sync again in a minute")

    def _push(self) -> Done:
        there = (f"--receive-pack={RECEIVE}",) if is_folder(self._url()) else ()
        return self.git("push", "--quiet", *there, "origin", f"HEAD:{self.branch}", check=False)

    def _fetch(self) -> str | None:
        """The other side's newest moment, or None where it has none yet."""
        if not self.has_remote:
            return None
        branch = self.branch
        done = self.git("fetch", "--quiet", "--no-tags", "origin", check=False)
        if done.status != 0:
            raise FieldbookError(
                f"the other side could not be reached: {said(done.err)}\n"
                "    Everything here is kept; sync again when it answers"
            )
        return self._commit_id(f"refs/remotes/origin/{branch}")

    def _take_in(self, there: str, head: str | None) -> list[str]:
        refuse_unsafe(self.git, there)
        words = self._between(head, there)
        if head is None:
            self._refuse_overwriting(there)
            self.git("reset", "--quiet", "--hard", there)
            return words
        if self.git("merge-base", "--is-ancestor", there, head, check=False).status == 0:
            return []
        base = self.git("merge-base", head, there, check=False).text.strip()
        words_of_git = ("merge", *HOW, "--quiet", "--no-commit", "--no-ff")
        if base == head:
            self.git("merge", "--quiet", "--ff-only", there)
            return words
        merged = self.git(*words_of_git, "--allow-unrelated-histories", there, check=False)
        if not (self.folder / ".git" / "MERGE_HEAD").exists():
            raise FieldbookError(f"what came in could not be merged: {said(merged.err)}")
        try:
            self._settle_unmerged()
        except FieldbookError:
            self.git("merge", "--abort", check=False)
            raise
        return words

    def _refuse_overwriting(self, there: str) -> None:
        for path in self.git("ls-tree", "-r", "-z", "--name-only", there).text.split("\0"):
            if path and (self.folder / path).exists() and path not in OWN:
                raise FieldbookError(f"{path} is here and there; sync again")

    def _settle_unmerged(self) -> None:
        """Merge by meaning every entry that stands unmerged in the index, then close the merge."""
        other = self._commit_id("MERGE_HEAD")
        head = self._commit_id("HEAD")
        if other and head:
            self._follow_renames(head, other)
        stages: dict[str, dict[int, str]] = {}
        for row in filter(None, self.git("ls-files", "-u", "-z").text.split("\0")):
            about, _, path = row.partition("\t")
            _, contents, stage = about.split()
            stages.setdefault(path, {})[int(stage)] = contents
        for path, each in stages.items():
            self._settle(path, each)
        if other:
            self._add_all()
            self.git("commit", "--quiet", "--no-edit", "--no-verify")

    def _follow_renames(self, head: str, other: str) -> None:
        """Bring both sides' lines into an entry that one side renamed, or both."""
        base = self.git("merge-base", head, other, check=False).text.strip()
        if not base:
            return
        mine, theirs = renames(self.git, base, head), renames(self.git, base, other)
        for old in sorted({*mine, *theirs}):
            here, there = mine.get(old, old), theirs.get(old, old)
            ours, others = blob(self.git, head, here), blob(self.git, other, there)
            if not ours or not others:
                continue  # taken away by the other side: what is left of it is kept as it is
            names = {here, there} - {old}
            kept = min(names)
            result = merge(blob(self.git, base, old), ours, others, kept)
            for gone in ({old} | names) - {kept}:
                self.git("rm", "--quiet", "--cached", "--ignore-unmatch", "--", gone)
                (self.folder / gone).unlink(missing_ok=True)
            replace_file(str(self.folder / kept), result, kept)
            self.git("add", "--", kept)

    def _settle(self, path: str, stages: dict[int, str]) -> None:
        sides = {stage: self.git("cat-file", "blob", each).out for stage, each in stages.items()}
        if 2 in sides and 3 in sides:
            result = merge(sides.get(1), sides[2], sides[3], path)
        else:
            result = sides.get(2, sides.get(3, b""))  # a deletion against a change keeps the change
        target = self.folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        replace_file(str(target), result, path)
        self.git("add", "--", path)

    def _commit_changes(self) -> None:
        words = self._words_of_changes()
        self._add_all()
        if self.git("diff", "--cached", "--quiet", check=False).status == 0:
            return
        title = "; ".join(words[:3]) + (f"; and {len(words) - 3} more" if len(words) > 3 else "")
        body = "\n".join(words) if len(words) > 3 else ""
        message = f"{title or 'changes'}\n\n{body}".strip()
        self.git("commit", "--quiet", "--no-verify", "-F", "-", feed=message.encode())

    def _add_all(self) -> None:
        """Entries and our own ignore file, new, changed and removed; nothing else."""
        rows = [row for row in self._status() if row[1] != " "]  # not what already stands staged
        wanted = [row[3:] for row in rows if ENTRY.fullmatch(row[3:]) or row[3:] in OWN]
        if wanted:
            feed = "\0".join(wanted).encode()
            self.git("add", "--pathspec-from-file=-", "--pathspec-file-nul", feed=feed)

    def _status(self) -> list[str]:
        words = ("status", "--porcelain", "-z", "--untracked-files=all", "--no-renames")
        return [row for row in self.git(*words).text.split("\0") if row]

    def _words_of_changes(self) -> list[str]:
        """What changed in the folder since the last kept moment."""
        head = self._commit_id("HEAD")
        words = []
        for path in [row[3:] for row in self._status()]:
            if ENTRY.fullmatch(path):
                here = self.folder / path
                now = here.read_bytes() if here.is_file() else None
                words.append(entry_words(path, blob(self.git, head, path), now))
        return words

    def _between(self, old: str | None, new: str | None) -> list[str]:
        """What changed on the way from one moment to another, seen from where they parted."""
        if new is None or old == new:
            return []
        base = self.git("merge-base", old, new, check=False).text.strip() if old else ""
        since = base or self.git("hash-object", "-t", "tree", os.devnull).text.strip()
        listed = self.git(
            "diff",
            "--name-only",
            "-z",
            "--no-renames",
            "--no-ext-diff",
            "--no-textconv",
            since,
            new,
        ).text
        paths = [path for path in listed.split("\0") if ENTRY.fullmatch(path)]
        return [entry_words(p, blob(self.git, base, p), blob(self.git, new, p)) for p in paths]

    def _commit_id(self, name: str) -> str | None:
        done = self.git("rev-parse", "--verify", "--quiet", f"{name}^{{commit}}", check=False)
        return done.text.strip() or None

    def _url(self) -> str:
        return self.git("remote", "get-url", "origin", check=False).text.strip()


def _was_overtaken(pushed: Done) -> bool:
    return any(
        word in pushed.err for word in ("fetch first", "non-fast-forward", "cannot lock ref")
    )

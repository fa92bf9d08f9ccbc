"""Look, decide, act: what is here and there, what will be done, and doing it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.store.durable import clear_left_behind, replace_file
from fieldbook.store.lock import Lock
from fieldbook.store.names import FOLDERS, SETTINGS_FILE
from fieldbook.sync import consent
from fieldbook.sync.changes import Changes
from fieldbook.sync.died import under_way
from fieldbook.sync.git import Done, Git, said
from fieldbook.sync.group_settings import settled
from fieldbook.sync.incoming import refuse_unsafe
from fieldbook.sync.laying_out import edited_since, end_by_hand, go_on, lay_out
from fieldbook.sync.locked_there import lock_named, take_away
from fieldbook.sync.looking_over import put_right
from fieldbook.sync.loss import Loss, refuse_taking_in
from fieldbook.sync.merging import Parted, merged, parted
from fieldbook.sync.objects import Objects, commit, differences, empty_tree, reading
from fieldbook.sync.sharing import goes_by, is_folder, keep_name, set_remote, set_up, switch_on
from fieldbook.sync.words import between, message, shortened

TRIES = 6
RECEIVE = (
    f"git -c core.hooksPath={os.devnull} -c core.fsmonitor=false -c core.alternateRefsCommand=true"
    " -c receive.denyCurrentBranch=refuse -c receive.autogc=false receive-pack"
)
"""The other end of a push into a folder, such as one on a stick: nothing set up in it runs."""
LOOKED_AT = "fieldbook-merges-looked-at"
"""Notes, beside the history, up to which moment its merges were looked at for dropped lines; below
it the merges to be looked at again, once an entry can be read."""
JOINING = "fieldbook-joining"
"""Notes that the first exchange with a group is not yet done, so that its settings stand."""


class Plan(NamedTuple):
    """What a sync would do, in words of the notebook."""

    to_send: tuple[str, ...]
    to_take: tuple[str, ...]
    remote: str
    asks: tuple[str, ...] = ()
    """What comes first: what stands unmerged, and whether most of the notebook may go."""

    def lines(self) -> list[str]:
        """The plan as people read it."""
        lines = [f"to send: {words}" for words in shortened(self.to_send)]
        lines += [f"to take in: {words}" for words in shortened(self.to_take)]
        lines += [f"first: {words}" for words in self.asks]
        return lines or ["nothing to send, nothing to take in"]


class Report(NamedTuple):
    """What a sync did."""

    sent: tuple[str, ...]
    taken: tuple[str, ...]
    note: str = ""
    mended: tuple[str, ...] = ()
    """What stood unmerged, or was dropped by a merge without the driver, and is right again."""

    def lines(self) -> list[str]:
        """What was done as people read it."""
        lines = [*self.mended, *(f"sent: {words}" for words in shortened(self.sent))]
        lines += [f"taken in: {words}" for words in shortened(self.taken)]
        lines = lines or ["nothing was new on either side"]
        return [*lines, *self.note.splitlines()]


class Sync:
    """The history beside one notebook's folder."""

    def __init__(self, folder: Path, maker: str | None = None) -> None:
        self.git = Git(folder)
        self.folder = folder
        self.maker = maker
        self.settings: dict[str, str] = {}
        self._made: set[str] = set()
        """Merges made here and now, in which nothing can be missing."""
        self._mended: list[str] = []

    def share(self, url: str | None, let_go: bool = False) -> Report:
        """Switch sharing on here; with an address, join what is there or bring it there."""
        switch_on(self.git, self.maker)
        if url is not None:
            set_remote(self.git, url)
            self._joining.touch()
        report = self.apply(let_go)
        name = self.git("config", "user.name", check=False).text.strip()
        # Lines went by the name in the settings so far; from now on git's holds.
        if name in ("", self.maker):
            return report
        return report._replace(note="\n".join(filter(None, (report.note, goes_by(name)))))

    @property
    def _joining(self) -> Path:
        """Stands until the first exchange with a group came to its end, whatever stopped it."""
        return self.folder / ".git" / JOINING

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
        self.settings = self.git.settings()
        hidden = self.folder / ".git"
        if (hidden / "rebase-merge").exists() or (hidden / "rebase-apply").exists():
            raise FieldbookError(
                "a rebase was begun by hand and not ended\n"
                "    End it (git rebase --continue) or undo it (git rebase --abort), then sync"
            )
        if not self.git.branch:
            raise FieldbookError(
                "the folder stands on an old moment of its history (a detached head)\n"
                "    Go back: git switch main"
            )
        if (hidden / "shallow").exists():
            raise FieldbookError(
                "this folder holds only the end of its history (a shallow clone)\n"
                "    Fetch the rest: git fetch --unshallow"
            )
        set_up(self.git, self.settings, self.maker)

    @property
    def url(self) -> str:
        """Where to send to; empty where there is no such place."""
        return self.settings.get("remote.origin.url", "")

    @property
    def _away(self) -> Path | None:
        """The history sent to, where it is a folder on this machine."""
        if not is_folder(self.url):
            return None
        folder = self.folder / self.url.removeprefix("file://")
        return folder if (folder / "refs").is_dir() else folder / ".git"

    def plan(self, *, fetches: bool = True) -> Plan:
        """What would be sent and taken in; changes nothing in the folder.

        Without `fetches` it asks nobody, and goes by what the other side had when it was asked
        last: that takes no time, and works offline.
        """
        self.ready()
        with reading(self.git) as objects:
            there = self._fetch(objects) if fetches else self._there(objects)
            head = objects.commit_id("HEAD")
            changes = Changes(objects, head)
            send, take, asks = list(changes.words), [], _asked(changes.refuse_loss)
            if there and head:
                way = parted(objects, head, there)
                send += between(objects, way.mine)
                take += between(objects, way.others)
                asks += _asked(lambda: refuse_taking_in(objects, way.base, way.others))
            elif there:
                take += between(objects, differences(self.git, empty_tree(self.git), there))
            elif head:
                send += ["the whole notebook"]
            asks += [
                f"{path} stands unmerged; it is merged by meaning" for path in changes.unmerged
            ]
        return Plan(tuple(send), tuple(take), self.url, tuple(asks))

    def apply(self, let_go: bool = False) -> Report:
        """Keep what changed here, take in what is new there, send; all or nothing at each step.

        Raises:
            Loss: most of the notebook would go, and `let_go` does not say that it may.
        """
        self.ready()
        with (
            Lock(str(self.folder), name="sync"),
            under_way(self.folder / ".git", self._away),
            reading(self.git) as objects,
        ):
            with Lock(str(self.folder)):
                for folder in FOLDERS:
                    clear_left_behind(str(self.folder / folder))
                go_on(objects, objects.commit_id("HEAD"))
                self._end_by_hand(objects)
                self._keep(objects, let_go)
            if not self.url:
                self._go_to(objects, objects.commit_id("HEAD"), objects.commit_id("HEAD"))
                alone = "the history is kept here; there is no address to send to"
                return Report((), (), alone, tuple(self._mended))
            report = self._exchange(objects, let_go)
        self._joining.unlink(missing_ok=True)
        return report

    def _exchange(self, objects: Objects, let_go: bool) -> Report:
        """Fetch, take in, send. Nobody's line waits for that: only laying out locks."""
        sent: list[str] = []
        taken: list[str] = []
        lock = ""
        for _ in range(TRIES):
            there = self._fetch(objects)
            with Lock(str(self.folder)):
                head = self._keep(objects, let_go)
            new, words = self._taken_in(objects, there, head, let_go)
            head = self._go_to(objects, head, new)
            taken += words
            if head is None or head == there:
                return Report(tuple(sent), tuple(taken), mended=tuple(self._mended))
            changed = differences(self.git, there, head) if there else {}
            sent = between(objects, changed) if there else ["the whole notebook"]
            pushed = self._push()
            if pushed.status == 0:
                return Report(tuple(sent), tuple(taken), mended=tuple(self._mended))
            if not _was_overtaken(pushed):
                raise FieldbookError(
                    f"what is new here could not be sent: {said(pushed.err)}\n"
                    "    It is kept here; sync again when the other side answers"
                )
            if lock := lock_named(pushed.err):
                take_away(self.folder, self.url, lock)
        if lock:
            raise FieldbookError(
                f"the place you share through is locked: {lock}\n"
                "    A sync is under way there, or was cut short. Sync again in a minute; where it "
                "stays\n    locked, remove that file there"
            )
        raise FieldbookError("others keep sending at the same moment; sync again in a minute")

    def _push(self) -> Done:
        there = (f"--receive-pack={RECEIVE}",) if is_folder(self.url) else ()
        branch = self.git.branch
        return self.git("push", "--quiet", *there, "origin", f"HEAD:{branch}", check=False)

    def _fetch(self, objects: Objects) -> str | None:
        """The other side's newest moment, or None where it has none yet."""
        if not self.url:
            return None
        done = self.git("fetch", "--quiet", "--no-tags", "origin", check=False)
        if done.status != 0:
            raise FieldbookError(
                f"the other side could not be reached: {said(done.err)}\n"
                "    Everything here is kept; sync again when it answers"
            )
        return self._there(objects)

    def _there(self, objects: Objects) -> str | None:
        """The newest moment of the other side that is known here."""
        return objects.commit_id(f"refs/remotes/origin/{self.git.branch}") if self.url else None

    def _taken_in(
        self, objects: Objects, there: str | None, head: str | None, let_go: bool
    ) -> tuple[str | None, list[str]]:
        """The moment at which what is new there is in, and what that is; the folder is left."""
        if there is None or there == head:
            return head, []
        way = parted(objects, head or empty_tree(self.git), there)
        base, others = way.base, way.others
        if base == there:
            return head, []
        refuse_unsafe(objects, there, others)
        if not let_go:
            refuse_taking_in(objects, base, others)
        words = between(objects, others)
        if head is None or base == head:
            return there, words
        settings = self._settings_of_group(objects, way) if self._joining.exists() else {}
        new = merged(objects, way, message("brought together", words), settings)
        self._made.add(new)
        return new, words

    def _settings_of_group(self, objects: Objects, way: Parted) -> dict[str, bytes]:
        """The settings, where one who has a notebook joins those of another."""
        here, there = (side.get(SETTINGS_FILE) for side in (way.mine, way.others))
        if way.base != empty_tree(self.git) or here is None or there is None:
            return {}
        sides = (objects.read(each.after or "") for each in (here, there))
        found = settled(*(data or b"" for data in sides))
        if found is None:
            return {}
        if found.gave_way:
            names = ", ".join(found.gave_way)
            self._mended.append(f"the group's settings stand, yours gave way: {names}")
        if self.maker and keep_name(self.git, self.maker):
            self._mended.append(f"what you write here goes by your own name: {self.maker}")
        return {SETTINGS_FILE: found.data}

    def _go_to(self, objects: Objects, head: str | None, new: str | None) -> str | None:
        """Bring the folder to a moment, with what merges on the way to it dropped put right."""
        if new is None:
            return None
        note = self.folder / ".git" / LOOKED_AT
        since, *again = (note.read_text(encoding="utf-8") if note.exists() else "").split() or [""]
        if since != new:
            new, again = self._looked_over(objects, since, new, again)
        if new != head:
            with Lock(str(self.folder)):
                lay_out(objects, head, new)
        if since != new:
            replace_file(str(note), "\n".join((new, *again)).encode(), LOOKED_AT)
        return new

    def _looked_over(
        self, objects: Objects, since: str, head: str, again: list[str]
    ) -> tuple[str, list[str]]:
        """The moment after `head` at which what merges by hand, or by git alone, did is right.

        With the merges that are to be looked at again; `again` are those of the last time.
        """
        known = since if objects.read(since) is not None else None
        files, left = put_right(objects, known, head, self._made, again if known else ())
        if not files:
            return head, [*left]
        new = commit(self.git, (head,), files, "brought back what a merge had dropped").commit
        back = between(objects, differences(self.git, head, new))
        self._mended += [f"brought back, since a merge had dropped it: {what}" for what in back]
        return new, [*left]

    def _end_by_hand(self, objects: Objects) -> None:
        """Bring to an end what a person's own `git merge` left half done."""
        other, head = objects.commit_id("MERGE_HEAD"), objects.commit_id("HEAD")
        if other and head:
            self._say_merged(Changes(objects, head).unmerged)
            if edited := edited_since(objects, head, other):
                other = commit(self.git, (other,), edited, "changed while it stood unmerged").commit
            new = merged(objects, parted(objects, head, other), "brought together")
            self._made.add(new)
            end_by_hand(objects, head, new, other)

    def _say_merged(self, paths: Iterable[str]) -> None:
        self._mended += [f"merged: {path}, which stood unmerged" for path in paths]

    def _keep(self, objects: Objects, let_go: bool) -> str | None:
        """Commit what changed in the folder; the moment it then stands on."""
        changes = Changes(objects, objects.commit_id("HEAD"))
        if changes.unmerged:
            self._say_merged(changes.unmerged)
            changes.settle_unmerged()
        if not let_go:
            changes.refuse_loss()
        self._mended += [w for w in _words_of_kept_back(changes) if w not in self._mended]
        return changes.keep()


def _words_of_kept_back(changes: Changes) -> list[str]:
    return [
        f"kept back: {path} names {hidden}, which is private; make it private too, "
        "or take the name out"
        for path, hidden in changes.kept_back.items()
    ]


def _asked(question: Callable[[], None]) -> list[str]:
    """What would be asked before going on."""
    try:
        question()
    except Loss as error:
        return [str(error).partition("\n")[0]]
    return []


def _was_overtaken(pushed: Done) -> bool:
    return any(
        word in pushed.err for word in ("fetch first", "non-fast-forward", "cannot lock ref")
    )

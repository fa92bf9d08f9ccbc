"""What a merge lacks that it should have, and where that would stand now."""

from __future__ import annotations

from fieldbook.lines.toml_text import value_text
from fieldbook.sync.incoming import ENTRY
from fieldbook.sync.log_lines import LogLine
from fieldbook.sync.merging import Found
from fieldbook.sync.objects import differences
from fieldbook.sync.one_merge import Seen, View, lines, second
from fieldbook.sync.renames import renames


def doubtful(view: View) -> list[str]:
    """The entries in which a merge may lack something that a parent had."""
    way = view.way
    made = differences(view.objects.git, way.ours, view.merged)
    paths = {
        path for side in (made, way.mine, way.others) for path in side if ENTRY.fullmatch(path)
    }
    return sorted(path for path in paths if not _is_plain(view, path, made))


def _is_plain(view: View, path: str, made: Found) -> bool:
    """Whether one parent alone changed an entry, and the merge has it so."""
    here, there, result = (side.get(path) for side in (view.way.mine, view.way.others, made))
    if here is None and there is not None:
        return result is not None and result.after == there.after
    return there is None and here is not None and result is None


def lacking_lines(view: View, path: str) -> list[LogLine]:
    """The observations that a merge has not, though a parent had them and none took them away."""
    ours, theirs = map(lines, view.sides(path))
    if not ours and not theirs:
        return []
    was: set[Seen] = set()
    for base in view.bases:
        was |= lines(view.at(base, path)).keys()
    has = lines(view.at(view.merged, path))
    wanted = {**ours, **theirs}
    return [
        line
        for seen, line in wanted.items()
        if seen not in has and ((seen in ours and seen in theirs) or seen not in was)
    ]


def still_lacking(view: View, path: str, found: list[LogLine]) -> list[LogLine]:
    """Of such lines those that stand nowhere else, and that nobody took away since."""
    elsewhere = _standing(view, {line.text.strip() for line in found}, path)
    left = [line for line in found if line.text.strip() not in elsewhere]
    return [line for line in left if not _was_taken_away(view, line)]


def but_those_in(now: bytes, found: list[LogLine]) -> list[LogLine]:
    """Of some lines those that an entry does not say, under whatever key."""
    has = lines(now)
    return [line for line in found if (second(line.key), value_text(line.fields)) not in has]


def _standing(view: View, texts: set[str], path: str) -> set[str]:
    """Of some lines those that stand in any entry of the same kind, in the merge or now."""
    folder = path.partition("/")[0]
    feed = "\n".join(sorted(texts)).encode()
    found: set[str] = set()
    for moment in sorted({view.merged, view.head}):
        words = ("grep", "-h", "-F", "-f", "-", moment, "--", f"{folder}/")
        listed = view.objects.git(*words, feed=feed, check=False).text
        found |= {line.strip() for line in listed.splitlines()} & texts
    return found


def _was_taken_away(view: View, line: LogLine) -> bool:
    """Whether a line was there again after the merge, and is not now: on purpose, then."""
    if view.merged == view.head:
        return False
    text = line.text.strip()
    words = ("log", "--format=%H", "-n1", f"-S{text}", "--no-ext-diff", "--no-textconv")
    return bool(view.objects.git(*words, f"{view.merged}..{view.head}").text.strip())


def is_under_another(view: View, path: str) -> bool:
    """Whether an entry got this name from a parent, and the merge has it under another."""
    olds = {old for became in view.renamed for old, new in became.items() if new == path}
    others = {name for old in olds for name in view.names(old)} - {path}
    return any(view.at(view.merged, name) is not None for name in others)


def is_gone(view: View, path: str) -> bool:
    """Whether an entry is nowhere since a merge, and was not there again meanwhile."""
    if view.at(view.head, path) is not None or path_now(view, path) != path:
        return False
    return all(view.at(moment, path) is None for moment in view.since(path))


def path_now(view: View, path: str) -> str | None:
    """Where the entry stands now; None where it was taken away on purpose since the merge."""
    if view.at(view.head, path) is not None:
        return path
    for moment in (*view.merge.parents, *view.bases):
        if new := _new_name(view, moment, path):
            return new
    return None if view.at(view.merged, path) is not None else path


def _new_name(view: View, moment: str, path: str) -> str | None:
    if view.at(moment, path) is None:
        return None
    return renames(view.objects.git, moment, view.head).get(path)

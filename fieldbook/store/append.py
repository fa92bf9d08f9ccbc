"""An observation onto the end of an entry, on the disk before it is called saved.

Every logged line waits for this, so it imports little, and its cost hardly grows with the file: a
long log is not parsed as a whole.
"""

import errno
import os
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import datetime
from typing import NamedTuple

from fieldbook.errors import FieldbookError
from fieldbook.lines.toml_text import key_for, line_for
from fieldbook.store import durable, names, parsing, recent
from fieldbook.store.lock import Lock
from fieldbook.store.repair import LONGEST_LINE, Mended, parse_or_mend

SMALL = 32 * 1024
"""Files up to this size [bytes] are parsed whole."""
_TAIL = 4096
_LOG_HEADER = re.compile(rb"^[ \t]*\[[ \t]*log[ \t]*\][ \t]*(?:#[^\n]*)?\r?(?:\n|\Z)", re.MULTILINE)
_HEADER_LINE = re.compile(rb"\n[ \t]*\[")
_TRIES = 20


class Saved(NamedTuple):
    """A line that is on the disk."""

    address: str
    key: str
    line: int
    """Where it stands in the file."""
    text: str
    """The line as written, without its line end; empty where fields were changed."""
    undo: tuple[tuple[tuple[str | int, ...], object], ...] = ()
    """Of changed fields: path and value that lead back, None for what was not written before."""


class _Taken:
    """The keys a log holds: what stands nowhere in its text is no key of it."""

    def __init__(self, log: bytes) -> None:
        self.log = log

    def __contains__(self, key: object) -> bool:
        return str(key).encode() in self.log


class _Shape(NamedTuple):
    """What an append must know about a file."""

    log_start: int
    """Where the log begins; the length of the file where it has none."""
    has_log: bool
    log_is_last: bool
    mended: Mended | None = None


Line = tuple[datetime, Mapping[str, object]]
"""When something was seen, and what."""


def append(notebook: str, address: str, at: datetime, fields: Mapping[str, object]) -> Saved:
    """Add one line to the log of an entry; when this returns, the line is on the disk.

    Raises:
        FieldbookError: the file cannot be read or written; it is as it was.
    """
    return append_all(notebook, address, [(at, fields)])[0]


def append_all(notebook: str, address: str, lines: Sequence[Line]) -> list[Saved]:
    """Add the lines of one round to the log of an entry, in one write: all of them or none.

    Raises:
        FieldbookError: the file cannot be read or written; it is as it was.
    """
    folder, name = names.split(address)
    if not names.is_own_folder(os.path.join(notebook, folder)):
        raise FieldbookError(f"{folder} is not a folder of this notebook.")
    path = os.path.join(notebook, folder, f"{name}.toml")
    with Lock(notebook):
        written = [""] * len(lines)
        for _ in range(_TRIES):
            saved, is_there = _append_once(path, address, lines, written)
            if is_there:
                for each in saved:
                    recent.remember(notebook, address, each.key, each.text)
                return saved
            written = [each.text for each in saved]
    raise FieldbookError(
        f"{address}.toml keeps being replaced by another program; the line was not saved.\n"
        "    Close the other program, then do it again."
    )


def restore(notebook: str, lost: recent.Kept) -> Saved:
    """Put back a line that was saved once, under its own key or the next free one."""
    fields = parsing.parse_text(lost.text)[lost.key]
    at = datetime.fromisoformat(lost.key)
    saved = append(notebook, lost.address, at, fields)
    if saved.key != lost.key:
        recent.forget(notebook, [(lost.address, lost.key)])
    return saved


def _append_once(
    path: str, address: str, lines: Sequence[Line], written: Sequence[str]
) -> tuple[list[Saved], bool]:
    """Add the lines, and tell whether the path still leads to the file they were added to.

    `written` are the lines as added to a file that another program has replaced since: the new file
    may hold them already.
    """
    shown = f"{address}.toml"
    descriptor = _open(path, shown)
    try:
        data = durable.read_all(descriptor)
        there = [_already_there(data, address, text) for text in written]
        missing = [line for line, found in zip(lines, there, strict=True) if not found]
        new, is_there = _add(descriptor, path, data, address, missing)
        added = iter(new)
        return [found or next(added) for found in there], is_there
    finally:
        os.close(descriptor)


def _add(
    descriptor: int, path: str, data: bytes, address: str, lines: Sequence[Line]
) -> tuple[list[Saved], bool]:
    """Add lines to the data of an open file, in one write."""
    if not lines:
        os.fsync(descriptor)
        return [], _is_still(descriptor, path)
    shown = f"{address}.toml"
    shape = _shape(data, shown)
    new = _new_lines(data, shape, address, lines)
    if shape.mended or (shape.has_log and not shape.log_is_last):
        return _save_whole(path, data, shape, new)
    added = _addition(data, shape.has_log, [each.text for each in new])
    _write(descriptor, added, len(data), shown)
    last = data.count(b"\n") + added.rstrip().count(b"\n") + 1
    return _numbered(new, last), _is_still(descriptor, path)


def _already_there(data: bytes, address: str, text: str) -> Saved | None:
    """The line as it stands in the data, None where it does not."""
    at_byte = _line_start(data, text)
    if at_byte is None:
        return None
    key = next(iter(parsing.parse_text(text)))
    return Saved(address, key, data.count(b"\n", 0, at_byte) + 1, text)


def _new_lines(data: bytes, shape: _Shape, address: str, lines: Sequence[Line]) -> list[Saved]:
    """The lines as they will stand in the file, each under a key that is free."""
    taken = data[shape.log_start :] if shape.has_log else b""
    new = []
    for at, fields in lines:
        key = key_for(at, None, _Taken(taken))
        text = line_for(key, fields)
        _check_line(text, key)
        new.append(Saved(address, key, 0, text))
        taken += text.encode()
    return new


def _numbered(new: Sequence[Saved], last: int) -> list[Saved]:
    """The lines with their numbers in the file, of which the last one is known."""
    first = last - len(new) + 1
    return [each._replace(line=first + n) for n, each in enumerate(new)]


def _line_start(data: bytes, written: str) -> int | None:
    """Find a line that was written before; None where the data do not hold it."""
    line = b"\n" + written.encode()
    at = data.find(line) if written else -1
    if at < 0 or data[at + len(line) : at + len(line) + 1] not in (b"\r", b"\n", b""):
        return None
    return at + 1


def _open(path: str, shown: str) -> int:
    try:
        return durable.open_file(path, os.O_RDWR | os.O_APPEND)
    except FileNotFoundError as error:
        raise FieldbookError(f"{shown} is not there. Make it with: fieldbook add") from error
    except durable.NotAFile as error:
        raise FieldbookError(f"{shown}: {error}") from error
    except OSError as error:
        raise durable.why_not(error, shown) from error


def _check_line(text: str, key: str) -> None:
    """Make sure that the line is TOML and fits into one write."""
    if len(text.encode()) > LONGEST_LINE - 64:
        raise FieldbookError("The observation is longer than 64 KiB. Make it shorter.")
    if list(parsing.parse_text(text)) != [key] or "\n" in text:
        raise FieldbookError("The observation cannot be written as a line of TOML.")


def _shape(data: bytes, shown: str) -> _Shape:
    try:
        marked = parsing.conflict_line(data)
        if marked and not _is_inside_text(data):
            raise parsing.has_conflict(marked)
        return _quick_shape(data) or _thorough_shape(data)
    except parsing.NotToml as error:
        where = f"{shown}:{error.line}" if error.line else shown
        raise FieldbookError(
            f"{where}: {error}\n    Nothing was saved; the file is as it was."
        ) from error


def _is_inside_text(data: bytes) -> bool:
    """Whether marks like those of a failed merge are part of a text of several lines."""
    try:
        parsing.parse(data)
    except parsing.NotToml:
        return False
    return True


def _quick_shape(data: bytes) -> _Shape | None:
    """Look at the head and the last lines only; None where that does not settle it.

    What stands before the header is read: where that is sound, the header is one indeed, not a
    line inside a text.
    """
    if len(data) <= SMALL or not data.endswith(b"\n"):
        return None
    # The first line that looks like the header of the log, since the log may hold others in notes.
    header = _LOG_HEADER.search(data)
    if header is None or _has_header(data, header.end()):
        return None
    last = data.find(b"\n", max(header.end(), len(data) - _TAIL) - 1) + 1
    try:
        head = parsing.parse(data[: header.start()])
        parsing.parse(data[last:])
    except parsing.NotToml:
        return None
    return None if "log" in head else _Shape(header.start(), True, True)


def _has_header(data: bytes, start: int) -> bool:
    """Whether a line from `start` on, where a line begins, looks like a header."""
    return bool(_HEADER_LINE.search(data, max(0, start - 1)))


def _thorough_shape(data: bytes) -> _Shape:
    read, mended = parse_or_mend(data)
    if "log" not in read:
        return _Shape(len(mended.rest if mended else data), False, True, mended)
    text = parsing.decode(mended.rest if mended else data)
    shift = len(parsing.BOM) if data.startswith(parsing.BOM) else 0
    header = _LOG_HEADER.search(data, shift)
    if header and not _has_header(data, header.end()):
        try:
            if "log" not in parsing.parse(data[: header.start()]):
                return _Shape(header.start(), True, True, mended)
        except parsing.NotToml:
            pass  # the header stands inside a text; the scanner below knows
    return _scanned_shape(text, shift, mended)


def _scanned_shape(text: str, shift: int, mended: Mended | None) -> _Shape:
    from fieldbook.store.places import Layout

    headers = list(Layout(text).headers())
    logs = [index for index, header in enumerate(headers) if header.path == ("log",)]
    if len(logs) != 1 or headers[logs[0]].kind != "table":
        raise parsing.NotToml(
            "the log is not a table under a [log] header, so no line can be added",
            'Write a line [log] at the end and under it one line a time: "TIME" = { … }',
        )
    start = len(text[: headers[logs[0]].start].encode()) + shift
    return _Shape(start, True, logs[0] == len(headers) - 1, mended)


def _line_end(data: bytes) -> str:
    """Give the line end a file uses: that of its first line."""
    return "\r\n" if data[: data.find(b"\n") + 1].endswith(b"\r\n") else "\n"


def _addition(data: bytes, has_log: bool, texts: Sequence[str]) -> bytes:
    """Give the bytes to add: the lines, and before them what the file lacks."""
    end = _line_end(data)
    before = "" if data.endswith(b"\n") or not data else end
    if not has_log:
        before += (end if data else "") + "[log]" + end
    return (before + "".join(text + end for text in texts)).encode()


def _write(descriptor: int, added: bytes, former: int, shown: str) -> None:
    """Write in one piece and wait for the disk; what falls short is cut off again."""
    try:
        written = os.write(descriptor, added)
        if written < len(added):
            # The disk took a part; writing the rest gives the reason.
            written += os.write(descriptor, added[written:])
            if written < len(added):
                raise OSError(errno.ENOSPC, "the disk is full")
        os.fsync(descriptor)
    except OSError as error:
        _cut_back(descriptor, former, shown)
        raise durable.why_not(error, shown) from error


def _cut_back(descriptor: int, former: int, shown: str) -> None:
    """Take off again what was written of a line; a disk that does not even do that is named."""
    try:
        os.ftruncate(descriptor, former)
    except OSError as error:
        raise FieldbookError(
            f"{shown}: the line is not saved, and a part of it may stand at the end of the file "
            f"({error.strerror or error}).\n"
            "    Check the disk, then the last line: fieldbook check"
        ) from error
    with suppress(OSError):  # what was cut off was never confirmed; the former end is on the disk
        os.fsync(descriptor)


def _is_still(descriptor: int, path: str) -> bool:
    """Whether the path still leads to the file written to: editors and git rename over it."""
    try:
        return os.path.samestat(os.fstat(descriptor), os.lstat(path))
    except FileNotFoundError:
        return False


def _save_whole(
    path: str, data: bytes, shape: _Shape, new: Sequence[Saved]
) -> tuple[list[Saved], bool]:
    """Write the file whole: the log is not its last table, or its end is unfinished."""
    end = _line_end(data)
    rest = shape.mended.rest if shape.mended else data
    if not rest.endswith(b"\n"):
        rest += end.encode()
    added = "".join(each.text + end for each in new).encode()
    address = new[0].address
    if shape.mended:
        added = f"{shape.mended.comment}{end}".encode() + added
    if shape.has_log:
        at = len(rest) if shape.log_is_last else _end_of_log(rest)
    else:
        at, added = len(rest), f"{end}[log]{end}".encode() + added
    whole = rest[:at] + added + rest[at:]
    if not parsing.parse(whole).get("log", {}).keys() >= {each.key for each in new}:
        raise FieldbookError(f"{address}.toml: the line cannot be put under [log].")
    if durable.read_file(path) != data:
        return [each._replace(text="") for each in new], False
    durable.replace_file(path, whole, f"{address}.toml")
    return _numbered(new, (rest[:at] + added).count(b"\n")), True


def _end_of_log(data: bytes) -> int:
    """Where the last line of the log ends, in a file in which other tables follow it."""
    from fieldbook.store.places import Layout

    text = parsing.decode(data)
    shift = len(parsing.BOM) if data.startswith(parsing.BOM) else 0
    last = max(
        s.end
        for s in Layout(text).statements
        if s.path[0] == "log" and (s.kind == "table" or len(s.path) > 1)
    )
    return len(text[:last].encode()) + shift

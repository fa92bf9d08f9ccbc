"""The unfinished end of a file that a power cut leaves, and what is done about it.

The rest is read as if the end were not there; the next write keeps the end as a comment.
"""

from typing import Any, NamedTuple

from fieldbook.store.parsing import NotToml, parse

LONGEST_LINE = 64 * 1024
"""An observation is written by one write of at most this many bytes."""


class Mended(NamedTuple):
    """What can be read of a file whose end is unfinished."""

    data: dict[str, Any]
    rest: bytes
    """The bytes before the unfinished end; they end in a newline."""
    end: bytes
    """The unfinished end."""
    line: int
    """The line it stands on."""

    @property
    def comment(self) -> str:
        """The unfinished end as a comment, on one line."""
        tail = self.end.rstrip(b"\0")
        words = tail.decode("utf-8", "backslashreplace")
        words = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in words)
        if len(tail) < len(self.end):
            words = f"{words} ({len(self.end) - len(tail)} NUL bytes)".strip()
        return f"# unfinished: {words}"


def mend(data: bytes) -> Mended | None:
    """Read a file up to an unfinished end; None where its end is not of that kind.

    Such an end is a last line without a newline that does not parse, or a tail of NULs. Something
    must remain: a file that is one bad line was never one of ours.
    """
    body = data.rstrip(b"\0")
    cut = len(body) if body.endswith(b"\n") else body.rfind(b"\n") + 1
    if body != data and not body.endswith(b"\n"):
        whole = _read(body)
        if whole:
            return Mended(whole, body, data[len(body) :], body.count(b"\n") + 1)
    if cut == len(data) or cut == 0 or len(body) - cut > LONGEST_LINE:
        return None
    rest = data[:cut]
    read = _read(rest)
    return Mended(read, rest, data[cut:], rest.count(b"\n") + 1) if read else None


def _read(data: bytes) -> dict[str, Any] | None:
    try:
        return parse(data)
    except NotToml:
        return None


def parse_or_mend(data: bytes) -> tuple[dict[str, Any], Mended | None]:
    """Read a file; where its end is unfinished, what comes before, and that end."""
    try:
        return parse(data), None
    except NotToml:
        mended = mend(data)
        if mended is None:
            raise
        return mended.data, mended

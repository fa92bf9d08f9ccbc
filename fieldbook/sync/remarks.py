"""Remarks that one side added, put where they stood into a text made from the other side."""

from __future__ import annotations

from collections.abc import Iterator


def with_remarks(text: str, base: str, theirs: str) -> str:
    """A text with the remarks that `theirs` has and neither it nor the ancestor; else as it is.

    Each stands above the line that it stood above, where that line's field is still there, else
    at the end.
    """
    end = "\r\n" if "\r\n" in text else "\n"
    if text and not text.endswith("\n"):
        text += end
    known = {line.strip() for line in (base + text).splitlines()}
    lines = text.splitlines(keepends=True)
    for remarks, below in _remarks(theirs):
        new = [line.rstrip("\r\n") + end for line in remarks if line.strip() not in known]
        at = next((i for i, line in enumerate(lines) if below and _name(line) == below), None)
        if at is None:
            at = len(lines)
            while at and not lines[at - 1].strip():
                at -= 1  # blank lines before the log stay last
        lines[at:at] = new
    return "".join(lines)


def _remarks(text: str) -> Iterator[tuple[list[str], str]]:
    """Each run of remarks, with the name of the field or table below it."""
    run: list[str] = []
    for line in text.splitlines(keepends=True):
        if line.lstrip().startswith("#"):
            run.append(line)
        elif line.strip() and run:
            yield run, _name(line)
            run = []
    if run:
        yield run, ""


def _name(line: str) -> str:
    """What a line is about: `count` of `count = 96`, `[green]` of a header."""
    return line.strip() if line.lstrip().startswith("[") else line.partition("=")[0].strip()

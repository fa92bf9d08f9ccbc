"""What a maker writes: the lines that actions offer, their blanks filled, put on the disk."""

import shlex

from fieldbook.cli.fields import pairs
from fieldbook.lines.reading import read_line
from fieldbook.records import FOLDERS
from fieldbook.store.bearings import bearings

BLANK = "…"


def filled(template, *values):
    """The line an action offers, with its blanks filled from the left."""
    parts = template.split(BLANK)
    if len(parts) - 1 != len(values):
        raise ValueError(f"{template!r} has {len(parts) - 1} blanks, not {len(values)}")
    text = parts[0]
    for value, part in zip(values, parts[1:], strict=True):
        text += str(value) + part
    return text


def round_of(template, names, fill):
    """One line for bricks `names`, from a template for some of them; `fill(name)` its blanks."""
    one = template.partition(", ")[0]
    first = one.partition(" ")[0]
    return ", ".join(filled(one.replace(first, f"#{name}", 1), *fill(name)) for name in names)


class Notes:
    """The notebook as one maker keeps it."""

    def __init__(self, store):
        self.store = store

    def write(self, now, address, text):
        """Type one line, as on the screen or after `fieldbook`."""
        words = shlex.split(text) if text.startswith("fieldbook ") else []
        if words[1:2] == ["add"]:
            kind = FOLDERS.get(words[2], words[2])
            where = self.store.create(kind, words[3], pairs(words[4:]))
        elif words[1:2] == ["set"]:
            where, fields = words[2], pairs(words[3:])
            self.store.set_fields(where, fields)
        else:
            where, text = (words[2], " ".join(words[3:])) if words else (address, text)
            self._log(now, where, text)
        problems = self.store.read(where).problems
        if problems:
            raise ValueError(f"{where}: {text!r} leaves {problems[0]}")

    def _log(self, now, address, text):
        known = bearings(str(self.store.folder), address)
        seen = read_line(
            text, known.kind, now,
            places=known.places, bricks=known.bricks, measures=known.measures, zone=known.zone,
        )  # fmt: skip
        if seen.questions:
            raise ValueError(f"{address}: {text!r} is asked back: {seen.questions[0]}")
        self.store.append(address, seen)

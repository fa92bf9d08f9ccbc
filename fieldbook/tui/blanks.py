"""The blanks of a proposed line: one that is left empty takes its part of a round with it."""

BLANK = "…"
"""Stands for what is to be filled in; Enter goes on to the next."""

_TOML = ("[", "{", '"', "'")
"""What a value begins with that is written as in the file."""


def filled_parts(line: str) -> str:
    """Give the parts of a line in which no blank is left; the whole line where that is none."""
    if line[:1] in _TOML:
        return line
    filled = [part for part in line.split(", ") if BLANK not in part]
    return ", ".join(filled) or line


def without_empty(before: str, after: str) -> str:
    """Give a line without the part in which nothing was typed between `before` and `after`.

    Parts stand between commas. Nothing is left of a line that has only the one, or that holds an
    amount in that part already; a value of TOML is one part, whatever commas it has.
    """
    if before[:1] in _TOML:
        return ""
    done, comma, begun = before.rpartition(", ")
    if any(not word.startswith("#") and word[:1].isdigit() for word in begun.split()):
        return ""
    _, _, rest = after.partition(", ")
    if not (comma or rest):
        return ""
    return ", ".join(part for part in (done, rest) if part)


def dropped_part(before: str, after: str) -> str:
    """Name the part that `without_empty` takes out: its place or brick."""
    begun, rest = before.rpartition(", ")[2].split(), after.partition(", ")[0].split()
    return " ".join(begun or rest[1:] or rest)

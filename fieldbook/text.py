"""Text from files and people, made safe and measured for a terminal; the standard library only."""

from unicodedata import category, combining, east_asian_width

UNSAFE = {"Cc", "Cf", "Cs", "Zl", "Zp"}
"""Control, format and surrogate characters and the separators that break a line."""


def clean(text: str) -> str:
    """One line of text with nothing in it that could move a terminal's layout."""
    if text.isprintable():
        return text
    return "".join(
        " " if char == "\t" else "\N{REPLACEMENT CHARACTER}" if category(char) in UNSAFE else char
        for char in text
    )


def clean_lines(text: str) -> list[str]:
    """Text of several lines, each made safe."""
    return [clean(line) for line in text.replace("\r\n", "\n").split("\n")]


def clean_text(text: str) -> str:
    """Text of several lines, its line ends kept and all else made safe."""
    return "\n".join(clean_lines(text))


def columns(text: str) -> int:
    """How many columns a line of clean text takes: wide characters two, combining ones none."""
    if text.isascii():
        return len(text)
    return sum(
        0 if combining(char) else 2 if east_asian_width(char) in "WF" else 1 for char in text
    )


def cut(text: str, width: int, mark: str = "…") -> str:
    """A line no wider than `width` columns, with a mark where it was cut."""
    if columns(text) <= width:
        return text
    kept, used = "", columns(mark)
    for char in text:
        used += columns(char)
        if used > width:
            break
        kept += char
    return kept + mark


def wrap(text: str, width: int, indent: str = "", first: str | None = None) -> list[str]:
    """Lines of at most `width` columns broken at spaces; 0 leaves the text in one line.

    A word wider than a line is cut into pieces, so nothing of it is lost.
    """
    head = indent if first is None else first
    words = clean(text).split(" ")
    if width <= 0:
        return [head + " ".join(words)]
    lines, line, empty = [], head, True
    for word in words:
        rest = word
        while rest:
            room = width - columns(line) - (0 if empty else 1)
            if columns(rest) <= room:
                line += ("" if empty else " ") + rest
                empty, rest = False, ""
            elif not empty:
                lines.append(line)
                line, empty = indent, True
            else:
                piece = cut(rest, max(room, 1), "")  # a word wider than the line
                piece = piece or rest[0]
                lines.append(line + piece)
                line, rest = indent, rest[len(piece) :]
    if not empty or not lines:
        lines.append(line)
    return lines


def beside(text: str, width: int) -> str:
    """Text filled with spaces to `width` columns, counted as a terminal counts them."""
    return text + " " * max(0, width - columns(text))


_MANY = (("y", "ies"), ("s", "ses"), ("x", "xes"), ("ch", "ches"), ("sh", "shes"))


def many(word: str, number: float) -> str:
    """A word as it is said of so many: `armloads` of 2. One that is no plain word stays."""
    last = word[-2:].lower()
    if number <= 1 or not last.isalpha() or not last.isascii():
        return word
    if last.endswith("s") and last != "ss":  # typed in the plural
        return word
    for end, ends in _MANY:
        if last.endswith(end) and not (end == "y" and last[0] in "aeiou"):
            return word.removesuffix(end) + ends
    return f"{word}s"

"""What is typed of bricks: one with its number, or how many of them."""

from fieldbook.lines.fields import WORDS
from fieldbook.lines.phrase import Phrase
from fieldbook.lines.scan import Scan
from fieldbook.lines.vocabulary import CAME_OUT, COUNTED


def draw(scan: Scan) -> Phrase | None:
    """`draw 3 1.92kg`, `draw 3 marks 141mm`, `draw 3 black core`."""
    if not scan.take("draw brick", "draw"):
        return None
    name = scan.name()
    if not name:
        return None
    fields: dict[str, object] = {"draw": name}
    while brick_part(scan, fields, f"draw {name}"):
        pass
    return Phrase(fields)


def brick(scan: Scan) -> Phrase | None:
    """`#3 4.10lb`, `#3 marks 141mm`, `brick 3 1.9kg fired 2026-05-03`."""
    name = numbered(scan)
    if not name:
        return None
    fields: dict[str, object] = {"brick": name}
    scan.sign(":")
    while brick_part(scan, fields, f"#{name}"):
        pass
    return Phrase(fields) if len(fields) > 1 else None


def unclear_brick(scan: Scan) -> Phrase | None:
    """At the kiln `#3` alone may be a draw brick or a marked one: ask which."""
    name = numbered(scan)
    if name:
        scan.asks = (
            f"Is it a draw brick? Then write: draw {name}. "
            "A marked brick is written down with its batch."
        )
    return None


def numbered(scan: Scan) -> str:
    """Pass `#3`, `brick 3` or `specimen 3` and give the name."""
    if scan.sign("#") or scan.take("brick", "specimen", "piece"):
        return scan.name()
    return ""


def brick_part(scan: Scan, fields: dict[str, object], of: str) -> bool:
    """Pass one thing measured on a brick and add it to the fields."""
    begun = scan.pos
    field, value = _brick_part(scan, of)
    if value and field in scan.fields and field not in fields:
        fields[field] = value
        return True
    scan.pos = begun
    return False


def _brick_part(scan: Scan, of: str) -> tuple[str, str]:
    if scan.take("marks", "mark"):
        return "marks", scan.amount("length", f"{of} marks")
    if scan.take("fired", "firing", "after firing"):
        return "firing", scan.name()
    core = _core(scan)
    if core:
        return "core", core
    scan.take("mass", "weighs", "weighed")
    return "mass", scan.amount("mass", of)


def _core(scan: Scan) -> str:
    begun = scan.pos
    word = scan.take(*WORDS["core"])
    if word and scan.take("core"):
        return word
    scan.pos = begun
    return scan.take(*WORDS["core"]) if scan.take("core") else ""


def counts(scan: Scan) -> Phrase | None:
    """`cracked 4`, `sold 40`, `laid 120 of 2026-05-03`: bricks of a batch or a build."""
    return _counted(scan, [word for word in COUNTED if word in scan.fields], "log")


def came_out(scan: Scan) -> Phrase | None:
    """`sound 180`, `14 cracked`, `batch 2026-04-a`: what came out of the kiln."""
    if scan.take("batch"):
        name = scan.name()
        return Phrase({"batch": name}, "unloaded") if name else None
    if scan.take("fault", "faults"):
        return _fault(scan)
    return _counted(scan, CAME_OUT, "unloaded")


def _counted(scan: Scan, words: list[str], table: str) -> Phrase | None:
    word = scan.take(*words)
    count = scan.count()
    if count is None:
        return None
    if not word:
        scan.take("bricks", "brick")
        word = scan.take(*words)
    if not word:
        return None
    scan.take("bricks", "brick")
    fields: dict[str, object] = {word: count}
    if word == "laid":
        begun = scan.pos
        name = scan.name() if scan.take("of", "from") else ""
        if name:
            fields["of"] = name
        else:
            scan.pos = begun
    return Phrase(fields, table)


def _fault(scan: Scan) -> Phrase | None:
    begun = scan.pos
    while scan.word() and scan.word()[0].isalpha():
        scan.skip_word()
    what = scan.text[begun : scan.pos].strip()
    count = scan.count()
    if not what or count is None:
        return None
    return Phrase({"faults": [{"what": what, "count": count}]}, "unloaded")

"""What is typed of one brick of a test: `#3 dry 2.51kg soaked 2.80kg`."""

from fieldbook.lines.bricks import numbered
from fieldbook.lines.fields import WORDS
from fieldbook.lines.phrase import Phrase, Reader
from fieldbook.lines.phrases import cost, flag, hours
from fieldbook.lines.scan import Scan

AMOUNTS = {
    "dry": ("dry_mass", "mass"),
    "soaked": ("soaked_mass", "mass"),
    "boiled": ("boiled_mass", "mass"),
    "minute": ("minute_mass", "mass"),
    "suspended": ("suspended_mass", "mass"),
    "length": ("length", "length"),
    "width": ("width", "length"),
    "height": ("height", "length"),
    "span": ("span", "length"),
    "bending": ("bending_load", "force"),
    "break offset": ("break_offset", "length"),
    "offset": ("break_offset", "length"),
    "crushed length": ("crushed_length", "length"),
    "crushing": ("crushing_load", "force"),
    "freeze loss": ("freeze_loss", "percent"),
}
"""Words typed -> field and dimension of the amount that follows them."""

COUNTS = {
    "lime pops": "lime_pops",
    "pops": "lime_pops",
    "freeze cycles": "freeze_cycles",
    "cycles": "freeze_cycles",
}

CHOICES = ("ring", "scratch", "core", "efflorescence", "laid", "crushed")
"""Words that are typed before, `ring clear`, or after one of their own, `black core`."""


def specimen(scan: Scan) -> Phrase | None:
    """`#3` and what was weighed, measured or seen on it."""
    begun = scan.pos
    name = numbered(scan)
    if not name:
        scan.pos = begun
        return _nameless(scan)
    fields: dict[str, object] = {}
    scan.sign(":")
    while _part(scan, fields, f"#{name}"):
        pass
    if not fields and (mass := scan.amount("mass")):
        scan.asks = f"Dry or soaked? Write #{name} dry {mass} or #{name} soaked {mass}."
    return Phrase(fields, "specimens", name=name) if fields else None


def _nameless(scan: Scan) -> Phrase | None:
    """Ask which brick is meant where a weighing has none."""
    word = scan.take("dry", "soaked", "boiled", "suspended")
    if word and scan.amount("mass"):
        scan.asks = f"Which brick? Write its number first, such as #3 {word}."
    return None


def _part(scan: Scan, fields: dict[str, object], of: str) -> bool:
    begun = scan.pos
    found = _amount(scan, of) or _count(scan) or _choice(scan) or _amount_first(scan)
    if not found or found.keys() & fields.keys():
        scan.pos = begun
        return False
    scan.asks = ""
    fields.update(found)
    return True


def _amount(scan: Scan, of: str) -> dict[str, object]:
    begun = scan.pos
    word = scan.take(*AMOUNTS)
    if not word:
        return {}
    field, dimension = AMOUNTS[word]
    scan.take("mass", "load")
    amount = scan.amount(dimension, f"{of} {word}")
    if not amount:
        scan.pos = begun
        return {}
    fields: dict[str, object] = {field: amount}
    if field == "suspended_mass":
        begun = scan.pos
        scan.take("after")
        stage = scan.take(*WORDS["suspended_after"])
        if stage:
            fields["suspended_after"] = stage
        else:
            scan.pos = begun
    return fields


def _amount_first(scan: Scan) -> dict[str, object]:
    """`2.51kg dry`."""
    begun = scan.pos
    amount = scan.amount("mass")
    word = scan.take(*(word for word, (_, dimension) in AMOUNTS.items() if dimension == "mass"))
    if amount and word:
        return {AMOUNTS[word][0]: amount}
    scan.pos = begun
    return {}


def _count(scan: Scan) -> dict[str, object]:
    begun = scan.pos
    word = scan.take(*COUNTS)
    count = scan.count()
    word = word or scan.take(*COUNTS)
    if word and count is not None:
        return {COUNTS[word]: count}
    scan.pos = begun
    return {}


def _choice(scan: Scan) -> dict[str, object]:
    begun = scan.pos
    if scan.take("crushed wet"):
        return {"crushed_wet": True}
    for field in CHOICES:
        scan.pos = begun
        if scan.take(field):
            word = scan.take(*WORDS[field])
        else:
            word = scan.take(*WORDS[field])
            word = word if word and scan.take(field) else ""
        if word:
            return {field: word}
    scan.pos = begun
    return {}


READERS: tuple[Reader, ...] = (specimen, flag, hours, cost)
"""The readers of a test's lines."""

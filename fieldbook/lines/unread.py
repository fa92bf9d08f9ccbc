"""Numbers in what was not understood: asked about where a reading would stand.

A number at the start of a clause or before a place is a reading that slipped, unless words go on
behind it as they do in prose: `3 flues are dark`. Imported only by a line that needs it.
"""

import re
from collections.abc import Iterable

from fieldbook.lines.fields import WORDS
from fieldbook.lines.pattern import pattern
from fieldbook.lines.phrase import Reader
from fieldbook.lines.scan import UNITS, Scan
from fieldbook.lines.vocabulary import PLACES, words

_FIGURES = r"[0-9]{1,6}(?:[.,][0-9]{1,4})?"
_NUMBER = pattern(
    r"(?<![^\s;(/])(?P<key>[a-z]{1,12}[=:]|[a-z])?[~<>=−-]?"
    rf"(?P<figures>{_FIGURES}(?:[-–/]{_FIGURES})?)(?P<glued>[^\s,;]*)"
)
_SPACED_UNIT = pattern(r"\s?(?P<unit>[°º]\s?[a-z]?|[a-z%°]+)(?![^\s,;.!?])")
_LETTER_O = pattern(r"(?P<number>[0-9o]{1,5}?)(?P<last>o?)(?P<unit>[cf])")
_WEIGHED = ("dry", "soaked", "boiled", "minute", "suspended")
_JOINS = ("", "and", "&", "about", "around", "at", "then", "t", "mass", "weight", *_WEIGHED)
"""Words before a number that leave it at the start of its clause."""
_GO_ON = words("now already still again rising falling steady or")
"""Words behind a reading, which prose does not begin with."""
_UNITS = words(" ".join(UNITS.values()))
_RINGS = ("°", "º", "deg", "degree", "degrees", *(f"º{scale}" for scale in "cfk"))
_OF_PROSE = words("v a w kw wh kwh ah st nd rd th x am pm ish pa hpa mbar ppm kmh kph")
"""What is glued to numbers beside units of the record: 12V, 3rd, 2x."""
_MOST_KG = 20.0
"""[kg] A bare number above this is no brick on a scale; common practice."""
_PROBES = WORDS["probe"]
_DEGREES, _MASSES = words(UNITS["temperature"]), words(UNITS["mass"])
_NOTE = "begin with : to keep it as a note."


def question(scan: Scan, begun: int, kind: str, readers: Iterable[Reader]) -> str:
    """What is asked about the clause from `begun` on; empty where it reads as prose."""
    kept = scan.pos, scan.asks, scan.placed
    scan.placed = False
    asked = ""
    if not _goes_on_with_a_list(scan.low[:begun]):
        for match in _NUMBER.finditer(scan.low, begun, scan.end):
            before = scan.low[begun : match.start()].strip(" (")
            number = _Number(scan, match, before)
            asked = asked or number.question(kind, tuple(readers))
    scan.pos, scan.asks, scan.placed = kept
    return asked


def _goes_on_with_a_list(before: str) -> bool:
    """Whether a list of numbers goes on, as in `bricks 4, 5`."""
    *first, last = before.rstrip(" ").removesuffix(",").split() or [""]
    return before.rstrip().endswith(",") and last.isdigit() and bool(first)


class _Number:
    """A number that is no part of anything understood."""

    def __init__(self, scan: Scan, match: re.Match[str], before: str) -> None:
        self.scan, self.before = scan, before
        self.clause = re.split("[,;]", scan.low[: match.start()])[-1]
        """What stands before it, understood or not."""
        self.key = (match.group("key") or "").rstrip("=:")
        self.figures, glued = match.group("figures", "glued")
        self.glued = glued.rstrip(".!?:)")
        self.end = match.end() - len(glued) + len(self.glued)
        self.unit = self.glued or self._spaced_unit()
        self.typed = scan.text[match.start() : self.end]
        self.end = max(self.end, match.end())

    def _spaced_unit(self) -> str:
        match = _SPACED_UNIT.match(self.scan.low, self.end, self.scan.end)
        unit = match.group("unit").replace(" ", "") if match else ""
        if not match or unit not in (*_UNITS, *_RINGS) or unit in self.scan.places:
            return ""
        if unit == "in" and self.scan.low.startswith(" the ", match.end()):
            return ""  # no inches: `330 in the middle`
        self.end = match.end()
        return unit

    def question(self, kind: str, readers: tuple[Reader, ...]) -> str:
        """What is asked about it, where it stands as a reading does."""
        after, is_first = self._after(kind, readers), self.before in _JOINS
        if self.glued and not self.glued.replace("°", "").isalnum() and self.glued != "°":
            return ""
        if self.unit in _DEGREES:
            return self._ask_about_degrees(kind, is_first, after)
        if self.unit in _MASSES and kind != "firing":
            return self._ask(kind) if is_first and after else ""
        is_times = self.glued[:1] in ("x", "×") and self.glued[1:].isdigit()
        if self.unit in _UNITS or is_times or (len(self.unit) > 1 and self.unit in _OF_PROSE):
            return ""
        is_odd = bool(self.unit) and self.unit not in _OF_PROSE and len(self.figures) > 1
        return self._ask(kind) if after == "place" or (is_first and (after or is_odd)) else ""

    def _ask_about_degrees(self, kind: str, is_first: bool, after: str) -> str:
        if kind == "firing" and (is_first or after == "place" or self._names_a_place()):
            return f"Is {self.typed} a reading? Write it first; {_NOTE}"
        if kind == "batch" and is_first:
            return f"Is {self.typed} the air? Write air {self.typed}; {_NOTE}"
        return ""

    def _names_a_place(self) -> bool:
        """Whether the words before it say where it was read: `top reads 330C`."""
        said = [word.strip(":(") for word in self.clause.split()]
        return any(w in self.scan.places or w in PLACES or w in _PROBES for w in said)

    def _after(self, kind: str, readers: tuple[Reader, ...]) -> str:
        """What stands behind it: `end`, `place`, `more` readings, or nothing but words."""
        scan = self.scan
        scan.pos = self.end
        place = (scan.place() or scan.take(*_PROBES)) if kind == "firing" else ""
        if kind == "firing" and (self.key in scan.places or self.key in PLACES):
            return "place"
        scan.take("and", "&", "/")
        if scan.word() in _GO_ON and len(self.figures) > 1:
            return "more"
        if not scan.low[scan.pos : scan.end].strip(" .!?"):
            # Of one figure alone no reading is made: it may be the door, the course or the day.
            if kind == "firing" and len(self.figures) == 1 and not self.glued:
                return ""
            return "place" if place else "end"
        begun = scan.pos
        is_more = scan.word()[:1] in (*"0123456789+#~",) or any(
            _is_read(reader, scan, begun, kind) for reader in readers
        )
        return ("place" if place else "more") if is_more else ""

    def _ask(self, kind: str) -> str:
        number = self.figures
        slip = _LETTER_O.fullmatch(number + self.glued) if kind == "firing" else None
        if slip and "o" in self.glued:
            return self._ask_about_letter(slip.group("number"), slip.group("last"), self.glued[-1])
        if kind == "firing":
            both = (
                "F or C after it"
                if not number.replace(",", ".").replace(".", "").isdigit()
                else f"{number} F or {number} C"
            )
            return f"{self.typed} of what? Write {both}; {_NOTE}"
        if self.is_brick:
            return f"Is {number} a brick? Write #{number} and its mass; {_NOTE}"
        if not self.unit and self._is_no_mass():
            return ""
        unit = self.unit if self.unit in _MASSES else "kg"
        state = self.before if self.before in _WEIGHED else "dry"
        dry = f"{state} " if kind == "test" else ""
        return f"{self.typed} of what? Write #1 {dry}{number} {unit}; {_NOTE}"

    def _is_no_mass(self) -> bool:
        """Whether the figures are more than a brick weighs, or no number."""
        try:
            return float(self.figures.replace(",", ".")) > _MOST_KG
        except ValueError:
            return True

    @property
    def is_brick(self) -> bool:
        """Whether it may name a brick, as the first of `1 3.30 kg`."""
        return not self.unit and (self.figures in self.scan.bricks or len(self.figures) == 1)

    def _ask_about_letter(self, number: str, last: str, unit: str) -> str:
        """A letter o in a number is a nought, or the ring of a degree."""
        first = number.replace("o", "0")
        both = f"{first}0 {unit.upper()} or {first}" if last else first
        return f"{self.typed} of what? Write {both} {unit.upper()}; {_NOTE}"


def _is_read(reader: Reader, scan: Scan, pos: int, kind: str) -> bool:
    """Whether something stands here that is understood, or asked about.

    A word alone, as `steam`, is that only at a fire and at the end: `2 steam holes` and `10
    turned` are prose.
    """
    scan.pos, scan.asks = pos, ""
    phrase = reader(scan)
    is_last = kind == "firing" and not scan.low[scan.pos : scan.end].strip(" .!?")
    if phrase and phrase.is_bare and not is_last:
        return False
    return (bool(phrase) and scan.pos > pos) or bool(scan.asks)

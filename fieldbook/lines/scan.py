"""Going along a typed line: its words, counts, names and amounts.

An amount is recognised here by its shape alone; whether it can be right is judged where the field
is read. Its text is kept as typed, with one space before the unit.
"""

import re
from collections.abc import Collection, Iterable

from fieldbook.lines.limits import Record
from fieldbook.lines.pattern import pattern
from fieldbook.lines.vocabulary import PLACES

UNITS = {
    "temperature": "c f k °c °f ℃ ℉ degc degf degk celsius fahrenheit kelvin centigrade",
    "mass": "kg kgs g gm mg t lb lbs oz st kilo kilos gram grams gramme grammes kilogram kilograms "
    "tonne tonnes pound pounds ounce ounces stone",
    "length": "mm cm dm m km in ft yd inch inches foot feet yard yards metre metres meter meters "
    "millimetre millimetres millimeter millimeters centimetre centimetres centimeter centimeters "
    "\" ″ ' ′",
    "volume": "l ml cl litre litres liter liters dm3 cm3 m3 m³ ft3 in3 yd3 gal gallon gallons qt "
    "quart quarts pt pint pints cup cups bu bushel bushels cord cords stere steres",
    "time": "h hr hrs hour hours min mins minute minutes m s sec secs second seconds d day days "
    "week weeks",
    "force": "n kn lbf kgf newton newtons kilonewton kilonewtons",
    "percent": "% percent pct",
    "speed": "m/s km/h mph kn knot knots ft/s",
}
"""Dimension -> the units that are typed beside numbers, in small letters."""

_UNIT_SETS = {dimension: frozenset(units.split()) for dimension, units in UNITS.items()}
_UNIT_SETS["force"] |= _UNIT_SETS["mass"]
EXAMPLES = {
    "temperature": "F or C",
    "mass": "kg or lb",
    "length": "mm or in",
    "force": "kg or kN",
    "percent": "%",
    "speed": "m/s",
    "fuel": "kg or armload",
    "time": "h or min",
}
_SIGN_WORDS = {
    "about": "~",
    "around": "~",
    "roughly": "~",
    "≈": "~",
    "above": "> ",
    "over": "> ",
    "≥": "> ",
    ">": "> ",
    "below": "< ",
    "under": "< ",
    "≤": "< ",
    "<": "< ",
}
_COMPOUNDS = {("mass", "l", "o"), ("mass", "p", "o"), ("length", "f", "i"), ("length", "'", '"')}
_COMPOUNDS |= {("length", "′", "″"), ("time", "h", "m"), ("time", "m", "s")}
"""Dimension and first letters of units that are written one after the other: 5 lb 2 oz."""

_NUMBER = (
    r"(?:[0-9]{1,4} [0-9]{1,3}/[0-9]{1,3}|[0-9]{1,4}/[0-9]{1,4}"
    r"|[0-9]{1,9}(?:[.,][0-9]{1,9})?|[.,][0-9]{1,9})"
)
_AMOUNT = pattern(
    r"(?P<sign>[~≈<>≤≥]|(?:about|around|roughly|above|over|below|under)(?=\s))?\s?"
    rf"(?P<first>[-−]?{_NUMBER})"
    r"(?:(?:\s?(?P<between>[^\W\d_]{1,10}|%|°\s?[a-z])?\s?to\s?|\s?[-–]\s?)"
    rf"(?P<second>[-−]?{_NUMBER}))?"
    rf"(?:\s?(?:±|\+/?-)\s?(?P<half>{_NUMBER}))?\s*"
)
_UNIT = pattern(
    r"(?:deg(?:rees?)?\.?\s|°\s?)?(?:[^\W\d_]+|[°℃℉%\"″'′])(?:[23³](?![0-9a-z]))?(?:/[a-z]+)?"
)
_COUNT = pattern(r"[0-9]{1,9}(?![0-9a-z.,/%°-]*[0-9a-z/%°])")
_PLAIN = pattern(r"[0-9]{1,9}(?:[.,][0-9]{1,9})?")
_CODE = pattern("[A-Za-z]{3}")
_WORD = pattern(r"[^\s,;:]+")
_NAME = pattern(r"#?\s?([a-z0-9][a-z0-9_.-]*)")
_GROUPED = pattern(r"[-−]?[1-9][0-9]{0,2},[0-9]{3}\Z")
_SMALL = str.maketrans("ABCDEFGHIJKLMNOPQRSTUVWXYZ", "abcdefghijklmnopqrstuvwxyz")


def small(text: str) -> str:
    """Give the text in small letters, as long as it was: only A to Z change."""
    return text.translate(_SMALL)


class Scan:
    """A place in the typed text, with the names that are known there."""

    __slots__ = (
        *("asks", "bricks", "end", "fields", "insists"),
        *("low", "measures", "placed", "places", "pos", "record", "text"),
    )

    def __init__(
        self,
        text: str,
        fields: Collection[str],
        places: Iterable[str],
        bricks: Collection[str],
        measures: Iterable[str],
    ) -> None:
        self.insists = text.endswith("!")
        """Whether the maker keeps to what cannot be right."""
        text = text.removesuffix(" !").rstrip() if text.endswith(" !") else text
        self.text, self.low = text, small(text)
        self.pos, self.end = 0, len(text)
        self.fields, self.bricks = fields, bricks
        known = sorted(places, key=len, reverse=True)
        self.places = {small(place): place for place in known}
        """The place in small letters -> as it is named, the longest first."""
        self.measures = [small(measure) for measure in measures]
        self.asks = ""
        self.record: Record | None = None
        """What the entry and its log say."""
        self.placed = False
        """Whether a place was typed whose reading is still to come: that takes no other."""

    def skip(self) -> bool:
        """Pass over spaces; True where something is left before the end of the clause."""
        while self.pos < self.end and self.low[self.pos].isspace():
            self.pos += 1
        return self.pos < self.end

    def word(self) -> str:
        """Give the next word in small letters, without a stop after it; it is not passed."""
        self.skip()
        match = _WORD.match(self.low, self.pos, self.end)
        return match.group().rstrip(".!?") if match else ""

    def skip_word(self) -> None:
        """Pass the next word, whatever it is."""
        self.skip()
        match = _WORD.match(self.low, self.pos, self.end)
        self.pos = match.end() if match else self.end

    def rest(self) -> str:
        """Pass all that is left of the clause and give it."""
        begun, self.pos = self.pos, self.end
        return self.text[begun : self.end].strip()

    def take(self, *phrases: str) -> str:
        """Pass the first of the phrases that stands here and give it; else give nothing."""
        self.skip()
        for phrase in phrases:
            end = self._ends(phrase)
            if end:
                self.pos = end
                return phrase
        return ""

    def _ends(self, phrase: str) -> int:
        """Where the phrase ends that stands here; 0 where it does not."""
        place = self.pos
        for word in phrase.split(" "):
            while place < self.end and self.low[place] == " ":
                place += 1
            if not self.low.startswith(word, place, self.end):
                return 0
            place += len(word)
            if not self._is_boundary(place):
                return 0
        return place

    def _is_boundary(self, place: int) -> bool:
        if place >= self.end:
            return True
        letter = self.low[place]
        return not (letter.isalnum() or letter in "-_'’%/")

    def sign(self, sign: str) -> bool:
        """Pass one sign such as + or #."""
        self.skip()
        if self.low.startswith(sign, self.pos, self.end):
            self.pos += len(sign)
            return True
        return False

    def count(self) -> int | None:
        """Pass a whole number; None where none stands here."""
        self.skip()
        match = _COUNT.match(self.low, self.pos, self.end)
        if match:
            self.pos = match.end()
            return int(match.group())
        return 0 if self.take("none") else None

    def number(self) -> str:
        """Pass a plain number and give its text; nothing where none stands here."""
        self.skip()
        match = _PLAIN.match(self.low, self.pos, self.end)
        if not match or not self._is_boundary(match.end()):
            return ""
        self.pos = match.end()
        return match.group()

    def code(self) -> str:
        """Pass a currency code, three letters; nothing where none stands here."""
        self.skip()
        match = _CODE.match(self.text, self.pos, self.end)
        if not match or not self._is_boundary(match.end()):
            return ""
        self.pos = match.end()
        return match.group()

    def name(self) -> str:
        """Pass a name that is known or holds a digit; nothing where none stands here."""
        self.skip()
        match = _NAME.match(self.low, self.pos, self.end)
        if not match:
            return ""
        start, end = match.span(1)
        while end > start and self.low[end - 1] in ".-":
            end -= 1
        name = self.text[start:end]
        known = name in self.bricks
        if end == start or not (known or any(letter.isdigit() for letter in name)):
            return ""
        if not self._is_boundary(end):
            return ""
        self.pos = end
        return name

    def place(self, after_preposition: bool = True) -> str:
        """Pass a place in the kiln, with `at the` or the like before it; nothing where none is."""
        if self.placed:
            return ""
        start = self.pos
        if after_preposition and self.take("at", "in", "on", "from"):
            self.take("the")
        named = self.take(*self.places)
        if named:
            return self.places[named]
        self.skip()
        begun = self.pos
        while self.word() in PLACES:
            self.skip_word()
        if self.pos == begun:
            self.pos = start
        return self.text[begun : self.pos].strip(" .!?") if self.pos > begun else ""

    def amount(self, dimension: str, asked_by: str = "") -> str:
        """Pass an amount of the dimension and give its text; nothing where none stands here.

        `asked_by` is the word before it that calls for one: a number without its unit is then
        asked about. The dimension `fuel` is a mass, a volume or a local measure, `measure` a local
        measure that is known.
        """
        self.skip()
        start = self.pos
        if self._is_spaced(dimension):
            return ""
        match = _AMOUNT.match(self.low, start, self.end)
        if not match:
            return ""
        unit = self._unit(match.end(), dimension)
        if not unit:
            self._ask(match, dimension, asked_by)
            return ""
        if dimension == "temperature" and "/" in match.group("first"):
            self.asks = f"{match.group().strip()} {unit}? Write each reading with its own {unit}."
            return ""
        if _GROUPED.match(match.group("first")):
            plain = match.group("first").replace(",", "")
            self.asks = f"Leave out the mark between the thousands: {plain} {unit}."
            return ""
        self.pos = match.end() + len(unit)
        return self._written(match, unit, dimension) + self._smaller(unit, dimension)

    def _is_spaced(self, dimension: str) -> bool:
        """Ask about `1 050 C`, where the amount stands here in such a form."""
        if dimension not in ("temperature", "mass", "fuel"):
            return False
        plain, end = self._spaced()
        unit = self._unit(end, "mass" if dimension == "fuel" else dimension) if plain else ""
        if unit:
            unit = unit.upper() if len(unit) == 1 and dimension == "temperature" else unit
            self.asks = f"Is it {plain} {unit}? Write it without a mark between the thousands."
        return bool(unit)

    def _spaced(self) -> tuple[str, int]:
        """A number with blanks or strokes between its thousands, without them, and its end.

        Without a pattern: every temperature is looked at in this way.
        """
        rest = self.low[self.pos : self.end]
        behind = rest.lstrip("0123456789 '’")
        number = rest.removesuffix(behind)
        first, *groups = number.replace("'", " ").replace("’", " ").split() or [""]
        if first.startswith("0") or len(first) > 3 or {len(group) for group in groups} != {3}:
            return "", 0
        after = behind.lstrip("0123456789.,")
        part = behind.removesuffix(after)
        return "".join([first, *groups, part]), self.pos + len(rest) - len(after.lstrip())

    def _unit(self, place: int, dimension: str) -> str:
        """Give the unit that stands at `place`, as typed."""
        if dimension == "fuel":
            return self._fuel_unit(place)
        if dimension == "measure":
            return self._measure(place)
        match = _UNIT.match(self.low, place, self.end)
        if not match:
            return ""
        spelt = match.group().replace(" ", "").replace("degrees", "deg").replace("degree", "deg")
        after = self.low[match.end() : match.end() + 1]
        if after.isalpha() or spelt.replace(".", "") not in _UNIT_SETS[dimension]:
            return ""
        return self.text[place : match.end()]

    def _measure(self, place: int) -> str:
        """Give the local measure that stands at `place`, as typed."""
        for measure in self.measures:
            for spelling in (measure + "es", measure + "s", measure):
                end = place + len(spelling)
                if self.low.startswith(spelling, place, self.end) and self._is_boundary(end):
                    return self.text[place:end]
        return ""

    def _fuel_unit(self, place: int) -> str:
        measure = self._measure(place)
        if measure:
            return measure
        match = _UNIT.match(self.low, place, self.end)
        if not match or not self._is_boundary(match.end()):
            return ""
        if match.group() in _UNIT_SETS["mass"] or match.group() in _UNIT_SETS["volume"]:
            return self.text[place : match.end()]
        word = _WORD.match(self.text, place, self.end)
        if not word or not word.group()[0].isalpha():
            return ""
        if not self.insists:
            self.asks = self._unknown_measure(word.group().rstrip(".!?"))
        return word.group().rstrip(".!?")

    def _unknown_measure(self, word: str) -> str:
        one = word.removesuffix("s") or word
        tell = "End with ! to keep it, or tell what it holds:"
        order = f'fieldbook set notebook measures.{one}="… kg"'
        known = ", ".join(sorted(self.measures)[:4])
        asked = f"which measure, {known}?" if known else "no such measure yet."
        return f'"{word}": {asked} {tell} {order}'

    def _ask(self, match: re.Match[str], dimension: str, asked_by: str) -> None:
        if asked_by:
            number = match.group().strip()
            self.asks = (
                f"{asked_by} {number}: {number} of what? Write {EXAMPLES[dimension]} after it."
            )

    def _written(self, match: re.Match[str], unit: str, dimension: str) -> str:
        sign = match.group("sign") or ""
        number = match.group("first")
        between = match.group("between") or ""
        if match.group("second"):
            first_unit = "" if small(unit) == between.replace(" ", "") else between
            number += f" {first_unit}".rstrip() + f" to {match.group('second')}"
        if match.group("half"):
            number += f" ± {match.group('half')}"
        if dimension == "temperature" and len(unit) == 1:
            unit = unit.upper().replace("℃", "°C").replace("℉", "°F")
        return f"{_SIGN_WORDS.get(sign, sign)}{number} {unit}".replace("−", "-")

    def _smaller(self, unit: str, dimension: str) -> str:
        """Pass what stands in the next smaller unit, as the ounces of 5 lb 2 oz."""
        start = self.pos
        self.skip()
        match = _AMOUNT.match(self.low, self.pos, self.end)
        dimensions = ("mass",) if dimension in ("fuel", "force") else (dimension,)
        for kind in dimensions:
            smaller = self._unit(match.end(), kind) if match and kind in UNITS else ""
            if smaller and match and (kind, small(unit)[0], small(smaller)[0]) in _COMPOUNDS:
                self.pos = match.end() + len(smaller)
                return f" {match.group('first')} {smaller}"
        self.pos = start
        return ""

"""What no reading of this trade can be: a figure slipped, or the unit did.

Wide limits, so that no honest reading is questioned; a line that ends in `!` is kept as it stands.
All of them are common practice, but for the extremes of the weather (World Meteorological
Organization, Archive of Weather and Climate Extremes: -89.2 and 56.7 degC; from memory) and the
oxygen of dry air (20.9 %).
"""

import itertools
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

Record = Callable[[], tuple[Mapping[str, Any], bytes]]
"""Gives what stands before the log of an entry, and the text of its log."""


class Limit:
    """What a field may hold at the most and at the least, in the canonical unit.

    A plain class: a named tuple would cost every logged line half a millisecond.
    """

    __slots__ = ("least", "least_words", "most", "most_words")

    def __init__(
        self,
        most: float,
        most_words: str,
        least: float = 0.0,
        least_words: str = "is less than nothing",
    ) -> None:
        self.most, self.most_words = most, most_words
        self.least, self.least_words = least, least_words


_FIRE = Limit(
    1400.0, "is hotter than any wood fire (1400 °C)", -90.0, "is colder than any weather (-90 °C)"
)
_AIR = Limit(
    60.0, "is hotter than any weather (60 °C)", -90.0, "is colder than any weather (-90 °C)"
)
_BRICK = Limit(50.0, "is heavier than any one brick (50 kg)", 0.001, "is lighter than any brick")
_SIDE = Limit(2.0, "is longer than any brick (2 m)", 0.0001, "is no length of a brick")
_PART = Limit(2.0, "is longer than any brick (2 m)")
_MOVED = Limit(2.0, "is more than any stack moves and stands (2 m)", -2.0, "is too far (-2 m)")
_WHOLE = Limit(100.0, "is more than the whole")
_LOAD = Limit(5e6, "is more than any brick bears (5 MN)", 0.001, "is no load")

LIMITS: dict[str, Limit] = {
    **dict.fromkeys(("temperature", "peak", "no_hotter_than", "fired_at"), _FIRE),
    "air": _AIR,
    "humidity": _WHOLE,
    "charge": _WHOLE,
    "freeze_loss": _WHOLE,
    "oxygen": Limit(21.0, "is more oxygen than air has (20.9 %)"),
    "settled": _MOVED,
    "lean": _MOVED,
    "hours": Limit(1000.0, "is more work than one line tells of (1000 h)"),
    "bending_load": _LOAD,
    "crushing_load": _LOAD,
    **dict.fromkeys(
        ("mass", "dry_mass", "soaked_mass", "boiled_mass", "minute_mass", "suspended_mass"), _BRICK
    ),
    **dict.fromkeys(("wet_mass", "fired_mass"), _BRICK),
    **dict.fromkeys(("marks", "length", "width", "height", "span"), _SIDE),
    **dict.fromkeys(("wet", "dry", "fired"), _SIDE),
    **dict.fromkeys(("crushed_length", "break_offset"), _PART),
}
"""Fields of a log line, of one brick or trial bar, and of the plan of a firing."""

FUELS = ("fuel", "fuel_left")
_FUEL = {
    "mass": Limit(20_000.0, "is more than one load of fuel (20 t)"),
    "volume": Limit(50.0, "is more than one load of fuel (50 m³)"),
    "": Limit(1000.0, "is more than anyone counts at once (1000)"),
}

MASS_RATIO = (0.5, 1.5)
"""A brick of 4.2 kg as moulded weighs 2.1 to 6.3 kg whenever it is weighed again."""
MARKS_RATIO = (0.7, 1.1)
"""Clay shrinks, by less than a third; it hardly grows."""
SOAKED_RATIO = (0.6, 1.7)
"""Weighings of one brick of a test, dry to boiled; hanging in water it weighs less than dry."""

_POUND, _INCH, _FOOT, _GRAVITY = 0.45359237, 0.0254, 0.3048, 9.80665
_SIZES: dict[str, dict[float, str]] = {
    "mass": {
        1.0: "kg kgs kilo kilos kilogram kilograms",
        1e-3: "g gm gram grams gramme grammes",
        1e-6: "mg",
        1e3: "t tonne tonnes",
        _POUND: "lb lbs pound pounds",
        _POUND / 16: "oz ounce ounces",
        14 * _POUND: "st stone",
    },
    "length": {
        1.0: "m metre metres meter meters",
        1e-3: "mm millimetre millimetres millimeter millimeters",
        1e-2: "cm centimetre centimetres centimeter centimeters",
        0.1: "dm",
        1e3: "km",
        _INCH: 'in inch inches " ″',
        _FOOT: "ft foot feet ' ′",
        3 * _FOOT: "yd yard yards",
    },
    "volume": {
        1.0: "m3 m³ stere steres",
        1e-3: "l litre litres liter liters dm3",
        1e-6: "ml cm3",
        1e-5: "cl",
        _FOOT**3: "ft3",
        _INCH**3: "in3",
        27 * _FOOT**3: "yd3",
        231 * _INCH**3: "gal gallon gallons",
        231 * _INCH**3 / 4: "qt quart quarts",
        231 * _INCH**3 / 8: "pt pint pints",
        231 * _INCH**3 / 16: "cup cups",
        2150.42 * _INCH**3: "bu bushel bushels",
        128 * _FOOT**3: "cord cords",
    },
    "time": {
        1.0: "h hr hrs hour hours",
        1 / 60: "m min mins minute minutes",
        1 / 3600: "s sec secs second seconds",
        24.0: "d day days",
        168.0: "week weeks",
    },
    "force": {
        1.0: "n newton newtons",
        1e3: "kn kilonewton kilonewtons",
        _POUND * _GRAVITY: "lbf",
        _GRAVITY: "kgf",
    },
    "percent": {1.0: "% percent pct"},
}
"""Dimension -> size in the canonical unit -> spellings; `lines` stands below `quantities`, and its
test compares the two."""

_DIMENSION = {
    **dict.fromkeys(("temperature", "peak", "no_hotter_than", "fired_at", "air"), "temperature"),
    **dict.fromkeys(("humidity", "charge", "freeze_loss", "oxygen"), "percent"),
    **dict.fromkeys(("bending_load", "crushing_load"), "force"),
    "hours": "time",
}
_FIGURES = "0123456789.,/- "


def questions(fields: Mapping[str, object], known: Mapping[str, object] | None = None) -> list[str]:
    """What is to be asked about the amounts of one line; `known` is the row of its brick."""
    asked = []
    for field, value in fields.items():
        if isinstance(value, str):
            asked += (
                _beyond(field, value)
                or _carried(field, value)
                or _unlike(field, value, known or {})
            )
    return asked


_COUNTED = ("sound", "cracked", "soft", "overfired", "lost", "sold", "broken")


def too_many(fields: Mapping[str, object], there: int | None) -> list[str]:
    """What is to be asked where more bricks are counted than there are."""
    counts = {f: n for f, n in fields.items() if f in _COUNTED and isinstance(n, int)}
    total = sum(counts.values())
    if there is None or total <= there:
        return []
    what = " ".join(f"{field} {count}" for field, count in counts.items())
    return [question(f"{what}:", f"that is {total} bricks, and there were {there}")]


_OF_THE_LOG = frozenset(("event", "laid", "brick", "sound", "soft", "overfired"))


def so_far(fields: Mapping[str, object], at: datetime, record: Record | None) -> list[str]:
    """What is to be asked about fields, seen at `at`, after what the entry holds so far.

    The record is asked for only where the log can speak against such fields.
    """
    if record is None or _OF_THE_LOG.isdisjoint(fields):
        return []
    from fieldbook.lines.so_far import doubts

    return doubts(fields, at, record())


def wrong_with(field: str, value: float, dimension: str = "") -> str:
    """What no such reading can be, in words; nothing where it may be. Canonical units."""
    limit = _FUEL.get(dimension) if field in FUELS else LIMITS.get(field)
    return _judged(limit, value) if limit else ""


def _judged(limit: Limit, value: float) -> str:
    if value > limit.most:
        return limit.most_words
    return limit.least_words if value < limit.least else ""


def _beyond(field: str, text: str) -> list[str]:
    if field in FUELS:
        wrong = _wrong_fuel(text)
    else:
        size = canonical(text, _dimension(field)) if field in LIMITS else None
        wrong = wrong_with(field, size) if size is not None else ""
    return [question(text, wrong, _meant(field, text))] if wrong else []


_SLIPS = (("C", "F"), ("kg", "g"), ("m", "mm"), ("cm", "mm"), ("kN", "N"))
"""A unit and the one most likely meant where the figure is far too great."""


def _meant(field: str, text: str) -> str:
    """The same figure in the unit that was most likely meant; nothing where that is no better."""
    for unit, other in _SLIPS if field in LIMITS else ():
        if text.endswith(f" {unit}"):
            likely = text.removesuffix(unit) + other
            size = canonical(likely, _dimension(field))
            if size is not None and not wrong_with(field, size):
                return likely
    return ""


def question(text: str, wrong: str, likely: str = "", way: str = "Write it again,") -> str:
    """What is asked about a figure that cannot be right, with the ways out."""
    way = f"Is it {likely}?" if likely else way
    return f"{text} {wrong}. {way} {'End' if likely else 'or end'} the line with ! to keep it so."


def _wrong_fuel(text: str) -> str:
    for dimension in ("mass", "volume"):
        size = canonical(text, dimension)
        if size is not None:
            return _judged(_FUEL[dimension], size)
    number = how_many(text)
    return _judged(_FUEL[""], number) if number is not None else ""


def _unlike(field: str, text: str, known: Mapping[str, object]) -> list[str]:
    """What does not fit the same brick as it was measured before."""
    for other, (least, most) in _compared(field):
        before = known.get(other)
        was = canonical(before, _dimension(other)) if isinstance(before, str) else None
        size = canonical(text, _dimension(field))
        if was and size is not None and not least * was <= size <= most * was:
            return [question(text, f"does not fit the {before} that this brick had before")]
    return []


def _carried(field: str, text: str) -> list[str]:
    """Ounces that make more than a pound, in 5 lb 40 oz."""
    if field not in LIMITS and field not in FUELS:
        return []
    dimension = "mass" if field in FUELS else _dimension(field)
    parts = _parts(text, dimension) if dimension in ("mass", "length", "time") else []
    for larger, smaller in itertools.pairwise(parts):
        if smaller.number * smaller.size > 0.999999 * larger.size:
            wrong = f"{smaller.number:g} {smaller.word} make 1 {larger.word} or more"
            return [question(f"{text}:", wrong)]
    return []


_SATURATED = ("soaked_mass", "boiled_mass", "minute_mass")


def _compared(field: str) -> list[tuple[str, tuple[float, float]]]:
    if field in ("mass", "marks"):
        return [(field, MASS_RATIO if field == "mass" else MARKS_RATIO)]
    if field == "suspended_mass":
        return [("dry_mass", (0.1, 1.0))]
    if field == "dry_mass":
        least, most = SOAKED_RATIO
        return [(other, (1 / most, 1 / least)) for other in _SATURATED]
    return [("dry_mass", SOAKED_RATIO)] if field in _SATURATED else []


def _dimension(field: str) -> str:
    if field in _DIMENSION:
        return _DIMENSION[field]
    return "mass" if field.endswith("mass") else "length"


def canonical(text: str, dimension: str) -> float | None:
    """Read an amount roughly, a range by its end, in the canonical unit; None where it cannot be.

    Without a pattern: compiling one would cost every logged line its time.
    """
    number, unit = _taken_apart(text)
    if number is None:
        return None
    if dimension == "temperature":
        return _degrees(number, unit)
    parts = _parts(text, dimension)
    if parts:
        return sum(part.number * part.size for part in parts)
    if dimension == "force":
        mass = canonical(text, "mass")
        return None if mass is None else mass * _GRAVITY
    return None


class _Piece:
    """One number of an amount, as the ounces of 5 lb 2 oz."""

    __slots__ = ("number", "size", "word")

    def __init__(self, number: float, word: str, size: float) -> None:
        self.number, self.word, self.size = number, word, size


_MOST_PARTS = 3


def _parts(text: str, dimension: str) -> list[_Piece]:
    """The parts of an amount of one dimension; none where it is no such amount."""
    found: list[_Piece] = []
    while text and len(found) < _MOST_PARTS:
        number, unit = _taken_apart(text)
        word, _, text = unit.partition(" ")
        word = word.rstrip(".")
        sizes = [size for size, spelt in _SIZES[dimension].items() if word in spelt.split()]
        if number is None or not sizes:
            break
        found.append(_Piece(number, word, sizes[0]))
    return found


def how_many(text: str) -> float | None:
    """The number of an amount, whatever it is of; of a range the greater."""
    return _taken_apart(text)[0]


def _taken_apart(text: str) -> tuple[float | None, str]:
    """The number and, in small letters, what stands behind it."""
    amount, _, half = text.rpartition(" to ")[2].lstrip("~<>≈ ").partition("±")
    behind = amount.lstrip(_FIGURES)
    number = amount.removesuffix(behind).strip()
    return _value(number), (half.lstrip(_FIGURES) or behind).strip().lower()


def _degrees(number: float, unit: str) -> float | None:
    letter = unit.removeprefix("degrees").removeprefix("degree").removeprefix("deg").strip(" °.")
    letter = {"℃": "c", "℉": "f"}.get(letter, letter)[:1]
    if letter == "f":
        return (number - 32) * 5 / 9
    return {"c": number, "k": number - 273.15}.get(letter)


def _value(text: str) -> float | None:
    whole, _, part = text.lstrip("-").rpartition(" ")
    above, slash, below = part.replace(",", ".").partition("/")
    try:
        size = float(whole or 0) + float(above) / (float(below) if slash else 1.0)
    except (ValueError, ZeroDivisionError):
        return None
    return -size if text.startswith("-") else size

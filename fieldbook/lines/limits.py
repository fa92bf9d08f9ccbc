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
"""Gives what stands before the log of an entry, and the text of its log.

Where it has a method `recent`, that gives the end of the log alone, which is read sooner.
"""


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
_MOVED = Limit(2.0, "is more than any stack moves (2 m)", -2.0, "is too far (-2 m)")
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
_SOAKED, _BOILED = (0.6, 1.35), (0.6, 1.45)
"""Of the dry mass of a brick of a test: cold water is 35 % of it at the most (bricks span 1 to
35 %, textbooks of building materials; IS 1077 allows 20 %), and boiling fills about a quarter more
of the pores (ratio of cold to boiled near 0.8, ASTM C62). Burnt-out sawdust may beat that."""

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


def questions(
    fields: Mapping[str, object],
    known: Mapping[str, object] | None = None,
    last_weighed: str | None = None,
) -> list[str]:
    """What is to be asked about the amounts of one line.

    `known` is the row of its brick, `last_weighed` the mass its log holds last.
    """
    before = dict(known or {})
    if last_weighed:
        before["mass"] = last_weighed
    state = "when last weighed" if last_weighed else "as moulded"
    asked = []
    for field, value in fields.items():
        if isinstance(value, str):
            asked += (
                _beyond(field, value)
                or _carried(field, value)
                or _unlike(field, value, {"dry_mass": fields.get("dry_mass")} | before, state)
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
    return [question(f"{what}? That makes {total}, and there were {there}.")]


_OF_THE_LOG = frozenset(("event", "laid", "brick", "sound", "soft", "overfired"))


def so_far(
    fields: Mapping[str, object], at: datetime, record: Record | None, is_fire: bool = False
) -> list[str]:
    """What is to be asked about fields, seen at `at`, after what the entry holds so far.

    The record is asked for only where the log can speak against such fields.
    """
    asked: list[str] = []
    if record and not _OF_THE_LOG.isdisjoint(fields):
        from fieldbook.lines.so_far import doubts

        asked += doubts(fields, at, record())
    if record and is_fire and "temperature" in fields:
        from fieldbook.lines import pace
        from fieldbook.lines.log_text import end_of

        asked += pace.doubts(fields, at, end_of(record))
    return asked


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
    if not wrong:
        return []
    likely, shorter = _meant(field, text), wrong.partition(" (")[0]
    if likely:
        return [question(f"Is it {likely}? In {text.rpartition(' ')[2]} it {shorter}.")]
    return [question(f"{text} {wrong if len(text) <= _LONG else shorter}.")]


_LONG = 9
"""Letters of an amount beside which the limit itself has no room."""
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


def question(asked: str) -> str:
    """What is asked about a figure that cannot be right; both fit into a line of 76 letters."""
    return f"{asked} End with ! to keep it."


def _wrong_fuel(text: str) -> str:
    for dimension in ("mass", "volume"):
        size = canonical(text, dimension)
        if size is not None:
            return _judged(_FUEL[dimension], size)
    number = how_many(text)
    return _judged(_FUEL[""], number) if number is not None else ""


def _unlike(field: str, text: str, known: Mapping[str, object], state: str) -> list[str]:
    """What does not fit the same brick as it was measured before."""
    size = canonical(text, _dimension(field)) if field in LIMITS else None
    for other, (least, most) in _compared(field) if size is not None else ():
        before = known.get(other)
        was = canonical(before, _dimension(other)) if isinstance(before, str) else None
        if not was or size is None or least * was <= size <= most * was:
            continue
        if field in _SATURATED and size > was:
            water = 100 * (size / was - 1)
            return [question(f"{text}: {water:.0f} % of water? This brick had {before} dry.")]
        seen = _STATES.get(other, state if field == "mass" else "as moulded")
        return [question(f"{text}? This brick had {before} {seen}.")]
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
            return [question(f"{text}? {wrong}.")]
    return []


_SATURATED = {"soaked_mass": _SOAKED, "boiled_mass": _BOILED, "minute_mass": _SOAKED}
_STATES = {
    **{"dry_mass": "dry", "soaked_mass": "soaked", "boiled_mass": "boiled"},
    **{"minute_mass": "after a minute in water"},
}
"""In what state a brick of a test was weighed."""


def _compared(field: str) -> list[tuple[str, tuple[float, float]]]:
    if field in ("mass", "marks"):
        return [(field, MASS_RATIO if field == "mass" else MARKS_RATIO)]
    if field == "suspended_mass":
        return [("dry_mass", (0.1, 1.0))]
    if field == "dry_mass":
        return [(other, (1 / most, 1 / least)) for other, (least, most) in _SATURATED.items()]
    return [("dry_mass", _SATURATED[field])] if field in _SATURATED else []


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

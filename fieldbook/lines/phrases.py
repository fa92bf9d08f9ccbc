"""The phrases that a typed line is made of, and what each puts into which table.

A reader looks at the place a `Scan` has come to. Where its phrase stands there it passes it and
gives what it means; else it gives None, and the scan is put back.
"""

from collections.abc import Callable
from typing import NamedTuple

from fieldbook.lines.fields import UNLOADED, WORDS
from fieldbook.lines.scan import Scan


class Phrase(NamedTuple):
    """What one phrase says."""

    fields: dict[str, object]
    table: str = "log"
    is_bare: bool = False
    """A word alone, without an amount: what follows it may turn its meaning round."""
    name: str = ""
    """The specimen it speaks of."""


Reader = Callable[[Scan], Phrase | None]

KEYED = {
    "settled": ("settled", "length"),
    "lean": ("lean", "length"),
    "leans": ("lean", "length"),
    "oxygen": ("oxygen", "percent"),
    "o2": ("oxygen", "percent"),
    "charge": ("charge", "percent"),
    "battery": ("charge", "percent"),
    "humidity": ("humidity", "percent"),
}
"""Word -> field and dimension of the amount that follows it."""

FLAGS: dict[str, tuple[str, object]] = {
    "no steam": ("steam", False),
    "steam stopped": ("steam", False),
    "steam gone": ("steam", False),
    "steam over": ("steam", False),
    "steaming": ("steam", True),
    "steam": ("steam", True),
    "white smoke": ("smoke", "white"),
    "black smoke": ("smoke", "black"),
    "clear smoke": ("smoke", "none"),
    "smoke clear": ("smoke", "none"),
    "smoke white": ("smoke", "white"),
    "smoke black": ("smoke", "black"),
    "smoke none": ("smoke", "none"),
    "no smoke": ("smoke", "none"),
    "not covered": ("covered", False),
    "uncovered": ("covered", False),
    "covered": ("covered", True),
    "turned": ("turned", True),
    "no frost": ("frost", False),
    "frost": ("frost", True),
    "no rain": ("rain", False),
    "raining": ("rain", True),
    "rained": ("rain", True),
    "rain": ("rain", True),
    "dried": ("dried", True),
    "lit the kiln": ("event", "lit"),
    "lit the fire": ("event", "lit"),
    "lit": ("event", "lit"),
    "sealed": ("event", "sealed"),
    "peak reached": ("event", "peak"),
    "at peak": ("event", "peak"),
    "peak": ("event", "peak"),
    "cooling": ("event", "cooling"),
    "opened": ("event", "opened"),
    "unloaded": ("event", "unloaded"),
    "soak began": ("soak", "began"),
    "soak ended": ("soak", "ended"),
    "boil began": ("boil", "began"),
    "boil ended": ("boil", "ended"),
    "soak started": ("soak", "began"),
    "boil started": ("boil", "began"),
    "soak over": ("soak", "ended"),
    "boil over": ("boil", "ended"),
}
"""Words that say it all -> field and value; what is no field of the kind is not looked for."""

SHADES = frozenset(
    "faint first just very dark deep dull blood black low lowest full bright light clear pale "
    "dazzling".split()
)
COLOURS = frozenset("red cherry orange yellow white salmon straw visible".split())
SETTINGS = (
    *("on", "off", "full", "half", "low", "high", "quarter", "third", "two thirds"),
    *("three quarters", "shut", "closed", "open", "out", "in", "ajar"),
)
"""How a fan or a damper stands."""

OF_ENDS = frozenset(
    "because as since to at then but when while after before from in and for still with by it is "
    "was so not now".split()
)
"""Words that end the name of a fuel."""

CONE_STATES = {
    "standing": "standing",
    "stands": "standing",
    "bending": "bent",
    "bent": "bent",
    "down": "down",
}

WINDS = frozenset(
    "light gentle moderate fresh strong gusty gusts calm still none n ne e se s sw w nw north "
    "northeast north-east east southeast south-east south southwest south-west west northwest "
    "north-west from the".split()
)


def flag(scan: Scan) -> Phrase | None:
    """Steam, smoke, events, rain, turned: a word that says it all."""
    for words, (field, value) in FLAGS.items():
        if field in scan.fields and scan.take(words):
            return Phrase({field: value}, is_bare=True)
    return None


def keyed(scan: Scan) -> Phrase | None:
    """`settled 40mm`, `charge 60%`: a word and its amount."""
    word = scan.word()
    if word not in KEYED:
        return None
    field, dimension = KEYED[word]
    scan.take(word)
    amount = scan.amount(dimension, word if field in scan.fields else "")
    return Phrase({field: amount}) if amount else None


def temperature(scan: Scan) -> Phrase | None:
    """`1040F top`, `560C face middle`, `temperature high`."""
    keyword = scan.take("temperature", "temp")
    amount = scan.amount("temperature", keyword)
    if not amount and keyword:
        # A word in place of the number is kept: the record points it out.
        amount = scan.take("high", "low", "?", "over range", "above range")
    if not amount:
        return None
    fields: dict[str, object] = {"temperature": amount}
    _place_and_words(scan, fields, "probe")
    return Phrase(fields)


def _place_and_words(scan: Scan, fields: dict[str, object], field: str) -> None:
    """Pass a place and one of the words of `field`, in any order."""
    for _ in range(2):
        if field in scan.fields and field not in fields and scan.word() not in scan.places:
            words = scan.take(*WORDS[field])
            if words:
                fields[field] = words
        if "place" not in fields:
            place = scan.place()
            if place:
                fields["place"] = place


def place(scan: Scan) -> Phrase | None:
    """A place before what was seen there."""
    found = scan.place()
    return Phrase({"place": found}) if found else None


def glow(scan: Scan) -> Phrase | None:
    """`dull red top`, `no glow`, `glow cherry in the shade`."""
    keyword = scan.take("glow", "colour", "color")
    colour = "none" if scan.take("no glow", "no colour", "no color") else _colour(scan)
    if not colour:
        return None
    scan.take("heat", "glow")
    fields: dict[str, object] = {"glow": colour}
    for _ in range(2):
        begun = scan.pos
        if scan.take("in"):
            scan.take("the")
        light = scan.take(*WORDS["light"]) if "light" not in fields else ""
        if light:
            fields["light"] = light
        else:
            scan.pos = begun
        found = scan.place() if "place" not in fields else ""
        if found:
            fields["place"] = found
    return Phrase(fields, is_bare=not keyword)


def _colour(scan: Scan) -> str:
    scan.skip()
    begun = scan.pos
    while scan.word() in SHADES:
        scan.skip_word()
    middle = scan.pos
    while scan.word() in COLOURS:
        scan.skip_word()
    return scan.text[begun : scan.pos].strip() if scan.pos > middle else ""


def fuel(scan: Scan) -> Phrase | None:
    """`+2 armload split ash`, `fuel left 3 barrow oak`."""
    keyword = scan.take("fuel left", "wood left", "fuel", "wood")
    field = "fuel_left" if keyword.endswith("left") else "fuel"
    if not keyword and not scan.sign("+"):
        return None
    scan.sign("+")
    amount = scan.amount("fuel", keyword or "+")
    if not amount:
        return None
    scan.take("of")
    fields: dict[str, object] = {field: amount}
    name = _fuel_name(scan)
    if name:
        fields["of"] = name
    return Phrase(fields)


def _fuel_name(scan: Scan) -> str:
    """Pass the words up to the next phrase, or to a word no fuel's name goes on with."""
    begun = scan.pos
    while True:
        word = scan.word()
        if not word or word in OF_ENDS or not word[0].isalpha() or _begins_phrase(scan):
            break
        scan.skip_word()
    return scan.text[begun : scan.pos].strip()


def _begins_phrase(scan: Scan) -> bool:
    begun, asks = scan.pos, scan.asks
    found = any(_read_at(reader, scan, begun) for reader in AFTER_FUEL)
    # "red oak" is a wood; a glow ends the fuel's name only where nothing follows it.
    if not found and _read_at(glow, scan, begun):
        found = not scan.skip()
    scan.pos, scan.asks = begun, asks
    return found


def _read_at(reader: Reader, scan: Scan, pos: int) -> Phrase | None:
    scan.pos = pos
    return reader(scan)


def cone(scan: Scan) -> Phrase | None:
    """`cone 010 bent top`."""
    if not scan.take("cone"):
        return None
    scan.sign("^")
    name = scan.name()
    if not name:
        return None
    fields: dict[str, object] = {"cone": name}
    for _ in range(2):
        state = scan.take(*CONE_STATES) if "state" not in fields else ""
        if state:
            fields["state"] = CONE_STATES[state]
        found = scan.place() if "place" not in fields else ""
        if found:
            fields["place"] = found
    return Phrase(fields)


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
    while brick_part(scan, fields, f"#{name}"):
        pass
    return Phrase(fields) if len(fields) > 1 else None


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


def setting(scan: Scan) -> Phrase | None:
    """`fan half`, `damper shut`, `fan 60%`."""
    word = scan.take("fan", "damper")
    if not word:
        return None
    value = scan.amount("percent") or scan.take(*SETTINGS)
    return Phrase({word: value}) if value else None


def air(scan: Scan) -> Phrase | None:
    """`air 18C 60%`; rain and frost are words of their own."""
    if not scan.take("air", "outside"):
        return None
    amount = scan.amount("temperature", "air" if "air" in scan.fields else "")
    if not amount:
        return None
    fields: dict[str, object] = {"air": amount}
    humidity = scan.amount("percent")
    if humidity:
        scan.take("humidity", "rh")
        fields["humidity"] = humidity
    return Phrase(fields)


def humidity(scan: Scan) -> Phrase | None:
    """`60% humidity`."""
    amount = scan.amount("percent")
    return Phrase({"humidity": amount}) if amount and scan.take("humidity", "rh") else None


def wind(scan: Scan) -> Phrase | None:
    """`wind light`, `wind 5 m/s`, `strong wind`, `no wind`."""
    if scan.take("no wind"):
        return Phrase({"wind": "none"})
    before = scan.take("light", "gentle", "moderate", "fresh", "strong", "gusty")
    if not scan.take("wind"):
        return None
    if before:
        return Phrase({"wind": before})
    speed = scan.amount("speed")
    scan.skip()
    begun = scan.pos
    while not speed and scan.word() in WINDS:
        scan.skip_word()
    value = speed or scan.text[begun : scan.pos].strip()
    return Phrase({"wind": value}) if value else None


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


COUNTED = ("cracked", "sold", "broken", "laid")
CAME_OUT = [field for field, shape in UNLOADED.items() if shape == "count"]


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


def hours(scan: Scan) -> Phrase | None:
    """`hours 3`: the unit is in the word."""
    if not scan.take("hours", "worked"):
        return None
    span = scan.amount("time")
    if not span:
        number = scan.number()
        span = f"{number} h" if number else ""
    return Phrase({"hours": span}) if span else None


def cost(scan: Scan) -> Phrase | None:
    """`cost 12 EUR`: a number and a currency code."""
    if not scan.take("cost"):
        return None
    code = scan.code()
    number = scan.number()
    code = code or scan.code()
    return Phrase({"cost": f"{number} {code}"}) if number and code else None


def repaired(scan: Scan) -> Phrase | None:
    """`repaired the arch`: the words after it say what."""
    if not scan.take("repaired", "mended"):
        return None
    return Phrase({"repaired": scan.rest() or "yes"})


_EVERYWHERE: tuple[Reader, ...] = (hours, cost)
_WEATHER: tuple[Reader, ...] = (air, humidity, wind)
AFTER_FUEL: tuple[Reader, ...] = (
    *(flag, keyed, temperature, fuel, cone, draw, setting, came_out, *_WEATHER, *_EVERYWHERE),
)
READERS: dict[str, tuple[Reader, ...]] = {
    "clay": _EVERYWHERE,
    "mix": _EVERYWHERE,
    "kiln": (flag, keyed, repaired, *_EVERYWHERE),
    "batch": (brick, counts, flag, keyed, *_WEATHER, *_EVERYWHERE),
    "firing": (*AFTER_FUEL, glow, place),
    "build": (counts, temperature, place, *_EVERYWHERE),
}
"""Kind -> the readers that are asked, in this order; a test has its own beside `flag`."""

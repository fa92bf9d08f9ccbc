"""The phrases a typed line is made of, and which of them each kind of entry is asked about."""

from fieldbook.lines.bricks import brick, came_out, counts, draw, unclear_brick
from fieldbook.lines.fields import WORDS
from fieldbook.lines.phrase import Phrase, Reader
from fieldbook.lines.scan import Scan, small
from fieldbook.lines.vocabulary import (
    COLOURS,
    CONE_STATES,
    FLAGS,
    FROST_TO_COME,
    KEYED,
    OF_ENDS,
    SETTINGS,
    SHADES,
    WINDS,
)


def flag(scan: Scan) -> Phrase | None:
    """Steam, smoke, events, rain, turned: a word that says it all."""
    if "rain" in scan.fields and scan.take("light rain", "heavy rain", "drizzle", "showers"):
        return Phrase({"rain": True}, is_noted=True)
    if "frost" in scan.fields and scan.take(*FROST_TO_COME):
        return Phrase({"frost": True}, is_noted=True)
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
    found = scan.take("hot face", "cold face") if "laid" in scan.fields else ""
    found = found or scan.place(after_preposition=False)
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


def bare_fuel(scan: Scan) -> Phrase | None:
    """`2 armloads split ash`, `added 8 kg oak`: fuel without its `+`.

    Read where the word before it says so, where nothing else can be meant, or where this firing
    has a fuel of that name; else asked about.
    """
    keyword = scan.take("put on", "added", "stoked", "fed")
    measured = scan.amount("measure")
    amount = measured or scan.amount("mass")
    if not amount:
        return None
    scan.take("of")
    name = _fuel_name(scan)
    is_clear = bool(keyword) or (_is_burnt(scan, name) if name else bool(measured))
    if is_clear and _ends_there(scan):
        return Phrase({"fuel": amount, "of": name} if name else {"fuel": amount})
    if not scan.insists:
        scan.asks = _ask_what_for(scan, amount, name, bool(measured))
    return None


def _is_burnt(scan: Scan, name: str) -> bool:
    """Whether the firing has a fuel of that name, or burnt one; `ash` may be what is raked out."""
    head, log = scan.record() if scan.record else ({}, b"")
    fuels, word = head.get("fuel"), small(name)
    for fuel in fuels if isinstance(fuels, list) else ():
        if isinstance(fuel, dict) and small(str(fuel.get("name"))) in (
            word,
            word.removesuffix("s"),
        ):
            return True
    return f'of = "{word}"'.encode() in log


_GO_ON = ("because", "since", "as", "at", "when", "after", "and")
"""Words that go on after fuel was put on; others may say that it was not."""


def _ends_there(scan: Scan) -> bool:
    if scan.word() in ("", *_GO_ON) or _begins_phrase(scan):
        return True
    return scan.word() != "left" and _is_place(scan)


def _ask_what_for(scan: Scan, amount: str, name: str, is_measured: bool) -> str:
    what = f"{amount} {name}".rstrip()
    if scan.word() == "left":
        return f"{what} left: not burnt yet? Then write fuel left {what}. Put on is +{what}."
    if name or is_measured:
        return f"{what}: put on? Then write +{what}; a note begins with a colon."
    return f"{amount} of what? Fuel put on is +{amount}, a draw brick is draw 3 {amount}."


def _fuel_name(scan: Scan) -> str:
    """Pass the words up to the next phrase, or to a word no fuel's name goes on with."""
    begun = scan.pos
    while True:
        word = scan.word()
        if not word or word in OF_ENDS or not word[0].isalpha():
            break
        if _begins_phrase(scan) or _is_place(scan):
            break
        scan.skip_word()
    return scan.text[begun : scan.pos].strip(" .!")


def _is_place(scan: Scan) -> bool:
    """Whether a place stands here, and nothing that goes on with the name of a fuel."""
    begun = scan.pos
    found = scan.place(after_preposition=False) and (not scan.skip() or _begins_phrase(scan))
    scan.pos = begun
    return bool(found)


def _begins_phrase(scan: Scan) -> bool:
    begun, asks = scan.pos, scan.asks
    found = any(_read_at(reader, scan, begun) for reader in AFTER_FUEL if reader is not fuel)
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
    "firing": (*AFTER_FUEL, glow, unclear_brick, bare_fuel, place),
    "build": (counts, temperature, place, *_EVERYWHERE),
}
"""Kind -> the readers that are asked, in this order; a test has its own beside `flag`."""

"""What a line may hold, kind by kind: plain data that the start of every command can afford.

A shape is the name of a dimension (an amount with its unit), `amount_of_fuel` (a mass, a volume or
a local measure), `money`, `count`, `flag`, `words` (one of WORDS), `text`, `name` (of another
entry) or `list`.
"""

KINDS = ("clay", "mix", "kiln", "batch", "firing", "test", "build")

COMMON = {
    "by": "text",
    "note": "text",
    "hours": "time",
    "cost": "money",
    "declined": "text",
    "because": "text",
}
"""Log fields of every kind."""

LOG: dict[str, dict[str, str]] = {
    "clay": {},
    "mix": {},
    "kiln": {"rain": "flag", "repaired": "text", "dried": "flag", "lean": "length"},
    "batch": {
        "brick": "text",
        "mass": "mass",
        "marks": "length",
        "firing": "name",
        "covered": "flag",
        "turned": "flag",
        "cracked": "count",
        "sold": "count",
        "broken": "count",
        "air": "air_temperature",
        "humidity": "percent",
        "wind": "text",
        "rain": "flag",
        "frost": "flag",
    },
    "firing": {
        "temperature": "temperature",
        "place": "text",
        "probe": "words",
        "glow": "text",
        "light": "words",
        "cone": "text",
        "state": "words",
        "steam": "flag",
        "smoke": "words",
        "oxygen": "percent",
        "fuel": "amount_of_fuel",
        "fuel_left": "amount_of_fuel",
        "of": "text",
        "fan": "text",
        "charge": "percent",
        "damper": "text",
        "air": "air_temperature",
        "humidity": "percent",
        "wind": "text",
        "rain": "flag",
        "settled": "length",
        "lean": "length",
        "draw": "text",
        "mass": "mass",
        "marks": "length",
        "core": "words",
        "event": "words",
    },
    "test": {"soak": "words", "boil": "words"},
    "build": {"laid": "count", "of": "name", "temperature": "temperature", "place": "text"},
}
"""Log fields of one kind, beside those of COMMON."""

SPECIMEN = {
    "dry_mass": "mass",
    "soaked_mass": "mass",
    "boiled_mass": "mass",
    "minute_mass": "mass",
    "suspended_mass": "mass",
    "suspended_after": "words",
    "length": "length",
    "width": "length",
    "height": "length",
    "laid": "words",
    "span": "length",
    "bending_load": "force",
    "break_offset": "length",
    "crushing_load": "force",
    "crushed": "words",
    "crushed_length": "length",
    "crushed_wet": "flag",
    "ring": "words",
    "scratch": "words",
    "core": "words",
    "efflorescence": "words",
    "lime_pops": "count",
    "freeze_cycles": "count",
    "freeze_loss": "percent",
}
"""What can be typed of one specimen of a test, into `[specimens]`."""

UNLOADED = {
    "batch": "name",
    "place": "text",
    "sound": "count",
    "cracked": "count",
    "soft": "count",
    "overfired": "count",
    "lost": "count",
    "faults": "list",
}
"""What came out of one place of the kiln, an item of `unloaded`."""

WORDS = {
    "probe": ("gas", "face", "inside", "wall", "flue"),
    "light": ("dark", "shade", "sun"),
    "state": ("standing", "bent", "down"),
    "smoke": ("none", "white", "black"),
    "core": ("even", "grey", "black"),
    "event": ("lit", "sealed", "peak", "cooling", "opened", "unloaded"),
    "soak": ("began", "ended"),
    "boil": ("began", "ended"),
    "suspended_after": ("soak", "boil"),
    "laid": ("flat", "on edge"),
    "crushed": ("whole", "half"),
    "ring": ("clear", "dull"),
    "scratch": ("none", "light", "deep"),
    "efflorescence": ("nil", "slight", "moderate", "heavy", "serious"),
}
"""The words that a field of the shape `words` takes."""


def log_fields(kind: str) -> dict[str, str]:
    """Field -> shape of what a log line of `kind` may hold."""
    return LOG[kind] | COMMON


def fields_of(kind: str, target: str) -> dict[str, str]:
    """Field -> shape of what an observation on `kind` may put into `target`."""
    if target == "specimens":
        return SPECIMEN if kind == "test" else {}
    if target == "unloaded":
        return UNLOADED if kind == "firing" else {}
    return log_fields(kind)

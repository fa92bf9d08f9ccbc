"""Glow colour as a band of temperature: wide, and by the list that is named."""

from functools import cache

from fieldbook.calc.evidence import Evidence
from fieldbook.errors import NotPossible, Unreadable
from fieldbook.frozen import frozen
from fieldbook.tables import load

LEAST_HALF = 75.0  # K; lists differ by 150 to 200 degC for one word


@frozen
class Glow:
    """What a colour word may stand for, degC."""

    colour: str
    low: float
    high: float | None
    """None: no more is known than that it is above."""
    source: str

    def evidence(self) -> Evidence:
        """As one kind of evidence among others."""
        if self.high is None:
            return Evidence("glow", self.low, 0.0, "above", self.source)
        return Evidence(
            "glow", (self.low + self.high) / 2, (self.high - self.low) / 2, "about", self.source
        )


@cache
def words() -> dict[str, str]:
    """Each word that is understood -> the colour it means."""
    return {word: row["words"][0] for row in load("glow")["colour"] for word in row["words"]}


def lists() -> tuple[str, ...]:
    """Names of the lists that ship."""
    return tuple(row["name"] for row in load("glow")["list"])


def colour_of(word: str) -> str:
    """The colour a word means, such as "dull red" for "Dark Red"."""
    plain = " ".join(word.lower().replace("-", " ").split())
    found = words().get(plain) or words().get(plain.removesuffix(" red"))
    if found is None:
        raise Unreadable(
            f"{word!r} is no glow colour of the lists", f"one of: {', '.join(sorted(words()))}"
        )
    return found


def glow(word: str, glow_list: str | None = None, light: str = "shade") -> Glow:
    """The band of a glow reading.

    Args:
        word: the colour.
        glow_list: name of the list it was judged by; the envelope of all where none is named.
        light: dark, shade or sun; in the sun only that it glows at all is known.
    """
    table = load("glow")
    colour = colour_of(word)
    if light not in table["first_visible"]:
        raise NotPossible(f"light is dark, twilight, shade or sun, and not {light}")
    if light == "sun":
        source = table["first_visible_source"]
        return Glow(colour, float(table["first_visible"]["sun"]), None, source)
    rows = [r for r in table["list"] if glow_list in (None, r["name"])]
    if not rows:
        raise NotPossible(f"no glow list is called {glow_list}; there are: {', '.join(lists())}")
    bands = [(r["bands"][colour], r["source"]) for r in rows if colour in r["bands"]]
    if not bands:
        raise NotPossible(f"the list {glow_list} has no {colour}; name another, or none")
    low = float(min(band[0] for band, _ in bands))
    high = float(max(band[1] for band, _ in bands))
    if colour == "first red" and light in ("dark", "twilight"):
        low = min(low, float(table["first_visible"][light]))
    middle = (low + high) / 2
    source = "; ".join(source for _, source in bands)
    return Glow(colour, min(low, middle - LEAST_HALF), max(high, middle + LEAST_HALF), source)

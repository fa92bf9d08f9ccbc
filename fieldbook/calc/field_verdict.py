"""A verdict for those with nothing but a bucket: ring, scratch, core, soak."""

from typing import NamedTuple

from fieldbook.calc.uncertainty import Value, expanded, nominal
from fieldbook.errors import NotPossible

GOOD_SOAK = 15.0
"""[%] Of the dry mass after 48 h in cold water (Practical Action)."""


class FieldVerdict(NamedTuple):
    """What the signs say of one brick."""

    verdict: str
    """"good", "doubtful", "soft" or "unknown"."""
    because: tuple[str, ...]
    do: str


_WORDS = {
    "ring": ("clear", "dull"),
    "scratch": ("none", "light", "deep"),
    "core": ("even", "grey", "black"),
}


def field_verdict(
    ring: str | None = None,
    scratch: str | None = None,
    core: str | None = None,
    soak: Value | None = None,
    lime_pops: int = 0,
) -> FieldVerdict:
    """Judge a brick by its ring, a nail's scratch, its broken core and a cold soak.

    Formula:
        soft: a deep scratch, or a dull ring together with a soak above 15 %; doubtful: any one
        sign against it, lime pops, or a soak too near 15 % to tell; good: two signs or
        more, all for it
    Args:
        ring: clear or dull.
        scratch: none, light or deep.
        core: even, grey or black.
        soak: water taken up in 48 h of cold soak, % of the dry mass, with uncertainty or without.
        lime_pops: number of places where lime has burst.
    Returns:
        FieldVerdict
    Raises:
        NotPossible: a word that is none of these.
    Source:
        Practical Action, Assessing the technical problems of brick production (the signs and the
        15 %); how they are weighed against each other is common practice.
    Example:
        >>> field_verdict(ring="clear", scratch="none", soak=12.0).verdict
        'good'
    """
    for name, word in (("ring", ring), ("scratch", scratch), ("core", core)):
        if word is not None and word not in _WORDS[name]:
            raise NotPossible(f"{name} is one of {', '.join(_WORDS[name])}, not {word}")
    if lime_pops < 0 or (soak is not None and nominal(soak) < 0):
        raise NotPossible("neither a soak nor a count can be less than nothing")
    good, bad = _signs(ring, scratch, core, soak, lime_pops)
    wet = soak is not None and nominal(soak) - expanded(soak) > GOOD_SOAK
    if scratch == "deep" or (ring == "dull" and wet):
        return FieldVerdict("soft", bad, "do not build outdoors with it: refire it, or keep it dry")
    if bad:
        return FieldVerdict("doubtful", bad, "test it further before it carries or gets wet")
    if len(good) < 2:
        return FieldVerdict("unknown", good, "strike two together, scratch one, soak one for 48 h")
    return FieldVerdict("good", good, "use it")


def _signs(
    ring: str | None, scratch: str | None, core: str | None, soak: Value | None, lime_pops: int
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Signs for and against, in words."""
    good: list[str] = []
    bad: list[str] = []
    for name, word, fine in (
        ("ring", ring, "clear"), ("scratch", scratch, "none"), ("core", core, "even"),
    ):  # fmt: skip
        if word is not None:
            (good if word == fine else bad).append(f"{name}: {word}")
    if soak is not None:
        clear = nominal(soak) + expanded(soak) <= GOOD_SOAK
        words = f"takes up {float(nominal(soak)):.1f} %, good is {GOOD_SOAK:g} % or less"
        (good if clear else bad).append(words)
    if lime_pops:
        bad.append(f"lime has burst in {lime_pops} places")
    return tuple(good), tuple(bad)

"""How hot a clay or a mix may be fired at most."""

from __future__ import annotations

from collections.abc import Mapping

from fieldbook.advice.bars import TrialBar, spoilt
from fieldbook.advice.derive import Known
from fieldbook.advice.results import Input, Result
from fieldbook.calc.uncertainty import expanded

BELOW_THE_SPOILT = 30.0
"""[K] Kept below the coolest trial bar that bloated, bent or stuck; common practice."""
NOTHING_KNOWN = 1050.0
"""[°C] Where nothing is known: common red clay softens between 900 and 1250 °C (Duggal)."""
SOFTENS = "common red clay softens between 900 and 1250 °C (Duggal, Building Materials)"


def peak_limit(no_hotter: Known, bars: Mapping[str, TrialBar]) -> Result:
    """The least of what the maker set and 30 °C below the coolest bar that was spoilt.

    Where neither is known it is 1050 °C.
    """
    found: list[tuple[float, str, Input, float]] = []
    if no_hotter.there:
        found.append((no_hotter.value, "as the maker set it", no_hotter.inputs[0], 0.0))
    for bar in spoilt(bars):
        reading = bar.readings["fired_at"]
        words = f"30 °C below bar {bar.name}, which went {bar.bar.went} at {reading.text}"
        doubt = expanded(reading.number)
        found.append((reading.value - BELOW_THE_SPOILT, words, reading.inputs[0], doubt))
        break
    if not found:
        given = Input("limit where nothing is known", f"{NOTHING_KNOWN:.0f} °C", "", SOFTENS)
        found.append((NOTHING_KNOWN, "nothing is known of this clay in the fire", given, 0.0))
    value, words, _, doubt = min(found, key=lambda one: one[0])
    inputs = tuple(given for _, _, given, _ in found)
    return Result(
        name="peak_limit",
        value=value,
        unit="°C",
        plus_minus=doubt or None,
        method=words,
        source="common practice" if inputs[0].where else SOFTENS,
        formula="least of: no_hotter_than; coolest spoilt bar - 30; 1050 where neither is known",
        inputs=inputs,
        from_=tuple(given.where for given in inputs if given.where),
    )

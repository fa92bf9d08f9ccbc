"""What stands behind a value or an action: inputs, formula, source, uncertainty by input."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fieldbook.advice.actions import Action
from fieldbook.advice.results import Result
from fieldbook.advice.review import Review
from fieldbook.report.actions import due
from fieldbook.report.units import Units
from fieldbook.report.values import each_text, say, spell
from fieldbook.text import wrap


def result_why(
    review: Review, result: Result, units: Units, now: datetime, width: int
) -> list[str]:
    """The numbers behind one derived value."""
    lines = wrap(
        f"{review.entry.address} {spell(result.name)}: {say(result, units, now)}", width, "    "
    )
    if result.each:
        lines += wrap(f"each: {each_text(result, units)}", width, "    ", "  ")
    if result.method:
        lines += wrap(f"how: {result.method}", width, "    ", "  ")
    if result.formula:
        lines += wrap(f"formula: {result.formula}", width, "    ", "  ")
    if result.source:
        lines += wrap(f"source: {result.source}", width, "    ", "  ")
    if result.inputs:
        lines.append("  from")
    for given in result.inputs:
        place = f"  [{given.where or given.source or 'default'}]"
        lines += wrap(f"{given.name} = {given.text}{place}", width, "      ", "    ")
    if not result.inputs and result.from_:
        lines += wrap(f"from: {', '.join(result.from_)}", width, "    ", "  ")
    if result.budget:
        lines.append("  uncertainty by input (expanded, coverage factor 2)")
    for share in result.budget:
        said = units.say(share.plus_minus, "K" if result.unit == "°C" else result.unit)
        lines += wrap(f"{share.label}: ± {said}", width, "      ", "    ")
    return lines


def result_json(result: Result) -> dict[str, Any]:
    """The same as data."""
    return {
        "name": result.name,
        **result.json(),
        "formula": result.formula,
        "inputs": [given._asdict() for given in result.inputs],
        "budget": [share._asdict() for share in result.budget],
    }


def action_why(
    action: Action, review: Review | None, units: Units, now: datetime, width: int
) -> list[str]:
    """The chain behind an action: what it rests on, the rule, its source, what settles it."""
    lines = wrap(f"{due(action, now)} · {action.entry} · {action.do}", width, "    ")
    lines += wrap(f"why: {action.why}", width, "    ", "  ")
    lines += wrap(f"rule: {action.rule} (source: {action.source})", width, "    ", "  ")
    if action.caution:
        lines += wrap(f"caution: {action.caution}", width, "    ", "  ")
    if action.settled_by:
        lines += wrap(f"it goes away when: {action.settled_by}", width, "    ", "  ")
    for result in rests_on(action, review):
        if review is not None:
            lines += ["", *result_why(review, result, units, now, width)]
    return lines


def rests_on(action: Action, review: Review | None) -> list[Result]:
    """The derived values an action follows from; an action on the whole notebook has none."""
    results = review.results if review is not None else {}
    return [results[name] for name in action.rests_on if name in results]

"""What stands behind a value or an action: inputs, formula, source, uncertainty by input."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from fieldbook.advice.actions import Action
from fieldbook.advice.results import Result, Share
from fieldbook.advice.review import Review
from fieldbook.report.actions import due
from fieldbook.report.entry import pair
from fieldbook.report.units import Units
from fieldbook.report.values import SHARES, each_text, say, spell
from fieldbook.text import wrap


def values_lines(
    review: Review, actions: Iterable[Action], units: Units, now: datetime, width: int
) -> list[str]:
    """What can be asked of an entry: each value by the name it is asked by, and each action."""
    address = review.entry.address
    lines = wrap(f"Ask for one of these: fieldbook why {address} VALUE", width)
    for name, result in review.results.items():
        lines += pair(name, say(result, units, now), width)
    if not review.results:
        lines.append("  nothing follows from it yet")
    for action in actions:
        lines += pair(action.action, f"(action) {action.do}", width)
    return lines


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
        said = share_text(share, result, units)
        lines += wrap(f"{share.label}: ± {said}", width, "      ", "    ")
    return lines


def share_text(share: Share, result: Result, units: Units) -> str:
    """What one input adds to the uncertainty, in the unit the result is told in."""
    if result.name in SHARES and result.unit == "1":
        return units.say(100 * share.plus_minus, "%")
    return units.say(share.plus_minus, "K" if result.unit == "°C" else result.unit)


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

"""`fieldbook why ENTRY [VALUE]` or `fieldbook why ACTION`: the numbers behind it."""

from __future__ import annotations

import argparse
from difflib import get_close_matches

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("what", metavar="ENTRY|ACTION", help="an entry, or an action of `next`")
    parser.add_argument(
        "value", nargs="?", metavar="VALUE", help="a derived value; none lists them"
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Lay out the chain behind a value or an action."""
    if given.value is None:
        is_action = "/" not in given.what and _actions(call, given.what, None, quiet=True) == 0
        return 0 if is_action else _values(call, given.what)
    address = call.store.resolve(given.what)
    review = call.context.review(address)
    if review is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    name = given.value.replace("-", "_").replace(" ", "_")
    if name not in review.results:
        if _actions(call, given.value, address, quiet=True) == 0:
            return 0
        near = get_close_matches(name, review.results, 3) or list(review.results)
        raise FieldbookError(f"{address} has no value {given.value!r}; it has {', '.join(near)}")
    from fieldbook.report.units import Units
    from fieldbook.report.why import result_json, result_why

    result = review.results[name]
    if call.shared.json:
        call.write_json(result_json(result))
        return 0
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    print("\n".join(result_why(review, result, units, call.clock, call.width)))
    return 0


def _values(call: Call, what: str) -> int:
    """List what can be asked of an entry, a value a line."""
    from fieldbook.advice.engine import advise
    from fieldbook.report.units import Units
    from fieldbook.report.why import values_lines

    try:
        address = call.store.resolve(what)
    except FieldbookError:
        if "/" in what:
            raise
        return _actions(call, what, None)  # which says what actions there are
    review = call.context.review(address)
    if review is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    actions = advise(call.context, address).actions
    if call.shared.json:
        values = {name: result.json() for name, result in review.results.items()}
        names = [action.action for action in actions]
        call.write_json({"entry": address, "values": values, "actions": names})
        return 0
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    print("\n".join(values_lines(review, actions, units, call.clock, call.width)))
    return 0


def _actions(call: Call, word: str, address: str | None, *, quiet: bool = False) -> int:
    from fieldbook.advice.engine import advise
    from fieldbook.report.units import Units
    from fieldbook.report.why import action_why, rests_on, result_json

    actions = advise(call.context, address).actions
    if word.isdigit() and 1 <= int(word) <= len(actions):
        chosen = [actions[int(word) - 1]]
    else:
        chosen = [action for action in actions if word in (action.action, action.rule)]
    if not chosen:
        if quiet:
            return 1
        names = ", ".join(dict.fromkeys(action.action for action in actions)) or "none"
        raise FieldbookError(f"no action {word!r} is advised now; these are: {names}")
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    reviews = [call.context.review(action.entry) for action in chosen]
    if call.shared.json:
        call.write_json(
            [
                {
                    **action.json(),
                    "settled_by": action.settled_by,
                    "rests_on": [result_json(result) for result in rests_on(action, review)],
                }
                for action, review in zip(chosen, reviews, strict=True)
            ]
        )
        return 0
    for action, review in zip(chosen, reviews, strict=True):
        print("\n".join([*action_why(action, review, units, call.clock, call.width), ""]))
    return 0

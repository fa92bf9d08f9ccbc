"""`fieldbook compare A B [C…]`, or `fieldbook compare A --since TIME`."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from fieldbook.cli.call import Call
from fieldbook.cli.since import HELP, as_it_was, since_of
from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.text import clean

if TYPE_CHECKING:
    from fieldbook.advice.context import Context
    from fieldbook.report.compare import Comparison, Side
    from fieldbook.report.units import Units

CURVES = ("clock", "lighting", "temperature")
WIDTH, HEIGHT = 79, 20
"""Of a plot, where the output is no terminal."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entries", nargs="+", metavar="ENTRY", help="of one kind")
    parser.add_argument("--since", metavar="TIME", help=f"one entry as it was then: {HELP}")
    parser.add_argument(
        "--curves",
        choices=CURVES,
        help="lay the curves of firings over each other: by the clock, by hours since lighting, "
        "or by the hours at and above each temperature",
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Print what was done differently, then what came out differently."""
    from fieldbook.report.compare import compare
    from fieldbook.report.units import Units

    addresses = [call.store.resolve(entry) for entry in given.entries]
    _refuse_odd(addresses, given)
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    with _sides(call, addresses, given.since) as (sides, note):
        found = compare(sides, units, then_and_now=bool(given.since))
        if call.shared.json:
            call.write_json(_json(call, sides, found, given.curves, note))
        else:
            print("\n".join(_lines(call, sides, found, given.curves, units, note)))
    return 0


def _refuse_odd(addresses: list[str], given: argparse.Namespace) -> None:
    """Refuse what cannot be compared."""
    kinds = {address.partition("/")[0] for address in addresses}
    if given.since and len(addresses) != 1:
        raise WrongUse("--since compares one entry with itself")
    if not given.since and len(addresses) < 2:
        raise WrongUse("name two entries to compare, or one with --since TIME")
    if len(kinds) > 1:
        raise WrongUse(f"{' and '.join(addresses)} are of different kinds")
    if given.curves and kinds != {"firings"}:
        raise WrongUse("--curves lays firings over each other, and these are none")


@contextmanager
def _sides(call: Call, addresses: list[str], since: str | None) -> Iterator[tuple[list[Side], str]]:
    from fieldbook.report.compare import Side

    here = [Side(address, *_review(call.context, address)) for address in addresses]
    if since is None:
        yield here, ""
        return
    from fieldbook.advice.context import Context
    from fieldbook.report.past import with_observations

    moment = since_of(call, since)
    with as_it_was(call, moment, addresses[0]) as then:
        notebook = with_observations(then.store.notebook(moment.at), call.notebook, then.address)
        earlier = _review(Context.of(notebook, moment.at), then.address)
        yield [Side(clean(since), *earlier), here[0]._replace(name="now")], then.note


def _review(context: Context, address: str) -> tuple[Any, Context]:
    review = context.review(address)
    if review is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    return review, context


def _names(call: Call, sides: list[Side]) -> list[str]:
    """What stands over each column; makers too where there are several."""
    from fieldbook.report.makers import Makers, with_makers
    from fieldbook.sync.looked import whose

    makers = Makers(*whose(call.store.folder, call.store.settings.maker))
    names = [side.name for side in sides]
    return with_makers(names, [side.review.entry for side in sides], makers)


def _json(
    call: Call, sides: list[Side], found: Comparison, curves: str | None, note: str
) -> dict[str, Any]:
    answer: dict[str, Any] = {
        "entries": [side.name for side in sides],
        "done_differently": [row.json() for row in found.done_differently],
        "done_the_same": [row.json() for row in found.done_alike],
        "written_of_some": [row.json() for row in found.done_by_one],
        "came_out": [row.json() for row in found.out],
    }
    if note:
        answer["note"] = note
    if curves:
        from fieldbook.report.overlay import json_of, laid

        names = [side.name for side in sides]
        answer["curves"] = json_of(laid(names, [s.review for s in sides], call.clock), curves)
    return answer


def _lines(
    call: Call,
    sides: list[Side],
    found: Comparison,
    curves: str | None,
    units: Units,
    note: str,
) -> list[str]:
    from fieldbook.report.compare import compare_lines

    names = _names(call, sides)
    lines = [*compare_lines(names, found, call.width), *([f"({note})"] if note else [])]
    if curves:
        from fieldbook.report.overlay import HEADS, hours_lines, laid, overlay

        drawn = laid(names, [side.review for side in sides], call.clock)
        lines += ["", HEADS[curves]]
        lines += overlay(drawn, curves, units, (call.width or WIDTH + 1) - 1, HEIGHT) or [
            "no firing here has two readings of one place"
        ]
        lines += hours_lines(drawn, units, call.width) if curves == "temperature" else []
    return lines

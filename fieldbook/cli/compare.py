"""`fieldbook compare A B [C…]`, or `fieldbook compare A --since TIME`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any, NamedTuple

from fieldbook.cli.call import Call, moment
from fieldbook.errors import FieldbookError, WrongUse

if TYPE_CHECKING:
    from fieldbook.advice.review import Review


class Sides(NamedTuple):
    """What is laid side by side."""

    names: list[str]
    reviews: list[Review]
    recorded: list[dict[str, Any]]


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entries", nargs="+", metavar="ENTRY", help="of one kind")
    parser.add_argument("--since", metavar="TIME", help="one entry as it was then, beside now")


def run(call: Call, given: argparse.Namespace) -> int:
    """Print what was done differently, then what came out differently."""
    from fieldbook.report.compare import came_out, done_differently, table_lines
    from fieldbook.report.units import Units

    addresses = [call.store.resolve(entry) for entry in given.entries]
    if given.since:
        names, reviews, recorded = _then_and_now(call, addresses, given.since)
    else:
        names, reviews, recorded = _side_by_side(call, addresses)
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    done, out = done_differently(recorded), came_out(reviews, units)
    if call.shared.json:
        call.write_json(
            {
                "entries": names,
                "done_differently": [row._asdict() for row in done],
                "came_out": [row._asdict() for row in out],
            }
        )
        return 0
    lines = ["done differently", *table_lines(names, done, call.width)] if done else []
    print("\n".join([*lines, "", "came out", *table_lines(names, out, call.width)]).lstrip("\n"))
    return 0


def _side_by_side(call: Call, addresses: list[str]) -> Sides:
    if len(addresses) < 2:
        raise WrongUse("name two entries to compare, or one with --since TIME")
    if len({address.partition("/")[0] for address in addresses}) > 1:
        raise WrongUse(f"{' and '.join(addresses)} are of different kinds")
    reviews = [_review(call, address) for address in addresses]
    return Sides(addresses, reviews, [call.store.read(address).data for address in addresses])


def _then_and_now(call: Call, addresses: list[str], since: str) -> Sides:
    from fieldbook.advice.context import Context

    if len(addresses) != 1:
        raise WrongUse("--since compares one entry with itself")
    then = moment(since, call.store.zone)
    earlier = Context.of(call.store.notebook(then), then).review(addresses[0])
    if earlier is None:
        raise FieldbookError(f"{addresses[0]} cannot be read as of {since}")
    data = call.store.read(addresses[0]).data
    return Sides([since, "now"], [earlier, _review(call, addresses[0])], [data, data])


def _review(call: Call, address: str) -> Review:
    review = call.context.review(address)
    if review is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    return review

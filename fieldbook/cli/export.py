"""`fieldbook export page|csv|jsonl …`: a page to print, a table for a spreadsheet, JSON lines."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError, WrongUse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.advice.review import Review

PAGE_WIDTH = 76
PLOT_HEIGHT = 18


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("form", choices=("page", "csv", "jsonl"), help="what to make of it")
    parser.add_argument(
        "what",
        nargs="*",
        metavar="KIND|ENTRY",
        help="a kind, an entry a row; or one entry: for csv its observations, a line a row",
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Write it to standard output."""
    form, what = given.form, given.what
    if form == "csv":
        sys.stdout.write(_csv(call, what))
        return 0
    found = _reviews(call, _addresses(call, what))
    if form == "jsonl":
        for review in found:
            print(_json_line(call, review))
        return 0
    for number, review in enumerate(found):
        print("\f" if number else "", end="")
        print("\n".join(_page(call, review)))
    return 0


def _addresses(call: Call, what: list[str]) -> list[str]:
    """The entries of kinds, and single ones; all of them where nothing is named."""
    from fieldbook.records import FOLDERS, KINDS

    found: dict[str, None] = {}
    for word in what or FOLDERS:
        folder = KINDS[word].folder if word in KINDS else word
        if folder in FOLDERS:
            found.update(
                dict.fromkeys(a for a in call.store.addresses if a.startswith(f"{folder}/"))
            )
        else:
            found[call.store.resolve(word)] = None
    return list(found)


def _reviews(call: Call, addresses: list[str]) -> list[Review]:
    """What follows from each; one that cannot be read is left out and said."""
    found = []
    for address in addresses:
        review = call.context.review(address)
        if review is None:
            print(f"fieldbook: {address} cannot be read and is left out", file=sys.stderr)
        else:
            found.append(review)
    return found


def _csv(call: Call, what: list[str]) -> str:
    from fieldbook.records import FOLDERS, KINDS
    from fieldbook.report.table import csv_text, table_of_entries, table_of_observations

    if len(what) != 1:
        raise WrongUse("name one kind or one entry for a table: fieldbook export csv tests")
    if what[0] in KINDS or what[0] in FOLDERS:
        return csv_text(table_of_entries(_reviews(call, _addresses(call, what)), call.context))
    address = call.store.resolve(what[0])
    entry = call.notebook.entry(address)
    if entry is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    return csv_text(table_of_observations(entry, call.context.review(address)))


def _json_line(call: Call, review: Review) -> str:
    from fieldbook.cli.show import answer
    from fieldbook.report.table import json_row

    file = call.store.read(review.entry.address)
    row = json_row(answer(review, file.data, [*file.problems, *review.problems]))
    return json.dumps(row, ensure_ascii=False, allow_nan=False)


def _page(call: Call, review: Review) -> Iterator[str]:
    """The entry as a page: what `show` says, broken to its width, with the curve of a firing."""
    from fieldbook.report.entry import review_lines
    from fieldbook.report.overlay import LIGHTING, laid, overlay
    from fieldbook.report.units import Units

    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    file = call.store.read(review.entry.address)
    problems = [*file.problems, *review.problems]
    yield from review_lines(review, file.data, problems, units, call.clock, PAGE_WIDTH)
    if review.entry.folder == "firings":
        drawn = laid([review.entry.name], [review], call.clock)
        if rows := overlay(drawn, LIGHTING, units, PAGE_WIDTH, PLOT_HEIGHT):
            yield from ("", "read at the kiln, by hours since lighting", *rows)

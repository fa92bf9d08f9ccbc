"""`fieldbook show ENTRY`: all that is recorded and derived."""

from __future__ import annotations

import argparse
import math
from typing import Any

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", metavar="ENTRY", help="such as batches/2026-04-a, or its name")


def run(call: Call, given: argparse.Namespace) -> int:
    """Print the entry."""
    from fieldbook.cli.history import disputed
    from fieldbook.report.entry import review_lines
    from fieldbook.report.units import Units

    address = call.store.resolve(given.entry)
    file = call.store.read(address)
    if file.record is None:
        raise FieldbookError(
            f"{address} cannot be read\n    "
            + "\n    ".join(str(problem) for problem in file.problems),
            tuple(file.problems),
        )
    review = call.context.review(address)
    if review is None:
        raise FieldbookError(f"{address} cannot be read as of {call.clock.isoformat()}")
    problems = [*file.problems, *review.problems]
    if call.shared.json:
        call.write_json(answer(review, _plain(file.data), problems))
        return 0
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    lines = review_lines(review, file.data, problems, units, call.clock, call.width)
    lines += ["", *told] if (told := disputed(call, file.record)) else []
    print("\n".join(lines))
    return 0


def answer(review: Any, recorded: dict[str, Any], problems: list[Any]) -> dict[str, Any]:
    """The answer of `show --json`."""
    from fieldbook.records import FOLDERS

    return {
        "entry": review.entry.address,
        "kind": FOLDERS[review.entry.folder],
        "recorded": recorded,
        "derived": {name: result.json() for name, result in review.results.items()},
        "verdicts": [verdict.json() for verdict in review.verdicts],
        "problems": [
            {"where": problem.where, "what": problem.what, "remedy": problem.remedy}
            for problem in problems
        ],
        "cautions": list(review.cautions),
    }


def _plain(value: Any) -> Any:
    """TOML's dates and times, and what JSON has no number for, as text; the rest as it is."""
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_plain(item) for item in value]
    is_number = isinstance(value, int) or (isinstance(value, float) and math.isfinite(value))
    return value if is_number or isinstance(value, str) else str(value)

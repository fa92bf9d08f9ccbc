"""`fieldbook plan ENTRY`: the plan of a firing, for the shed wall, or of a build."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.text import clean

if TYPE_CHECKING:
    from fieldbook.advice.results import Result


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument("entry", metavar="ENTRY", help="a firing or a build")


def run(call: Call, given: argparse.Namespace) -> int:
    """Print the plan on one page."""
    from fieldbook.report.plan import BUILD, build_lines, firing_lines
    from fieldbook.report.units import Units

    address = call.store.resolve(given.entry)
    folder = address.partition("/")[0]
    if folder not in ("firings", "builds"):
        raise WrongUse(f"{address} is neither a firing nor a build")
    review = call.context.review(address)
    if review is None:
        raise FieldbookError(f"{address} cannot be read; `fieldbook check` says why")
    units = Units.for_notebook(call.notebook.settings, call.shared.units)
    width = call.width or 78
    if folder == "builds":
        lines = build_lines(review, units, call.clock, width)
        answer = {name: review.results[name].json() for name in BUILD if name in review.results}
    else:
        plan = review.results.get("plan")
        if plan is None or not plan.known:
            raise FieldbookError(f"there is no plan for {address}: {_why_not(address, plan)}")
        lines = firing_lines(review, plan, units, width)
        answer = plan.json()
    if call.shared.json:
        call.write_json(answer)
    else:
        print("\n".join(clean(part) for line in lines for part in line.split("\n")))
    return 0


def _why_not(address: str, plan: Result | None) -> str:
    if plan is None:
        return "its fire is lit; `--now` before that gives the plan it began with"
    if plan.because or not plan.needs:
        return plan.because
    fields = " ".join(f"{need}=…" for need in plan.needs)
    return f"it needs {', '.join(plan.needs)}\n    Write it: fieldbook set {address} {fields}"

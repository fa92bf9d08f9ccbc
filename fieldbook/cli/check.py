"""`fieldbook check`: reads everything and reports every problem."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call
from fieldbook.errors import Problem


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes: none."""


def run(call: Call, given: argparse.Namespace) -> int:
    """Print every problem with file, line and remedy; exit 1 where there is one."""
    from fieldbook.text import clean_lines

    problems = all_problems(call)
    if call.shared.json:
        call.write_json([{"where": p.where, "what": p.what, "remedy": p.remedy} for p in problems])
    else:
        for problem in problems:
            print("\n".join(clean_lines(str(problem))))
        if call.width:
            count = len(problems)
            print(f"{count} problem{'s' if count != 1 else ''}" if count else "nothing is wrong")
    return 1 if problems else 0


def all_problems(call: Call) -> list[Problem]:
    """What reading finds wrong, then what cannot be right by the physics."""
    found = list(call.store.check(call.clock))
    for address in call.notebook.addresses:
        review = call.context.review(address)
        if review is not None:
            found += review.problems
    order = {address: number for number, address in enumerate(call.notebook.addresses)}
    return sorted(
        dict.fromkeys(found),
        key=lambda p: (order.get(p.path.removesuffix(".toml"), -1), p.path, p.line or 0, p.what),
    )

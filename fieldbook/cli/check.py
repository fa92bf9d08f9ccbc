"""`fieldbook check`: reads everything and reports every problem."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from fieldbook.cli.call import Call
from fieldbook.errors import Problem
from fieldbook.store import answers

if TYPE_CHECKING:
    from fieldbook.records import Entry


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes: what to do about lines that another program dropped."""
    lost = parser.add_mutually_exclusive_group()
    lost.add_argument(
        "--restore", action="store_true", help="put back lines that another program dropped"
    )
    lost.add_argument(
        "--forget",
        action="store_true",
        help="leave lines that another program dropped out for good",
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Print every problem with file, line and remedy; exit 1 where there is one."""
    from fieldbook.text import clean_text

    settle_lost_lines(call, given)
    problems = all_problems(call)
    if call.shared.json:
        call.write_json([{"where": p.where, "what": p.what, "remedy": p.remedy} for p in problems])
    else:
        for problem in problems:
            print(clean_text(str(problem)))
        if call.width:
            count = len(problems)
            print(f"{count} problem{'s' if count != 1 else ''}" if count else "nothing is wrong")
    return 1 if problems else 0


def settle_lost_lines(call: Call, given: argparse.Namespace) -> None:
    """Put back or leave out for good what was saved and is gone; say so beside the output."""
    for lost in call.store.lost_lines() if given.restore or given.forget else ():
        if given.restore:
            saved = call.store.restore(lost)
            print(f"put back: {saved.address}.toml:{saved.line}", file=sys.stderr)
        else:
            call.store.forget(lost)
            print(f"left out for good: {lost.address} {lost.key}", file=sys.stderr)


def all_problems(call: Call) -> list[Problem]:
    """What reading finds wrong, then what cannot be right by the physics.

    Working out all of the physics takes long, so its problems are kept for the notebook as it
    stands. They are judged as of the last line that is not later than now: what cannot be right
    follows from what was written, not from the hour it is asked at.
    """
    found = list(call.store.check(call.clock if call.shared.now else None))
    found += _of_the_history(call)
    times = sorted(line.at for entry in _entries(call) for line in entry.log)
    as_of = times[-1] if times else call.clock
    kept = answers.kept(
        call.store.shelf,
        f"check {as_of.isoformat() if times else ''} {len(times)}",
        lambda: [list(problem) for problem in _of_physics(call, as_of)],
    )
    found += [Problem(*row) for row in kept]
    order = {address: number for number, address in enumerate(call.store.addresses)}
    return sorted(
        dict.fromkeys(found),
        key=lambda p: (order.get(p.path.removesuffix(".toml"), -1), p.path, p.line or 0, p.what),
    )


def _of_the_history(call: Call) -> list[Problem]:
    if not (call.store.folder / ".git").is_dir():
        return []
    from fieldbook.sync.standing import problems

    return problems(call.store.folder)


def _entries(call: Call) -> Iterator[Entry]:
    notebook = call.notebook
    return (e for a in notebook.addresses if (e := notebook.entry(a)) is not None)


def _of_physics(call: Call, as_of: datetime) -> list[Problem]:
    from fieldbook.advice.context import Context
    from fieldbook.advice.named_tables import settings_problems

    context = Context.of(call.notebook, as_of, call.store.shelf)
    reviews = (context.review(address) for address in call.notebook.addresses)
    found = [problem for review in reviews if review is not None for problem in review.problems]
    return settings_problems(call.store.settings) + found

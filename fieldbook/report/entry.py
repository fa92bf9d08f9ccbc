"""An entry in words: what is recorded, what is derived, what cannot be right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from fieldbook.advice.results import Result, Verdict
from fieldbook.advice.review import Review
from fieldbook.errors import Problem
from fieldbook.report.units import Units
from fieldbook.report.values import each_text, say, spell
from fieldbook.text import beside, clean, columns, wrap

NAME_WIDTH = 26


def review_lines(
    review: Review,
    recorded: Mapping[str, Any],
    problems: list[Problem],
    units: Units,
    now: datetime,
    width: int,
) -> list[str]:
    """The whole entry, as `show` prints it."""
    lines = [clean(f"{review.entry.address}  {review.entry.title or ''}").rstrip()]
    lines += ["", "recorded"]
    for name, text in flat({k: v for k, v in recorded.items() if k != "log"}):
        lines += pair(name, text, width)
    log = recorded.get("log")
    for key, line in sorted(log.items()) if isinstance(log, Mapping) else ():
        lines += wrap(f"{key[:16]}  {word_of_line(line)}", width, " " * 20, "  ")
    if review.results:
        lines += ["", "derived"]
    for result in review.results.values():
        lines += result_lines(result, units, now, width)
    for verdict in review.verdicts:
        lines += ["", *verdict_lines(verdict, width)]
    if problems:
        lines += ["", "problems"]
        lines += [line for problem in problems for line in problem_lines(problem, width)]
    for caution in review.cautions:
        lines += ["", *wrap(f"caution: {caution}", width, "    ", "  ")]
    return lines


def result_lines(result: Result, units: Units, now: datetime, width: int) -> list[str]:
    """One derived value, and under it each brick or place."""
    lines = pair(spell(result.name), say(result, units, now), width)
    if len(result.each) > 1:
        lines += wrap(each_text(result, units), width, " " * 6, " " * 4)
    return lines


def verdict_lines(verdict: Verdict, width: int) -> list[str]:
    """A grade, why, and what it fell short of."""
    head = f"{verdict.standard} ({verdict.edition}): {verdict.grade or 'no grade'}, {verdict.sure}"
    lines = wrap(head, width, "    ", "  ")
    for reason in verdict.because:
        lines += wrap(f"because {reason}", width, "      ", "    ")
    for short in verdict.short_of_next:
        lines += wrap(f"short of the next: {short}", width, "      ", "    ")
    if verdict.settle:
        lines += wrap(f"would settle it: {verdict.settle}", width, "      ", "    ")
    return lines


def problem_lines(problem: Problem, width: int) -> list[str]:
    """What is wrong, where, and the way out."""
    lines = wrap(f"{problem.where}: {problem.what}", width, "    ", "  ")
    return lines + wrap(problem.remedy, width, "      ", "      ")


def pair(name: str, text: str, width: int) -> list[str]:
    """A name and what there is to say of it, the further lines under the first."""
    head = "  " + beside(clean(name), NAME_WIDTH)
    return wrap(text, width, " " * (columns(head) + 1), head + " ")


def flat(recorded: Mapping[str, Any], path: str = "") -> Iterator[tuple[str, str]]:
    """Fields by dotted path; rows and log lines one a line."""
    for name, value in recorded.items():
        full = f"{path}.{name}" if path else name
        if isinstance(value, Mapping) and _is_row(value):
            yield full, ", ".join(f"{key} {word(item)}" for key, item in value.items())
        elif isinstance(value, Mapping):
            yield from flat(value, full)
        elif isinstance(value, list) and value and all(isinstance(v, Mapping) for v in value):
            for number, item in enumerate(value, 1):
                yield (
                    f"{full} {number}",
                    ", ".join(f"{key} {word(part)}" for key, part in item.items()),
                )
        else:
            yield full, word(value)


def word_of_line(line: Any) -> str:
    """A line of the log as it is written, without the marks of TOML."""
    if not isinstance(line, Mapping):
        return str(line)
    return ", ".join(f"{key} {word(value)}" for key, value in line.items())


def _is_row(value: Mapping[str, Any]) -> bool:
    return bool(value) and not any(isinstance(item, Mapping) for item in value.values())


def word(value: Any) -> str:
    """A value as it is written, without the marks of TOML."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(word(item) for item in value)
    if isinstance(value, Mapping):
        return " ".join(f"{key} {word(item)}" for key, item in value.items())
    return str(value)

"""The page docs/advice.md, made from the rules themselves, with a sentence each of them says.

python -m tests.docs_advice            print it
python -m tests.docs_advice --write    write the page
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from fieldbook.advice.actions import Urgency
from fieldbook.advice.rules import STAGES, Rule, all_rules
from fieldbook.tables import load
from tests.advice.build_records import ask
from tests.advice.rule_states import SPEAKS

PAGE = Path(__file__).parents[1] / "docs/advice.md"
HEAD = """# The advice: what `next` says, and when

Made from the rules themselves by `python -m tests.docs_advice --write`; do not edit it by hand.

One engine asks every rule about every entry. A rule looks at what is derived, never at raw text; it
keeps silent, or asks once for the cheapest measurement, where a value is unknown. What they say is
put in one order, and that order settles every conflict: danger to people, danger to the ware now,
what is due at a time, what blocks the next step, what would teach most; then by time; then as the
rules stand below. Of two actions of one entry on one topic the first stays, and `next --all` shows
the other as set aside. An action declined with `not now: …` stays away until its reason changes.
What is due within a watch of 6 h goes by its hour; what no danger hangs on and is due later stands
behind what can be done now.

The sentence under each rule is what it says in the state its test makes up.
"""
URGENCY = {
    Urgency.PEOPLE: "danger to people",
    Urgency.WARE: "danger to the ware now",
    Urgency.TIMED: "due at a time",
    Urgency.BLOCKING: "blocks the next step",
    Urgency.TEACHING: "would teach most",
}


def lines_of(rule: Rule) -> Iterator[str]:
    """One rule as a section of the page."""
    action = ask(rule.name, SPEAKS[rule.name])[0]
    yield f"### {rule.name}"
    yield ""
    yield f"*{rule.speaks_when}*"
    yield ""
    yield f"> {action.do}  "
    yield f"> {action.why}"
    yield ""
    yield f"- on: {rule.on.__name__.lower()}; {URGENCY[rule.urgency]}"
    if rule.topic:
        yield f"- topic: {rule.topic}"
    yield f"- answered by: `{action.log}`"
    yield f"- goes away with: {action.settled_by}"
    if rule.caution:
        yield f"- caution: {rule.caution}"
    yield f"- source: {rule.source}"
    yield ""


def page() -> str:
    """The whole page."""
    parts = [HEAD]
    for stage in STAGES:
        rules = [rule for rule in all_rules() if rule.stage == stage]
        title = (sys.modules[f"fieldbook.advice.rules.{stage}"].__doc__ or "").split("\n")[0]
        parts.append(f"## {title.rstrip('.')}\n")
        parts.extend("\n".join(lines_of(rule)) for rule in rules)
    parts.append("## Words of the trade\n")
    parts.extend(f"- **{word}**: {said}" for word, said in load("glossary")["words"].items())
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    if "--write" in sys.argv:
        PAGE.write_text(page(), encoding="utf-8")
    else:
        sys.stdout.write(page())

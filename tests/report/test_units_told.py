"""No printed number is bare: it has its unit, or its name says that it is a count or a ratio."""

import re
from datetime import datetime
from functools import cache
from itertools import groupby

import pytest

from fieldbook.advice.context import Context
from fieldbook.advice.engine import advise
from fieldbook.advice.results import Result
from fieldbook.report.actions import action_lines
from fieldbook.report.compare import Side, compare
from fieldbook.report.entry import result_lines, verdict_lines
from fieldbook.report.items import Telling, item_text
from fieldbook.report.plan import build_lines, firing_lines
from fieldbook.report.units import Units
from fieldbook.report.why import result_why
from fieldbook.store.folder import Store
from tests.test_sample_notebook import SAMPLE

MOMENTS = ("2026-05-08T10:00", "2026-05-09T22:00", "2026-09-20T12:00")
"""Before the first fire, within it, and after the season."""
RATIOS = (
    "activity", "liquidity_index", "saturation_coefficient", "apparent_specific_gravity",
    "air_ratio_allowed",
)  # fmt: skip
TOLD = (*(name.replace("_", " ") for name in RATIOS), "air ratio = ")
COUNTS = ("bricks set", "setting courses", "leaves")
"""Names that say what their number is."""
UNIT = (
    r"(?:±|°|%|kN\b|psi\b|/\d+ in\b|\d+/\d+ in\b|"
    r"C\b|F\b|K\b|h\b|d\b|min\b|MJ|kg|g\b|g/|mm|cm|m\b|m2|m²|m3|m³|l\b|in\b|in²|W|V\b|A\b|"
    r"Ah|Pa|kPa|MPa|N\b|/h|to\b|x\b|bricks?\b|firings?\b|sound|soft|cracked|lost|overfired|times|"
    r"days?\b|nights|batches|of\b|armload|barrow|bucket|in a|lines\b)"
)
NAMES = re.compile(
    r"\d{4}-\d\d-\d\d|\d{4}-\d\d-\w|\d\d:\d\d|\d{1,2} [A-Z][a-z]{2}\b(?: \d{4})?|[\w/.-]+\.toml:\d+"
    r"|mean of \d+|\d+ in 100|\b(?:bar|brick|fire|mould|dry|cone|C|IS|watch|coverage factor) \d+"
    r"|(?<=[ :])\d+: |-\d+-\d+\b|\b[A-Z]+ \d+\b|CaO"
    r"|(?:mean|least|greatest) of \d+|saturation coefficient,.*|\[.*?\]|\d+ [a-z, -]+ at [a-z]+"
)
"""What has figures and is no number: days, hours, names, counts behind a mean, standards."""
BARE = re.compile(rf"(?<![\w.])\d+(?:\.\d+)?(?![\w.])(?!\s*{UNIT})")


def bare(text: str) -> list[str]:
    """The numbers in a text that have no unit."""
    return BARE.findall(NAMES.sub("", f" {text}"))


@cache
def at(moment: str) -> Context:
    """The sample notebook at a moment."""
    store = Store(SAMPLE)
    now = datetime.fromisoformat(moment).replace(tzinfo=store.zone)
    return Context.of(store.notebook(now), now)


UNITS = Units({})


def test_the_sweep_sees_what_is_bare():
    assert bare("climb 14.18, fuel 0.3333") == ["14.18", "0.3333"]
    assert not bare("14.18 °C/h on Sat 09 May 18:45, 35 kg (80 in 100), brick 3 of 2026-05-09")


@pytest.mark.parametrize("moment", MOMENTS)
def test_every_number_of_show_why_and_plan_has_its_unit(moment):
    context, found = at(moment), []
    for address in context.notebook.addresses:
        review = context.review(address)
        said = []
        for name, result in review.results.items():
            if name not in RATIOS:
                said += result_lines(result, UNITS, context.present, 0)
                said += [
                    line
                    for line in result_why(review, result, UNITS, context.present, 0)
                    if not line.startswith(("  how:", "  formula:", "  source:"))
                ]
        for verdict in review.verdicts:
            said += [line for line in verdict_lines(verdict, 0) if "wanted" in line]
        if address.startswith("builds/"):
            said += build_lines(review, UNITS, context.present, 0)[1:]
        if "plan" in review.results and review.results["plan"].known:
            said += firing_lines(review, review.results["plan"], UNITS, 0)[1:]
        found += [(address, line[:90], bare(line)) for line in said if bare(line)]
    found = [row for row in found if not any(name in row[1] for name in TOLD)]
    assert found == []


@pytest.mark.parametrize("moment", MOMENTS)
def test_every_measured_number_of_next_has_its_unit(moment):
    """Whole numbers in a sentence count what it names: `in 2 feeds`, `303 in all`."""
    context = at(moment)
    said = [line for action in advise(context).actions
            for line in action_lines(action, context.present, 0)
            if not line.lstrip().startswith("then:")]  # fmt: skip
    found = [(line, number) for line in said for number in bare(line) if "." in number]
    assert found == []


def test_every_number_of_compare_has_its_unit():
    context, found = at(MOMENTS[-1]), []
    for _, group in groupby(context.notebook.addresses, key=lambda a: a.partition("/")[0]):
        sides = [Side(address, context.review(address), context) for address in group]
        both = compare(sides, UNITS)
        for row in (*both.done, *both.out):
            if row.name not in (*RATIOS, *COUNTS):
                found += [(row.name, said) for said in row.said if bare(said)]
    assert found == []


def test_a_step_of_a_plan_is_told_as_the_plan_tells_it():
    step = {
        "name": "dehydration", "from": "2026-05-09T21:18", "to": "2026-05-10T03:30",
        "begins": 18.3, "ends": 24.5, "start": 155.1, "end": 527.1, "climb": 14.18,
        "limited_by": "quartz", "reading_every": 2.0, "do": "climb", "fuel": 0.3333,
    }  # fmt: skip
    assert item_text(step, Telling(UNITS)) == (
        "dehydration: climb to 527 °C at 14 °C/h until 10 May 2026 03:30 "
        "(limited by quartz, look every 2 h, 0.333 kg of wood)"
    )


def test_a_share_of_the_doubt_is_told_in_the_unit_of_the_result():
    context = at(MOMENTS[-1])
    review = context.review("mixes/bank-3-1")
    lines = result_why(review, review.results["dry_parts"], UNITS, context.present, 0)
    doubts = [line for line in lines if "±" in line and line.startswith("    ")]
    assert doubts and all(line.endswith("%") for line in doubts)


def test_what_was_unloaded_is_told_in_words():
    context = at(MOMENTS[-1])
    result: Result = context.review("firings/2026-05-09").results["yield"]
    assert result.inputs[0].text == "92 sound, 4 cracked, 12 soft, 2 lost bricks"


def test_one_of_what_is_counted_is_one():
    assert [UNITS.say(count, "firings") for count in (0, 1, 2)] == [
        "0 firings", "1 firing", "2 firings"
    ]  # fmt: skip

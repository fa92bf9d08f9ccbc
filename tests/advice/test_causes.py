"""Why bricks were lost: the rows of a published table of faults, with records that show each cause
and records that exclude it.

The faults and their causes are those of Practical Action KnO-100076, Duggal, Davis, Lefevre, Agumba
and Abbott, the CBRI digest on lime and others, as the table names them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import pytest

from fieldbook.advice.causes import LOOKS, look_for, looking_so, ranked, rows_of
from fieldbook.advice.results import Result
from fieldbook.advice.rules import Case
from fieldbook.calc.faults import CurveFacts
from fieldbook.tables import load
from tests.advice.build_records import State, ask, context_of
from tests.advice.firings import BATCH, HEAD, LIT, YARD, firing

UNDER = CurveFacts(heat_work=820, wanted=950, spread=30)
DONE = CurveFacts(heat_work=960, wanted=950, spread=20, flame=1200)
UNEVEN = CurveFacts(heat_work=960, wanted=950, spread=110)
ABOVE = CurveFacts(hottest=1090, peak_limit=1050, spread=120, carbon_left=0.0, oxidation_hours=6)
WITHIN = CurveFacts(
    hottest=980, peak_limit=1050, spread=20, carbon_left=0.0, oxidation_hours=8,
    climb_dehydration=30, allowed_climb=60,
)  # fmt: skip
STEAMY = CurveFacts(
    wet_core_at_120=2.5, climb_below_150=80, allowed_below_150=20, hold_below_150=0.2,
    climb_dehydration=150, allowed_climb=60, fall_quartz=30, fall=40, allowed_fall=60,
)  # fmt: skip
DRY = CurveFacts(
    wet_core_at_120=0.2, climb_below_150=12, allowed_below_150=20, hold_below_150=6,
    climb_dehydration=30, allowed_climb=60,
)  # fmt: skip
QUENCHED = CurveFacts(
    fall_quartz=180, fall=200, allowed_fall=60, opened_at=300, wet_core_at_120=0.2,
    climb_below_150=12, allowed_below_150=20, climb_dehydration=30, allowed_climb=60,
)  # fmt: skip
CALM = CurveFacts(fall_quartz=25, fall=30, allowed_fall=60, opened_at=60)
SHORT_OF_AIR = CurveFacts(oxidation_hours=1.0, carbon_left=0.4, air_ratio=1.05)
AIRY = CurveFacts(oxidation_hours=8.0, carbon_left=0.0, air_ratio=2.0)
JUMP = CurveFacts(steepest=400)
STEADY = CurveFacts(steepest=60)


@dataclass(frozen=True)
class Record:
    """What a record holds beside the curve."""

    files: Mapping[str, str] = field(default_factory=dict)
    others: Mapping[str, Mapping[str, object]] = field(default_factory=dict)
    curve: CurveFacts | None = None


def yard(log: str, marked: str = "") -> Record:
    return Record(files={"batches/april": f"{BATCH}{marked}\n[log]\n{log}"})


def clay(text: str) -> Record:
    return Record(files={"clays/pit": text})


def mix(text: str = "", shrinkage: float | None = None) -> Record:
    files = {"mixes/plain": YARD["mixes/plain"].replace("[bars]", f"{text}\n[bars]")}
    held = {"linear_drying_shrinkage": (shrinkage, "%")} if shrinkage is not None else {}
    return Record(files=files, others={"mixes/plain": held})


# row of the table, what is seen, words of its cause, a record that shows it, one that excludes it
ROWS = [
    (2, "too big", "underfired", Record(curve=UNDER), Record(curve=DONE)),
    (6, "too small and cracked", "too much clay", mix(shrinkage=9.5), mix(shrinkage=5.0)),
    (7, "too small and dark", "over-burnt", Record(curve=ABOVE), Record(curve=WITHIN)),
    (8, "edges pick off", "not fired far enough", Record(curve=UNDER), Record(curve=DONE)),
    (9, "dull", "not fired far enough", Record(curve=UNDER), Record(curve=DONE)),
    (10, "crumbles", "not fired far enough", Record(curve=UNDER), Record(curve=DONE)),
    (11, "dissolves", "not fired far enough", Record(curve=UNDER), Record(curve=DONE)),
    (
        13, "straight cracks", "dried too fast",
        yard('"2026-04-04 08:00" = { cracked = 6 }\n'),
        yard('"2026-04-04 12:00" = { brick = "1", mass = "3.20 kg" }\n'),
    ),
    (
        15, "cracks as the colour changes", "first stage",
        yard('"2026-04-02 20:00" = { brick = "1", mass = "3.00 kg" }\n'),
        yard('"2026-04-04 12:00" = { brick = "1", mass = "3.20 kg" }\n'),
    ),
    (
        17, "split after rain", "rain on a green brick",
        yard('"2026-04-04 08:00" = { rain = true }\n'),
        yard('"2026-04-04 08:00" = { rain = false }\n'),
    ),
    (20, "blisters", "skin sealed", Record(curve=ABOVE), Record(curve=WITHIN)),
    (21, "bloating", "gas from matter", Record(curve=SHORT_OF_AIR), Record(curve=WITHIN)),
    (22, "black core", "carbon was not burnt out", Record(curve=SHORT_OF_AIR), Record(curve=AIRY)),
    (23, "grey all through", "no oxygen", Record(curve=SHORT_OF_AIR), Record(curve=AIRY)),
    (24, "burst", "steam", Record(curve=STEAMY), Record(curve=DRY)),
    (25, "cracked while steaming", "still leaving", Record(curve=STEAMY), Record(curve=DRY)),
    (26, "sharp cracks", "quartz zone", Record(curve=QUENCHED), Record(curve=CALM)),
    (
        27, "lime pops", "lime",
        clay('fizz = "low foam"\nlime_lump = "4 mm"\n'), clay('fizz = "none"\n'),
    ),
    (29, "white bloom", "salts", clay('salts = "white bloom"\n'), clay('salts = "none"\n')),
    (32, "twisted", "too hot beside the fire", Record(curve=ABOVE), Record(curve=WITHIN)),
    (33, "salmon", "heat lost at the skin", Record(curve=UNEVEN), Record(curve=DONE)),
    (37, "fused in patches", "sudden burst", Record(curve=JUMP), Record(curve=STEADY)),
    (38, "one side cold", "wind", Record(curve=UNEVEN), Record(curve=DONE)),
    (
        39, "weak and light", "dung or sawdust",
        mix('burn_out = { material = "sawdust", share = "18 %" }'),
        mix('burn_out = { material = "sawdust", share = "4 %" }'),
    ),
]  # fmt: skip
NUMBERS = [f"row {row[0]}" for row in ROWS]
DRY_MASSES = {"dry_masses": {"1": 2.6}}


def case_of(record: Record) -> Case:
    state = firing(LIT, files=dict(record.files), others=dict(record.others))
    context = context_of(state)
    batch = context.review("batches/april")
    assert batch is not None
    batch.facts = DRY_MASSES
    review = context.review("firings/may")
    assert review is not None
    return Case(review.entry, review, context)


def found(seen: str, record: Record):
    return ranked(case_of(record), seen, rows_of(seen, record.curve))


@pytest.mark.parametrize(("row", "seen", "cause", "shows", "excludes"), ROWS, ids=NUMBERS)
def test_a_cause_the_record_shows_comes_first(row, seen, cause, shows, excludes):
    first = found(seen, shows)[0]
    assert cause in first.cause
    assert first.because


@pytest.mark.parametrize(("row", "seen", "cause", "shows", "excludes"), ROWS, ids=NUMBERS)
def test_a_cause_the_record_excludes_does_not_come(row, seen, cause, shows, excludes):
    assert not [each for each in found(seen, excludes) if cause in each.cause]


NOT_IN_ANY_RECORD = ["lumps", "too thin", "purple spot", "slag on faces", "scum that washes off"]


@pytest.mark.parametrize("seen", NOT_IN_ANY_RECORD)
def test_what_no_record_shows_is_to_look_for_with_the_one_look_that_tells(seen):
    first = found(seen, Record())[0]
    assert not first.because
    assert first.look.startswith(("whether", "how", "on which", "what"))


def test_causes_to_look_for_come_after_those_the_record_speaks_for():
    listed = found("cracked", Record(curve=QUENCHED))
    flags = [bool(each.because) for each in listed]
    assert flags == sorted(flags, reverse=True)
    assert "quartz" in listed[0].cause


@pytest.mark.parametrize(
    ("seen", "cause"),
    [
        ("sharp cracks", "quartz zone"),
        ("cracked with sharp edges", "quartz zone"),
        ("straight cracks", "dried too fast"),
        ("surface cracks", "lumps of dry clay"),
        ("cracks as the colour changes", "first stage"),
    ],
)
def test_the_cause_whose_own_look_was_seen_comes_before_those_of_the_bare_word(seen, cause):
    likely = found(seen, Record())
    assert cause in likely[0].cause
    assert likely[0].score > likely[1].score
    assert not looking_so("cracked"), "a bare word is nobody's own look"


def test_a_look_outweighs_one_sign_of_the_curve_for_another_cause():
    fast = Record(curve=CurveFacts(climb_dehydration=90, allowed_climb=60))
    assert "water was still leaving" in found("cracked", fast)[0].cause
    assert "quartz zone" in found("sharp cracks", fast)[0].cause


def test_every_cause_of_the_table_has_its_look():
    for row in load("faults")["fault"]:
        assert look_for(row["cause"]), row["cause"]
    every = [row["cause"] for row in load("faults")["fault"]]
    assert not [words for words in LOOKS if not any(words in cause for cause in every)]


def test_soaked_test_bricks_speak_for_underfiring():
    record = Record(
        files={"tests/one": 'batch = "april"\nfiring = "may"\n'},
        others={"tests/one": {"cold_absorption": (21.0, "%")}},
        curve=CurveFacts(heat_work=940, wanted=950),
    )
    first = found("soft", record)[0]
    assert "tested bricks soak up 21.0 %" in first.because


LOST = Result(
    name="losses",
    value=[
        {
            "name": "cracked", "kind": "cracked", "count": 20, "place": "top",
            "causes": rows_of("cracked", QUENCHED),
        }
    ],
    unit=None,
)  # fmt: skip
OUT = HEAD + '\n[[unloaded]]\nbatch = "april"\nsound = 130\ncracked = 20\n'
DONE_LOG = LIT + '"2026-05-04 20:00" = { event = "unloaded" }\n'


def counted(curve: CurveFacts, log: str = "") -> State:
    rows = [{**LOST.value[0], "causes": rows_of("cracked", curve)}]
    return firing(
        DONE_LOG, head=OUT, now="2026-05-06 09:00", facts={"phase": "unloaded"},
        results={"losses": LOST.but(value=rows)},
        files={"batches/april": f"{BATCH}\n[log]\n{log}"},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("curve", "log", "change"),
    [
        (QUENCHED, "", "slower fall"),
        (STEAMY, "", "slower climb"),
        (CurveFacts(), '"2026-04-04 08:00" = { cracked = 9 }\n', "slower drying"),
    ],
)
def test_the_one_change_follows_the_cause_the_record_speaks_for(curve, log, change):
    (action,) = ask("one-change", counted(curve, log))
    assert action.reason == change


def test_without_a_cause_no_change_is_advised_but_a_look():
    assert not ask("one-change", counted(CurveFacts()))
    (action,) = ask("look-for-cause", counted(CurveFacts()))
    assert action.do.startswith("Look at 3 of the 20 cracked bricks: whether")

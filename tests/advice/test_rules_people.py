"""Where someone can be hurt: each caution at its step, and not before or after it."""

from dataclasses import replace

import pytest

from fieldbook.advice.actions import Urgency
from fieldbook.advice.rules import all_rules
from tests.advice.build_records import State, ask, places
from tests.advice.firings import HEAD, burning, cooling, firing
from tests.advice.test_rules_earth import COIL, FIZZ, MIX, clay, kiln, mix

BATCH = 'mix = "plain"\nmoulded = 2026-04-02\ncount = 50\n'
NEEDED = {"bricks_needed": (300, ""), "bricks_fit": (320, "")}
FIVE = "\n".join(f'"{n}" = {{ dry_mass = "2.5 kg" }}' for n in range(1, 6))
SOAKED = FIVE.replace("}", ', soaked_mass = "2.8 kg" }')
BOILED = SOAKED.replace("}", ', boiled_mass = "2.85 kg" }')
LOOK = {"core_temperature": places("°C", top=700.0), "carbon_left": (0.4, "1")}
OPENS = ("2026-05-04T09:00:00-05:00", "time")
PAINTED = HEAD.replace("split ash", "painted boards")


def bricks(specimens: str) -> State:
    text = f'batch = "one"\n[specimens]\n{specimens}\n'
    return State(on="tests/one", files={"tests/one": text, "batches/one": BATCH})


def build(text: str, results: dict[str, object] | None = None) -> State:
    return State(on="builds/oven", files={"builds/oven": text}, results=results or {})


SPEAKS = {
    "mix-wet": mix(MIX),
    "cut-wet": build('form = "dome"\n', NEEDED),
    "acid-on-clay": clay(COIL),
    "pit-sides": clay('depth = "1.7 m"\n'),
    "no-concrete": kiln('base = "concrete"\n'),
    "lever-drops": bricks(BOILED),
    "boiling-water": bricks(SOAKED),
    "dry-before-metal": build('form = "cylinder"\nmolten_metal = true\n'),
    "clear-the-ring": firing(),
    "clean-wood": firing(head=PAINTED),
    "never-alone": burning(now="2026-05-03 06:30"),
    "shade-eyes": burning(results={"face_temperature": places("°C", top=540.0)}),
    "tongs-not-water": burning(results=LOOK),
    "stand-clear-of-lean": burning('"2026-05-03 10:00" = { lean = "15 mm" }\n'),
    "monoxide-while-sealed": cooling(),
    "monoxide-on-opening": cooling(results={"opens": OPENS}),
    "embers-on-opening": cooling(results={"opens": OPENS}),
}

SILENT = {
    "mix-wet": mix(MIX, files={"batches/one": BATCH}),
    "cut-wet": build('form = "wall"\n', NEEDED),
    "acid-on-clay": clay(FIZZ),
    "pit-sides": clay('depth = "0.9 m"\n'),
    "no-concrete": kiln('base = "fired brick"\n'),
    "lever-drops": bricks(SOAKED),
    "boiling-water": bricks(FIVE),
    "dry-before-metal": build('form = "cylinder"\nmolten_metal = false\n'),
    "clear-the-ring": burning(),
    "clean-wood": firing(),
    "never-alone": burning(),
    "shade-eyes": burning(results={"face_temperature": places("°C", top=700.0)}),
    "tongs-not-water": burning(),
    "stand-clear-of-lean": burning(),
    "monoxide-while-sealed": burning(),
    "monoxide-on-opening": cooling(),
    "embers-on-opening": cooling(),
}


@pytest.mark.parametrize("name", sorted(SPEAKS))
def test_each_says_its_caution_plainly(name):
    (action,) = ask(name, SPEAKS[name])
    assert action.caution
    assert action.caution.endswith(".")


def test_of_what_can_hurt_now_people_come_first():
    later = {"clear-the-ring"}  # blocks lighting; nobody is in danger yet
    for rule in all_rules():
        if rule.stage in ("people", "fire_safety") and rule.name not in later:
            assert rule.urgency is Urgency.PEOPLE, rule.name


@pytest.mark.parametrize(("depth", "word"), [("1.3 m", "ladder"), ("1.6 m", "shore")])
def test_a_pit_wants_a_way_out_from_1200_and_shoring_from_1500_millimetres(depth, word):
    (action,) = ask("pit-sides", clay(f'depth = "{depth}"\n'))
    assert word in action.do


def test_a_danger_that_nobody_stands_in_yet_goes_after_those_that_burn():
    state = SPEAKS["cut-wet"]
    assert ask("cut-wet", state)[0].urgency is Urgency.BLOCKING
    text = state.files[state.on] + '[log]\n"2026-05-02 10:00" = { laid = 40 }\n'
    at_work = replace(state, files={**state.files, state.on: text}, now="2026-05-03 08:00")
    assert ask("cut-wet", at_work)[0].urgency is Urgency.PEOPLE
    for name in ("mix-wet", "lever-drops"):
        assert ask(name, SPEAKS[name])[0].urgency is Urgency.BLOCKING


def test_the_other_side_of_a_leaning_stack_is_fed_only_where_wood_is_wanted():
    leaning = SPEAKS["stand-clear-of-lean"]
    (fed,) = ask("stand-clear-of-lean", leaning)
    assert fed.do.endswith("leans to; feed the other side.")
    for other in (
        replace(leaning, results={"next_feed": (0.0, "kg")}),
        replace(leaning, facts={"phase": "cooling"}),
    ):
        (clear,) = ask("stand-clear-of-lean", other)
        assert clear.do.endswith("leans to.")

"""The engine: order, conflicts, what the maker declines, and the same answer every time."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from fieldbook.advice.actions import Action, Urgency
from fieldbook.advice.context import Context
from fieldbook.advice.engine import Advice, advise, in_turn, order
from fieldbook.advice.rules import all_rules
from tests.advice.build_records import State, at, context_of, places
from tests.advice.firings import burning
from tests.advice.rule_states import SPEAKS

NOON = at("2026-05-03 12:00")
HOT = {
    "face_temperature": places("°C", top=900.0, bottom=1040.0),
    "climb": (80.0, "K/h"),
    "allowed_climb": (40.0, "K/h"),
}


def advice_of(state: State) -> Advice:
    return advise(context_of(state))


def names(advice: Advice) -> list[str]:
    return [action.rule for action in advice.actions]


def an_action(urgency: Urgency, hours: float | None, rule: str) -> Action:
    when = None if hours is None else NOON + timedelta(hours=hours)
    return Action(
        action="x", entry="batches/april", when=when, do="", why="", rule=rule, source="",
        urgency=urgency,
    )  # fmt: skip


RULES = st.sampled_from([rule.name for rule in all_rules()])


@given(
    st.lists(
        st.builds(
            an_action,
            st.sampled_from(list(Urgency)),
            st.none() | st.floats(-100, 100),
            RULES,
        ),
        max_size=12,
    )
)
def test_people_come_first_then_ware_then_time_and_what_is_due_now_before_what_is_due_later(
    actions,
):
    ordered = sorted(actions, key=order)
    urgencies = [action.urgency for action in ordered]
    assert urgencies == sorted(urgencies)
    for first, second in pairwise(ordered):
        if first.urgency == second.urgency and second.when is None:
            assert first.when is None


def test_what_is_for_later_waits_behind_what_can_be_done_now():
    danger = an_action(Urgency.PEOPLE, 60, "pit-sides")
    late = an_action(Urgency.TIMED, -1, "read-now")
    soak = an_action(Urgency.TIMED, 5, "end-soak")
    yard = an_action(Urgency.BLOCKING, 3, "fire-batch")
    mould = an_action(Urgency.BLOCKING, None, "mould-more")
    tomorrow = an_action(Urgency.BLOCKING, 19, "first-kiln")
    weigh = an_action(Urgency.TIMED, 24, "weigh")
    given = [weigh, mould, tomorrow, soak, yard, danger, late]
    assert in_turn(given, NOON) == [danger, late, yard, soak, mould, tomorrow, weigh]


def test_of_what_is_due_the_fire_goes_first():
    soak = an_action(Urgency.TIMED, -2, "end-soak")
    read = replace(an_action(Urgency.TIMED, -1, "read-now"), entry="firings/may")
    assert in_turn([soak, read], NOON) == [read, soak]


def test_of_two_orders_to_one_fire_the_more_urgent_stays_and_the_other_is_shown_as_overruled():
    advice = advice_of(burning(results=HOT))
    fire = [a for a in advice.actions if a.entry == "firings/may" and a.topic == "fire"]
    assert len(fire) == 1
    lost = {(loser.rule, winner.rule) for loser, winner in advice.overruled}
    loser, winner = next(pair for pair in lost if "slow-down" in pair)
    assert {loser, winner} == {"slow-down", "stop-feeding"}
    assert fire[0].rule == winner


def test_near_its_limit_the_kiln_is_told_to_stop_rather_than_to_slow_down():
    advice = advice_of(burning(results=HOT))
    assert "stop-feeding" in names(advice)
    assert "slow-down" not in names(advice)


def declined(state: State, rule: str, when: str, more: str = "") -> State:
    line = f'"{when}" = {{ declined = "{rule}", because = "wood is wet" }}\n{more}'
    files = {**state.files, state.on: state.files[state.on] + line}
    return replace(state, files=files)


LEAN = '"2026-05-03 10:00" = { lean = "15 mm" }\n'


def real_advice(state: State) -> Advice:
    """As a front end asks: with the reviews the program makes itself."""
    return advise(Context.of(context_of(state).notebook, at(state.now)), state.on)


KILN = State(on="kilns/small", files={"kilns/small": 'form = "clamp"\nplaces = ["top"]\n[log]\n'})


def test_an_action_declined_stays_away_with_the_reason_given():
    state = declined(KILN, "name-the-base", "2026-05-03 10:00")
    assert "name-the-base" in names(real_advice(KILN))
    advice = real_advice(state)
    assert "name-the-base" not in names(advice)
    assert [(a.rule, because) for a, because in advice.declined] == [
        ("name-the-base", "wood is wet")
    ]


def test_it_comes_back_when_its_reason_changes():
    rained = '"2026-05-01 08:00" = { rain = true }\n'
    base = (
        'base = "sand"\nform = "updraught"\nplaces = ["top"]\n[log]\n'
        '"2026-04-20 08:00" = { dried = true }\n'
    )
    state = State(on="kilns/small", files={"kilns/small": base + rained})
    assert "dry-the-kiln" in names(real_advice(state))
    away = declined(state, "dry-the-kiln", "2026-05-02 10:00")
    assert "dry-the-kiln" not in names(real_advice(away))
    again = declined(
        state, "dry-the-kiln", "2026-05-02 10:00", '"2026-05-03 09:00" = { rain = true }\n'
    )
    assert "dry-the-kiln" in names(real_advice(again))


def test_declining_one_rule_leaves_the_others_alone():
    state = declined(KILN, "name-the-base", "2026-05-03 10:00")
    before = set(names(real_advice(KILN)))
    assert before - set(names(real_advice(state))) == {"name-the-base"}


def test_asking_for_one_entry_gives_what_the_whole_notebook_gives_for_it():
    state = burning(results=HOT)
    whole = [a for a in advise(context_of(state)).actions if a.entry == "firings/may"]
    assert list(advise(context_of(state), "firings/may").actions) == whole


@given(st.sampled_from(sorted(SPEAKS)))
def test_the_same_state_gives_the_same_actions_in_the_same_order(name):
    first, second = advice_of(SPEAKS[name]), advice_of(SPEAKS[name])
    assert [a.json() for a in first.actions] == [a.json() for a in second.actions]


@given(st.sampled_from(sorted(SPEAKS)), st.randoms(use_true_random=False))
def test_the_order_of_the_entries_changes_nothing(name, random):
    context = context_of(SPEAKS[name])
    shuffled = list(context.notebook.addresses)
    random.shuffle(shuffled)
    mixed = Context.of(replace(context.notebook, addresses=tuple(shuffled)), context.now)
    for address in context.notebook.addresses:
        review = context.review(address)
        assert review is not None
        mixed.hold(review)
    assert [a.json() for a in advise(mixed).actions] == [a.json() for a in advise(context).actions]


@given(st.sampled_from(sorted(SPEAKS)))
def test_no_entry_gets_two_orders_on_one_topic(name):
    topics = [(a.entry, a.topic) for a in advice_of(SPEAKS[name]).actions if a.topic]
    assert len(topics) == len(set(topics))

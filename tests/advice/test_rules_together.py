"""Properties of all that is said at once, over 500 states made up at random."""

import re
from itertools import combinations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldbook.advice.actions import Action
from fieldbook.advice.engine import advise
from fieldbook.advice.results import Result
from tests.advice.build_records import State, at, context_of, places, wrapped
from tests.advice.firings import HEAD, LIT, YARD

HOTTER = {"climb", "feed", "feed-place", "even-out", "light"}
COOLER = {"stop-feeding", "slow-down", "hold", "end-the-fire", "more-air", "seal", "dry-longer"}
OPENING = {"dry-faster", "open", "unload"}
CLOSING = {"dry-slower", "cover-from-frost", "lay-flat", "seal", "slow-the-fall", "keep-shut"}
LAYING = {"mix-mortar", "wet-bricks"}
NOT_LAYING = {"use-elsewhere", "test-fitness", "cover-wall"}
CARRYING, OVER = {"bring-wood", "drier-wood"}, {"end-the-fire"}
OPPOSITE = ((HOTTER, COOLER), (OPENING, CLOSING), (LAYING, NOT_LAYING), (CARRYING, OVER))
LINES = {
    "steam": "{ steam = true }",
    "no steam": "{ steam = false }",
    "peak": '{ event = "peak" }',
    "sealed": '{ event = "sealed" }',
    "opened": '{ event = "opened" }',
    "unloaded": '{ event = "unloaded" }',
    "black": '{ draw = "1", core = "black" }',
    "even": '{ draw = "2", core = "even" }',
    "smoke": '{ smoke = "black" }',
    "read": '{ temperature = "600 C", place = "top" }',
    "wood": '{ fuel = "20 kg", of = "split ash" }',
    "heap": '{ fuel_left = "50 kg" }',
    "lean": '{ lean = "12 mm" }',
}


def by_place(unit: str, low: float, high: float) -> st.SearchStrategy[Result]:
    value = st.floats(low, high)
    return st.builds(lambda top, bottom: places(unit, top=top, bottom=bottom), value, value)


def moment(first: str, hours: int) -> st.SearchStrategy[tuple[str, str]]:
    start = at(first)
    return st.integers(0, hours).map(
        lambda h: (start.replace(day=start.day + h // 24, hour=h % 24).isoformat(), "time")
    )


RESULTS = st.fixed_dictionaries(
    {},
    optional={
        "face_temperature": by_place("°C", 15, 1100),
        "core_temperature": by_place("°C", 15, 1100),
        "free_water_left": by_place("%", 0, 8),
        "climb": st.floats(-100, 300).map(lambda v: (v, "K/h")),
        "allowed_climb": st.floats(5, 150).map(lambda v: (v, "K/h")),
        "climb_is_limited_by": st.sampled_from(["steam", "stress", "quartz"]),
        "fall": st.floats(-50, 300).map(lambda v: (v, "K/h")),
        "allowed_fall": st.floats(20, 150).map(lambda v: (v, "K/h")),
        "heat_work_left": st.floats(0, 900).map(lambda v: (v, "min")),
        "carbon_left": st.floats(0, 1).map(lambda v: (v, "1")),
        "air_ratio_allowed": st.floats(1, 4).map(lambda v: (v, "1")),
        "fuel_to_go": st.floats(0, 500).map(lambda v: (v, "kg")),
        "aimed_climb": st.floats(-60, 100).map(lambda v: (v, "K/h")),
        "next_feed": st.one_of(st.just(0.0), st.floats(0, 60)).map(lambda v: (v, "kg")),
        "time_left": st.floats(0, 60).map(lambda v: (v, "h")),
        "next_reading": moment("2026-05-03T00:00:00", 60),
        "opens": moment("2026-05-03T00:00:00", 90),
        "unload_at": moment("2026-05-03T00:00:00", 90),
        "peak_limit": st.floats(850, 1100).map(lambda v: (v, "°C")),
    },
)
FACTS = st.fixed_dictionaries(
    {},
    optional={
        "planned_hours": st.floats(4, 90),
        "air_ratio": st.floats(1, 5),
        "falling_places": st.just((("top", 30.0),)),
        "fan_energy_to_go": st.floats(0, 900),
        "battery_left": st.floats(0, 900),
    },
)
LOG = st.lists(st.sampled_from(sorted(LINES)), max_size=8)


def phases(events: list[str]) -> st.SearchStrategy[str]:
    """The phases a firing can be in after such events."""
    for event, after in (
        ("unloaded", ["unloaded"]),
        ("opened", ["opened"]),
        ("sealed", ["sealed", "cooling"]),
        ("peak", ["holding", "cooling"]),
    ):
        if event in events:
            return st.sampled_from(after)
    return st.sampled_from(["planned", "lit", "climbing", "holding", "cooling"])


@st.composite
def firings(draw: st.DrawFn) -> State:
    names = draw(LOG)
    facts = {**draw(FACTS), "phase": draw(phases(names))}
    log = LIT if facts["phase"] != "planned" else ""
    log += "".join(f'"2026-05-03 07:{n:02d}" = {LINES[x]}\n' for n, x in enumerate(names))
    units = draw(st.sampled_from(["", '[show]\ntemperature = "degF"\nmass = "lb"\n']))
    return State(
        on="firings/may",
        files={**YARD, "firings/may": f"{HEAD}\n[log]\n{log}"},
        now=draw(st.sampled_from(["2026-05-03 12:00", "2026-05-04 02:30", "2026-05-05 23:00"])),
        results=draw(RESULTS),
        facts=facts,
        settings=units,
    )


BATCH_LINES = {
    "rain": "{ rain = true }",
    "frost": "{ frost = true }",
    "covered": "{ covered = true }",
    "turned": "{ turned = true }",
    "cracked": "{ cracked = 3 }",
    "weighed": '{ brick = "1", mass = "3.0 kg" }',
}


@st.composite
def batches(draw: st.DrawFn) -> State:
    names = draw(st.lists(st.sampled_from(sorted(BATCH_LINES)), max_size=6))
    log = "".join(f'"2026-05-02 07:{n:02d}" = {BATCH_LINES[x]}\n' for n, x in enumerate(names))
    marked = draw(st.sampled_from(["", '[marked]\n"1" = { mass = "3.2 kg" }\n']))
    water = st.floats(-1, 30)
    results = draw(
        st.fixed_dictionaries(
            {},
            optional={
                "moisture": st.builds(
                    lambda value, wide: Result(name="", value=value, unit="%", plus_minus=wide),
                    water,
                    st.floats(0, 2),
                ),
                "drying_rate": st.floats(-0.2, 3).map(lambda v: (v, "%/h")),
                "drying_stage": st.sampled_from(["shrinking", "past the shrinkage stop"]),
                "ready": moment("2026-05-01T00:00:00", 400),
            },
        )
    )
    facts = draw(st.fixed_dictionaries({}, optional={"air_dry": st.booleans()}))
    head = 'mix = "plain"\nmoulded = 2026-04-28\ncount = 180\n'
    return State(
        on="batches/april",
        files={"batches/april": f"{head}{marked}[log]\n{log}", "mixes/plain": YARD["mixes/plain"]},
        results=results,
        facts=facts,
    )


NUMBER = re.compile(r"(?<![\w:./-])(\d+(?:\.\d+)?)(?![\d:.]*\d)\s*([^\s,.;:)]*)")
COUNTED = {
    "°C", "°F", "°C/h", "°F/h", "K/h", "mm", "m", "l", "ml", "kg", "g", "lb", "min", "h", "days",
    "%", "Wh", "in", "ft", "gal", "brick", "bricks", "people", "nights", "mg/m³", "ppm", "more",
    "times", "drops", "parts", "part", "to", "firings", "fit", "May", "Jun", "places", "MJ/kg",
}  # fmt: skip


def assert_sensible(state: State) -> None:
    actions = advise(context_of(state)).actions
    now = at(state.now)
    own = [a for a in actions if a.entry == state.on and (a.when is None or a.when <= now)]
    for one, other in combinations(own, 2):
        assert not opposite(one, other), (one.do, other.do)
        assert not contradict(one, other), (one.do, other.do)
    for action in actions:
        assert len(wrapped(action.do)) <= 2, action.do
        if action.when is not None and action.when < at(state.now):
            assert action.why.startswith("Overdue by "), action.why
        for number, unit in NUMBER.findall(action.do):
            named = f"brick {number}" in action.do or "bricks" in action.do
            assert unit in COUNTED or named, (number, unit, action.do)


FEED = re.compile(r"\b[Ff]eed (under|the (side|other))")
NO_WOOD = re.compile(r"no more wood|[Ss]top feeding|less at a time")
OPEN = re.compile(r"\b[Oo]pen the (air|cover)|top open")
SHUT = re.compile(r"\b[Cc]lose the air|with less air|everything shut")
RIGHT_WORDS = ((FEED, NO_WOOD), (OPEN, SHUT))


def contradict(one: Action, other: Action) -> bool:
    """Whether the words of one order are against those of another that stands beside it."""
    return any(
        (yes.search(one.do) and no.search(other.do)) or (yes.search(other.do) and no.search(one.do))
        for yes, no in RIGHT_WORDS
    )


def opposite(one: Action, other: Action) -> bool:
    return any(
        (one.action in yes and other.action in no) or (other.action in yes and one.action in no)
        for yes, no in OPPOSITE
    )


MANY = settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SOME = settings(MANY, max_examples=60)


@MANY
@given(firings())
def test_a_firing_gets_no_two_opposite_orders_no_hidden_delay_no_bare_number(state):
    assert_sensible(state)


@MANY
@given(batches())
def test_a_batch_gets_no_two_opposite_orders_no_hidden_delay_no_bare_number(state):
    assert_sensible(state)


@SOME
@given(firings())
def test_no_action_on_a_fire_aims_above_the_limit_of_its_mix(state):
    limit = state.results.get("peak_limit", (1050.0, ""))[0]
    faces = state.results.get("face_temperature")
    for action in advise(context_of(state)).actions:
        reach = action.numbers.get("reach")
        if reach and faces is not None:
            hottest = max(faces.each.values()) + reach[0] - min(faces.each.values())
            assert hottest <= limit


MET = {
    "seal": '"2026-05-03 11:59" = { event = "sealed" }\n',
    "unload": '"2026-05-03 11:59" = { event = "unloaded" }\n',
    "end-the-fire": '"2026-05-03 11:59" = { event = "peak" }\n',
}
"""Orders of one word, with the line that answers them."""


@SOME
@given(firings())
def test_an_order_that_was_met_is_not_given_again(state):
    done = {
        action for action, line in MET.items() if line.split("=", 1)[1] in state.files[state.on]
    }
    for action in advise(context_of(state)).actions:
        assert action.action not in done

"""What a mix learns from its own firings: rates it stood, and what heat-work did to it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.advice.context import Context
from fieldbook.advice.fired_fit import PRIORS, Point, fit, points_of
from fieldbook.advice.foretold import changes, heat_for
from fieldbook.advice.learnt_rates import Seen, factor_of, fastest, seen_of
from fieldbook.records import Firing, Mix
from tests.advice.build_records import State, context_of
from tests.advice.firings import BATCH, HEAD, YARD

ABSORPTION = PRIORS["cold_absorption"]


def seen(name: str, climb: float, fall: float, broken: int, bricks: int = 100) -> Seen:
    return Seen(name, climb, fall, bricks, broken)


def test_without_firings_the_stress_rule_stands_as_it_is():
    assert factor_of([], "climb").value == 1.0


def test_a_climb_that_came_through_sound_raises_the_allowed_up_to_itself_and_no_further():
    factor = factor_of([seen("a", 1.4, 0.5, 1), seen("b", 1.2, 0.5, 0)], "climb")
    assert factor.value == pytest.approx(1.4)
    assert factor.bricks == 200


def test_a_slow_climb_that_came_through_proves_nothing():
    assert factor_of([seen("a", 0.4, 0.4, 0)], "climb").value == 1.0


def test_cracks_below_the_rule_lower_what_is_allowed():
    factor = factor_of([seen("a", 0.7, 0.2, 40)], "climb")
    assert factor.value == pytest.approx(0.8 * 0.7)


def test_the_fastest_that_came_through_below_the_cracks_is_kept():
    factor = factor_of([seen("a", 0.7, 0.2, 40), seen("b", 0.65, 0.2, 0)], "climb")
    assert factor.value == pytest.approx(0.65)


def test_cracks_are_laid_to_the_rate_that_was_further_over_its_rule():
    fast_fall = [seen("a", 0.5, 1.6, 54)]
    assert factor_of(fast_fall, "climb").value == 1.0
    assert factor_of(fast_fall, "fall").value == 1.0  # above the rule, which already forbids it


RATE = st.floats(0.05, 3)
HISTORY = st.lists(st.builds(seen, st.text("ab", min_size=1), RATE, RATE, st.integers(0, 100)))


@given(HISTORY)
def test_a_factor_is_never_beyond_what_was_seen_to_come_through(history):
    for what in ("climb", "fall"):
        factor = factor_of(history, what).value
        sound = [getattr(one, what) for one in history if one.share <= 0.03]
        assert factor <= max([1.0, *sound])
        assert factor >= 0.3


CURVE = """
"2026-05-03 06:00" = { event = "lit" }
"2026-05-03 08:00" = { temperature = "150 C", place = "top" }
"2026-05-03 10:00" = { temperature = "350 C", place = "top" }
"2026-05-03 10:01" = { temperature = "360 C", place = "top" }
"2026-05-03 12:00" = { temperature = "600 C", place = "top" }
"2026-05-03 20:00" = { temperature = "950 C", place = "top" }
"2026-05-04 00:00" = { temperature = "550 C", place = "top" }
"2026-05-05 08:00" = { event = "unloaded" }
"""
OUT = HEAD + '\n[[unloaded]]\nbatch = "april"\nsound = 95\ncracked = 5\n'


def season(head: str = OUT, log: str = CURVE) -> State:
    files = {**YARD, "batches/april": BATCH, "firings/may": f"{head}\n[log]\n{log}"}
    return State(on="mixes/plain", files=files, now="2026-05-06 12:00")


def entry(state: State, address: str):
    return context_of(state).notebook.entry(address)


def test_the_fastest_climb_and_fall_are_read_over_at_least_twenty_minutes():
    firing = entry(season(), "firings/may")
    assert isinstance(firing, Firing)
    # 350 to 600 °C in 2 h; the step of 10 K in a minute is no rate
    assert fastest(firing, 1, 150, 650) == pytest.approx(125)
    assert fastest(firing, -1, 300, 900) == pytest.approx(100)


def test_a_firing_tells_its_rates_over_the_rule_with_how_many_bricks():
    context = context_of(season())
    mix = context.notebook.entry("mixes/plain")
    assert isinstance(mix, Mix)
    (one,) = seen_of(mix, context)
    assert (one.bricks, one.broken) == (100, 5)
    assert one.climb is not None
    assert one.climb > 0


def test_a_firing_of_a_handful_says_nothing_of_rates():
    head = OUT.replace("sound = 95", "sound = 12")
    context = context_of(season(head=head))
    mix = context.notebook.entry("mixes/plain")
    assert isinstance(mix, Mix)
    assert not list(seen_of(mix, context))


def test_where_nothing_was_fired_there_is_no_line():
    assert fit([], ABSORPTION) is None


def test_with_one_bar_the_slope_is_the_prior_s():
    line = fit([Point(900, 16.0, "")], ABSORPTION)
    assert line is not None
    assert line.slope == pytest.approx(ABSORPTION.slope)
    assert line.at(900)[0] == pytest.approx(16.0)


def test_many_bars_along_a_line_teach_that_line():
    points = [Point(850 + 10 * n, 20 - 0.05 * 10 * n, "") for n in range(20)]
    line = fit(points, ABSORPTION)
    assert line is not None
    assert line.slope == pytest.approx(-0.05, abs=0.002)
    assert line.at(950)[0] == pytest.approx(15.0, abs=0.1)


POINTS = st.lists(
    st.builds(Point, st.floats(800, 1100), st.floats(2, 30), st.just("")), min_size=1, max_size=12
)


@given(POINTS)
def test_one_more_bar_never_makes_the_slope_less_sure(points):
    before, after = fit(points, ABSORPTION), fit([*points, points[0]], ABSORPTION)
    assert before is not None
    assert after is not None
    if len(points) > 1:  # from three on the scatter is the points' own and may prove larger
        return
    assert after.slope_sd <= before.slope_sd * (1 + 1e-9)


@given(POINTS, st.floats(0, 200))
def test_the_band_widens_away_from_what_was_fired(points, away):
    line = fit(points, ABSORPTION)
    assert line is not None
    assert line.at(line.middle + away)[1] >= line.at(line.middle)[1]
    assert line.at(line.middle)[1] >= 0


def test_trial_bars_are_points_by_their_heat_work():
    bars = """
"1" = { fired_mass = "100 g", soaked_mass = "115 g", fired_at = "900 C", hold = "1 h" }
"2" = { fired_mass = "100 g", soaked_mass = "112 g", fired_at = "900 C", hold = "3 h" }
"3" = { fired_mass = "100 g", soaked_mass = "102 g", fired_at = "1100 C", went = "bloated" }
"""
    mix = entry(
        State(
            on="mixes/plain",
            files={"mixes/plain": 'parts = [{ clay = "pit", mass = "1 kg" }]\n[bars]' + bars},
        ),
        "mixes/plain",
    )
    context = context_of(season())
    first, second = points_of(mix, context, "cold_absorption")
    assert first.heat == pytest.approx(900, abs=0.5)
    assert first.value == pytest.approx(15.0)
    # E = 400 kJ/mol: 3 h at 900 °C do the work of 1 h at T, 1/T = 1/1173.15 - R ln 3/E
    assert second.heat == pytest.approx(932.2, abs=0.5)


LINED = """
parts = [{ clay = "pit", mass = "1 kg" }]
[bars]
"1" = { fired_mass = "100 g", soaked_mass = "118 g", fired_at = "880 C" }
"2" = { fired_mass = "100 g", soaked_mass = "116 g", fired_at = "920 C" }
"3" = { fired_mass = "100 g", soaked_mass = "114 g", fired_at = "960 C" }
"4" = { fired_mass = "100 g", soaked_mass = "112 g", fired_at = "1000 C" }
"5" = { fired_mass = "100 g", soaked_mass = "110 g", fired_at = "1040 C" }
"""


def lined(bars: str = LINED) -> tuple[Mix, Context]:
    context = context_of(State(on="mixes/plain", files={"mixes/plain": bars}))
    mix = context.notebook.entry("mixes/plain")
    assert isinstance(mix, Mix)
    return mix, context


def test_what_more_heat_does_is_foretold_by_the_mix_s_own_bars():
    # 2 % less for each 40 K: 50 K should take off about 2.5 %
    (told,) = changes(*lined(), 50)
    assert told.startswith("absorption by -2.")
    assert "±" in told


@pytest.mark.parametrize(
    "bars",
    [
        'parts = [{ clay = "pit", mass = "1 kg" }]\n',
        LINED.partition('"2"')[0],
        LINED.replace("920", "880")
        .replace("960", "880")
        .replace("1000", "880")
        .replace("1040", "880"),
    ],
    ids=["no bars", "one bar", "all at one heat"],
)
def test_where_no_slope_was_learnt_nothing_is_foretold(bars):
    mix, context = lined(bars)
    assert not list(changes(mix, context, 50))
    assert heat_for(mix, context, "cold_absorption", 15.0) is None
    assert heat_for(mix, context, "modulus_of_rupture", 3.0) is None


def test_the_heat_from_which_a_property_is_surely_as_wanted_lies_beyond_where_it_is_just_so():
    mix, context = lined()
    heat = heat_for(mix, context, "cold_absorption", 15.0)
    # 15 % is the line's own value at 940 degC; its half-width has to be made up as well
    assert heat is not None
    assert 945 <= heat <= 1060
    assert heat_for(mix, context, "cold_absorption", 2.0) is None, "nobody has seen so much heat"

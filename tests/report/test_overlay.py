"""Curves of firings laid over each other."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from fieldbook.report.fire_curve import Point
from fieldbook.report.overlay import (
    CLOCK,
    LIGHTING,
    TEMPERATURE,
    WAYS,
    Laid,
    hours_lines,
    hours_rows,
    json_of,
    line,
    overlay,
)
from fieldbook.report.units import Units
from fieldbook.text import columns

PLAIN = Units({}, ascii_only=True)


def fire(name, lit, *pairs):
    points = [Point(float(hours), float(value), 3.0, 1.0) for hours, value in pairs]
    return Laid(name, "top", lit, points, None)


ONE = fire("one", datetime(2026, 5, 3, 6, tzinfo=UTC), (0, 20), (10, 920), (12, 920), (20, 120))
TWO = fire("two", datetime(2026, 6, 7, 18, tzinfo=UTC), (0, 20), (20, 820), (30, 20))


def test_by_the_clock_each_begins_at_the_time_it_was_lit():
    assert line(ONE, CLOCK)[0] == (6.0, 20.0)
    assert line(TWO, CLOCK)[0] == (18.0, 20.0)
    assert line(TWO, LIGHTING)[0] == (0.0, 20.0)


def test_by_temperature_the_hours_at_and_above_grow_downwards():
    pairs = line(ONE, TEMPERATURE)
    assert pairs[0] == (2.0, 920.0)
    at = {degrees: hours for hours, degrees in pairs}
    # By hand: 90 K/h up and 100 K/h down; from 500 to 920 is 4.667 h, down 4.2 h, 2 h held.
    assert at[500.0] == pytest.approx(420 / 90 + 2 + 420 / 100)
    assert [hours for hours, _ in pairs] == sorted(hours for hours, _ in pairs)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("ascii_only", [True, False])
def test_a_plot_is_as_wide_and_high_as_asked_for(way, ascii_only):
    rows = overlay([ONE, TWO], way, Units({}, ascii_only), 79, 14)
    assert len(rows) == 2 + 14
    assert max(columns(row) for row in rows) <= 79
    assert "one top" in rows[0] and "two top" in rows[1]
    assert not ascii_only or "".join(rows).isascii()


def test_the_axis_says_what_it_counts():
    assert "day 2" in overlay([ONE, TWO], CLOCK, PLAIN, 79, 14)[-1]
    assert "12 h" in overlay([ONE, TWO], LIGHTING, PLAIN, 79, 14)[-1]
    assert overlay([ONE, TWO], LIGHTING, PLAIN, 79, 14)[-1].split()[0] == "0"


def test_curves_lie_where_their_numbers_are():
    rows = overlay([TWO], LIGHTING, PLAIN, 67, 22)
    canvas = [row[7:] for row in rows[1:-2]]
    # The top, after 20 of 30 h, stands two thirds of the way across and near the upper edge.
    top = next(number for number, row in enumerate(canvas) if "*" in row)
    assert top <= 1
    middle = (canvas[top].index("*") + canvas[top].rindex("*")) / 2
    # A row is 40 K high, which the rise of 40 K/h passes in 1 h: two columns.
    assert middle == pytest.approx(2 / 3 * 60, abs=2)


def test_without_two_readings_there_is_no_plot():
    lonely = fire("lonely", datetime(2026, 5, 3, 6, tzinfo=UTC), (0, 20))
    assert overlay([lonely], LIGHTING, PLAIN, 79, 14) == []
    assert overlay([], LIGHTING, PLAIN, 79, 14) == []


def test_a_name_from_a_file_cannot_move_the_terminal():
    bad = ONE._replace(name="one\x1b[2J")
    assert "\x1b" not in "".join(overlay([bad, TWO], LIGHTING, PLAIN, 79, 14))


def test_hours_that_the_readings_leave_open_are_no_difference():
    # One was read twice between 20 and 920: when it passed 900 is known to 5 h, and to 4 h falling.
    found = dict(hours_rows([ONE, TWO]))[900.0]
    assert found[0].number == pytest.approx(2 + 20 / 90 + 20 / 100)
    assert found[0].plus_minus == pytest.approx(41**0.5)
    assert found[1].number == 0
    said = next(row for row in hours_lines([ONE, TWO], PLAIN, 0) if " 900 C" in row)
    assert said.endswith(": same to within the bounds")
    close = ONE._replace(points=[*ONE.points[:1], Point(9.8, 880.0, 3.0, 1.0), *ONE.points[1:3]])
    said = next(row for row in hours_lines([close, TWO], PLAIN, 0) if " 900 C" in row)
    assert said.endswith(": differs")


def test_of_one_firing_alone_nothing_is_compared():
    assert hours_lines([ONE], PLAIN, 79) == []


def test_json_gives_hours_and_degrees_celsius():
    answer = json_of([ONE], LIGHTING)
    assert answer["by"] == "lighting"
    assert answer["entries"][0]["points"][1] == [10.0, 920.0]


def test_the_clock_is_that_of_the_notebook():
    lit = datetime(2026, 5, 3, 23, 30, tzinfo=UTC).astimezone(ZoneInfo("Europe/Dublin"))
    assert line(fire("late", lit, (0, 20), (1, 80)), CLOCK)[0][0] == 0.5

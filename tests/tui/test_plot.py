"""Plots: what stands where is worked out by hand from the size of the canvas."""

from datetime import UTC, datetime

import pytest

from fieldbook.report.plot import LEFT, Curve, Frame, plot

MORNING = datetime(2026, 5, 3, 6, 0, tzinfo=UTC)


def frame(width=47, height=12, first=0.0, last=8.0, highest=1000.0):
    return Frame(MORNING, first, last, 0.0, highest, width, height)


def test_every_row_is_at_most_as_wide_as_asked_for():
    curve = Curve("face", [0, 4, 8], [0, 500, 1000])
    for ascii_only in (True, False):
        rows = plot([curve], frame(), ascii_only=ascii_only)
        assert len(rows) == 12
        assert max(map(len, rows)) <= 47


def test_a_straight_climb_goes_from_the_lower_left_to_the_upper_right():
    rows = plot([Curve("face", [0, 8], [0, 1000], letter="#")], frame(), ascii_only=True)
    assert rows[0].rstrip().endswith("#")
    assert rows[9][LEFT] == "#"
    counts = [row.count("#") for row in rows[:10]]
    assert sum(counts) == 40  # one a column
    assert set(counts) <= {3, 4, 5}  # 40 columns on 10 rows, the ends rounded


def test_the_clock_axis_names_full_hours_under_their_ticks():
    *_, axis, clock = plot([], frame(), ascii_only=True)
    for text, hours in (("08:00", 2), ("10:00", 4), ("12:00", 6)):
        column = LEFT + round(hours / 8 * 39)
        assert axis[column] == "+"
        assert clock[column - 2 : column + 3] == text


def test_midnight_is_named_by_its_day():
    *_, clock = plot([], frame(first=0, last=24), ascii_only=True)
    assert "Mon 04" in clock


@pytest.mark.parametrize("highest, expected", [(1000, ["1000", "500"]), (100, ["100", "50"])])
def test_the_upright_axis_has_round_numbers(highest, expected):
    rows = plot([], frame(height=7, highest=highest), ascii_only=True)
    assert [row[: LEFT - 1].strip() for row in rows[:5] if row[:LEFT].strip(" |+")][:2] == expected


def test_without_braille_only_plain_letters_are_used():
    curve = Curve("face", [0, 8], [0, 1000])
    assert all(row.isascii() for row in plot([curve], frame(), ascii_only=True))


def test_marks_stand_over_curves():
    curves = [
        Curve("face", [0, 8], [500, 500], letter="#"),
        Curve("read", [4], [500], letter="x", is_marks=True),
    ]
    assert "x" in "".join(plot(curves, frame(), ascii_only=False))
    assert "x" in "".join(plot(curves, frame(), ascii_only=True))


def test_what_lies_outside_is_left_out():
    curve = Curve("face", [-5, 20], [2000, -2000])
    rows = plot([curve], frame())
    assert max(map(len, rows)) <= 47

"""Whether a value rises or falls, beyond the scatter."""

import pytest

from fieldbook.advice.results import Result
from fieldbook.report.trend import slope, trend_text
from fieldbook.report.units import Units


def results(*values, unit="%"):
    return [Result(name="yield", value=value, unit=unit) for value in values]


def test_a_slope_has_the_bounds_of_a_straight_line():
    # By hand: y = 1, 2, 2, 5 at 0..3: slope 6/5; rest 1.8; error sqrt(1.8 / 2 / 5); t(2) = 4.303.
    found = slope([1, 2, 2, 5])
    assert found.each == pytest.approx(1.2)
    assert found.half == pytest.approx(4.303 * (1.8 / 2 / 5) ** 0.5)
    assert not found.is_clear


def test_three_values_are_no_trend():
    assert slope([1, 2, 3]) is None
    assert trend_text("yield", results(1, 2, 3), Units({})) is None


def test_a_trend_is_told_with_its_bounds_and_scatter_is_called_scatter():
    rising = trend_text("yield", results(50, 61, 69, 80, 91), Units({}))
    assert rising.startswith("yield: rises by 10 ± 1 % each time, of 5")
    assert trend_text("yield", results(50, 90, 40, 95), Units({})) == (
        "yield: no trend beyond the scatter of 4"
    )
    falling = trend_text("peak", results(990, 970, 950, 930, unit="°C"), Units({}))
    assert falling.startswith("peak: falls by 20")
    assert "°C each time" in falling

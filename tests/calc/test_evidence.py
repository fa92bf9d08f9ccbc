"""Evidence of several kinds, combined by width."""

import pytest

from fieldbook.calc.evidence import Evidence, combined, from_curve, settling_shrinkage
from fieldbook.errors import NotPossible


def test_weights_go_with_the_square_of_the_width():
    both = combined([Evidence("glow", 900, 80), Evidence("cone", 920, 15)])
    # by hand: weights 1/6400 and 1/225
    assert both.value == pytest.approx((900 / 6400 + 920 / 225) / (1 / 6400 + 1 / 225))
    assert both.half == pytest.approx((1 / 6400 + 1 / 225) ** -0.5)
    assert both.weights["cone"] == pytest.approx(0.966, abs=1e-3)
    assert both.agree


def test_a_bound_cuts_the_band_and_is_never_a_value():
    cut = combined([Evidence("glow", 900, 80), Evidence("cone", 915, 15, "above")])
    assert cut.value == pytest.approx((900 + 980) / 2)
    assert cut.half == pytest.approx(40)
    alone = combined([Evidence("cone", 915, 15, "above")])
    assert alone.value is None
    assert alone.low == 900


def test_what_excludes_each_other_is_not_averaged_away():
    apart = combined([Evidence("thermometer", 700, 5), Evidence("cone", 915, 15)])
    assert not apart.agree
    assert apart.value - apart.half <= 695
    assert apart.value + apart.half >= 930
    assert "cone" in apart.why
    assert not combined([Evidence("thermometer", 700, 5), Evidence("cone", 915, 15, "above")]).agree


BARS = [(850.0, 1.0), (900.0, 2.0), (950.0, 3.0), (1000.0, 5.0)]


def test_shrinkage_of_a_draw_brick_becomes_heat_work_by_the_mixs_own_bars():
    found = from_curve(2.5, 0.2, BARS)
    assert found.value == pytest.approx(925)
    assert found.half == pytest.approx(10)
    assert from_curve(0.3, 0.2, BARS).side == "below"
    assert from_curve(6.0, 0.2, BARS).side == "above"


def test_a_curve_that_does_not_grow_is_refused():
    with pytest.raises(NotPossible):
        from_curve(2.0, 0.1, [(850, 1.0), (900, 0.9)])
    with pytest.raises(NotPossible):
        from_curve(2.0, 0.1, [(850, 1.0)])
    with pytest.raises(NotPossible):
        combined([Evidence("glow", 900, 0)])


def test_settling_is_an_upper_bound_of_shrinkage():
    # 48 mm of a 1.2 m stack is 4 %
    assert settling_shrinkage(0.048, 1.2) == pytest.approx(4.0)
    with pytest.raises(NotPossible):
        settling_shrinkage(1.3, 1.2)

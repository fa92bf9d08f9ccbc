"""Field tests of clay: published answers, authorities side by side, no false sureness."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.calc import clay, plasticity
from fieldbook.errors import NotPossible, OutOfRange
from fieldbook.tables import load


def test_texture_of_a_published_example():
    # soil texture page: sand 30, clay 30, silt 40 is a clay loam
    assert clay.texture_class(sand=30, silt=40, clay=30).name == "clay loam"


@pytest.mark.parametrize(
    ("sand", "silt", "clay_share", "name"),
    [  # limits of the Soil Science Society of America, by hand
        (92, 5, 3, "sand"), (80, 12, 8, "loamy sand"), (65, 25, 10, "sandy loam"),
        (40, 40, 20, "loam"), (20, 65, 15, "silt loam"), (7, 87, 6, "silt"),
        (60, 15, 25, "sandy clay loam"), (10, 55, 35, "silty clay loam"), (52, 6, 42, "sandy clay"),
        (6, 47, 47, "silty clay"), (20, 20, 60, "clay"), (44, 16, 40, "clay"),
    ],
)  # fmt: skip
def test_texture_classes(sand, silt, clay_share, name):
    assert clay.texture_class(sand, silt, clay_share).name == name


def test_memory_is_marked():
    assert clay.texture_class(7, 87, 6).from_memory
    assert not clay.texture_class(30, 40, 30).from_memory


@settings(max_examples=50)
@given(sand=st.integers(0, 1000), part=st.floats(0, 1))
def test_every_clay_has_a_class(sand, part):
    silt = (100 - sand / 10) * part
    assert clay.texture_class(sand / 10, silt, 100 - sand / 10 - silt).name


@pytest.mark.parametrize("shares", [(30, 40, 31), (-1, 51, 50), (0, 0, 0)])
def test_shares_that_make_no_whole_are_refused(shares):
    with pytest.raises(NotPossible):
        clay.texture_class(*shares)


@settings(max_examples=50)
@given(layers=st.tuples(*[st.floats(0.1, 100)] * 3), scale=st.floats(0.1, 10))
def test_jar_shares_make_a_whole_in_any_unit(layers, scale):
    found = clay.jar_fractions.plain(*layers)
    assert sum(found) == pytest.approx(100)
    scaled = clay.jar_fractions.plain(*(scale * x for x in layers))
    assert scaled == pytest.approx(found)


def test_an_empty_jar_and_a_negative_layer_are_refused():
    for layers in ((0.0, 0.0, 0.0), (10.0, -1.0, 5.0)):
        with pytest.raises(NotPossible):
            clay.jar_fractions.plain(*layers)


@pytest.mark.parametrize(
    ("micrometres", "seconds"), [(63, 28), (50, 45), (20, 4.6 * 60), (2, 27830)]
)
def test_times_to_fall_ten_centimetres(micrometres, seconds):
    # worked out here for water of 20 degC and grains of 2650 kg/m3
    found = 0.10 / clay.settling_speed.plain(micrometres * 1e-6)
    assert found == pytest.approx(seconds, rel=0.02)


@settings(max_examples=30)
@given(time=st.floats(60, 1e5), depth=st.floats(0.05, 0.3))
def test_what_still_floats_is_what_falls_no_faster(time, depth):
    size = clay.coarsest_still_floating.plain(time, depth)
    if 0.2e-6 <= size <= 60e-6:
        assert clay.settling_speed.plain(size) == pytest.approx(depth / time, rel=1e-9)


@pytest.mark.parametrize("diameter", [0.1e-6, 0.5e-3])
def test_stokes_is_refused_where_it_does_not_hold(diameter):
    with pytest.raises(OutOfRange):
        clay.settling_speed.plain(diameter)


def test_a_grain_lighter_than_water_does_not_sink():
    with pytest.raises(NotPossible):
        clay.settling_speed.plain(1e-5, 900.0)
    with pytest.raises(NotPossible):
        clay.coarsest_still_floating.plain(60.0, 0.1, 900.0)
    with pytest.raises(NotPossible):
        clay.coarsest_still_floating.plain(0.0, 0.1)


def test_published_clay_is_of_intermediate_plasticity():
    # NPTEL: liquid limit 48; 35 to 50 is intermediate
    assert plasticity.plasticity_called(48.0) == "intermediate"
    assert (plasticity.plasticity_called(34.9), plasticity.plasticity_called(50.0)) == (
        "low",
        "high",
    )


@pytest.mark.parametrize(
    ("name", "values"),
    [("plasticity_index", (26.0, 48.0)), ("liquidity_index", (39.0, 26.0, 26.0)),
     ("liquid_limit_from", (28.0, 44.0, 0.0)), ("activity", (22.0, 0.0)),
     ("activity", (22.0, 101.0))],
)  # fmt: skip
def test_limits_in_the_wrong_order_are_refused(name, values):
    with pytest.raises(NotPossible):
        getattr(plasticity, name).plain(*values)


@settings(max_examples=30)
@given(plastic=st.floats(10, 40), span=st.floats(1, 60), moisture=st.floats(5, 90))
def test_indices_are_complements_and_solve_back(plastic, span, moisture):
    liquid = plastic + span
    index = plasticity.liquidity_index.plain(moisture, liquid, plastic)
    assert plasticity.consistency_index.plain(moisture, liquid, plastic) == pytest.approx(1 - index)
    if index > 0.01:
        assert plasticity.liquid_limit_from.plain(plastic, moisture, index) == pytest.approx(liquid)


@pytest.mark.parametrize(
    ("seen", "low", "high"),
    [("few bubbles", 1, 5), ("low foam", 10, 15)],  # Kalra and Maynard 1991
)
def test_fizz_is_a_range(seen, low, high):
    assert clay.carbonate_from_fizz(seen)[:2] == (low, high)


def test_fizz_ranges_hold_what_each_authority_prints():
    for row in load("clay")["fizz"]:
        assert row["low"] <= row["printed"][0]
        assert row["printed"][1] <= row["high"]


def test_an_unknown_fizz_is_refused_with_the_words_there_are():
    with pytest.raises(NotPossible, match="low foam"):
        clay.carbonate_from_fizz("hissing")


@pytest.mark.parametrize(
    ("thickness", "low", "high"),
    [(1.25, 25, 40), (0.5, 60, 100), (2.0, 15, 25), (2.8, 5, 15), (4.0, 2, 15), (1.0, 25, 60)],
)  # Lag 1979, in Berge, table 8.4
def test_thread_tells_the_clay_content(thickness, low, high):
    assert clay.clay_from_thread.plain(thickness)[:2] == (low, high)


@pytest.mark.parametrize("thickness", [0.0, 8.0])
def test_a_thread_outside_the_table_is_refused(thickness):
    with pytest.raises(OutOfRange):
        clay.clay_from_thread.plain(thickness)


def test_ribbon_authorities_stand_side_by_side():
    found = clay.texture_from_ribbon.plain(18.0)
    assert [classes for classes, _ in found] == [("sandy loam",), ("loam", "silt")]
    assert len({source for _, source in found}) == 2
    assert clay.texture_from_ribbon.plain(0.0)[0][0] == ("sand",)
    assert clay.texture_from_ribbon.plain(60.0)[0][0] == ("sandy clay", "silty clay", "clay")
    with pytest.raises(OutOfRange):
        clay.texture_from_ribbon.plain(-1.0)


@pytest.mark.parametrize(
    ("length", "says"),
    [(49.0, "too sandy"), (50.0, "brick soil"), (150.0, "brick soil"), (151.0, "too fat")],
)  # FAO: a 10 mm roll should break at 50 to 150 mm
def test_coil(length, says):
    assert clay.coil_says.plain(length) == says


def test_a_negative_coil_is_refused():
    with pytest.raises(OutOfRange):
        clay.coil_says.plain(-1.0)

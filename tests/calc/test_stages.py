"""Stages: by temperature for the table, by the condition at the core for being over."""

import numpy as np
import pytest

from fieldbook.calc.brick import Brick
from fieldbook.calc.firing import march
from fieldbook.calc.readings import Readings
from fieldbook.calc.stages import in_range, own_stages, stages, stages_done

BRICK = Brick(0.230, 0.110, 0.070)


def fahrenheit(degrees):
    return (degrees - 32) / 1.8


# Common practice of one trade page, with no source; in tests only.
PRACTICE = own_stages(
    [
        ("evaporation", fahrenheit(60), fahrenheit(300), None),
        ("dehydration", fahrenheit(300), fahrenheit(1200), None),
        ("oxidation", fahrenheit(570), fahrenheit(1700), fahrenheit(1600)),
        ("vitrification", fahrenheit(1200), fahrenheit(2300), None),
        ("flashing", fahrenheit(2100), fahrenheit(2300), None),
    ]
)


@pytest.mark.parametrize(
    ("degrees", "shown"),
    [
        (250, [("evaporation", False)]),
        (600, [("dehydration", False), ("oxidation", False)]),
        (1000, [("dehydration", False), ("oxidation", False)]),
        (1500, [("oxidation", False), ("vitrification", False)]),
        (1650, [("oxidation", True), ("vitrification", False)]),
        (1900, [("vitrification", False)]),
        (2200, [("vitrification", False), ("flashing", False)]),
    ],
)
def test_a_makers_own_table_shows_its_own_stages(degrees, shown):
    assert in_range(fahrenheit(degrees), PRACTICE) == shown


def test_vitrification_of_that_table_begins_far_below_every_published_row():
    published = next(s for s in stages() if s.name == "vitrification")
    own = next(s for s in PRACTICE if s.name == "vitrification")
    rows = [published.low, *(low for low, _, _ in published.also)]
    assert own.low < min(rows) - 200
    assert next(s for s in PRACTICE if s.name == "flashing").low > 1050


def log(temperatures, hours):
    """Readings every quarter of an hour along straight lines."""
    times = np.arange(hours[0], hours[-1] + 1e-9, 0.25)
    return Readings(times, np.interp(times, hours, temperatures), probe="face")


def done(temperatures, hours, **more):
    state = march({"a": log(temperatures, hours)}, BRICK)
    return {s.name: s for s in stages_done(state, wanted=950, **more)["a"]}


def test_a_stage_is_not_over_because_the_thermometer_says_so():
    fast = done([20, 200], [0, 1.0])
    assert fast["water smoking"].done != "yes"
    slow = done([20, 110, 110, 200], [0, 8, 16, 22])
    assert slow["water smoking"].done == "yes"


def test_dehydration_is_over_when_the_bound_water_is_out_of_the_core():
    assert done([20, 110, 110, 560], [0, 8, 16, 26])["dehydration"].done != "yes"
    assert done([20, 110, 110, 720], [0, 8, 16, 30])["dehydration"].done == "yes"


def test_vitrification_is_heat_work_and_not_a_temperature():
    curve, hours = [20, 110, 110, 700, 950], [0, 8, 16, 28, 31]
    at_peak = done(curve, hours)["vitrification"]
    assert at_peak.done == "no"
    assert at_peak.value < 950
    held = done([*curve, 960], [*hours, 35])["vitrification"]
    assert held.done == "yes"


def test_cooling_is_over_when_the_hottest_core_is_below_the_limit():
    curve, hours = [20, 110, 110, 700, 950, 950], [0, 8, 16, 28, 31, 32]
    assert done(curve, hours)["cooling"].done == "no"
    assert not done(curve, hours)["cooling"].begun
    cold = done([*curve, 300, 60], [*hours, 50, 70])["cooling"]
    assert cold.begun
    assert cold.done == "yes"
    assert done([*curve, 300, 60], [*hours, 50, 70], open_below=40)["cooling"].done == "no"


def test_flashing_is_a_stage_only_where_it_is_wanted():
    assert "flashing" not in done([20, 30], [0, 1])
    assert "flashing" in done([20, 30], [0, 1], flash=True)


def test_every_row_has_a_source_and_a_condition():
    for stage in stages():
        assert stage.source
        assert stage.means
        for _, _, source in stage.also:
            assert source

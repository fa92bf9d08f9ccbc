"""Published firing logs: what comes out is what their pages, or a calculation by hand, say."""

import csv
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from fieldbook.calc.brick import Brick
from fieldbook.calc.firing import march
from fieldbook.calc.rates import allowed_climb
from fieldbook.calc.readings import Readings, crossings, peak, steepest, time_above

DATA = Path(__file__).parents[1] / "data"


def rows(name):
    text = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in text if not line.startswith("#")))


def clocked(name, start):
    """Readings of a log by the clock, in hours from a start; blanks are not readings."""
    begin = datetime.fromisoformat(start)
    read = [
        ((datetime.fromisoformat(r["time"]) - begin) / timedelta(hours=1), r["temperature_C"])
        for r in rows(name)
        if r["temperature_C"]
    ]
    return Readings(np.array([t for t, _ in read]), np.array([float(v) for _, v in read]))


def slopes(readings):
    return np.diff(readings.temperature) / np.diff(readings.time)


def clock(start, hours):
    return (datetime.fromisoformat(start) + timedelta(hours=hours, seconds=30)).strftime("%d %H:%M")


def test_biscuit_firing_of_may_2022():
    start = "2022-05-11 10:17"
    log = clocked("firing_bisque_2022_05", start)
    assert slopes(log)[:3] == pytest.approx([119.6, 122.4, 138.8], abs=0.06)
    assert log.time[4] == pytest.approx(8 + 4 / 60)  # end of the soak
    assert log.time[4] - log.time[3] == pytest.approx(29 / 60)  # planned 30 min, logged 29
    assert slopes(log)[4] == pytest.approx(-32.9, abs=0.06)
    assert log.time[-1] == pytest.approx(45 + 1 / 60)
    hundred, quartz = crossings(log, 100)[0], crossings(log, 573)[0]
    assert clock(start, hundred.time) == "11 10:51"
    assert clock(start, quartz.time) == "11 14:48"


def test_the_fall_through_quartz_is_not_known_from_a_mean():
    log = clocked("firing_bisque_2022_05", "2022-05-11 10:17")
    down = [c for c in crossings(log, 573) if not c.rising]
    assert len(down) == 1
    assert down[0].bridged
    assert down[0].half == pytest.approx((27 + 56 / 60) / 2, abs=0.01)


def test_a_pot_burst_where_the_climb_was_far_above_what_is_allowed():
    log = clocked("firing_bisque_2022_05", "2022-05-11 10:17")
    # a damp brick in that kiln: the march says the core was wet and far too hot to be
    brick = Brick(0.2, 0.1, 0.05)
    early = Readings(log.time[:2], log.temperature[:2])
    state = march({"kiln": early}, brick, until=0.2).places["kiln"]
    allowed = allowed_climb(state, brick)
    assert allowed.limited_by == "steam"
    assert steepest(early) > 3 * allowed.rate


def test_biscuit_firing_of_june_2022():
    start = "2022-06-08 09:00"
    log = clocked("firing_bisque_2022_06", start)
    assert slopes(log)[:3] == pytest.approx([120.2, 120.0, 140.0], abs=0.06)
    assert log.time[4] == pytest.approx(8 + 10 / 60)
    assert log.time[-1] == pytest.approx(46 + 44 / 60)
    assert slopes(log)[-1] == pytest.approx(-24.4, abs=0.06)
    assert clock(start, crossings(log, 573)[0].time) == "08 13:37"
    for row, hours in zip(rows("firing_bisque_2022_06")[1:], np.diff(log.time), strict=True):
        printed = row["duration_printed"].split(":")
        assert hours == pytest.approx(int(printed[0]) + int(printed[1]) / 60)


def test_wood_kiln_of_2000_in_fahrenheit():
    read = [r for r in rows("firing_wood_first_2000") if r["temperature_F"]]
    hours = np.array([float(r["hours"]) for r in read])
    celsius = (np.array([float(r["temperature_F"]) for r in read]) - 32) / 1.8
    log = Readings(hours, celsius)
    assert celsius == pytest.approx([65.6, 204.4, 426.7, 482.2, 704.4, 815.6, 982.2], abs=0.06)
    assert slopes(log) == pytest.approx([278, 222, 56, 127, 74, 167], abs=0.6)
    assert steepest(log) == pytest.approx(277.8, abs=0.1)
    # a rate converts by 5/9 alone
    assert (log.temperature[-1] - log.temperature[0]) / 6.75 == pytest.approx(135.8, abs=0.06)
    start = "2000-01-08 05:45"
    quartz, nine = crossings(log, 573)[0], crossings(log, 900)[0]
    assert quartz.time == pytest.approx(3.21, abs=0.006)
    assert clock(start, quartz.time) == "08 08:58"
    assert nine.time == pytest.approx(6.26, abs=0.006)
    # cut off before its end: no peak may be stated, only the highest so far, which is the last
    assert peak(log) == (pytest.approx(982.2, abs=0.06), 6.75)


def test_wood_salt_kiln_of_2013_over_two_midnights():
    start = "2013-04-13 05:00"
    log = clocked("firing_wood_salt_2013", start)
    assert slopes(log) == pytest.approx([110, 70, 50, 20, -5])
    assert steepest(log) == pytest.approx(110)
    assert log.time[-1] == pytest.approx(20)
    up = next(c for c in crossings(log, 573) if c.rising)
    assert clock(start, up.time) == "13 09:56"
    assert up.bridged
    assert up.half == pytest.approx(3.5)  # the span is seven hours long
    assert clock(start, crossings(log, 900)[0].time) == "13 13:26"
    assert clock(start, crossings(log, 1000)[0].time) == "13 14:51"
    assert time_above(log, 1200) == pytest.approx(7.0)
    assert time_above(log, 1000) == pytest.approx(10 + 9 / 60, abs=0.01)
    assert pytest.approx(70.6, abs=0.06) == (1300 - 30) / 18


def test_a_span_of_seven_hours_says_little_of_the_core():
    log = clocked("firing_wood_salt_2013", "2013-04-13 05:00")
    state = march({"kiln": log}, Brick(0.22, 0.105, 0.065)).places["kiln"]
    low, _, high = state.at("core", 3.5)
    assert high - low > 200
    assert state.bridged[0] == (0.0, 7.0)

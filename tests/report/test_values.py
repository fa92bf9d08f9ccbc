"""Derived values in words."""

import pytest

from fieldbook.advice.results import Result
from fieldbook.report.units import Units
from fieldbook.report.values import SHARES, each_text, say

UNITS = Units({})


def test_parts_of_a_whole_are_said_in_per_cent():
    rows = [
        {"name": "bank-red", "value": 0.6836, "plus_minus": 0.02503},
        {"name": "sand", "value": 0.3164},
    ]
    assert (
        say(Result(name="dry_parts", value=rows, unit="1"), UNITS)
        == "bank-red 68 ± 3 %; sand 31.64 %"
    )


@pytest.mark.parametrize("name", sorted(SHARES - {"dry_parts"}))
def test_what_is_left_in_the_core_is_said_in_per_cent(name):
    result = Result(
        name=name, value=0.4, unit="1", low=0.0, high=0.7, each={"top": 0.4, "bottom": 0.12}
    )
    assert say(result, UNITS) == "40 % (0 % to 70 %)"
    assert each_text(result, UNITS) == "top: 40 %, bottom: 12 %"
    assert result.json()["value"] == 0.4


def test_a_ratio_is_no_part_of_a_whole():
    assert (
        say(Result(name="activity", value=0.78, unit="1", plus_minus=0.03), UNITS) == "0.78 ± 0.03"
    )

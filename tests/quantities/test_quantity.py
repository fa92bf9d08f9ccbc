"""Text to a pint quantity by our own rules."""

import pytest

from fieldbook.errors import FieldbookError, Unreadable
from fieldbook.quantities import Quantity, quantity, units


@pytest.mark.parametrize(("text", "unit", "value"), [
    ("20 degC", "degF", 68.0),
    ("20 °C", "K", 293.15),
    ("60 delta_degF/hour", "K/h", 100 / 3),
    ("8 %", "dimensionless", 0.08),
    ("0.25", "dimensionless", 0.25),
    ("1.2 W/(m*K)", "W/(m*K)", 1.2),
    ("5e-7 m**2/s", "mm**2/s", 0.5),
    ("9 1/2 in", "mm", 241.3),
])  # fmt: skip
def test_a_text_becomes_a_quantity(text, unit, value):
    assert quantity(text).m_as(unit) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("text", ["5 xyz", "9**9**9", "5 m**99", "5 kg; import os", "5 5 kg"])
def test_what_is_no_quantity_is_refused(text):
    with pytest.raises(FieldbookError):
        quantity(text)


def test_a_word_is_refused_as_one():
    with pytest.raises(Unreadable, match="is no quantity"):
        quantity("hot")


def test_all_quantities_are_of_one_registry():
    assert Quantity is units.Quantity
    assert isinstance(quantity("1 kg") + Quantity(1.0, "g"), Quantity)

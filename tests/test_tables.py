"""Tables that ship with the program are found, read once, and refuse names that are none."""

import pytest

from fieldbook import tables
from fieldbook.errors import NotPossible


def test_all_tables_can_be_read():
    found = tables.names() + tables.names("standards")
    assert "clay" in found
    assert "standards/astm-c62" in found
    for name in found:
        assert tables.load(name)


def test_a_table_is_read_once():
    assert tables.load("clay") is tables.load("clay")


@pytest.mark.parametrize("name", ["gold", "../../pyproject", "/etc/passwd", "standards/../clay2"])
def test_a_name_that_is_no_table_is_refused(name):
    with pytest.raises(NotPossible, match="clay"):
        tables.load(name)

"""The TOML text of a line and its key, judged by tomllib."""

import tomllib
from datetime import UTC, date, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.errors import Unreadable
from fieldbook.lines.toml_text import key_for, line_for, read_key, value_text

ZONE = timezone(timedelta(hours=-5))
AT = datetime(2026, 5, 3, 7, 40, 0, 412345, ZONE)
CHICAGO = ZoneInfo("America/Chicago")


def test_a_line_reads_as_the_format_shows_it():
    line = line_for(
        "2026-05-03 07:40:00-05:00",
        {"note": "steam", "temperature": "212 degF", "by": "ines", "steam": True, "cracked": 4},
    )
    assert line == (
        '"2026-05-03 07:40:00-05:00" = { temperature = "212 degF", steam = true, cracked = 4, '
        'by = "ines", note = "steam" }'
    )


def test_what_is_not_printable_is_escaped():
    assert value_text('a"\\\n\x1b\u202e\u2028') == '"a\\"\\\\\\n\\u001b\\u202e\\u2028"'
    assert value_text("Süd, 窯") == '"Süd, 窯"'


def test_a_lone_surrogate_is_refused():
    with pytest.raises(Unreadable):
        value_text("caf\udce9")


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
scalars = (
    texts
    | st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats(allow_nan=False)
    | st.dates(date(1, 1, 1))
    | st.times()
    | st.datetimes()
)
values = st.recursive(
    scalars, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3)
)


@given(texts, st.dictionaries(texts, values, max_size=5))
@settings(deadline=None)
def test_every_line_is_one_line_and_comes_back_the_same(key, fields):
    line = line_for(key, fields)
    assert "\n" not in line
    assert "\r" not in line
    assert tomllib.loads(line) == {key: fields}


def test_by_and_note_come_last_in_the_order_of_the_rest():
    parsed = tomllib.loads(line_for("k", {"note": "n", "b": 1, "by": "i", "a": 2}))["k"]
    assert list(parsed) == ["b", "a", "by", "note"]


def test_a_key_holds_seconds_and_offset():
    assert key_for(AT, None, ()) == "2026-05-03 07:40:00-05:00"
    assert key_for(AT, CHICAGO, ()) == "2026-05-03 07:40:00-05:00"
    assert key_for(AT, timedelta(hours=2), ()) == "2026-05-03 14:40:00+02:00"
    assert key_for(AT, UTC, ()) == "2026-05-03 12:40:00+00:00"


def test_a_taken_second_is_told_apart_by_its_milliseconds():
    taken = {"2026-05-03 07:40:00-05:00"}
    assert key_for(AT, None, taken) == "2026-05-03 07:40:00.412-05:00"
    taken.add("2026-05-03 07:40:00.412-05:00")
    assert key_for(AT, None, taken) == "2026-05-03 07:40:00.413-05:00"


def test_a_taken_whole_second_is_followed_by_its_first_millisecond():
    whole = AT.replace(microsecond=0)
    assert key_for(whole, None, {key_for(whole, None, ())}) == "2026-05-03 07:40:00.001-05:00"


def test_free_milliseconds_are_looked_for_beyond_the_second():
    late = AT.replace(microsecond=999000)
    taken = {"2026-05-03 07:40:00-05:00", "2026-05-03 07:40:00.999-05:00"}
    assert key_for(late, None, taken) == "2026-05-03 07:40:01.000-05:00"


def test_a_thousand_lines_of_one_second_all_have_their_key():
    taken: set[str] = set()
    for _ in range(1000):
        taken.add(key_for(AT, None, taken))
    assert len(taken) == 1000


@given(st.datetimes(datetime(1900, 1, 1), datetime(2199, 1, 1), timezones=st.timezones()))
@settings(deadline=None)
def test_a_key_comes_back_as_the_same_second(moment):
    key = key_for(moment, None, ())
    assert abs(read_key(key, UTC) - moment) < timedelta(seconds=1)


HAND_WRITTEN = [
    ("2026-05-03 07:40:00-05:00", AT.replace(microsecond=0)),
    ("2026-05-03 07:40:00.412-05:00", AT.replace(microsecond=412000)),
    ("2026-05-03T07:40:00-05:00", AT.replace(microsecond=0)),
    ("2026-05-03 07:40", AT.replace(microsecond=0)),
    ("2026-05-03T07:40", AT.replace(microsecond=0)),
    ("2026-05-03t12:40z", AT.replace(microsecond=0)),
    ("2026-05-03 07:40:00", AT.replace(microsecond=0)),
    (" 2026-05-03 07:40 -05:00 ", AT.replace(microsecond=0)),
    (datetime(2026, 5, 3, 7, 40), AT.replace(microsecond=0)),
    (AT, AT),
]


@pytest.mark.parametrize(("written", "moment"), HAND_WRITTEN)
def test_keys_written_by_hand_are_read(written, moment):
    read = read_key(written, CHICAGO)
    assert read == moment
    assert read.utcoffset() is not None


WRONG = [
    "",
    "2026-05-03",
    "2026-05-03 7:40",
    "2026-5-3 07:40",
    "2026-05-03 25:40",
    "2026-02-30 07:40",
    "2026-05-03 07:40:61",
    "07:40",
    "2026-05-03 07:40 x",
    "2026-W18-7 07:40",
    "٢٠٢٦-05-03 07:40",
    "9" * 100_000,
    date(2026, 5, 3),
    time(7, 40).isoformat(),
]


@pytest.mark.parametrize("written", WRONG, ids=lambda written: str(written)[:20])
def test_what_is_no_time_is_refused_with_the_way_out(written):
    with pytest.raises(Unreadable, match="2026-05-03 07:40") as refusal:
        read_key(written, CHICAGO)
    assert len(str(refusal.value)) < 250


@given(st.text())
@settings(deadline=None)
def test_any_key_is_read_or_refused(text):
    try:
        assert read_key(text, CHICAGO).utcoffset() is not None
    except Unreadable as refusal:
        assert refusal.remedy

"""Three versions of an entry made one: nothing either side observed is lost."""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.errors import FieldbookError
from fieldbook.sync.merge import merge
from fieldbook.sync.remarks import with_remarks

BASE = """\
# dried under the old roof
mix = "reach-3-1"
count = 180   # as moulded

[green]
length = "246 mm"

[log]
"2026-04-05 09:00:00+01:00" = { mass = "3.02 kg", brick = "1" }
"""


def merged(base, ours, theirs):
    result = merge(base.encode(), ours.encode(), theirs.encode(), "batches/a.toml").decode()
    return result, tomllib.loads(result)


def add(text, *lines):
    return text + "".join(f"{line}\n" for line in lines)


NOON = '"2026-04-06 12:00:00+01:00" = { turned = true, by = "ines" }'
LATER = '"2026-04-06 18:00:00+01:00" = { covered = true, by = "tomas" }'


def test_lines_of_both_sides_are_all_kept():
    text, data = merged(BASE, add(BASE, NOON), add(BASE, LATER))
    assert len(data["log"]) == 3
    assert text == add(BASE, NOON, LATER)


def test_either_side_comes_to_the_same():
    one = merged(BASE, add(BASE, NOON), add(BASE, LATER))
    other = merged(BASE, add(BASE, LATER), add(BASE, NOON))
    assert one == other


def test_one_key_with_different_content_gives_the_second_the_next_millisecond():
    ours = '"2026-04-06 12:00:00+01:00" = { turned = true }'
    theirs = '"2026-04-06 12:00:00+01:00" = { covered = true }'
    _, data = merged(BASE, add(BASE, ours), add(BASE, theirs))
    assert data["log"]["2026-04-06 12:00:00+01:00"] == {"covered": True}
    assert data["log"]["2026-04-06 12:00:00.001+01:00"] == {"turned": True}


def test_the_same_line_on_both_sides_is_one_observation():
    ours = '"2026-04-06 12:00:00+01:00" = { turned = true }'
    theirs = '"2026-04-06 12:00:00.400+01:00" = { turned = true }'
    _, data = merged(BASE, add(BASE, ours), add(BASE, theirs))
    assert len(data["log"]) == 2


def test_different_fields_changed_on_both_sides_both_stay_with_every_remark():
    ours = BASE.replace("180", "176")
    theirs = BASE.replace('"246 mm"', '"245 mm"')
    text, data = merged(BASE, ours, theirs)
    assert data["count"] == 176
    assert data["green"]["length"] == "245 mm"
    assert "# dried under the old roof" in text
    assert "# as moulded" in text


def test_the_same_field_changed_on_both_sides_is_disputed_and_both_are_kept():
    ours = BASE.replace("180", "176")
    theirs = BASE.replace("180", "171")
    text, data = merged(BASE, ours, theirs)
    assert data["count"] == 171
    assert data["disputed"] == {"count": [171, 176]}
    assert text.index("[disputed]") < text.index("[log]")
    assert merged(BASE, theirs, ours)[1] == data


def test_a_field_taken_out_against_a_change_keeps_the_change():
    ours = BASE.replace("count = 180   # as moulded\n", "")
    theirs = BASE.replace("180", "171")
    _, data = merged(BASE, ours, theirs)
    assert data["count"] == 171
    assert "disputed" not in data


def test_a_line_taken_out_on_one_side_goes_and_one_changed_stays():
    line = BASE.splitlines(keepends=True)[-1]
    without = BASE.replace(line, "")
    assert "2026-04-05 09:00:00+01:00" not in merged(BASE, without, BASE)[1].get("log", {})
    changed = BASE.replace("3.02", "3.04")
    assert (
        merged(BASE, without, changed)[1]["log"]["2026-04-05 09:00:00+01:00"]["mass"] == "3.04 kg"
    )


def test_line_ends_and_byte_order_mark_are_kept():
    crlf = b"\xef\xbb\xbf" + BASE.replace("\n", "\r\n").encode()
    ours = crlf + (NOON + "\r\n").encode()
    theirs = crlf + (LATER + "\r\n").encode()
    result = merge(crlf, ours, theirs, "batches/a.toml")
    assert result == crlf + (NOON + "\r\n" + LATER + "\r\n").encode()


@pytest.mark.parametrize("base", [BASE, None], ids=["parted", "apart from the start"])
@pytest.mark.parametrize("turned_round", [False, True])
def test_of_two_kinds_of_line_ends_one_is_left(base, turned_round):
    ours = add(BASE, NOON).replace("180", "176").replace("\n", "\r\n").encode()
    sides = [ours, add(BASE, LATER).encode()]
    first, second = reversed(sides) if turned_round else sides
    result = merge(base.encode() if base else None, first, second, "batches/a.toml")
    assert b"\r" not in result
    assert len(tomllib.loads(result.decode())["log"]) == 3


def test_line_ends_that_both_sides_changed_stay_changed():
    ours, theirs = (add(BASE, line).replace("\n", "\r\n") for line in (NOON, LATER))
    result = merge(BASE.encode(), ours.encode(), theirs.encode(), "batches/a.toml")
    assert result.count(b"\r\n") == result.count(b"\n")


def test_a_remark_that_both_sides_added_stands_once():
    wet = BASE.replace("mix =", "# wet clay\nmix =")
    more = BASE.replace("mix =", "# wet clay\n# and a cold wind\nmix =").replace("180", "176")
    text, data = merged(BASE, more, wet)
    assert text.count("# wet clay") == 1
    assert "# and a cold wind" in text
    assert data["count"] == 176
    assert merged(BASE, wet, more)[0] == text


def test_a_field_that_both_added_alike_costs_no_remark_of_either():
    one = BASE.replace("mix =", "water = 3\nmix =").replace("as moulded", "as counted")
    other = BASE.replace("mix =", "water = 3\nmix =")
    for sides in ((one, other), (other, one)):
        text, data = merged(BASE, *sides)
        assert "# as counted" in text
        assert data["water"] == 3


def test_remarks_of_both_sides_are_kept_where_the_same_field_is_set_on_both():
    ours = BASE.replace("count = 180", "# two broke\ncount = 176")
    theirs = BASE.replace("count = 180", "# nine broke\ncount = 171") + "# no wind\n" + NOON + "\n"
    for sides in ((ours, theirs), (theirs, ours)):
        text, data = merged(BASE, *sides)
        assert data["disputed"] == {"count": [171, 176]}
        before, _, _ = text.partition("count = 171")
        assert "# two broke\n" in before
        assert "# nine broke\n" in before
        assert "# no wind\n" in text


def test_a_remark_above_a_field_that_is_gone_stands_at_the_end():
    text = with_remarks("mix = 1\n\n", "mix = 1\nwater = 2\n", "mix = 1\n# much\nwater = 3\n")
    assert text == "mix = 1\n# much\n\n"
    assert with_remarks("mix = 1", "", "# wet\nmix = 2\n# late") == "# wet\nmix = 1\n# late\n"


def test_a_dispute_stands_in_a_table_with_a_blank_line_on_either_side():
    text, _ = merged(BASE, BASE.replace("180", "176"), BASE.replace("180", "171"))
    assert '"246 mm"\n\n[disputed]\n"count" = [171, 176]\n\n[log]\n' in text


def test_a_log_begun_on_both_sides_is_one_log():
    base = 'mix = "m"\n'
    ours = base + "\n[log]\n" + NOON + "\n"
    theirs = base + "\n[log]\n" + LATER + "\n"
    text, data = merged(base, ours, theirs)
    assert len(data["log"]) == 2
    assert text.count("[log]") == 1


def test_rows_added_on_both_sides_both_stay():
    base = 'batch = "a"\n\n[specimens]\n"1" = { dry_mass = "2 kg" }\n'
    ours = base + '"2" = { dry_mass = "2.1 kg" }\n'
    theirs = base + '"3" = { dry_mass = "2.2 kg" }\n'
    assert set(merged(base, ours, theirs)[1]["specimens"]) == {"1", "2", "3"}


def test_a_version_that_cannot_be_read_is_never_merged():
    with pytest.raises(FieldbookError, match=r"batches/a\.toml"):
        merge(BASE.encode(), b"count = = 3\n", add(BASE, NOON).encode(), "batches/a.toml")


def test_remarks_between_lines_of_the_log_stay_above_their_line():
    first = BASE + "# the wind turned\n" + NOON + "\n"
    ours = first + "# seen from the road\n" + '"2026-04-07 08:00:00+01:00" = { rain = true }\n'
    theirs = first + LATER + "\n"
    text, data = merged(first, ours, theirs)
    assert len(data["log"]) == 4
    assert "# the wind turned\n" + NOON in text
    assert '# seen from the road\n"2026-04-07' in text
    assert merged(first, theirs, ours)[1] == data


@pytest.mark.parametrize(
    "log",
    [
        '\n[log."2026-04-06 12:00:00+01:00"]\nturned = true\nby = "ines"\n',
        'log = { "2026-04-06 12:00:00+01:00" = { turned = true, by = "ines" } }\n',
        'log."2026-04-06 12:00:00+01:00" = { turned = true, by = "ines" }\n',
        "\n[log]\n" + NOON + '\n\n[green]\nlength = "246 mm"\n',
        f'\nnote = """\n[log]\n{LATER}\n"""\n[log]\n{NOON}\n',
    ],
    ids=["tables", "braces", "dotted", "not last", "header in a note"],
)
def test_a_log_laid_out_in_another_way_is_merged_as_well(log):
    ours = 'mix = "m"\n' + log
    theirs = 'mix = "m"\n\n[log]\n' + LATER + "\n"
    for one, other in ((ours, theirs), (theirs, ours)):
        _, data = merged('mix = "m"\n', one, other)
        assert data["log"] == {
            "2026-04-06 12:00:00+01:00": {"turned": True, "by": "ines"},
            "2026-04-06 18:00:00+01:00": {"covered": True, "by": "tomas"},
        }
        assert data["mix"] == "m"


minutes = st.integers(0, 59)
observed = st.lists(st.tuples(minutes, st.sampled_from(["turned", "covered", "rain"])), max_size=6)


def log_of(entries):
    return {f"2026-04-07 10:{m:02}:00+01:00": f"{{ {what} = true }}" for m, what in entries}


@settings(max_examples=80, deadline=None)
@given(observed, observed, st.integers(0, 3))
def test_every_observation_of_both_sides_is_in_the_result_once(one, other, fields):
    ours = add(BASE, *(f'"{k}" = {v}' for k, v in log_of(one).items()))
    theirs = add(BASE, *(f'"{k}" = {v}' for k, v in log_of(other).items()))
    ours = ours.replace("180", "176") if fields & 1 else ours
    theirs = theirs.replace("180", "171") if fields & 2 else theirs
    text, data = merged(BASE, ours, theirs)
    _, mirrored = merged(BASE, theirs, ours)
    assert data == mirrored
    seen = [(key[:16], *sorted(line)) for key, line in data["log"].items()]
    wanted = {
        (key[:16], value.split()[1]) for side in (one, other) for key, value in log_of(side).items()
    }
    assert sorted(seen[1:]) == sorted(wanted)
    assert merge(ours.encode(), text.encode(), ours.encode(), "batches/a.toml") == text.encode()

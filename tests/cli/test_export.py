"""`export`: tables for a spreadsheet, JSON lines, a page to print."""

import csv
import io
import json

import pytest

from fieldbook.report.table import safe

NOW = ("--now", "2026-09-12 14:30")


def table(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_a_kind_is_a_table_with_units_in_its_header(fieldbook):
    (row,) = table(fieldbook("export", "csv", "tests", *NOW).out)
    assert row["entry"] == "tests/t"
    # 230 g of water in 2000 g of dry brick.
    assert float(row["cold absorption [%]"]) == pytest.approx(11.5)
    assert float(row["cold absorption plus minus [%]"]) > 0
    assert row["standard"] == "ASTM C62"
    (row,) = table(fieldbook("export", "csv", "batch", *NOW).out)
    # By hand: 246 mm as moulded.
    assert float(row["green length [m]"]) == pytest.approx(0.246)


def test_observations_of_an_entry_are_a_row_each_in_one_unit(fieldbook):
    fieldbook("log", "f", "572F", "top", "--now", "2026-09-12 10:00")
    fieldbook("log", "f", "450C", "top", "--now", "2026-09-12 14:00")
    rows = table(fieldbook("export", "csv", "f", *NOW).out)
    assert [row["temperature [degC]"] for row in rows] == ["", "300", "450"]
    assert rows[0]["event"] == "lit"
    assert rows[1]["time"] == "2026-09-12T10:00:00+01:00"


def test_specimens_of_a_test_are_a_row_each_with_what_follows(fieldbook):
    (row,) = table(fieldbook("export", "csv", "t", *NOW).out)
    assert (row["specimen"], row["dry mass [kg]"]) == ("1", "2")
    assert float(row["cold absorption [%]"]) == pytest.approx(11.5)


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("=cmd|' /C calc'!A0", "'=cmd|' /C calc'!A0"),
        ("+1", "'+1"),
        ("-2+3", "'-2+3"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("  =1", "'  =1"),
        ("\t=1", "' =1"),
        ("\r=1", "'\N{REPLACEMENT CHARACTER}=1"),
        ("red = good", "red = good"),
        (-2.5, "-2.5"),
        (1 / 3, "0.3333333333"),
        (True, "yes"),
        (None, ""),
    ],
)
def test_no_text_is_taken_for_a_formula(cell, expected):
    assert safe(cell) == expected


def test_hostile_text_from_a_file_stays_in_its_cell(fieldbook, notebook):
    text = 'title = "=HYPERLINK(\\"http://x\\")"\nplace = "a, \\"b\\"\\n=c\\u001b[2J"\n'
    (notebook / "clays/far.toml").write_text(text, encoding="utf-8")
    answer = fieldbook("export", "csv", "clays", *NOW)
    row = next(row for row in table(answer.out) if row["entry"] == "clays/far")
    assert row["title"] == '\'=HYPERLINK("http://x")'
    assert "\x1b" not in answer.out
    assert row["place"].startswith('a, "b"')
    assert len(answer.out.splitlines()) == 3


def test_json_lines_are_what_show_says_one_entry_a_line(fieldbook):
    lines = fieldbook("export", "jsonl", *NOW).out.splitlines()
    entries = {json.loads(line)["entry"]: json.loads(line) for line in lines}
    assert set(entries) >= {"clays/reach", "mixes/reach-3-1", "tests/t", "firings/f"}
    shown = json.loads(fieldbook("show", "t", "--json", *NOW).out)
    assert entries["tests/t"] == shown
    (line,) = fieldbook("export", "jsonl", "mixes", *NOW).out.splitlines()
    assert json.loads(line)["kind"] == "mix"


def test_a_page_is_no_wider_than_paper_and_has_the_curve(fieldbook):
    for hour in (8, 10, 12):
        fieldbook("log", "f", f"{hour}00C", "top", "--now", f"2026-09-12 {hour:02}:00")
    lines = fieldbook("export", "page", "f", *NOW).out.splitlines()
    assert max(map(len, lines)) <= 76
    assert any("by hours since lighting" in line for line in lines)
    assert fieldbook("export", "page", "f", "t", *NOW).out.count("\f") == 1


def test_what_cannot_be_exported_is_refused(fieldbook, notebook):
    assert fieldbook("export", "csv", *NOW).status == 2
    assert fieldbook("export", "csv", "nowhere", *NOW).status == 1
    assert fieldbook("export", "xlsx", "tests", *NOW).status == 2
    (notebook / "tests/bad.toml").write_text("a = = 1\n", encoding="utf-8")
    answer = fieldbook("export", "csv", "tests", *NOW)
    assert answer.status == 0
    assert "tests/bad cannot be read" in answer.err
    assert len(table(answer.out)) == 1

"""`fieldbook import readings`: columns, units and times as people and loggers write them."""

import json
import tomllib

import pytest

NOW = ("--now", "2026-09-14 14:30")


def log_of(notebook):
    return tomllib.loads((notebook / "firings/f.toml").read_text(encoding="utf-8"))["log"]


FILES = {
    "clock times past midnight": (
        "time,top (C),bottom (C)\n22:30,400,420\n23:30,450,\n00:30,500,540\n",
        {"2026-09-12 22:30:00+01:00": "400 C", "2026-09-13 00:30:00+01:00": "500 C"},
    ),
    "twelve hours with am and pm, in Fahrenheit": (
        "Clock;Temp F\n6:30 am;212\n1:15 PM;1040\n",
        {"2026-09-12 06:30:00+01:00": "212 F", "2026-09-12 13:15:00+01:00": "1040 F"},
    ),
    "hours since lighting, decimal comma": (
        "hours;temperature C\n0,5;15\n1,5;62,5\n",
        {"2026-09-12 06:30:00+01:00": "15 C", "2026-09-12 07:30:00+01:00": "62,5 C"},
    ),
    "full times and a place column": (
        "# logger 3\ntimestamp,place,deg C\n2026-09-12 08:00,top,120\n"
        "2026-09-12T08:30,bottom,150\n",
        {"2026-09-12 08:00:00+01:00": "120 C", "2026-09-12 08:30:00+01:00": "150 C"},
    ),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_is_understood_shown_and_written(fieldbook, notebook, tmp_path, name):
    text, wanted = FILES[name]
    file = tmp_path / "logger.csv"
    file.write_text(text, encoding="utf-8")
    before = (notebook / "firings/f.toml").read_bytes()
    shown = fieldbook("import", "readings", str(file), "f", *NOW)
    assert shown.status == 0, shown.err + shown.out
    assert "temperature: column" in shown.out
    assert (notebook / "firings/f.toml").read_bytes() == before
    assert fieldbook("import", "readings", str(file), "f", "--write", *NOW).status == 0
    log = log_of(notebook)
    for key, temperature in wanted.items():
        assert log[key]["temperature"] == temperature


def test_a_second_run_writes_nothing(fieldbook, notebook, tmp_path):
    file = tmp_path / "logger.csv"
    file.write_text(FILES["clock times past midnight"][0], encoding="utf-8")
    fieldbook("import", "readings", str(file), "f", "--write", *NOW)
    before = (notebook / "firings/f.toml").read_bytes()
    again = json.loads(
        fieldbook("import", "readings", str(file), "f", "--write", "--json", *NOW).out
    )
    assert again["new"] == 0
    assert (notebook / "firings/f.toml").read_bytes() == before


def test_places_come_from_headings(fieldbook, notebook, tmp_path):
    file = tmp_path / "logger.csv"
    file.write_text(FILES["clock times past midnight"][0], encoding="utf-8")
    fieldbook("import", "readings", str(file), "f", "--write", *NOW)
    places = [line.get("place") for line in log_of(notebook).values() if "temperature" in line]
    assert sorted(places) == ["bottom", "bottom", "top", "top", "top"]


def test_a_row_that_cannot_be_read_is_named_and_the_rest_taken(fieldbook, tmp_path):
    file = tmp_path / "logger.csv"
    file.write_text("time,temp C\n07:00,100\nnoon,hot\n25:10,3\n08:00,140\n", encoding="utf-8")
    answer = fieldbook("import", "readings", str(file), "f", "--json", *NOW)
    found = json.loads(answer.out)
    assert answer.status == 1
    assert found["readings"] == 2
    assert [problem.partition(":")[2][:1] for problem in found["problems"]] == ["3", "4"]


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", "time\n07:00\n"])
def test_a_file_without_the_columns_is_refused(fieldbook, tmp_path, text):
    file = tmp_path / "logger.csv"
    file.write_text(text, encoding="utf-8")
    assert fieldbook("import", "readings", str(file), "f", *NOW).status == 1
    assert fieldbook("import", "readings", str(tmp_path / "none.csv"), "f", *NOW).status == 1


def test_hours_that_are_none_are_said_with_their_line_in_the_file(fieldbook, tmp_path):
    file = tmp_path / "logger.csv"
    text = "# logger 3\n\nhours;temperature C\n0,5;15\nsoon;20\n1e400;20\n"
    file.write_text(text, encoding="utf-8")
    answer = fieldbook("import", "readings", str(file), "f", *NOW)
    assert answer.status == 1
    assert "logger.csv:5: 'soon' is no number of hours" in answer.out
    assert "logger.csv:6: '1e400' is no number of hours" in answer.out


def test_nothing_is_imported_into_a_notebook_of_a_newer_format(fieldbook, notebook, tmp_path):
    settings = notebook / "notebook.toml"
    settings.write_text(settings.read_text().replace("format = 1", "format = 2"))
    file = tmp_path / "logger.csv"
    file.write_text(FILES["clock times past midnight"][0], encoding="utf-8")
    before = (notebook / "firings/f.toml").read_bytes()
    answer = fieldbook("import", "readings", str(file), "f", "--write", *NOW)
    assert "format 2" in answer.err
    assert (notebook / "firings/f.toml").read_bytes() == before


def test_a_reading_that_no_fire_gives_is_named_and_left_out(fieldbook, notebook, tmp_path):
    file = tmp_path / "logger.csv"
    file.write_text("time,top (C)\n09:00,120\n09:30,32767\n10:00,150\n", encoding="utf-8")
    answer = json.loads(
        fieldbook("import", "readings", str(file), "f", "--write", "--json", *NOW).out
    )
    assert answer["written"] == 2
    (problem,) = answer["problems"]
    assert "logger.csv:3" in problem and "32767 C is hotter than any wood fire" in problem

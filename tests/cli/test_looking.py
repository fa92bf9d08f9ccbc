"""`find`, `history`, `compare`: looking over many entries."""

import json

NOW = ("--now", "2026-09-12 14:30")


def another_test(notebook):
    text = (notebook / "tests/t.toml").read_text(encoding="utf-8")
    text = text.replace("2230 g", "2310 g").replace("ASTM C62", "IS 1077")
    (notebook / "tests/u.toml").write_text(text, encoding="utf-8")


def test_find_by_kind_field_value_and_word(fieldbook, notebook):
    another_test(notebook)
    assert fieldbook("find", "tests", *NOW).out.split() == ["tests/t", "tests/u"]
    assert fieldbook("find", "test", "standard=IS 1077", *NOW).out.split() == ["tests/u"]
    assert fieldbook("find", "cold_absorption>14", *NOW).out.split() == ["tests/u"]
    assert fieldbook("find", "cold absorption > 14", *NOW).out.split() == ["tests/u"]
    assert fieldbook("find", "sea wall", *NOW).out.split() == ["clays/reach"]
    assert fieldbook("find", "clay", "gold", *NOW).status == 1


def test_compare_tells_what_was_done_and_what_came_out(fieldbook, notebook):
    another_test(notebook)
    answer = json.loads(fieldbook("compare", "t", "u", "--json", *NOW).out)
    assert [row["name"] for row in answer["done_differently"]] == ["standard"]
    assert answer["came_out"][0]["values"][0]["unit"] == "%"
    verdicts = {row["name"]: row["verdict"] for row in answer["came_out"]}
    assert verdicts["cold_absorption"] == "differs"
    assert verdicts["boiling_absorption"] == "the same"


def test_a_difference_within_the_errors_is_not_called_one(fieldbook, notebook):
    text = (notebook / "tests/t.toml").read_text(encoding="utf-8")
    (notebook / "tests/u.toml").write_text(text.replace("2230 g", "2231 g"), encoding="utf-8")
    answer = json.loads(fieldbook("compare", "t", "u", "--json", *NOW).out)
    verdicts = {row["name"]: row["verdict"] for row in answer["came_out"]}
    assert verdicts["cold_absorption"] == "same to within the bounds"


def test_compare_since_shows_one_entry_then_and_now(fieldbook, notebook):
    fieldbook("log", "f", "300C", "top", "--now", "2026-09-12 10:00")
    fieldbook("log", "f", "450C", "top", "--now", "2026-09-12 14:00")
    answer = fieldbook("compare", "f", "--since", "2026-09-12 10:05", *NOW)
    assert answer.status == 0, answer.err
    peak = next(line for line in answer.out.splitlines() if line.startswith("peak"))
    assert "300" in peak
    assert "450" in peak


def test_compare_refuses_what_cannot_be_compared(fieldbook):
    assert fieldbook("compare", "t", *NOW).status == 2
    assert fieldbook("compare", "t", "f", *NOW).status == 2
    assert fieldbook("compare", "t", "f", "--since", "2026-09-01", *NOW).status == 2


def test_history_lists_what_was_made_in_order(fieldbook):
    lines = fieldbook("history", "reach-3-1", *NOW).out.splitlines()
    assert [line.split()[1] for line in lines if line[0].isdigit()] == [
        "batches/a",
        "firings/f",
    ]
    assert fieldbook("history", "small", *NOW).out.count("firings/f") == 1
    assert fieldbook("history", "t", *NOW).status == 0
    assert fieldbook("history", "nowhere", *NOW).status == 1


def test_plan_is_one_page_in_clock_times(fieldbook, notebook):
    path = notebook / "firings/f.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.partition("[log]")[0] + 'start = "2026-09-14 05:00"\n', encoding="utf-8")
    answer = fieldbook("plan", "f", *NOW)
    assert answer.status == 0, answer.err
    lines = answer.out.splitlines()
    assert len(lines) <= 60
    assert "14 Sep" in answer.out
    assert "1000 °C" in answer.out
    assert "Never leave a lit kiln" in answer.out
    steps = json.loads(fieldbook("plan", "f", "--json", *NOW).out)["value"]
    assert steps[0]["name"] == "water smoking"


def test_plan_of_what_cannot_be_planned_is_refused(fieldbook):
    assert fieldbook("plan", "t", *NOW).status == 2


def test_compare_into_a_pipe_shows_no_control_characters(fieldbook, notebook):
    (notebook / "clays/far.toml").write_text('place = "far\\u001b[2J"\n', encoding="utf-8")
    answer = fieldbook("compare", "reach", "far", *NOW)
    assert "far\N{REPLACEMENT CHARACTER}[2J" in answer.out
    assert "\x1b" not in answer.out


def test_compare_since_takes_a_day_and_says_when_no_history_reaches_back(fieldbook):
    fieldbook("log", "f", "300C", "top", "--now", "2026-09-12 10:00")
    fieldbook("log", "f", "450C", "top", "--now", "2026-09-12 14:00")
    answer = fieldbook("compare", "f", "--since", "2026-09-13", "--now", "2026-09-14 12:00")
    assert answer.status == 0, answer.err
    assert "fields are taken as they are now" in answer.out
    assert fieldbook("compare", "f", "--since", "abcdef", *NOW).status == 2


def test_compare_lays_curves_over_each_other(fieldbook, notebook):
    for name, top in (("f", "900C"), ("g", "800C")):
        text = (notebook / "firings/f.toml").read_text(encoding="utf-8").partition("[log]")[0]
        lines = '[log]\n"2026-09-12 06:00:00+01:00" = { event = "lit" }\n'
        (notebook / f"firings/{name}.toml").write_text(text + lines, encoding="utf-8")
        fieldbook("log", name, "100C", "top", "--now", "2026-09-12 08:00")
        fieldbook("log", name, top, "top", "--now", "2026-09-12 14:00")
    for way, says in (("clock", "08:00"), ("lighting", "4 h"), ("temperature", "at or above")):
        answer = fieldbook("compare", "f", "g", "--curves", way, *NOW)
        assert answer.status == 0, answer.err
        assert "firings/g top" in answer.out
        assert says in answer.out
    answer = json.loads(fieldbook("compare", "f", "g", "--curves", "clock", "--json", *NOW).out)
    assert answer["curves"]["entries"][0]["points"][0] == [8.0, 100.0]
    assert fieldbook("compare", "a", "a", "--curves", "clock", *NOW).status == 2
    assert fieldbook("compare", "f", "g", "--curves", "weight", *NOW).status == 2


def test_check_names_tables_that_the_settings_name_and_that_are_not_there(fieldbook, notebook):
    with (notebook / "notebook.toml").open("a", encoding="utf-8") as file:
        file.write('\n[practice]\nstandard = "ASTM C999"\nglow_list = "shed door"\n')
    with (notebook / "firings/f.toml").open("a", encoding="utf-8") as file:
        file.write('"2026-09-12 09:00:00+01:00" = { glow = "dull red", place = "top" }\n')
    (notebook / "tests/t.toml").write_text(
        'batch = "a"\n[specimens]\n"1" = { dry_mass = "2 kg" }\n'
    )
    answer = fieldbook("check", "--now", "2026-09-12 14:00", "--json")
    found = [p for p in json.loads(answer.out) if p["where"].startswith(("notebook", "firings"))]
    lines = (notebook / "notebook.toml").read_text(encoding="utf-8").splitlines()
    at = {
        word: f"notebook.toml:{n}" for n, line in enumerate(lines, 1) for word in line.split()[:1]
    }
    assert [(p["where"], p["what"].partition(";")[0]) for p in found] == [
        (at["standard"], 'no standard "ASTM C999" is known here'),
        (at["glow_list"], 'no list of glow colours is called "shed door"'),
    ]
    assert "ASTM C62" in found[0]["remedy"] and "chapman-1972" in found[1]["remedy"]


def test_a_temperature_no_fire_makes_is_one_problem_wherever_the_probe_was(fieldbook, notebook):
    with (notebook / "firings/f.toml").open("a", encoding="utf-8") as file:
        file.write(
            '"2026-09-12 09:00:00+01:00" = { temperature = "5000 C", place = "top" }\n'
            '"2026-09-12 09:10:00+01:00" = { temperature = "4000 C", probe = "flue" }\n'
            '"2026-09-12 09:20:00+01:00" = { temperature = "> 3000 C", place = "top" }\n'
        )
    found = json.loads(fieldbook("check", "--now", "2026-09-12 14:00", "--json").out)
    lines = [p["where"].rpartition(":")[2] for p in found if "firings/f" in p["where"]]
    first = (notebook / "firings/f.toml").read_text(encoding="utf-8").count("\n") - 2
    assert lines == [str(first), str(first + 1), str(first + 2)], found


def test_a_file_that_cannot_be_read_is_said_beside_the_advice(fieldbook, notebook):
    file = next((notebook / "firings").iterdir())
    file.write_text('kiln = "oops\n', encoding="utf-8")
    answer = fieldbook("next", *NOW)
    assert f"firings/{file.name} cannot be read" in answer.err

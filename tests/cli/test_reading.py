"""`next`, `show`, `why`, `check`, and what stands before and after every command."""

import json

import pytest

NOW = ("--now", "2026-09-12 14:30")


def test_show_prints_what_is_recorded_and_derived(fieldbook):
    answer = fieldbook("show", "t", *NOW)
    assert answer.status == 0, answer.err
    assert "cold absorption" in answer.out
    assert "2230 g" in answer.out


def test_show_json_has_the_documented_shape(fieldbook):
    answer = json.loads(fieldbook("show", "t", "--json", *NOW).out)
    assert list(answer) == [
        "entry",
        "kind",
        "recorded",
        "derived",
        "verdicts",
        "problems",
        "cautions",
    ]
    assert answer["entry"] == "tests/t"
    assert answer["kind"] == "test"
    assert answer["recorded"]["batch"] == "a"
    cold = answer["derived"]["cold_absorption"]
    assert cold["unit"] == "%"
    assert cold["value"] == pytest.approx(11.5, abs=0.01)  # worked out here: 230 g on 2000 g


@pytest.mark.parametrize("entry", ["reach", "reach-3-1", "small", "a", "f", "t"])
def test_every_kind_is_shown_in_words_and_as_json(fieldbook, entry):
    assert fieldbook("show", entry, *NOW).status == 0
    derived = json.loads(fieldbook("show", entry, "--json", *NOW).out)["derived"]
    for name, value in derived.items():
        assert "value" in value, name
        assert value["value"] is not None or value.get("needs") or value.get("because"), name


def test_next_json_has_the_documented_keys(fieldbook):
    actions = json.loads(fieldbook("next", "--json", *NOW).out)
    assert actions
    for action in actions:
        assert list(action) == [
            "action",
            "entry",
            "when",
            "do",
            "why",
            "numbers",
            "rule",
            "source",
            "caution",
            "log",
        ]


def test_next_to_a_pipe_is_one_action_a_line(fieldbook):
    lines = fieldbook("next", *NOW).out.splitlines()
    actions = json.loads(fieldbook("next", "--json", *NOW).out)
    assert len(lines) == len(actions)
    assert all(line.count("\t") >= 3 for line in lines)


def test_next_gives_the_same_answer_each_time(fieldbook):
    assert fieldbook("next", "--json", *NOW).out == fieldbook("next", "--json", *NOW).out


def test_why_lays_out_inputs_formula_and_source(fieldbook):
    answer = fieldbook("why", "t", "cold_absorption", *NOW)
    assert answer.status == 0, answer.err
    for part in ("tests/t.toml:5", "formula:", "source:", "C67"):
        assert part in answer.out


def test_why_of_an_action_names_its_rule(fieldbook):
    first = json.loads(fieldbook("next", "--json", *NOW).out)[0]
    answer = fieldbook("why", first["action"], *NOW)
    assert answer.status == 0, answer.err
    assert first["rule"] in answer.out
    data = json.loads(fieldbook("why", first["action"], "--json", *NOW).out)
    assert data[0]["rule"] == first["rule"]


def test_why_of_an_entry_lists_what_can_be_asked_there(fieldbook):
    answer = fieldbook("why", "t", *NOW)
    names = list(json.loads(fieldbook("show", "t", "--json", *NOW).out)["derived"])
    assert answer.status == 0 and names
    listed = [line.split()[0] for line in answer.out.splitlines()[1:] if line.startswith("  ")]
    assert listed[: len(names)] == names
    for name in names:
        assert fieldbook("why", "t", name, *NOW).status == 0
    data = json.loads(fieldbook("why", "tests/t", "--json", *NOW).out)
    assert (data["entry"], list(data["values"])) == ("tests/t", names)
    nothing = fieldbook("why", "no-such-thing", *NOW)
    assert nothing.status == 1 and "no action 'no-such-thing'" in nothing.err


def test_why_of_nothing_known_says_what_there_is(fieldbook):
    answer = fieldbook("why", "t", "weight", *NOW)
    assert answer.status == 1
    assert "cold_absorption" in answer.err


def test_check_finds_what_is_wrong_and_exits_one(fieldbook, notebook):
    path = notebook / "batches/a.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"246 mm"', '"246"'), encoding="utf-8")
    answer = fieldbook("check", "--json", *NOW)
    assert answer.status == 1
    found = json.loads(answer.out)
    assert any(p["where"] == "batches/a.toml:6" and "unit" in p["what"] for p in found)
    assert all(p["remedy"] for p in found)


@pytest.mark.parametrize("words", [["check", "--json"], ["--json", "check"]])
def test_shared_options_stand_before_or_after_the_command(fieldbook, notebook, words):
    answer = fieldbook(*words, "--notebook", str(notebook), *NOW)
    assert isinstance(json.loads(answer.out), list)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["nxt"], "next"),
        (["show"], "ENTRY"),
        (["next", "--units", "imperial"], "metric"),
        (["next", "--now"], "--now"),
        (["show", "a", "--wrong"], "--wrong"),
    ],
)
def test_wrong_use_exits_two_and_says_how(fieldbook, words, says):
    answer = fieldbook(*words)
    assert answer.status == 2
    assert says in answer.err


def test_a_folder_that_is_no_notebook_is_said(fieldbook, tmp_path):
    answer = fieldbook("--notebook", str(tmp_path), "next")
    assert answer.status == 1
    assert "no notebook" in answer.err


def test_help_lists_every_command(fieldbook):
    from fieldbook.cli.commands import COMMANDS

    text = fieldbook("help").out
    assert all(command in text for command in COMMANDS)
    for command in COMMANDS:
        with pytest.raises(SystemExit) as done:
            fieldbook(command, "--help")
        assert done.value.code == 0


def test_every_command_stands_in_the_docs():
    from pathlib import Path

    from fieldbook.cli.commands import COMMANDS

    page = (Path(__file__).parents[2] / "docs" / "commands.md").read_text(encoding="utf-8")
    assert not [command for command in COMMANDS if f"`fieldbook {command}" not in page]


def test_units_asked_for_hold_for_advice_too(fieldbook):
    for hour, celsius in (("12:30", 180), ("13:30", 240), ("14:20", 280)):
        fieldbook("log", "f", f"{celsius}C", "top", "--now", f"2026-09-12 {hour}")
    metric = fieldbook("next", "f", "--units", "metric", *NOW).out
    us = fieldbook("next", "f", "--units", "us", *NOW).out
    assert "°F" in us
    assert "°F" not in metric

"""What an action tells the maker to type can be typed: fields are there, lines are understood."""

import re
import shlex
from datetime import UTC, datetime

import pytest

from fieldbook.cli.commands import COMMANDS
from fieldbook.errors import FieldbookError
from fieldbook.lines.reading import read_line
from fieldbook.records import FOLDERS, KINDS, Settings
from fieldbook.store.bearings import KIND_OF
from fieldbook.store.typed import find_field, record_of
from tests.advice.build_records import ask
from tests.advice.rule_states import SPEAKS

NOW = datetime(2026, 5, 3, 14, 30, tzinfo=UTC)
BLANK = re.compile("…")
WORDS = {
    "… core": "black core",
    "ring …": "ring clear",
    "scratch …": "scratch light",
    "efflorescence …": "efflorescence nil",
    "fault …": "fault black core",
}
"""Blanks that ask for a word; all others ask for a number."""


def hints(name):
    return [(action.entry, action.log) for action in ask(name, SPEAKS[name])]


@pytest.mark.parametrize("name", sorted(SPEAKS))
def test_what_an_action_asks_for_can_be_typed(name):
    for entry, hint in hints(name):
        if hint.startswith("fieldbook "):
            assert_command(shlex.split(hint)[1:])
        else:
            assert_observation(entry, hint)


def assert_command(words):
    command, *rest = words
    assert command in COMMANDS, words
    if command == "set":
        address = rest[0]
        record = Settings if address == "notebook" else record_of(address.replace("…", "x"))
        assert_fields(record, rest[1:])
    elif command == "log":
        assert_observation(rest[0], " ".join(rest[1:]))
    elif command == "add":
        record = KINDS[FOLDERS.get(rest[0], rest[0])]
        assert rest[1] == "…" or re.fullmatch("[a-z0-9-]+", rest[1]), words
        assert_fields(record, rest[2:])


def assert_fields(record, pairs):
    for pair in pairs:
        field, equals, _ = pair.partition("=")
        assert equals, f"{pair}: write FIELD=VALUE"
        try:
            find_field(record, field.removesuffix("+"))
        except FieldbookError as error:
            pytest.fail(f"{pair}: {error}")
        # A list is added to: written whole, it would lose what stands in it.
        assert "[…," not in pair, pair


def assert_observation(entry, hint):
    kind = KIND_OF[entry.partition("/")[0]]
    for blank, word in WORDS.items():
        hint = hint.replace(blank, word)
    typed = BLANK.sub("3", hint)
    observation = read_line(typed, kind, NOW, places=("top", "bottom"), bricks=("1", "2", "3"))
    assert not [q for q in observation.questions if "of what" in q], (hint, observation)
    assert hint.startswith(":") or observation.fields, (hint, observation)

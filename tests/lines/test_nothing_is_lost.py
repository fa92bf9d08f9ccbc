"""Whatever is typed, nothing of it is lost and nothing breaks."""

import re
import tomllib
from datetime import datetime, timedelta, timezone

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.errors import Unreadable, WrongUse
from fieldbook.lines import vocabulary
from fieldbook.lines.fields import KINDS, fields_of
from fieldbook.lines.read_back import read_back
from fieldbook.lines.reading import read_line
from fieldbook.lines.scan import small
from fieldbook.lines.toml_text import key_for, line_for

NOW = datetime(2026, 5, 3, 14, 30, 12, tzinfo=timezone(timedelta(hours=-5)))
PHRASES = (
    *vocabulary.FLAGS,
    *("1040F", "560 C middle", "dull red top", "+2 armload split ash", "+8kg oak", "fan half"),
    *("damper shut", "charge 60%", "cone 010 bent", "draw 3 1.92kg", "draw 3 black core"),
    *("settled 40mm", "lean 10mm", "sound 180", "cracked 14", "soft 6", "#3 4.10lb", "top"),
    *("#3 marks 141mm", "#3 dry 2.51kg", "air 18C 60%", "hours 3", "laid 120", "sold 40", "left"),
    *("wind light", "fault black core 4", "repaired the arch", "heavy rain", "and", "at the top"),
)
ODD_WORDS = ("the", "wood", "is", "wet", "zebra", "not", "from", "ann", "7", "3", "?", "kg", "no")
FILLERS = {"and", "at", "the", "fault"}
"""Words that join or introduce what the fields hold."""
kinds = st.sampled_from(KINDS)
pieces = st.lists(st.sampled_from([*PHRASES, *ODD_WORDS]), min_size=1, max_size=8)
joins = st.sampled_from([" ", "  ", ", ", "; "])


def words_of(text):
    return set(re.findall(r"[a-z]+|[0-9]+", small(text)))


def spoken_by_phrases(fields):
    """The words of each flag phrase that says what the fields hold."""
    said = fields.items()
    return {
        word for words, pair in vocabulary.FLAGS.items() if pair in said for word in words_of(words)
    }


def kept_of(observation):
    fields = observation.fields | observation.also
    text = f"{fields} {observation.note} {observation.name}".replace("_", " ")
    return words_of(text) | spoken_by_phrases(fields)


@given(kinds, pieces, joins)
@settings(max_examples=400, deadline=None)
def test_every_word_typed_is_in_the_fields_or_the_note(kind, typed, join):
    text = join.join(typed)
    observation = read_line(text, kind, NOW)
    lost = words_of(text) - kept_of(observation) - FILLERS
    assert not lost, observation


@given(kinds, st.lists(st.from_regex(r"\Aq[xyz]{2,6}\Z"), min_size=1, max_size=6))
@settings(deadline=None)
def test_words_without_a_meaning_stand_in_the_note_as_typed(kind, odd):
    text = " ".join(odd)
    observation = read_line(f"hours 3 {text}", kind, NOW)
    assert (observation.fields, observation.note) == ({"hours": "3 h"}, text)


@given(kinds, st.text(max_size=60))
@settings(max_examples=400, deadline=None)
def test_any_text_is_kept_or_refused_in_plain_words(kind, text):
    try:
        observation = read_line(text, kind, NOW, places=("ring two",), measures=("armload",))
    except (WrongUse, Unreadable) as refusal:
        assert str(refusal)
        return
    keeps_its_promises(kind, observation)


letters = st.sampled_from([*"0123456789 .,:;+-#~<>±%/°CFkglbmin\"'", "fuel ", "top ", "ago", "am"])


@given(kinds, st.lists(letters, min_size=1, max_size=40))
@settings(max_examples=400, deadline=None)
def test_heaps_of_figures_and_signs_break_nothing(kind, heap):
    try:
        observation = read_line("".join(heap), kind, NOW)
    except WrongUse:
        assert not "".join(heap).strip()
        return
    keeps_its_promises(kind, observation)


def keeps_its_promises(kind, observation):
    assert observation.fields.keys() <= fields_of(kind, observation.target).keys()
    assert observation.at.utcoffset() is not None
    assert observation.words.isprintable()
    assert read_back(observation).isprintable()
    line = observation.line("ines")
    text = line_for(key_for(observation.at, None, ()), line)
    assert [*tomllib.loads(text).values()] == [line]


HEAPS = (
    "fuel 1 kg ",
    "+1 a ",
    "1040F ",
    "1 ",
    ",",
    ":",
    "-1h",
    "9",
    "top ",
    "dull ",
    "no ",
    "#3 4kg ",
)


def test_long_heaps_of_one_phrase_end():
    for piece in HEAPS:
        for kind in KINDS:
            text = (piece * 2000)[:2000]
            observation = read_line(text, kind, NOW)
            assert observation.fields or observation.note or observation.questions

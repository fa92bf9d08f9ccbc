"""What is typed at the prompt, kind by kind, and what the notebook keeps of it."""

from datetime import datetime, timedelta, timezone

import pytest

from fieldbook.errors import Unreadable, WrongUse
from fieldbook.lines.fields import KINDS
from fieldbook.lines.reading import LONGEST, read_line

ZONE = timezone(timedelta(hours=-5))
NOW = datetime(2026, 5, 3, 14, 30, 12, 412000, ZONE)


def typed(text, kind="firing", **known):
    return read_line(text, kind, NOW, **{"measures": ("armload", "barrow", "bucket")} | known)


FIRING = [
    ("1040F", {"temperature": "1040 F"}),
    ("1040f", {"temperature": "1040 F"}),
    ("560 C middle", {"temperature": "560 C", "place": "middle"}),
    ("560C face middle", {"temperature": "560 C", "probe": "face", "place": "middle"}),
    ("560C middle face", {"temperature": "560 C", "place": "middle", "probe": "face"}),
    ("top 1040F", {"place": "top", "temperature": "1040 F"}),
    ("1040F at the top", {"temperature": "1040 F", "place": "top"}),
    ("1040 °F", {"temperature": "1040 °F"}),
    ("560℃", {"temperature": "560 °C"}),
    ("1040 deg F", {"temperature": "1040 deg F"}),
    ("1030-1050F", {"temperature": "1030 to 1050 F"}),
    ("~1040F", {"temperature": "~1040 F"}),
    ("about 1040F", {"temperature": "~1040 F"}),
    ("> 1000 C flue", {"temperature": "> 1000 C", "probe": "flue"}),
    ("above 1000C", {"temperature": "> 1000 C"}),
    ("temp high top", {"temperature": "high", "place": "top"}),
    ("dull red top", {"glow": "dull red", "place": "top"}),
    ("cherry red in the shade", {"glow": "cherry red", "light": "shade"}),
    ("dull red in the dark top", {"glow": "dull red", "light": "dark", "place": "top"}),
    ("no glow", {"glow": "none"}),
    ("yellow white", {"glow": "yellow white"}),
    ("+2 armload split ash", {"fuel": "2 armload", "of": "split ash"}),
    ("+8kg oak", {"fuel": "8 kg", "of": "oak"}),
    ("+ 8 kg of red oak", {"fuel": "8 kg", "of": "red oak"}),
    ("+1/2 barrow", {"fuel": "1/2 barrow"}),
    ("+5lb 2oz ash", {"fuel": "5 lb 2 oz", "of": "ash"}),
    ("fuel left 3 barrow oak", {"fuel_left": "3 barrow", "of": "oak"}),
    ("+8kg oak dull red", {"fuel": "8 kg", "of": "oak", "glow": "dull red"}),
    ("+8kg oak white smoke", {"fuel": "8 kg", "of": "oak", "smoke": "white"}),
    ("fan on", {"fan": "on"}),
    ("fan half", {"fan": "half"}),
    ("fan 60%", {"fan": "60 %"}),
    ("damper shut", {"damper": "shut"}),
    ("charge 60%", {"charge": "60 %"}),
    ("oxygen 8 %", {"oxygen": "8 %"}),
    ("steam", {"steam": True}),
    ("no steam", {"steam": False}),
    ("white smoke", {"smoke": "white"}),
    ("black smoke", {"smoke": "black"}),
    ("clear smoke", {"smoke": "none"}),
    ("lit", {"event": "lit"}),
    ("sealed", {"event": "sealed"}),
    ("peak", {"event": "peak"}),
    ("cooling", {"event": "cooling"}),
    ("opened", {"event": "opened"}),
    ("unloaded", {"event": "unloaded"}),
    ("cone 010 bent top", {"cone": "010", "state": "bent", "place": "top"}),
    ("cone 6 top down", {"cone": "6", "place": "top", "state": "down"}),
    ("draw 3 1.92kg", {"draw": "3", "mass": "1.92 kg"}),
    ("draw 3 black core", {"draw": "3", "core": "black"}),
    ("draw 3 marks 141mm core grey", {"draw": "3", "marks": "141 mm", "core": "grey"}),
    ("settled 40mm", {"settled": "40 mm"}),
    ("settled 1 1/2 in", {"settled": "1 1/2 in"}),
    ("lean 10mm", {"lean": "10 mm"}),
    ("air 18C 60% rain", {"air": "18 C", "humidity": "60 %", "rain": True}),
    ("rain air -3C wind light", {"rain": True, "air": "-3 C", "wind": "light"}),
    ("wind 5 m/s", {"wind": "5 m/s"}),
    ("hours 3", {"hours": "3 h"}),
    ("hours 45 min", {"hours": "45 min"}),
    ("cost 12.50 EUR", {"cost": "12.50 EUR"}),
    ("1040F top steam", {"temperature": "1040 F", "place": "top", "steam": True}),
    ("1040F and white smoke", {"temperature": "1040 F", "smoke": "white"}),
    ("steam, 1040F, fan on", {"steam": True, "temperature": "1040 F", "fan": "on"}),
    ("peak 1040F", {"event": "peak", "temperature": "1040 F"}),
    ("  1040F   top  ", {"temperature": "1040 F", "place": "top"}),
    ("1040F\ttop.", {"temperature": "1040 F", "place": "top"}),
    ("560,5 C", {"temperature": "560,5 C"}),
]
BATCH = [
    ("#3 4.10lb", {"brick": "3", "mass": "4.10 lb"}),
    ("brick 3 4.10lb", {"brick": "3", "mass": "4.10 lb"}),
    ("#3 marks 141mm", {"brick": "3", "marks": "141 mm"}),
    ("#3 3.02kg marks 141.5mm", {"brick": "3", "mass": "3.02 kg", "marks": "141.5 mm"}),
    ("#3 5lb 2oz", {"brick": "3", "mass": "5 lb 2 oz"}),
    (
        "#3 1.9kg fired 2026-05-03",
        {"brick": "3", "mass": "1.9 kg", "firing": "2026-05-03"},
    ),
    ("cracked 4", {"cracked": 4}),
    ("4 cracked", {"cracked": 4}),
    ("turned", {"turned": True}),
    ("covered", {"covered": True}),
    ("uncovered", {"covered": False}),
    ("turned covered", {"turned": True, "covered": True}),
    ("air 18C 60% rain", {"air": "18 C", "humidity": "60 %", "rain": True}),
    ("frost", {"frost": True}),
    ("60% humidity", {"humidity": "60 %"}),
    ("sold 40", {"sold": 40}),
    ("sold 40 bricks", {"sold": 40}),
    ("broken 2", {"broken": 2}),
    ("hours 3", {"hours": "3 h"}),
]
OTHERS = [
    ("kiln", "rain", {"rain": True}),
    ("kiln", "lean 10mm", {"lean": "10 mm"}),
    ("kiln", "repaired the arch", {"repaired": "the arch"}),
    ("kiln", "dried", {"dried": True}),
    ("test", "soak began", {"soak": "began"}),
    ("test", "boil ended", {"boil": "ended"}),
    ("build", "laid 120", {"laid": 120}),
    ("build", "laid 120 of 2026-05-03", {"laid": 120, "of": "2026-05-03"}),
    ("build", "300C hot face", {"temperature": "300 C", "place": "hot face"}),
    *((kind, "hours 3", {"hours": "3 h"}) for kind in KINDS),
]
CASES = [("firing", *case) for case in FIRING] + [("batch", *case) for case in BATCH] + OTHERS


@pytest.mark.parametrize(("kind", "text", "fields"), CASES)
def test_what_is_understood_becomes_fields(kind, text, fields):
    observation = typed(text, kind)
    assert (observation.fields, observation.target) == (fields, "log")
    assert list(observation.fields) == list(fields), "in the order typed"
    assert (observation.note, observation.questions) == (None, ())
    assert observation.at == NOW


SPECIMENS = [
    ("#3 dry 2.51kg", {"dry_mass": "2.51 kg"}),
    ("specimen 3 dry 2.51kg", {"dry_mass": "2.51 kg"}),
    ("#3 2.51kg dry", {"dry_mass": "2.51 kg"}),
    ("#3 soaked 2.80kg", {"soaked_mass": "2.80 kg"}),
    ("#3 soaked 2.80kg boiled 2.87kg", {"soaked_mass": "2.80 kg", "boiled_mass": "2.87 kg"}),
    (
        "#3 suspended 1.5kg after boil",
        {"suspended_mass": "1.5 kg", "suspended_after": "boil"},
    ),
    ("#3 minute 2.60kg", {"minute_mass": "2.60 kg"}),
    (
        "#3 length 8in width 4in height 2 1/4in",
        {"length": "8 in", "width": "4 in", "height": "2 1/4 in"},
    ),
    ("#3 span 6 in bending 400 lb", {"span": "6 in", "bending_load": "400 lb"}),
    ("#3 crushing 80 kN crushed half", {"crushing_load": "80 kN", "crushed": "half"}),
    (
        "#3 ring clear scratch none black core",
        {"ring": "clear", "scratch": "none", "core": "black"},
    ),
    ("#3 laid on edge", {"laid": "on edge"}),
    ("#3 pops 2 efflorescence slight", {"lime_pops": 2, "efflorescence": "slight"}),
    ("#3 cycles 50 freeze loss 1.2%", {"freeze_cycles": 50, "freeze_loss": "1.2 %"}),
]


@pytest.mark.parametrize(("text", "fields"), SPECIMENS)
def test_a_numbered_brick_of_a_test_goes_to_its_specimen(text, fields):
    observation = typed(text, "test")
    assert (observation.target, observation.name) == ("specimens", "3")
    assert (observation.fields, observation.note) == (fields, None)
    assert observation.line() == {}


UNLOADED = [
    ("sound 180 cracked 14 soft 6", {"sound": 180, "cracked": 14, "soft": 6}),
    ("180 sound, 14 cracked", {"sound": 180, "cracked": 14}),
    ("sound 90 lost 2 top", {"sound": 90, "lost": 2, "place": "top"}),
    ("top sound 90", {"sound": 90, "place": "top"}),
    ("batch 2026-04-a sound 90", {"batch": "2026-04-a", "sound": 90}),
    (
        "cracked 5 fault sharp cracks 3 fault black core 2",
        {
            "cracked": 5,
            "faults": [{"what": "sharp cracks", "count": 3}, {"what": "black core", "count": 2}],
        },
    ),
]


@pytest.mark.parametrize(("text", "fields"), UNLOADED)
def test_what_came_out_goes_to_unloaded(text, fields):
    observation = typed(text)
    assert (observation.target, observation.fields) == ("unloaded", fields)
    assert observation.line() == {}


def test_an_event_typed_beside_what_came_out_goes_to_the_log():
    observation = typed("14:10 unloaded sound 180")
    assert (observation.target, observation.fields) == ("unloaded", {"sound": 180})
    assert observation.line("ines") == {"event": "unloaded", "by": "ines"}


def test_a_note_beside_a_specimen_goes_to_the_log_and_names_it():
    observation = typed("#3 dry 2.51kg chipped corner", "test")
    assert observation.fields == {"dry_mass": "2.51 kg"}
    assert observation.line() == {"note": "specimen 3: chipped corner"}


NOTES = [
    ("firing", ": anything, at 5: all, 1040F", {}, "anything, at 5: all, 1040F"),
    ("firing", "note: 1040F", {}, "1040F"),
    ("firing", "the wind got up", {}, "the wind got up"),
    (
        "firing",
        "1040F top looks brighter",
        {"temperature": "1040 F", "place": "top"},
        "looks brighter",
    ),
    ("firing", "1040F tpo, steam", {"temperature": "1040 F", "steam": True}, "tpo"),
    ("firing", "1040F : steam", {"temperature": "1040 F"}, "steam"),
    ("firing", "left the damper shut", {}, "left the damper shut"),
    ("firing", "top", {}, "top"),
    ("firing", "peak not reached", {}, "peak not reached"),
    ("firing", "steam has stopped", {}, "steam has stopped"),
    ("firing", "no sign of steam", {}, "no sign of steam"),
    ("firing", "cooling too fast", {}, "cooling too fast"),
    ("firing", "sealed from the top down", {"event": "sealed"}, "sealed from the top down"),
    ("firing", "frost", {}, "frost"),
    ("firing", "2 armload, ash", {"fuel": "2 armload"}, "ash"),
    (
        "firing",
        "+2 armload ash because it fell",
        {"fuel": "2 armload", "of": "ash"},
        "because it fell",
    ),
    ("firing", "air 18C heavy rain", {"air": "18 C", "rain": True}, "heavy rain"),
    ("firing", "1040F ?", {"temperature": "1040 F"}, "?"),
    ("batch", "turned on edge", {"turned": True}, "turned on edge"),
    ("batch", "1040F", {}, "1040F"),
    ("batch", "cracked badly", {}, "cracked badly"),
    ("batch", "steam", {}, "steam"),
    ("build", "broken 2", {}, "broken 2"),
    ("clay", "#3 4.10lb", {}, "#3 4.10lb"),
    ("mix", "air 18C 60% rain", {}, "air 18C 60% rain"),
    ("kiln", "sound 180", {}, "sound 180"),
]


@pytest.mark.parametrize(("kind", "text", "fields", "note"), NOTES)
def test_what_is_not_understood_becomes_the_note(kind, text, fields, note):
    observation = typed(text, kind)
    assert (observation.fields, observation.note) == (fields, note)


def test_a_phrase_followed_by_words_that_fit_keeps_its_meaning_and_its_words():
    observation = typed("212 degF top steam from the top course")
    assert observation.fields == {"temperature": "212 degF", "place": "top", "steam": True}
    assert observation.note == "steam from the top course"


def test_a_doubtful_phrase_takes_back_only_what_it_said_itself():
    observation = typed("1040F top, dull red top fading")
    assert observation.fields == {"temperature": "1040 F", "place": "top"}
    assert observation.note == "dull red top fading"
    assert typed("raining, rained no more", "kiln").fields == {"rain": True}


def test_the_place_names_of_the_kiln_are_known():
    observation = typed("1040F ring two", places=("ring two", "flue"))
    assert observation.fields == {"temperature": "1040 F", "place": "ring two"}
    assert typed("1040F flue", places=("flue",)).fields["place"] == "flue"
    assert typed("1040F flue").fields["probe"] == "flue"


def test_marked_bricks_may_have_names_without_a_number():
    assert typed("brick north 4.10lb", "batch").note == "brick north 4.10lb"
    observation = typed("brick north 4.10lb", "batch", bricks=("north",))
    assert observation.fields == {"brick": "north", "mass": "4.10 lb"}


def test_local_measures_are_known_in_their_plural_too():
    observation = typed("+3 armloads split ash", measures=("armload",))
    assert (observation.fields["fuel"], observation.questions) == ("3 armloads", ())


def test_not_now_declines_the_action_in_view():
    observation = typed("not now: wood is wet", action="hold")
    assert observation.fields == {"declined": "hold", "because": "wood is wet"}
    assert observation.questions == ()


def test_not_now_may_name_the_action():
    assert typed("14:10 not now open_up: asleep").fields == {
        "declined": "open_up",
        "because": "asleep",
    }


QUESTIONS = [
    ("firing", "1040 top", "1040 F or 1040 C"),
    ("firing", "1040", "1040 F or 1040 C"),
    ("firing", "charge 60", "60 of what? Write %"),
    ("firing", "settled 40", "mm or in"),
    ("firing", "settled 40kg", "mm or in"),
    ("firing", "air 18", "F or C"),
    ("firing", "+8", "kg or armload"),
    ("firing", "#3 4.10lb", "draw 3"),
    ("firing", "1,040F", "1040 F"),
    ("firing", "1040F 980F bottom", "two of temperature"),
    ("firing", "1040F top 980F", "two of temperature"),
    ("firing", "not now", "Why not now?"),
    ("firing", "not now: rain", "Not what?"),
    ("firing", "14:10", "What was seen"),
    ("firing", ",", "What was seen"),
    ("batch", "#3 4.10", "kg or lb"),
    ("batch", "#3 marks 141", "mm or in"),
    ("batch", "#3 4.1kg #3 4.2kg", "two of mass"),
    ("test", "dry 2.51kg", "Which brick?"),
    ("test", "#3 dry 2.51kg #3 dry 2.6kg", "two of dry_mass"),
    ("test", "#3 dry 2.51", "kg or lb"),
]


@pytest.mark.parametrize(("kind", "text", "question"), QUESTIONS)
def test_what_could_be_meant_in_two_ways_is_asked(kind, text, question):
    observation = typed(text, kind)
    assert any(question in asked for asked in observation.questions), observation.questions


def test_a_word_that_is_no_measure_of_the_notebook_is_asked_about():
    observation = typed("+2 split ash", measures=("armload", "barrow"))
    assert "armload, barrow" in observation.questions[0]


@pytest.mark.parametrize("text", ["", "   ", "\n", "\x00\x1b", "\ufeff", "x" * (LONGEST + 1)])
def test_nothing_and_too_much_are_refused(text):
    with pytest.raises(WrongUse):
        typed(text)


def test_text_that_no_file_can_hold_is_refused():
    with pytest.raises(Unreadable):
        typed("1040F caf\udce9")


def test_control_characters_become_spaces():
    observation = typed("1040F\x00top\x1b[31m\r\n")
    assert observation.fields == {"temperature": "1040 F", "place": "top"}
    assert observation.note == "[31m"


@pytest.mark.parametrize(
    "words", ["frost tonight", "Frost tomorrow", "hard frost", "frost expected"]
)
def test_a_frost_to_come_is_read_and_its_words_are_kept(words):
    observation = typed(f"air 3C, {words}", "batch")
    assert observation.fields == {"air": "3 C", "frost": True}
    assert observation.note == words
    denied = typed("no frost tonight", "batch")
    assert (denied.fields, denied.note) == ({}, "no frost tonight"), "not read as a frost"
    assert typed(words, "firing").note == words, "a firing has no field for it"

"""Reading a line back in words while it is typed."""

from datetime import datetime, timedelta, timezone

import pytest

from fieldbook.lines.read_back import read_back
from fieldbook.lines.reading import read_line

NOW = datetime(2026, 5, 3, 14, 30, tzinfo=timezone(timedelta(hours=-5)))

SAID = [
    ("firing", "14:10 1040F top steam", "14:10  top  1040 °F (560 °C), steam"),
    ("firing", "560C face middle", "14:30  middle  560 °C (1040 °F), at the face"),
    ("firing", "> 1000 C", "14:30  > 1000 °C (1832 °F)"),
    ("firing", "1030-1050F", "14:30  1030 to 1050 F"),
    ("firing", "+2 armload split ash", "14:30  2 armloads put on, split ash"),
    ("firing", "+21 armloads!", "14:30  21 armloads put on"),
    ("firing", "+1/2 barrow!", "14:30  1/2 barrow put on"),
    ("firing", "+2 to 3 basket ash!", "14:30  2 to 3 baskets put on, ash"),
    ("firing", "+1 1/2 box oak!", "14:30  1 1/2 boxes put on, oak"),
    ("firing", "fuel left 3 tray!", "14:30  3 trays left"),
    ("firing", "+8 kg oak", "14:30  8 kg put on, oak"),
    ("firing", "+5 lb 2 oz oak", "14:30  5 lb 2 oz put on, oak"),
    ("firing", "+2 cord oak", "14:30  2 cord put on, oak"),
    ("firing", "no steam, clear smoke", "14:30  no steam, no smoke"),
    ("firing", "yesterday 21:00 sealed", "2026-05-02 21:00  sealed"),
    ("firing", "cone 010 bent top", "14:30  top  cone 010, bent"),
    ("firing", "draw 3 1.92kg black core", "14:30  draw brick 3, 1.92 kg, black core"),
    ("firing", "sound 180 cracked 14", "14:30  180 bricks sound, 14 bricks cracked"),
    ("firing", "fault black core 4", "14:30  4 with black core"),
    ("firing", "wood is wet", "14:30  note: wood is wet"),
    ("batch", "#3 4.10lb marks 141mm", "14:30  brick 3, 4.10 lb, 141 mm between marks"),
    ("batch", "air 18C 60% rain", "14:30  air 18 °C (64 °F), 60 % humidity, rain"),
    ("batch", "uncovered", "14:30  not covered"),
    ("test", "#3 dry 2.51kg", "14:30  specimen 3, dry 2.51 kg"),
    ("batch", "broken 1", "14:30  1 brick broken"),
    ("test", "#3 lime pops 2 cycles 12", "14:30  specimen 3, 2 lime pops, 12 cycles of frost"),
    ("build", "laid 120 of 2026-05-03", "14:30  120 bricks laid, of 2026-05-03"),
]


@pytest.mark.parametrize(("kind", "text", "words"), SAID)
def test_a_line_is_read_back_in_words(kind, text, words):
    observation = read_line(text, kind, NOW)
    assert observation.words == words
    assert read_back(observation, NOW) == words


def test_every_part_of_a_line_is_read_back_while_it_is_typed():
    text = "yesterday 21:00 1040F top steam, +2 armload split ash, cone 010 bent; wood is wet"
    for end in range(1, len(text) + 1):
        assert read_line(text[:end], "firing", NOW).words


def test_what_would_move_the_screen_is_not_shown():
    observation = read_line(": a\u202eb\u200b", "firing", NOW)
    assert observation.note == "a\u202eb\u200b"
    assert observation.words == "14:30  note: a\ufffdb\ufffd"


def test_the_day_is_shown_where_it_is_another():
    observation = read_line("14:10 steam", "firing", NOW)
    assert read_back(observation, NOW + timedelta(days=1)) == "2026-05-03 14:10  steam"

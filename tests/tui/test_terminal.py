"""The real screen, in a pseudo-terminal."""

import re
import signal
import statistics

import pytest

from tests.installed import FIELDBOOK
from tests.pseudo_terminal import Terminal

NOW = "2026-09-12 12:10"
SIZES = [(80, 24), (60, 20), (120, 40)]
BLINK = re.compile(rb"\x1b\[(?:[0-9;]*;)?[56](?:;[0-9;]*)?m")
CLICKS = b"\x1b[?1000h"
EVERY_MOVEMENT = re.compile(rb"\x1b\[\?100[23]h")


def opened(terminal, yard, *words, **more):
    found = terminal("--notebook", str(yard), "--now", NOW, *words, **more)
    found.wait_for("why: ")
    found.quiet()
    return found


@pytest.mark.parametrize("columns, lines", SIZES)
def test_the_first_screen_tells_what_to_do_now_at_every_size(terminal, yard, columns, lines):
    shown = opened(terminal, yard, columns=columns, lines=lines)
    rows = shown.screen.display
    assert rows[2].startswith("── What to do now ")
    assert "why: " in shown.text
    assert rows[-3].startswith(" firings/f›")
    assert "kiln" in rows[0] and " 100 " in rows[1]


@pytest.mark.parametrize("columns, lines", SIZES)
def test_a_reading_typed_in_one_go_is_saved(terminal, yard, columns, lines):
    shown = opened(terminal, yard, columns=columns, lines=lines)
    shown.send("245C top\r")
    shown.wait_for("saved: ")
    assert '"245 C"' in (yard / "firings/f.toml").read_text(encoding="utf-8").splitlines()[-1]


def test_nothing_blinks_and_the_mouse_is_asked_for_clicks_alone(terminal, yard):
    shown = opened(terminal, yard)
    assert not BLINK.search(shown.raw)
    assert CLICKS in shown.raw and not EVERY_MOVEMENT.search(shown.raw)


def test_the_mouse_presses_keys_chooses_and_goes_along_the_map(terminal, yard):
    shown = opened(terminal, yard)
    click(shown, shown.screen.display[-1].index("f fire") + 1, 24)
    shown.wait_for("lit 06:00")
    click(shown, shown.screen.display[0].index("kiln"), 1)
    shown.wait_for("bricks in the kiln")
    shown.quiet()
    row = next(n for n, text in enumerate(shown.screen.display) if "kilns/small" in text)
    for _ in range(2):
        click(shown, 5, row + 1)
        shown.quiet(1.0)
    shown.wait_for("updraught")


def click(shown, column, row):
    shown.send(f"\x1b[<0;{column + 1};{row}M\x1b[<0;{column + 1};{row}m")


def test_two_terminals_see_each_others_lines(terminal, yard):
    one, other = opened(terminal, yard), opened(terminal, yard)
    other.send("f")
    other.wait_for("lit 06:00")
    other.send("t")
    other.wait_for("plan]")
    one.send("f")
    one.wait_for("lit 06:00")
    one.send("245C top\r")
    one.wait_for("saved: ")
    other.send("\x1b[F")
    other.wait_for('"245 C"')


def test_an_overdue_reading_rings_once_where_it_is_wanted(terminal, yard):
    shown = terminal("--notebook", str(yard), "--now", "2026-09-12 15:00")
    shown.wait_for("overdue")
    shown.quiet()
    assert rung(shown) == 0
    shown.send("b")
    shown.wait_for("rings once")
    for title in ("the reach", "the old reach"):
        (yard / "clays/reach.toml").write_text(f'place = "{title}"\n', encoding="utf-8")
        shown.quiet(2.5)
    assert rung(shown) == 1


def rung(shown):
    """How often the bell rang; the sign also ends messages to the terminal."""
    return re.sub(rb"\x1b\][^\a]*\a", b"", shown.raw).count(b"\a")


def test_on_a_full_disk_what_is_typed_stays_and_that_is_said(terminal, yard):
    before = (yard / "firings/f.toml").read_bytes()
    full = Terminal(["sh", "-c", f"ulimit -f 0; exec {FIELDBOOK} --notebook {yard} --now '{NOW}'"])
    try:
        full.wait_for("why: ")
        full.send("f")
        full.wait_for("lit 06:00")
        full.send("245C top")
        full.wait_for("cannot be kept")
        full.send("\r")
        full.wait_for("not saved: ")
        assert " firings/f› 245C top" in full.text
        assert (yard / "firings/f.toml").read_bytes() == before
    finally:
        full.close()


@pytest.mark.parametrize("term", ["linux", "vt100"])
def test_a_bare_terminal_gets_plain_letters_alone(terminal, yard, term):
    shown = opened(terminal, yard, term=term)
    shown.send("f")
    shown.wait_for("brick")
    shown.quiet()
    assert shown.text.isascii()
    assert "# face" in shown.text


def test_without_colour_all_is_still_said(terminal, yard):
    shown = opened(terminal, yard, NO_COLOR="1")
    coloured = re.compile(rb"\x1b\[(?:[0-9;]*;)?(?:3[0-7]|4[0-7]|9[0-7]|38;|48;)")
    assert not coloured.search(shown.raw)
    assert "firings/f" in shown.text


@pytest.mark.parametrize("name", ["SIGHUP", "SIGTERM"])
def test_what_is_typed_outlives_a_signal_and_is_back_at_the_next_start(terminal, yard, name):
    shown = opened(terminal, yard)
    shown.send("240C to")
    shown.wait_for("240 °C")
    shown.process.send_signal(getattr(signal, name))
    assert shown.ended() is not None
    again = opened(terminal, yard)
    again.wait_for(" firings/f› 240C to")


def test_what_is_typed_outlives_a_dropped_line(terminal, yard):
    shown = opened(terminal, yard)
    shown.send("240C to")
    shown.wait_for("240 °C")
    shown.hang_up()
    shown.process.wait(60)
    again = opened(terminal, yard)
    assert " firings/f› 240C to" in again.text


def test_q_leaves_and_the_terminal_is_as_it_was(terminal, yard):
    shown = opened(terminal, yard)
    shown.send("q")
    assert shown.ended() == 0
    assert b"\x1b[?1049l" in shown.raw and b"\x1b[?25h" in shown.raw


HOSTILE = "[/x][b]bold\\u001b[31mred\\u0007 \\u202egnol\\u200b " + "w" * 300 + " 漢字漢字"


def test_hostile_text_is_shown_as_text_and_moves_nothing(terminal, yard):
    for name in ("clays/reach", "kilns/small"):
        path = yard / f"{name}.toml"
        path.write_text(f'title = "{HOSTILE}"\n' + path.read_text(encoding="utf-8"), "utf-8")
    shown = opened(terminal, yard)
    head = shown.screen.display[:2]
    shown.send("\x1b[C")
    shown.wait_for("clays/reach")
    shown.quiet()
    assert "[/x][b]bold\ufffd[31mred\ufffd \ufffdgnol\ufffd" in shown.text
    assert shown.screen.display[1] == head[1]
    shown.send("\r")
    shown.wait_for("place")
    shown.quiet()
    assert shown.screen.display[1] == head[1]
    assert shown.screen.display[-3].startswith(" clays/reach›")
    assert "? help" in shown.screen.display[-1]


def test_a_keystroke_in_the_prompt_sends_little(terminal, yard):
    """At most 400 bytes at the median, saying it back included."""
    shown = opened(terminal, yard)
    sent = []
    for letter in "1040F top, steam":
        before = len(shown.raw)
        shown.send(letter)
        shown.quiet(0.2)
        sent.append(len(shown.raw) - before)
    assert statistics.median(sent) <= 400, sent


def test_without_a_notebook_one_key_opens_the_sample_yard(terminal, tmp_path, yard):
    empty = tmp_path / "empty"
    empty.mkdir()
    shown = terminal("--notebook", str(empty))
    shown.wait_for("There is no notebook in")
    shown.send("s")
    shown.wait_for("why: ")
    assert not list(empty.iterdir())


def test_without_a_notebook_one_key_makes_one(terminal, tmp_path, yard):
    empty = tmp_path / "empty"
    empty.mkdir()
    shown = terminal("--notebook", str(empty))
    shown.wait_for("There is no notebook in")
    shown.send("m")
    shown.wait_for("What to do now")
    assert "format = 1" in (empty / "notebook.toml").read_text(encoding="utf-8")


def test_a_hand_edit_beside_the_screen_is_seen(terminal, yard):
    shown = opened(terminal, yard)
    path = yard / "clays/reach.toml"
    shown.send("\x1b[C")
    shown.wait_for("clays/reach")
    path.write_text('title = "the old reach"\n' + path.read_text(encoding="utf-8"), "utf-8")
    shown.wait_for("the old reach")


def test_a_notebook_that_vanishes_is_said_and_the_line_is_kept(terminal, yard):
    shown = opened(terminal, yard)
    shown.send("240C to")
    shown.wait_for("240 °C")
    yard.rename(yard.with_name("elsewhere"))
    shown.wait_for("the notebook is gone")
    assert "240C to" in shown.text

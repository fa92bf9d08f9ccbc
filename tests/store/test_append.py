"""One observation onto the end of an entry, whatever state the file is in."""

from __future__ import annotations

import errno
import os
import tomllib
from datetime import datetime, timedelta, timezone

import pytest

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.store import append as module
from fieldbook.store import durable
from fieldbook.store.append import append, append_all

ZONE = timezone(timedelta(hours=-5))
AT = datetime(2026, 5, 3, 7, 40, tzinfo=ZONE)
KEY = "2026-05-03 07:40:00-05:00"
LINE = f'"{KEY}" = {{ temperature = "212 degF", note = "steam" }}'
FIELDS = {"note": "steam", "temperature": "212 degF"}
LONG_LOG = "".join(
    f'"2026-05-01 {n // 60:02}:{n % 60:02}:00-05:00" = {{ temperature = "{n} degF" }}\n'
    for n in range(1200)
)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", f"[log]\n{LINE}\n"),
        ('kiln = "x"', f'kiln = "x"\n\n[log]\n{LINE}\n'),
        ('kiln = "x"\n', f'kiln = "x"\n\n[log]\n{LINE}\n'),
        ("[log]\n", f"[log]\n{LINE}\n"),
        ("[log]", f"[log]\n{LINE}\n"),
        ("[log]\n# nothing yet", f"[log]\n# nothing yet\n{LINE}\n"),
        ('[plan]\npeak = "9 C"\n[log]\n', f'[plan]\npeak = "9 C"\n[log]\n{LINE}\n'),
        ('a = "x"\r\n[log]\r\n', f'a = "x"\r\n[log]\r\n{LINE}\r\n'),
        ('a = "x"\r\n[log]', f'a = "x"\r\n[log]\r\n{LINE}\r\n'),
        ("\ufeff[log]\r\n", f"\ufeff[log]\r\n{LINE}\r\n"),
        (" [ log ]  # seen\n\n\n", f" [ log ]  # seen\n\n\n{LINE}\n"),
        ('note = """\n[log]\n"""\n', f'note = """\n[log]\n"""\n\n[log]\n{LINE}\n'),
        ('note = """\n[log]\n"""\n[log]\n', f'note = """\n[log]\n"""\n[log]\n{LINE}\n'),
        (
            '[log]\na = { note = """\n[x]\n""" }\n',
            f'[log]\na = {{ note = """\n[x]\n""" }}\n{LINE}\n',
        ),
        # the log is not the last table: the line goes under it all the same
        ("[log]\na = {}\n\n[plan]\nb = 1\n", f"[log]\na = {{}}\n{LINE}\n\n[plan]\nb = 1\n"),
        ("[log]\n[plan]\nb = 1", f"[log]\n{LINE}\n[plan]\nb = 1\n"),
        # long files, which are not parsed as a whole
        (f"[log]\n{LONG_LOG}", f"[log]\n{LONG_LOG}{LINE}\n"),
        (f"a = 1\n[log]\n{LONG_LOG}".replace("\n", "\r\n"), None),
        (
            f'n = """\n[log]\n"""\n[log]\n{LONG_LOG}',
            f'n = """\n[log]\n"""\n[log]\n{LONG_LOG}{LINE}\n',
        ),
        (f'[log]\n{LONG_LOG}b = {{ n = """\n[x]\n""" }}\n', None),
        (f"[log]\n{LONG_LOG}[plan]\nb = 1\n", f"[log]\n{LONG_LOG}{LINE}\n[plan]\nb = 1\n"),
    ],
)
def test_the_line_stands_in_the_log_and_nothing_else_changes(folder, put, before, after):
    path = put("firings/f.toml", before)
    saved = append(str(folder), "firings/f", AT, FIELDS)
    text = path.read_bytes().decode()
    if after is None:
        end = "\r\n" if "\r\n" in before else "\n"
        after = f"{before}{LINE}{end}"
    assert text == after
    data = tomllib.loads(text.removeprefix("\ufeff"))
    assert data["log"][saved.key] == FIELDS
    assert text.splitlines()[saved.line - 1].removeprefix("\ufeff") == saved.text == LINE


def test_taken_seconds_get_milliseconds_and_then_the_next_free_one(folder, put):
    path = put("firings/f.toml", f'[log]\n"{KEY}" = {{}}\n')
    keys = [append(str(folder), "firings/f", AT, {"note": str(n)}).key for n in range(3)]
    later = append(str(folder), "firings/f", AT.replace(microsecond=412_000), {"note": "x"})
    assert keys == [KEY.replace("00-05", f"00.00{n}-05") for n in (1, 2, 3)]
    assert later.key == KEY.replace("00-05", "00.412-05")
    assert len(tomllib.loads(path.read_text())["log"]) == 5


@pytest.mark.parametrize(
    ("content", "where", "word"),
    [
        (b"a = [\n", "firings/f.toml:1", "Write text in quotes"),
        (b"a = 1\na = 2\n", "firings/f.toml:2", "same key"),
        (b"[log]\n<<<<<<< ours\na = {}\n=======\nb = {}\n>>>>>>> theirs\n", "f.toml:2", "<<<<<<<"),
        (b'note = "gr\xfcn"\n', "firings/f.toml:1", "UTF-8"),
        (b"\x00\x01\x02\n\x00", "firings/f.toml:1", "NUL"),
        (b"log = {}\n", "firings/f.toml", "[log]"),
        (b"log.a = {}\n", "firings/f.toml", "[log]"),
        (b"[[log]]\n", "firings/f.toml", "[log]"),
        (b"[log]\n" + LONG_LOG.encode() + b"oops\n", "firings/f.toml:1202", "KEY = VALUE"),
        (b"[log]\n" + LONG_LOG.encode() + b"<<<<<<< HEAD\n", "firings/f.toml:1202", "<<<<<<<"),
        (b"oops\n[log]\n" + LONG_LOG.encode(), "firings/f.toml:1", "KEY = VALUE"),
    ],
)
def test_a_file_that_cannot_be_read_is_left_alone(folder, put, content, where, word):
    path = put("firings/f.toml", content)
    with pytest.raises(FieldbookError) as caught:
        append(str(folder), "firings/f", AT, FIELDS)
    assert where in str(caught.value) and word in str(caught.value)
    assert path.read_bytes() == content


@pytest.mark.parametrize("cut", [1, 9, 30, len(LINE) - 1])
def test_an_unfinished_last_line_becomes_a_remark(folder, put, cut):
    before = 'kiln = "cross-1"\n\n[log]\n"2026-05-03 07:00" = { steam = true }\n'
    path = put("firings/f.toml", before + LINE[:cut])
    append(str(folder), "firings/f", AT + timedelta(hours=1), FIELDS)
    text = path.read_text()
    assert text.startswith(f"{before}# unfinished: {LINE[:cut]}\n")
    assert len(tomllib.loads(text)["log"]) == 2


def test_a_tail_of_nuls_becomes_a_remark(folder, put):
    path = put("firings/f.toml", f'kiln = "x"\n[log]\n{LINE[:20]}\0\0\0\0')
    append(str(folder), "firings/f", AT, FIELDS)
    assert path.read_text().splitlines()[2] == f"# unfinished: {LINE[:20]} (4 NUL bytes)"


def test_a_complete_last_line_before_nuls_is_kept(folder, put):
    path = put("firings/f.toml", f"[log]\n{LINE}\0\0")
    append(str(folder), "firings/f", AT, FIELDS)
    assert list(tomllib.loads(path.read_text())["log"]) == [KEY, KEY.replace("00-05", "00.001-05")]


def test_what_is_no_entry_is_refused(folder):
    for address in ("../etc/x", "firings/../x", "firings/X", "notebook.toml", "log/x", "firings/"):
        with pytest.raises(WrongUse):
            append(str(folder), address, AT, FIELDS)
    with pytest.raises(FieldbookError, match="is not there"):
        append(str(folder), "firings/none", AT, FIELDS)


def test_links_are_not_followed(folder, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside")
    (outside / "f.toml").write_text("[log]\n")
    (folder / "firings/f.toml").symlink_to(outside / "f.toml")
    with pytest.raises(FieldbookError, match="link"):
        append(str(folder), "firings/f", AT, FIELDS)
    (folder / "kilns/cross-1.toml").unlink()
    (folder / "kilns").rmdir()
    (folder / "kilns").symlink_to(outside)
    with pytest.raises(FieldbookError, match="not a folder"):
        append(str(folder), "kilns/f", AT, {"rain": True})
    assert (outside / "f.toml").read_text() == "[log]\n"


def test_a_pipe_is_refused_at_once(folder):
    os.mkfifo(folder / "firings/f.toml")
    with pytest.raises(FieldbookError, match="regular file"):
        append(str(folder), "firings/f", AT, FIELDS)


def test_an_observation_of_more_than_one_write_is_refused(folder, put):
    path = put("firings/f.toml", "[log]\n")
    with pytest.raises(FieldbookError, match="64 KiB"):
        append(str(folder), "firings/f", AT, {"note": "x" * 65536})
    assert path.read_text() == "[log]\n"


def editor_saves(monkeypatch, path, changed):
    """Another program puts its own file there right after ours was written, once."""
    fsync, done = os.fsync, []

    def fsync_then_editor(descriptor):
        fsync(descriptor)
        if not done:
            done.append(True)
            (path.parent / "editor").write_text(changed(path.read_text()))
            (path.parent / "editor").replace(path)

    monkeypatch.setattr(module.os, "fsync", fsync_then_editor)
    return done


@pytest.mark.parametrize("held", ["", f"{LINE}\n", f"{LINE} # kept\n"])
def test_a_file_renamed_over_meanwhile_holds_the_line_once(folder, put, monkeypatch, held):
    """As an editor does that had the file open, before or after the line was written to it."""
    path = put("firings/f.toml", "[log]\n")
    done = editor_saves(monkeypatch, path, lambda _: f"# from the editor\n[log]\n{held}")
    saved = append(str(folder), "firings/f", AT, FIELDS)
    assert done and path.read_text().count("steam") == (2 if "kept" in held else 1)
    assert path.read_text().splitlines()[saved.line - 1] == saved.text


def test_a_write_that_falls_short_is_cut_off_again(folder, put, monkeypatch):
    path = put("firings/f.toml", "[log]\n")
    write, calls = os.write, []

    def short(descriptor, data):
        calls.append(data)
        return write(descriptor, data[:10]) if len(calls) == 1 else 0

    monkeypatch.setattr(module.os, "write", short)
    with pytest.raises(FieldbookError, match="disk is full"):
        append(str(folder), "firings/f", AT, FIELDS)
    assert path.read_text() == "[log]\n"


def test_largest_file_is_refused(folder, put, monkeypatch):
    monkeypatch.setattr(durable, "LARGEST_FILE", 100)
    put("firings/f.toml", "[log]\n" + "# x\n" * 100)
    with pytest.raises(FieldbookError, match="16 MiB"):
        append(str(folder), "firings/f", AT, FIELDS)


@pytest.mark.parametrize("fails", ["fsync", "ftruncate"])
def test_a_disk_that_fails_again_while_cutting_back_still_ends_in_a_clear_word(
    folder, monkeypatch, fails
):
    path = folder / "firings/2026-05-03.toml"
    before = path.read_bytes()

    def refused(*_):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(os, "fsync", refused)
    if fails == "ftruncate":
        monkeypatch.setattr(os, "ftruncate", refused)
    says = "the disk refused" if fails == "fsync" else "a part of it may stand at the end"
    with pytest.raises(FieldbookError, match=says):
        append(str(folder), "firings/2026-05-03", AT, FIELDS)
    if fails == "fsync":
        assert path.read_bytes() == before


ROUND = [(AT, {"temperature": "540 C", "place": "bottom"}), (AT, {"temperature": "397 C"})]


@pytest.mark.parametrize("before", ["", "[log]\r\n", "[log]\n[plan]\nb = 1", f"[log]\n{LONG_LOG}"])
def test_a_round_goes_into_one_write_and_each_line_has_a_key_of_its_own(folder, put, before):
    put("firings/f.toml", before)
    saved = append_all(str(folder), "firings/f", ROUND)
    data = (folder / "firings/f.toml").read_bytes().decode()
    log = tomllib.loads(data)["log"]
    assert [each.key for each in saved] == [KEY, KEY.replace("00-05", "00.001-05")]
    assert [log[each.key] for each in saved] == [fields for _, fields in ROUND]
    assert [data.splitlines()[each.line - 1] for each in saved] == [each.text for each in saved]


def test_a_round_is_saved_as_a_whole_or_not_at_all(folder, put, monkeypatch):
    path = put("firings/f.toml", "[log]\n")
    write = os.write
    monkeypatch.setattr(durable.os, "write", lambda f, data: write(f, data[: len(data) // 2]))
    with pytest.raises(FieldbookError):
        append_all(str(folder), "firings/f", ROUND)
    assert path.read_bytes() == b"[log]\n"


@pytest.mark.parametrize("held", [0, 1, 2])
def test_a_file_renamed_over_meanwhile_holds_each_line_of_a_round_once(
    folder, put, monkeypatch, held
):
    """The editor's save holds none, one or both of the lines."""
    path = put("firings/f.toml", "[log]\n")
    done = editor_saves(
        monkeypatch, path, lambda text: "".join(text.splitlines(keepends=True)[: 1 + held])
    )
    append_all(str(folder), "firings/f", ROUND)
    log = tomllib.loads(path.read_text())["log"]
    assert done
    assert list(log.values()) == [fields for _, fields in ROUND]

"""One writer at a time."""

from __future__ import annotations

import errno
import fcntl
import os
import subprocess
import sys
import threading
import time

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.store import lock as module
from fieldbook.store.lock import Lock

HOLD = """\
import sys, time
from fieldbook.store.lock import Lock
with Lock(sys.argv[1]):
    print("held", flush=True)
    time.sleep(60)
"""


@pytest.fixture
def no_kernel_locks(monkeypatch):
    """As on a disk that has none."""

    def refuse(*_):
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(module.fcntl, "flock", refuse)


def test_a_held_lock_is_waited_for_and_its_holder_named(folder):
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(folder)], stdout=subprocess.PIPE, text=True
    )
    try:
        assert holder.stdout.readline() == "held\n"
        with pytest.raises(FieldbookError, match=f"process {holder.pid} on "):
            Lock(str(folder), patience=0.2).__enter__()
    finally:
        holder.kill()
        holder.wait()
        holder.stdout.close()
    with Lock(str(folder), patience=2.0):
        pass


def test_a_writer_that_lets_go_in_time_is_waited_for(folder):
    first = Lock(str(folder)).__enter__()
    threading.Timer(0.2, first.__exit__, (None, None, None)).start()
    begin = time.monotonic()
    with Lock(str(folder), patience=10.0):
        assert time.monotonic() - begin >= 0.15


def test_a_lock_file_that_was_deleted_meanwhile_is_not_believed(folder, monkeypatch):
    flock = fcntl.flock
    calls = []

    def delete_first(descriptor, how):
        flock(descriptor, how)
        calls.append(how)
        if len(calls) == 1:
            (folder / ".fieldbook/lock").unlink()

    monkeypatch.setattr(module.fcntl, "flock", delete_first)
    with Lock(str(folder)) as held:
        assert len(calls) == 2
        assert os.path.samestat(os.fstat(held._descriptor), (folder / ".fieldbook/lock").stat())


def test_a_link_in_place_of_the_lock_folder_is_refused(folder, tmp_path_factory):
    (folder / ".fieldbook").symlink_to(tmp_path_factory.mktemp("elsewhere"))
    with pytest.raises(FieldbookError, match="not a folder"):
        Lock(str(folder)).__enter__()


def test_without_kernel_locks_a_file_takes_their_place(folder, no_kernel_locks):
    held = folder / ".fieldbook/lock-held"
    with Lock(str(folder)):
        host, process, started, _ = held.read_text().split("\n")
        assert host == os.uname().nodename and int(process) == os.getpid() and started
        with pytest.raises(FieldbookError, match=f"process {process} on {host}"):
            Lock(str(folder), patience=0.1).__enter__()
    assert not held.exists()


def ended_process() -> int:
    process = subprocess.Popen([sys.executable, "-c", ""])
    process.wait()
    return process.pid


@pytest.mark.parametrize("owner", ["{host}\n{dead}\n\n", "{host}\n{me}\nanother-boot:1\n"])
def test_the_file_of_a_dead_owner_is_removed(folder, no_kernel_locks, owner):
    held = folder / ".fieldbook/lock-held"
    held.parent.mkdir()
    held.write_text(owner.format(host=os.uname().nodename, dead=ended_process(), me=os.getpid()))
    with Lock(str(folder), patience=1.0):
        assert held.read_text().split("\n")[1] == str(os.getpid())
    assert [path.name for path in held.parent.iterdir()] == ["lock"]


@pytest.mark.parametrize("owner", ["elsewhere\n{dead}\n\n", "", "{host}\nx\n\n"])
def test_the_file_of_an_owner_not_known_dead_is_named_and_kept(folder, no_kernel_locks, owner):
    held = folder / ".fieldbook/lock-held"
    held.parent.mkdir()
    text = owner.format(host=os.uname().nodename, dead=ended_process())
    held.write_text(text)
    with pytest.raises(FieldbookError, match=r"delete \.fieldbook/lock-held"):
        Lock(str(folder), patience=0.1).__enter__()
    assert held.read_text() == text


def test_nobody_writes_into_a_newer_format(folder):
    settings = folder / "notebook.toml"
    settings.write_text(settings.read_text().replace("format = 1", "format = 2"))
    with pytest.raises(FieldbookError, match="of format 2"), Lock(str(folder)):
        pass
    assert not list(folder.rglob("lock"))


def test_a_remark_on_another_format_stops_nobody(folder):
    settings = folder / "notebook.toml"
    settings.write_text("# was format = 2 once\n" + settings.read_text())
    with Lock(str(folder)):
        assert (folder / ".fieldbook/lock").exists()

"""Sharing through a real sshd on a loopback port, started by the test itself."""

import getpass
import shutil
import socket
import subprocess
import time
from pathlib import Path

import pytest

from tests.sync.conftest import ENTRY, Maker, git

SSHD = shutil.which("sshd") or "/usr/sbin/sshd"


@pytest.fixture
def server(tmp_path):
    """An sshd with a key of its own for this test; gives its port and the client's settings."""
    keys = tmp_path / "keys"
    keys.mkdir(mode=0o700)
    for name in ("host", "client"):
        subprocess.run(
            ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", str(keys / name)], check=True
        )
    allowed = keys / "authorized_keys"
    allowed.write_bytes((keys / "client.pub").read_bytes())
    allowed.chmod(0o600)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    settings = keys / "sshd_config"
    settings.write_text(
        f"Port {port}\nListenAddress 127.0.0.1\nHostKey {keys}/host\nStrictModes no\nUsePAM no\n"
        f"AuthorizedKeysFile {allowed}\nPasswordAuthentication no\nPidFile {keys}/pid\n"
        "PermitRootLogin prohibit-password\n",
        encoding="utf-8",
    )
    Path("/run/sshd").mkdir(exist_ok=True)
    running = subprocess.Popen([SSHD, "-D", "-e", "-f", str(settings)], stderr=subprocess.DEVNULL)
    try:
        _wait_for(port)
        yield port, keys
    finally:
        running.terminate()
        running.wait(10)


def _wait_for(port: int) -> None:
    for _ in range(100):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.05)
    raise AssertionError("sshd did not start")


def client(keys: Path, port: int, known: Path) -> None:
    """The maker's own ssh settings: their key, and the host they already trust."""
    host = (keys / "host.pub").read_text(encoding="utf-8").split()
    known.write_text(f"[127.0.0.1]:{port} {host[0]} {host[1]}\n", encoding="utf-8")


def test_two_makers_share_over_ssh(tmp_path, monkeypatch, server):
    port, keys = server
    known = keys / "known_hosts"
    client(keys, port, known)
    wrapper = keys / "ssh-with-key"
    wrapper.write_text(
        f"#!/bin/sh\nexec ssh -F none -i {keys}/client -o IdentitiesOnly=yes "
        f'-o UserKnownHostsFile={known} "$@"\n',
        encoding="utf-8",
    )
    wrapper.chmod(0o700)
    monkeypatch.setattr("fieldbook.sync.git.SAFE", _with_ssh(wrapper))
    stick = tmp_path / "stick.git"
    git(tmp_path, "init", "--quiet", "--bare", "--initial-branch=main", str(stick))
    url = f"ssh://{getpass.getuser()}@127.0.0.1:{port}{stick}"
    ines = Maker(tmp_path / "ines", "ines", monkeypatch)
    ines.write("batches/a.toml", ENTRY)
    ines.sync.share(url)
    tomas = Maker(tmp_path / "tomas", "tomas", monkeypatch)
    (tomas.folder / "notebook.toml").unlink()
    tomas.sync.share(url)
    tomas.add("batches/a.toml", '"2026-09-06 18:00:00+00:00" = { covered = true }')
    tomas.sync.apply()
    ines.sync.apply()
    assert ines.files == tomas.files
    assert "covered" in ines.read("batches/a.toml")


def test_a_refused_key_is_said_and_nothing_is_lost(tmp_path, monkeypatch, server):
    port, keys = server
    known = keys / "known_hosts"
    client(keys, port, known)
    wrapper = keys / "ssh-without-key"
    wrapper.write_text(
        f"#!/bin/sh\nexec ssh -F none -o IdentitiesOnly=yes -o IdentityFile=none "
        f'-o UserKnownHostsFile={known} "$@"\n',
        encoding="utf-8",
    )
    wrapper.chmod(0o700)
    monkeypatch.setattr("fieldbook.sync.git.SAFE", _with_ssh(wrapper))
    ines = Maker(tmp_path / "ines", "ines", monkeypatch)
    ines.write("batches/a.toml", ENTRY)
    before = ines.files
    with pytest.raises(Exception, match="could not be reached"):
        ines.sync.share(f"ssh://{getpass.getuser()}@127.0.0.1:{port}{tmp_path}/none.git")
    assert ines.files == before


def _with_ssh(wrapper: Path) -> dict[str, str]:
    """The settings of every call, with the test's own key in place of the person's."""
    from fieldbook.sync.git import SAFE

    return {**SAFE, "core.sshCommand": str(wrapper)}

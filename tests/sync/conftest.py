import shutil
import subprocess
from pathlib import Path

import pytest

from fieldbook.sync import consent
from fieldbook.sync.syncing import Sync

ENTRY = 'mix = "reach-3-1"\nmoulded = 2026-09-01\ncount = 100\n\n[log]\n'


def git(folder: Path, *words: str) -> str:
    done = subprocess.run(["git", *words], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


class Maker:
    """One maker with a notebook of their own and a person's own folders of their own."""

    def __init__(self, home: Path, name: str, monkeypatch, is_new: bool = True) -> None:
        self.name, self.home, self.folder = name, home, home / "yard"
        self._monkeypatch = monkeypatch
        if not is_new:
            return
        self.folder.mkdir(parents=True)
        self.write("notebook.toml", f'format = 1\ntimezone = "UTC"\nmaker = "{name}"\n')

    def write(self, path: str, text: str) -> None:
        target = self.folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")

    def add(self, path: str, line: str) -> None:
        with (self.folder / path).open("a", encoding="utf-8") as file:
            file.write(line + "\n")

    def read(self, path: str) -> str:
        return (self.folder / path).read_text(encoding="utf-8")

    @property
    def files(self) -> dict[str, bytes]:
        return {
            path.relative_to(self.folder).as_posix(): path.read_bytes()
            for path in sorted(self.folder.rglob("*.toml"))
            if ".git" not in path.parts
        }

    @property
    def sync(self) -> Sync:
        self._monkeypatch.setenv("XDG_CONFIG_HOME", str(self.home / "config"))
        self._monkeypatch.setenv("XDG_STATE_HOME", str(self.home / "state"))
        self._monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(self.home / "gitconfig"))
        self._monkeypatch.setenv("HOME", str(self.home))
        return Sync(self.folder, self.name)


@pytest.fixture(scope="session")
def begun(tmp_path_factory):
    """A notebook that Ines shares and Tomas has joined; made once, copied for each test."""
    root = tmp_path_factory.mktemp("begun")
    with pytest.MonkeyPatch.context() as patch:
        stick = root / "stick.git"
        git(root, "init", "--quiet", "--bare", "--initial-branch=main", str(stick))
        ines = Maker(root / "ines", "ines", patch)
        ines.write("batches/a.toml", ENTRY)
        ines.sync.share(str(stick))
        tomas = Maker(root / "tomas", "tomas", patch)
        (tomas.folder / "notebook.toml").unlink()
        tomas.sync.share(str(stick))
    return root


@pytest.fixture
def stick(tmp_path):
    """A bare repository on a disk, as on a stick or a host."""
    folder = tmp_path / "stick.git"
    git(tmp_path, "init", "--quiet", "--bare", "--initial-branch=main", str(folder))
    return folder


@pytest.fixture
def makers(tmp_path, monkeypatch, stick, begun):
    """Ines with a notebook that is shared, and Tomas who has joined it."""
    shutil.copytree(begun / "stick.git", stick, dirs_exist_ok=True)
    found = []
    for name in ("ines", "tomas"):
        shutil.copytree(begun / name, tmp_path / name)
        maker = Maker(tmp_path / name, name, monkeypatch, is_new=False)
        settings = maker.folder / ".git/config"
        text = settings.read_text(encoding="utf-8")
        settings.write_text(text.replace(str(begun), str(tmp_path)), encoding="utf-8")
        consent.give(maker.sync.folder)
        found.append(maker)
    return tuple(found)


NOON = '"2026-09-06 12:00:00+00:00" = { turned = true, by = "ines" }'


@pytest.fixture
def renamed(makers):
    """Both have a line on batch a, and Ines has sent it on as batch spring."""
    ines, tomas = makers
    ines.add("batches/a.toml", NOON)
    ines.sync.apply()
    tomas.sync.apply()
    (ines.folder / "batches/a.toml").rename(ines.folder / "batches/spring.toml")
    ines.sync.apply()
    return makers

"""One writer at a time: a lock that ends with the process that holds it."""

import errno
import os
import re
import stat
import time
from contextlib import suppress

from fieldbook.errors import FieldbookError
from fieldbook.store.durable import NO_LINK, NotAFile, read_file, why_not
from fieldbook.store.names import OWN_FOLDER, SETTINGS_FILE, shown
from fieldbook.store.zones import FORMAT, refuse_newer

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

PATIENCE = 5.0
"""How long a writer waits for another [s]."""
_FIRST_PAUSE, _LONGEST_PAUSE = 0.001, 0.005
_OWNER_SIZE = 256
"""Bytes that the name of the owner fills, so that a longer one before it needs no cutting off."""
_FORMAT = re.compile(rb"format[\"']?[ \t]*=[ \t]*\+?([0-9]{1,9})")
_NO_LOCKS = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EINVAL}


class Lock:
    """The right to write to a notebook, held inside a `with` block.

    Nobody has it where the settings are of a format that came after this program. A lock of another
    `name` guards something else, such as the exchange with a group.
    """

    def __init__(self, notebook: str, patience: float = PATIENCE, name: str = "lock") -> None:
        self.notebook = notebook
        self.folder = os.path.join(notebook, OWN_FOLDER)
        self.path = os.path.join(self.folder, name)
        self.held = f"{self.path}-held"
        self.patience = patience
        self._descriptor: int | None = None

    def __enter__(self) -> "Lock":
        _refuse_newer_format(self.notebook)
        try:
            self._make_folder()
            end, pause = time.monotonic() + self.patience, _FIRST_PAUSE
            while not self._try():
                if time.monotonic() > end:
                    raise FieldbookError(self._who_holds_it())
                time.sleep(pause)
                pause = min(pause * 1.5, _LONGEST_PAUSE)
        except OSError as error:
            raise why_not(error, f"{OWN_FOLDER}/{os.path.basename(self.path)}") from error
        return self

    def __exit__(self, *_: object) -> None:
        if self._descriptor is None:
            os.unlink(self.held)
        else:
            os.close(self._descriptor)
            self._descriptor = None

    def _make_folder(self) -> None:
        try:
            os.mkdir(self.folder)
        except FileExistsError:
            if not stat.S_ISDIR(os.lstat(self.folder).st_mode):
                raise FieldbookError(
                    f"{OWN_FOLDER} is not a folder, so nothing can be locked.\n"
                    "    Delete it; the program makes it anew."
                ) from None

    def _try(self) -> bool:
        if fcntl is None:
            return self._try_exclusive_file()
        descriptor = os.open(self.path, os.O_RDWR | os.O_CREAT | NO_LINK, 0o666)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            os.close(descriptor)
            if error.errno in _NO_LOCKS:
                return self._try_exclusive_file()
            if error.errno in (errno.EWOULDBLOCK, errno.EACCES, errno.EINTR):
                return False
            raise
        if not self._is_still(descriptor):
            os.close(descriptor)
            return False
        with suppress(OSError):  # on a full disk the lock holds without the name of its owner
            os.pwrite(descriptor, _me().encode().ljust(_OWNER_SIZE), 0)
        self._descriptor = descriptor
        return True

    def _is_still(self, descriptor: int) -> bool:
        """Whether the locked file is still the one others will lock: it may have been deleted."""
        try:
            named = os.lstat(self.path)
        except FileNotFoundError:
            return False
        return os.path.samestat(os.fstat(descriptor), named)

    def _try_exclusive_file(self) -> bool:
        """Where the disk has no kernel locks: a file that only one process can make."""
        try:
            descriptor = os.open(self.held, os.O_WRONLY | os.O_CREAT | os.O_EXCL | NO_LINK, 0o666)
        except FileExistsError:
            self._remove_if_abandoned()
            return False
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            file.write(_me())
        return True

    def _remove_if_abandoned(self) -> None:
        """Remove the file of an owner known to be dead; one remover at a time, or a new one goes.

        The file is read again once no other process can be removing it.
        """
        if not _is_dead(_read(self.held)):
            return
        breaking = f"{self.held}-breaking"
        try:
            os.close(os.open(breaking, os.O_WRONLY | os.O_CREAT | os.O_EXCL | NO_LINK, 0o666))
        except FileExistsError:
            return
        try:
            if _is_dead(_read(self.held)):
                os.unlink(self.held)
        finally:
            os.unlink(breaking)

    def _who_holds_it(self) -> str:
        by_file = os.path.lexists(self.held)
        host, _, rest = _read(self.held if by_file else self.path).partition("\n")
        process = rest.partition("\n")[0]
        who = f"process {shown(process)} on {shown(host)}" if process else "another program"
        text = f"The notebook is being written to by {who}; nothing was saved.\n"
        if by_file:
            return (
                f"{text}    It has been since {_changed(self.held)}. If it no longer runs, "
                f"delete {OWN_FOLDER}/{os.path.basename(self.held)}"
            )
        return f"{text}    Wait for it to end, then do it again."


def _refuse_newer_format(notebook: str) -> None:
    """Every writer comes by here; the settings are read as a whole only where they may be newer."""
    try:
        data = read_file(os.path.join(notebook, SETTINGS_FILE))
    except (OSError, NotAFile):
        return
    if all(int(number) <= FORMAT for number in _FORMAT.findall(data)):
        return
    from fieldbook.store.parsing import NotToml
    from fieldbook.store.repair import parse_or_mend

    with suppress(NotToml):
        refuse_newer(parse_or_mend(data)[0])


def _changed(path: str) -> str:
    try:
        return time.strftime("%Y-%m-%d %H:%M", time.localtime(os.lstat(path).st_mtime))
    except OSError:
        return "a moment ago"


def _me() -> str:
    return f"{_host()}\n{os.getpid()}\n{_start_of(os.getpid())}\n"


def _host() -> str:
    return os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "")


def _start_of(process: int) -> str:
    """Say when a process started, where the system tells: numbers of processes are used again."""
    boot = _read("/proc/sys/kernel/random/boot_id").strip()
    # The name of the program, in brackets, may hold spaces and brackets itself.
    fields = _read(f"/proc/{process}/stat").rpartition(")")[2].split()
    return f"{boot}:{fields[19]}" if boot and len(fields) > 19 else ""


def _read(path: str) -> str:
    try:
        with open(path, encoding="utf-8", errors="replace") as file:
            return file.read(4096)
    except OSError:
        return ""


def _is_dead(owner: str) -> bool:
    """Whether the owner a lock file names is known to have ended."""
    host, _, rest = owner.partition("\n")
    process, _, started = rest.partition("\n")
    if host != _host() or not process.isdecimal() or os.name == "nt":
        return False
    try:
        os.kill(int(process), 0)
    except ProcessLookupError:
        return True
    except OSError:
        return False
    return bool(started.strip()) and _start_of(int(process)) != started.strip()

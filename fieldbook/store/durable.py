"""Bytes onto the disk so that they are still there after a power cut."""

import errno
import os
import re
import stat
import time

from fieldbook.errors import FieldbookError

NO_LINK = getattr(os, "O_NOFOLLOW", 0)
NO_WAIT = getattr(os, "O_NONBLOCK", 0)
BINARY = getattr(os, "O_BINARY", 0)
LARGEST_FILE = 16 * 1024 * 1024

_BESIDE = re.compile(r"\..+\.[0-9]+\.tmp")
_A_DAY = 24 * 3600.0
_FULL = {errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)}
_NO_SUCH_CALL = {errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS}
"""What a disk says that has no such call for folders."""
_FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}


class NotAFile(FieldbookError):
    """What stands at a path is no regular file, or too large for one of ours."""

    def __init__(self, what: str, remedy: str) -> None:
        super().__init__(f"{what}\n    {remedy}")
        self.what = what
        self.remedy = remedy


def why_not(error: OSError, path: str) -> FieldbookError:
    """Say in plain words why `path` could not be written; the file itself is as it was."""
    if error.errno in _FULL:
        return FieldbookError(
            f"{path}: the disk is full. Nothing was saved; the file is as it was.\n"
            "    Make room on the disk, then do it again."
        )
    if error.errno in _FORBIDDEN:
        return FieldbookError(
            f"{path}: writing is not allowed here. Nothing was saved; the file is as it was.\n"
            "    Check who owns the folder, and that the disk is not mounted read-only."
        )
    return FieldbookError(
        f"{path}: the disk refused ({error.strerror or error}). Nothing was saved.\n"
        "    Check the disk, then do it again."
    )


def read_file(path: str, flags: int = os.O_RDONLY, most: int = 0) -> bytes:
    """Read a regular file, whole or so many bytes of it.

    A link, a pipe, a folder or a giant is refused, not waited for.
    """
    descriptor = open_file(path, flags)
    try:
        return os.read(descriptor, most) if most else read_all(descriptor)
    finally:
        os.close(descriptor)


def open_file(path: str, flags: int) -> int:
    """Open a regular file of at most 16 MiB and give its descriptor."""
    try:
        descriptor = os.open(path, flags | NO_LINK | NO_WAIT | BINARY)
    except OSError as error:
        raise _no_file(error) from error
    status = os.fstat(descriptor)
    if stat.S_ISREG(status.st_mode) and status.st_size <= LARGEST_FILE:
        return descriptor
    os.close(descriptor)
    if stat.S_ISREG(status.st_mode):
        raise NotAFile("the file is larger than 16 MiB", "Move what is not an entry elsewhere.")
    if stat.S_ISDIR(status.st_mode):
        raise NotAFile("this is a folder, not a file", "Move the folder out of the notebook.")
    raise NotAFile("this is not a regular file", "Move it out of the notebook.")


def _no_file(error: OSError) -> OSError | NotAFile:
    if error.errno == errno.ELOOP:
        return NotAFile(
            "this is a link; links are not followed", "Put the file itself in place of the link."
        )
    if error.errno == errno.EISDIR:
        return NotAFile("this is a folder, not a file", "Move the folder out of the notebook.")
    if error.errno == errno.ENXIO:
        return NotAFile("this is not a regular file", "Move it out of the notebook.")
    return error


def read_all(descriptor: int) -> bytes:
    """Read an open file from its beginning to its end."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    pieces: list[bytes] = []
    # One piece more than the file has now holds it all, without putting pieces together.
    while piece := os.read(descriptor, os.fstat(descriptor).st_size + 1):
        pieces.append(piece)
    return pieces[0] if len(pieces) == 1 else b"".join(pieces)


def write_all(descriptor: int, data: bytes, wait: bool = True) -> None:
    """Write all of `data` and wait until the disk has it."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]
    if wait:
        os.fsync(descriptor)


def sync_folder(path: str) -> None:
    """Wait until the disk has the names in a folder; a system that has no such call needs none."""
    if os.name == "nt":
        return
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def replace_file(path: str, data: bytes, shown: str, wait: bool = True) -> None:
    """Put `data` in place of the file at `path`, whole or not at all, with the same mode.

    Without `wait` the disk is not waited for: the caller does so once, for many files.
    """
    try:
        beside = _write_beside(path, data, wait)
        try:
            os.replace(beside, path)
        except OSError:
            os.unlink(beside)
            raise
    except OSError as error:
        raise why_not(error, shown) from error
    if wait:
        _confirm(path, shown)


def create_file(path: str, data: bytes, shown: str, wait: bool = True) -> None:
    """Make a new file, whole or not at all; one that is already there is never overwritten."""
    try:
        os.makedirs(os.path.dirname(path), exist_ok=True)
        beside = _write_beside(path, data, wait)
        try:
            _take_name(beside, path)
        finally:
            if os.path.lexists(beside):
                os.unlink(beside)
    except FileExistsError as error:
        raise FieldbookError(f"{shown} is already there. Choose another name.") from error
    except OSError as error:
        raise why_not(error, shown) from error
    if wait:
        _confirm(path, shown)


def _confirm(path: str, shown: str) -> None:
    """Wait until the disk has the name of a file that is written."""
    try:
        sync_folder(os.path.dirname(path))
    except OSError as error:
        if error.errno in _NO_SUCH_CALL:
            return
        raise FieldbookError(
            f"{shown}: written, but the disk did not confirm it ({error.strerror or error}).\n"
            "    It may be gone after a power cut. Check the disk, and look at the file."
        ) from error


def _take_name(beside: str, path: str) -> None:
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError as error:
        # Memory sticks have no second names for a file; our lock alone guards the name there.
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, "is already there", path) from error
        os.rename(beside, path)


def _write_beside(path: str, data: bytes, wait: bool) -> str:
    """Write `data` into a temporary file beside `path`; its name cannot be taken for an entry."""
    folder, name = os.path.split(path)
    beside = os.path.join(folder, f".{name}.{os.getpid()}.tmp")
    if os.path.lexists(beside):
        os.unlink(beside)
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | NO_LINK | BINARY, 0o666)
    try:
        if os.path.exists(path):
            os.chmod(beside, stat.S_IMODE(os.lstat(path).st_mode))
        write_all(descriptor, data, wait)
    except OSError:
        os.close(descriptor)
        os.unlink(beside)
        raise
    os.close(descriptor)
    return beside


def clear_left_behind(folder: str) -> None:
    """Take away temporary files that writers left when they were killed, a day ago or earlier.

    Call it with the lock held: a living writer's file is younger.
    """
    try:
        with os.scandir(folder) as listing:
            left = [item for item in listing if _BESIDE.fullmatch(item.name)]
        for item in left:
            if item.is_file(follow_symlinks=False) and item.stat().st_mtime < time.time() - _A_DAY:
                os.unlink(item.path)
    except OSError:
        return  # what cannot be cleared away does no harm

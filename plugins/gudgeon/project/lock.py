"""One command at a time writes into a project; the others wait, and are told.

The lock is on the project's folder itself: nothing is left in it, and the system takes it back from a command that was killed.
Where a system cannot lock a folder, a file in its folder for temporary files stands for it.
"""

import errno
import hashlib
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None
    import msvcrt

PATIENCE = 30.0  # seconds; a command writes for a fraction of one
_TAKEN = (errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK)


class Taken(Exception):
    """Another command has the project for longer than we wait."""


@contextmanager
def locked(root: Path, tell: Callable[[str], None], patience: float = PATIENCE) -> Iterator[None]:
    """Hold the project for as long as the context lasts. tell: told once when it has to wait. Raises Taken."""
    handle = _opened(root)
    try:
        ends, told = time.monotonic() + patience, False
        while not _take(handle):
            if not told:
                tell("Another command is writing into this project; waiting for it.")
                told = True
            if time.monotonic() > ends:
                raise Taken
            time.sleep(0.05)
        yield
    finally:
        os.close(handle)  # gives the lock back


def _opened(root: Path) -> int:
    """A handle that can be locked in the name of the project."""
    if fcntl is not None:
        handle = os.open(root, os.O_RDONLY)
        try:
            if _take(handle):
                fcntl.flock(handle, fcntl.LOCK_UN)
            return handle
        except OSError:  # a file system that cannot lock a folder
            os.close(handle)
    name = hashlib.sha256(os.fsencode(root)).hexdigest()[:32]
    place = Path(tempfile.gettempdir()) / f"gudgeon-{name}.lock"
    return os.open(place, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)


def _take(handle: int) -> bool:
    """Whether the lock could be had at once."""
    try:
        if fcntl is not None:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    except OSError as error:
        if error.errno in _TAKEN:
            return False
        raise
    return True

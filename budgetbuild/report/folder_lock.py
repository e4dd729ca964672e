"""A folder that one process holds at a time: the system lets go of it when its holder ends, however it ends."""

from __future__ import annotations

import errno
import os
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

NAME = ".budgetbuild-lock"
"""The file in the folder that is locked. What counts is the lock, never that the file is there."""
PAUSE_S = 0.02
"""Between two tries, in seconds."""


@dataclass(frozen=True, slots=True)
class Lock:
    """A folder that this process holds."""

    folder: Path
    descriptor: int

    @property
    def stands(self) -> bool:
        """Whether the folder of that name is still the one that is held, and no other in its place."""
        try:
            return _is_open_at(self.folder / NAME, self.descriptor)
        except OSError:
            return False

    def release(self) -> None:
        """Let go, and take the folder away where nothing else is in it."""
        path, mine = self.folder / NAME, False
        try:
            mine = self.stands
            if mine and sys.platform != "win32":
                _remove(path)  # first, while nobody else can hold it
        finally:
            with suppress(OSError):
                os.close(self.descriptor)
        if mine and sys.platform == "win32":
            _remove(path)  # an open file cannot go, so it stays where the next one has it by now
        if mine:
            with suppress(OSError):
                self.folder.rmdir()


def take(folder: Path, patience_s: float) -> Lock:
    """Hold a folder, which is made where it is not there; its parent must be.

    Args:
        folder: Nothing but what its holder puts there may be in it.
        patience_s: How long another process is waited for, in seconds.

    Raises:
        BlockingIOError: Another process holds it, and goes on to.
        OSError: It cannot be made or locked.
    """
    end = time.monotonic() + patience_s
    while True:
        with suppress(FileExistsError):  # not `exist_ok`, which fails where its holder takes it away just now
            folder.mkdir()
        if folder.is_symlink():
            raise OSError(errno.ELOOP, "a link in the place of the tool's own folder", str(folder))
        try:
            descriptor = _tried(folder / NAME)
        except FileNotFoundError:  # whoever held it has just taken it away
            descriptor = None
        except OSError:
            with suppress(OSError):
                folder.rmdir()
            raise
        if descriptor is not None:
            return Lock(folder, descriptor)
        if time.monotonic() >= end:
            raise BlockingIOError(errno.EAGAIN, "another run is at work there", str(folder))
        time.sleep(PAUSE_S)


def _tried(path: Path) -> int | None:
    """The locked file, open; `None` where another process has it, or has just taken it away."""
    fresh, mine = not os.path.lexists(path), False
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
    try:
        mine = _locked(descriptor) and _is_open_at(path, descriptor)
    except FileNotFoundError:  # another process has just taken it away; what is there now may be a third one's
        raise
    except OSError:
        if fresh:  # nobody else can have it, where the system cannot lock it
            _remove(path)
        raise
    finally:
        if not mine:
            os.close(descriptor)
    return descriptor if mine else None


if sys.platform == "win32":
    import msvcrt

    def _locked(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        return True

else:
    import fcntl

    def _locked(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def _is_open_at(path: Path, descriptor: int) -> bool:
    """Whether the file of that name is the one that is open."""
    return os.path.samestat(os.fstat(descriptor), path.lstat())


def _remove(path: Path) -> None:
    with suppress(OSError):
        path.unlink()

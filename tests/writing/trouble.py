"""A disk that makes trouble: every file operation of a save counted, and the n-th one fails, or the process with it."""

from __future__ import annotations

import errno
import fcntl
import io
import os
import shutil
import signal
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Self
from unittest import mock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

OF_OS = (
    *("mkdir", "rmdir", "rename", "replace", "link", "unlink", "utime"),
    *("open", "close", "fsync", "stat", "lstat", "fstat", "scandir", "listdir"),
)
"""What `pathlib` and `shutil` ask the system by way of `os`."""
WRONG = (errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO)


@dataclass
class Disk:
    """Operations under a folder, counted from 1.

    Attributes:
        strikes: Whether the operation of this number is struck.
        how: What happens then.
        met: Names of all operations so far.
    """

    root: Path
    strikes: Callable[[int], bool]
    how: Callable[[str, Callable[[], Any]], Any]
    met: list[str] = field(default_factory=list)

    def ask(self, name: str, do: Callable[[], Any]) -> Any:  # noqa: ANN401 - whatever the operation gives
        """Do one operation, or what strikes it."""
        self.met.append(name)
        return self.how(name, do) if self.strikes(len(self.met)) else do()

    def counted(self, name: str, function: Callable[..., Any]) -> Callable[..., Any]:
        """An operation that asks this disk where it concerns the folder."""

        def operation(*where: Any, **how: Any) -> Any:  # noqa: ANN401
            if not self._is_here(where[0], how):
                return function(*where, **how)
            return self.ask(name, lambda: function(*where, **how))

        return operation

    def opened(self, function: Callable[..., Any]) -> Callable[..., Any]:
        """A way to open files whose writing is counted too."""

        def operation(*where: Any, **how: Any) -> Any:  # noqa: ANN401
            if not self._is_here(where[0], how):
                return function(*where, **how)
            return Stream(self, self.ask("open", lambda: function(*where, **how)))

        return operation

    def _is_here(self, where: object, how: dict[str, Any]) -> bool:
        """Whether an operation concerns the folder; by number only what was opened there is met."""
        if isinstance(where, int) or how.get("dir_fd") is not None:
            return True
        return os.fspath(where).startswith(str(self.root))  # type: ignore[call-overload, no-any-return]


class Stream:
    """An open file whose operations ask the disk."""

    def __init__(self, disk: Disk, stream: Any) -> None:  # noqa: ANN401
        self.disk, self.stream = disk, stream

    def write(self, content: bytes) -> None:
        """Write it; where that is struck, half of it has been."""
        self.disk.ask("write", lambda: self.stream.write(content))

    def read(self) -> bytes:
        """Read all of it."""
        content: bytes = self.disk.ask("read", self.stream.read)
        return content

    def flush(self) -> None:
        """Flush it."""
        self.disk.ask("flush", self.stream.flush)

    def fileno(self) -> int:
        """Its number."""
        number: int = self.stream.fileno()
        return number

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.disk.ask("close", self.stream.close)


@contextmanager
def troubled(disk: Disk) -> Iterator[Disk]:
    """From now on, operations under the disk's folder are its."""
    with (
        mock.patch.object(shutil, "copy2", disk.counted("copy2", shutil.copy2)),
        mock.patch.object(fcntl, "flock", disk.counted("flock", fcntl.flock)),
        mock.patch.object(io, "open", disk.opened(io.open)),
        ExitStack() as stack,
    ):
        for name in OF_OS:
            stack.enter_context(mock.patch.object(os, name, disk.counted(name, getattr(os, name))))
        yield disk


def at(number: int) -> Callable[[int], bool]:
    """Strikes one operation, counted from 1."""
    return lambda met: met == number


def from_on(number: int) -> Callable[[int], bool]:
    """Strikes every operation from one on."""
    return lambda met: met >= number


def fails(number: int, *, done: bool = False) -> Callable[[str, Callable[[], Any]], Any]:
    """The system refuses, with this number of an error; `done`: though it has done it, as a network may say."""

    def strike(name: str, do: Callable[[], Any]) -> Any:  # noqa: ANN401
        if done or name == "close":  # a file that was not closed would be left open in the tests
            _dropped(name, do())
        raise OSError(number, os.strerror(number))

    return strike


def _dropped(name: str, opened: Any) -> None:  # noqa: ANN401
    """Whatever an operation opened has no owner where it is said to have failed."""
    if name == "open" and isinstance(opened, int):
        os.close(opened)
    elif name in {"open", "scandir"}:
        opened.close()


def interrupts(name: str, do: Callable[[], Any]) -> Any:  # noqa: ANN401
    """Ctrl-C."""
    if name == "close":
        do()
    raise KeyboardInterrupt


def asked_to_end(_: str, do: Callable[[], Any]) -> Any:  # noqa: ANN401
    """What a system sends to a process when it shuts down."""
    os.kill(os.getpid(), signal.SIGTERM)
    return do()


def kills(_: str, __: Callable[[], Any]) -> Any:  # noqa: ANN401
    """The process is gone."""
    os.kill(os.getpid(), signal.SIGKILL)

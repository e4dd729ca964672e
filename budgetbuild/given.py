"""Files that a user names, read without trusting the name: only an ordinary file, and only so much of it.

A pipe waits for ever, a device may never end, and a folder or a link that leads nowhere is a slip of the pen; each is
told in plain words.
"""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING, NoReturn

from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from pathlib import Path

MEGABYTE = 1_000_000


def name_of(path: Path) -> str:
    r"""A file's name as text that can be written anywhere, whatever bytes the system keeps it in.

    >>> from pathlib import Path
    >>> name_of(Path("shop/prices.xlsx")), name_of(Path("caf\udce9.csv")), name_of(Path("shop/.."))
    ('prices.xlsx', 'caf�.csv', '..')
    """
    return os.fsencode(path.name or str(path)).decode("utf-8", "replace")


def read_given(path: Path, wanted: str, most: int) -> bytes:
    """The bytes of a file.

    Args:
        path: The file.
        wanted: What it should be, in words.
        most: Bytes that it may have.

    Raises:
        UserInputError: There is no such file, it is no ordinary one, it may not be read, or it is too large.
    """
    name = name_of(path)
    try:
        kind = path.stat().st_mode
        if not stat.S_ISREG(kind):
            what = "a folder" if stat.S_ISDIR(kind) else "a device or a pipe"
            _refuse(name, "not-a-file", f"{wanted}, not {what}", "name the file itself")
        with open(path, "rb", opener=_without_waiting) as stream:
            data = stream.read(most + 1)
    except (FileNotFoundError, NotADirectoryError):
        _refuse(name, "no-such-file", wanted, "check the name and the folder")
    except OSError as error:
        mend = f"close it elsewhere, and see that you may read it ({error.strerror})"
        _refuse(name, "unreadable-file", "a file that may be read", mend)
    if len(data) > most:
        mend = "take out what does not belong there, such as pictures"
        _refuse(name, "file-too-large", f"at most {most // MEGABYTE} MB", mend)
    return data


def toml_trouble(error: Exception) -> str:
    """What is wrong with a TOML file, as one may read it.

    >>> toml_trouble(RecursionError("too deep")), toml_trouble(ValueError("Cannot overwrite a value"))
    ('lists in lists without end', 'cannot overwrite a value')
    """
    if isinstance(error, RecursionError):
        return "lists in lists without end"
    if isinstance(error, UnicodeDecodeError):
        return "bytes that are no UTF-8 text"
    told = str(error)
    return "a number with far too many digits" if "digits" in told else f"{told[:1].lower()}{told[1:]}"


def _without_waiting(name: str, flags: int) -> int:
    """Open a file; should it have become a pipe since it was looked at, find that empty instead of waiting for it."""
    return os.open(name, flags | getattr(os, "O_NONBLOCK", 0))


def _refuse(name: str, code: str, expected: str, mend: str) -> NoReturn:
    raise UserInputError([Fault(Cell(), code, name, expected, mend)])

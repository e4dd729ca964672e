"""Writes the finished files to disk, all of them or none."""

from __future__ import annotations

import os
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.faults import UserInputError
from budgetbuild.report.ending import ended_like_an_interrupt
from budgetbuild.report.staging import NAME, STAGING, Staging, put_right, refused, staging_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

__all__ = ["STAGING", "begin", "by_folder", "put_right", "save_all", "save_everywhere", "saved", "unfinished"]

saved: list[Path] = []
"""Every folder that the command at work has saved into, in order: what may be said to have been written."""
unfinished: list[Path] = []
"""Folders in which it has replaced files and neither let the new ones stand nor put the earlier ones back."""


def begin() -> None:
    """A command begins, and has saved nothing yet."""
    saved.clear()
    unfinished.clear()


def save_all(files: Mapping[str, bytes], folder: Path) -> None:
    """Put every file into the folder, replacing those of the same name; on any failure leave all as it was.

    Args:
        files: Content by plain file name.
        folder: Where they go; made where it does not exist.

    Raises:
        UserInputError: The folder cannot be made or written, a target cannot be replaced (held open, read-only, a
            folder), or another run saves there.
        ValueError: A name has a folder in it; only a defect in the tool makes one.
    """
    save_everywhere({folder: files})


def save_everywhere(folders: Mapping[Path, Mapping[str, bytes]]) -> None:
    """Put files into several folders as `save_all` does into one: all of them or none.

    Everything is first written and flushed to disk in a folder beside its targets, then each file is renamed over its
    target. A failure, an interrupt or a request to end puts the earlier files back, in every folder; after a kill the
    next run does (see `staging`). Only one process at a time saves into a folder.

    Raises:
        UserInputError: A folder cannot be made or written, a target cannot be replaced (held open, read-only, a
            folder), or another run saves there.
        ValueError: A name has a folder in it; only a defect in the tool makes one.
    """
    for name in (name for files in folders.values() for name in files):
        if name in {"", ".", ".."} or Path(name).name != name or name == NAME:
            raise ValueError(f"not a plain file name: {name!r}")
    with ended_like_an_interrupt(), _made(folders), ExitStack() as stack:
        wanted = _each_once(folders)
        stagings = [stack.enter_context(staging_of(folder)) for folder, _ in wanted]
        try:
            for staging, (_, files) in zip(stagings, wanted, strict=True):
                staging.write(files)
            for staging in stagings:
                staging.begin()
            for staging in stagings:
                unfinished.append(staging.shown)
                staging.swap()
            for staging in stagings:
                staging.end()
            unfinished.clear()
        except BaseException as error:
            _take_back(stagings, error)
            raise
        saved.extend(folders)


def by_folder(files: Mapping[Path, bytes]) -> dict[Path, dict[str, bytes]]:
    """Files by the folder that each goes to; two names of one folder are that folder."""
    folders: dict[Path, dict[str, bytes]] = {}
    for path, content in files.items():
        place = os.path.realpath(path.parent)
        home = next((known for known in folders if os.path.realpath(known) == place), path.parent)
        folders.setdefault(home, {})[path.name] = content
    return folders


def _each_once(folders: Mapping[Path, Mapping[str, bytes]]) -> list[tuple[Path, dict[str, bytes]]]:
    """Each folder once, whatever its names, in an order that every process has: so none waits for another in a circle.

    Raises:
        UserInputError: A folder is gone again.
    """
    found: dict[tuple[int, int], tuple[Path, dict[str, bytes]]] = {}
    for folder, files in folders.items():
        with refused(folder, "a folder that can be written"):
            status = folder.stat()
        found.setdefault((status.st_dev, status.st_ino), (folder, {}))[1].update(files)
    return [found[identity] for identity in sorted(found)]


@contextmanager
def _made(folders: Mapping[Path, object]) -> Iterator[None]:
    """The folders with their parents, made where they are not there, and gone again where it fails."""
    made: list[Path] = []
    try:
        for folder in folders:
            for path in (*reversed(folder.parents), folder):
                with refused(folder, "a folder that can be written"):
                    if not path.exists():
                        made.append(path)
                        path.mkdir(exist_ok=True)
            with refused(folder, "a folder that can be written"):
                folder.mkdir(exist_ok=True)  # refused where it is a file
        yield
    except BaseException:
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir()
        raise


def _take_back(stagings: Sequence[Staging], error: BaseException) -> None:
    """Put the earlier files back in every folder; where the disk refuses that too, that is told as well."""
    for staging in stagings:
        try:
            staging.take_back()
        except UserInputError as another:
            if isinstance(error, UserInputError):
                error.faults += another.faults
        if staging.settled and staging.shown in unfinished:
            unfinished.remove(staging.shown)

"""Writes the finished files to disk, all of them or none."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


def save_all(files: Mapping[str, bytes], folder: Path) -> None:
    """Put every file into the folder, replacing those of the same name; on any failure leave all as it was.

    Everything is first written and flushed to disk in a new folder beside the targets, then each file is renamed over
    its target. A failure at any step puts the earlier files back.

    Args:
        files: Content by plain file name.
        folder: Where they go; made where it does not exist.

    Raises:
        UserInputError: The folder cannot be made or written, or a target cannot be replaced (held open, a folder).
        ValueError: A name has a folder in it; only a defect in the tool makes one.
    """
    for name in files:
        if name in {"", ".", ".."} or Path(name).name != name:
            raise ValueError(f"not a plain file name: {name!r}")
    made = _make_folder(folder)
    try:
        with _staging(folder) as staging:
            _write(files, staging / "new")
            _swap(sorted(files), staging, folder)
    except BaseException:
        for path in made:
            with suppress(OSError):
                path.rmdir()
        raise


def _make_folder(folder: Path) -> list[Path]:
    """Make the folder with its parents; the folders made, the deepest first."""
    missing = [path for path in (folder, *folder.parents) if not path.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _refusal(folder, error, "a folder that can be written") from error
    return missing


@contextmanager
def _staging(folder: Path) -> Iterator[Path]:
    """A new folder on the same file system as the targets, gone afterwards whatever happens."""
    try:
        staging = Path(tempfile.mkdtemp(prefix=".budgetbuild-", dir=folder))
    except OSError as error:
        raise _refusal(folder, error, "a folder that can be written") from error
    try:
        yield staging
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _write(files: Mapping[str, bytes], folder: Path) -> None:
    """Write each file and flush it to the disk, so that a rename never shows half a file."""
    folder.mkdir()
    for name, content in sorted(files.items()):
        try:
            with (folder / name).open("xb") as stream:
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
        except OSError as error:
            raise _refusal(folder.parent.parent / name, error, "room and leave to write the file") from error


def _swap(names: list[str], staging: Path, folder: Path) -> None:
    """Rename the new files over the earlier ones; put the earlier ones back where a step fails.

    The earlier files are copied first, not moved, so that a name is never without a file in between.
    """
    old = staging / "old"
    old.mkdir()
    done: list[str] = []
    for name in names:
        try:
            if (folder / name).exists():
                shutil.copy2(folder / name, old / name)
            (staging / "new" / name).replace(folder / name)
        except BaseException as error:
            _restore(done, old, folder)
            if isinstance(error, OSError):
                raise _refusal(folder / name, error, "a file that can be replaced") from error
            raise
        done.append(name)


def _restore(names: list[str], old: Path, folder: Path) -> None:
    """Put the earlier files back, and take away those that had none before them."""
    for name in reversed(names):
        if (old / name).exists():
            (old / name).replace(folder / name)
        else:
            (folder / name).unlink()


def _refusal(path: Path, error: OSError, expected: str) -> UserInputError:
    """The fault that a failed write is told as."""
    found = f"{path} ({error.strerror or error})"
    mend = "close the file where it is open, or choose another folder with --out"
    return UserInputError([Fault(Cell(), "cannot-write", found, expected, mend)])

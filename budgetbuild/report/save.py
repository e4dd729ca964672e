"""Writes the finished files to disk, all of them or none."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

STAGING = ".budgetbuild-"
"""How the names of folders begin in which files wait until all of them are written; a kill may leave one."""


def save_all(files: Mapping[str, bytes], folder: Path) -> None:
    """Put every file into the folder, replacing those of the same name; on any failure leave all as it was.

    Args:
        files: Content by plain file name.
        folder: Where they go; made where it does not exist.

    Raises:
        UserInputError: The folder cannot be made or written, or a target cannot be replaced (held open, a folder).
        ValueError: A name has a folder in it; only a defect in the tool makes one.
    """
    save_everywhere({folder: files})


def save_everywhere(folders: Mapping[Path, Mapping[str, bytes]]) -> None:
    """Put files into several folders as `save_all` does into one: all of them or none.

    Everything is first written and flushed to disk in a new folder beside its targets, then each file is renamed over
    its target. A failure at any step puts the earlier files back, in every folder.

    Raises:
        UserInputError: A folder cannot be made or written, or a target cannot be replaced (held open, a folder).
        ValueError: A name has a folder in it; only a defect in the tool makes one.
    """
    for name in (name for files in folders.values() for name in files):
        if name in {"", ".", ".."} or Path(name).name != name:
            raise ValueError(f"not a plain file name: {name!r}")
    made: list[Path] = []
    try:
        with ExitStack() as stack:
            moves: list[Move] = []
            for folder, files in folders.items():
                made = [*_make_folder(folder), *made]
                staging = stack.enter_context(_staging(folder))
                _write(files, staging / "new")
                moves += [Move(name, staging, folder) for name in sorted(files)]
            _swap(moves)
    except BaseException:
        for path in made:
            with suppress(OSError):
                path.rmdir()
        raise


def by_folder(files: Mapping[Path, bytes]) -> dict[Path, dict[str, bytes]]:
    """Files by the folder that each goes to; two names of one folder are that folder."""
    folders: dict[Path, dict[str, bytes]] = {}
    for path, content in files.items():
        home = next((known for known in folders if known.resolve() == path.parent.resolve()), path.parent)
        folders.setdefault(home, {})[path.name] = content
    return folders


@dataclass(frozen=True, slots=True)
class Move:
    """One file on its way: its name, the folder that it waits in, and where it goes."""

    name: str
    staging: Path
    folder: Path

    @property
    def target(self) -> Path:
        """Where it goes."""
        return self.folder / self.name

    @property
    def new(self) -> Path:
        """The new file, written and waiting."""
        return self.staging / "new" / self.name

    @property
    def old(self) -> Path:
        """Copy of the earlier file, where there is one."""
        return self.staging / "old" / self.name


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
        staging = Path(tempfile.mkdtemp(prefix=STAGING, dir=folder))
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


def _swap(moves: Sequence[Move]) -> None:
    """Rename the new files over the earlier ones; put the earlier ones back where a step fails.

    The earlier files are copied first, not moved, so that a name is never without a file in between.
    """
    done: list[Move] = []
    for move in moves:
        try:
            move.old.parent.mkdir(exist_ok=True)
            if move.target.exists():
                shutil.copy2(move.target, move.old)
            move.new.replace(move.target)
        except BaseException as error:
            _restore(done)
            if isinstance(error, OSError):
                raise _refusal(move.target, error, "a file that can be replaced") from error
            raise
        done.append(move)


def _restore(moves: Sequence[Move]) -> None:
    """Put the earlier files back, and take away those that had none before them."""
    for move in reversed(moves):
        if move.old.exists():
            move.old.replace(move.target)
        else:
            move.target.unlink()


def _refusal(path: Path, error: OSError, expected: str) -> UserInputError:
    """The fault that a failed write is told as."""
    found = f"{path} ({error.strerror or error})"
    mend = "close the file where it is open, or choose another place with --out or --into-copy"
    return UserInputError([Fault(Cell(), "cannot-write", found, expected, mend)])

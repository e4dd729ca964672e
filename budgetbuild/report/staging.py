"""The folder in which new files wait beside their targets, and from which the earlier ones come back.

It is called `.budgetbuild-saving`, stands in the folder that is written into, and is held by one process at a time:

    new/             the new files, on the disk before anything else happens
    begun/earlier/   each earlier file under a second name
    begun/none/      an empty file for each name that had no file

`begun` appears in one step before the first file is replaced, and is gone in one step after the last. So whoever finds
it without a process that holds the folder knows that a save was killed in between, and what to put back.

Every step is a rename within the one folder. Where that was exchanged for another meanwhile, there is nothing to rename
in the other one, and nothing happens there.
"""

from __future__ import annotations

import errno
import os
import shutil
import stat
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.report.folder_lock import NAME as LOCK
from budgetbuild.report.folder_lock import Lock, take

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

STAGING = ".budgetbuild-"
"""How the names of the tool's own files and folders begin, which come and go."""
NAME = f"{STAGING}saving"
PATIENCE_S = 10.0
"""How long another run that saves is waited for, in seconds; most take less than one."""
PUT_BACK = (
    "a folder whose earlier files can be put back",
    "close what is open there, then run the command again: it puts them back first",
    "not-put-back",
)
"""What is expected, how to mend it and what the fault is called, where the earlier files could not be put back."""
EXCHANGED = "another folder took its place while files were saved"
ELSEWHERE = "or choose another place with --out or --into-copy"
CLOSE_IT = f"close the file where it is open, allow it to be written, {ELSEWHERE}"

MENDS = {
    **dict.fromkeys((errno.ENOSPC, errno.EDQUOT, errno.EFBIG), f"make room on the disk, {ELSEWHERE}"),
    **dict.fromkeys((errno.EEXIST, errno.ENOTDIR, errno.EISDIR), f"move away what stands there, {ELSEWHERE}"),
}
"""What helps where it is not that the file is open."""


@dataclass(frozen=True, slots=True)
class Staging:
    """The waiting folder of one folder, held by this process.

    Attributes:
        shown: The folder as the user names it.
        folder: The same without links, so that a link that is changed meanwhile leads nowhere else.
    """

    shown: Path
    folder: Path
    lock: Lock

    def write(self, files: Mapping[str, bytes]) -> None:
        """Write each file and flush it to the disk, so that a rename never shows half a file."""
        with refused(self.shown, "a folder that can be written"):
            self._new.mkdir()
        for name, content in sorted(files.items()):
            with refused(self.shown / name, "room and leave to write the file"):
                _write(self._new / name, content)

    def begin(self) -> None:
        """Keep the earlier files; from here on they come back whatever happens, until `end`."""
        noted = self._at("noted")
        with refused(self.shown, "a folder that can be written"):
            for path in (noted, noted / "earlier", noted / "none"):
                path.mkdir()
        for name in self._waiting():
            with refused(self.shown / name, "a file that can be replaced"):
                _keep(self.folder / name, noted / "earlier" / name, noted / "none" / name)
                _let_the_same(self._new / name, noted / "earlier" / name)
        with refused(self.shown, "a folder that can be written"):
            noted.rename(self._begun)

    def swap(self) -> None:
        """Rename the new files over the earlier ones, so that a name is never without a file in between."""
        for name in self._waiting():
            with refused(self.shown / name, "a file that can be replaced"):
                self._check_place()
                (self._new / name).replace(self.folder / name)

    def end(self) -> None:
        """Let the new files stand."""
        with refused(self.shown, "a folder that can be written"):
            self._begun.rename(self._over)

    def take_back(self) -> list[str]:
        """Put the earlier files back, also where the new ones stood already; tells their names."""
        with refused(self.shown, *PUT_BACK):
            if self.lock.stands and self._over.exists():
                self._over.rename(self._begun)
        return self.put_back()

    def put_back(self) -> list[str]:
        """Where a save had begun, put the earlier files back and take away those that had none; tells their names.

        Raises:
            UserInputError: The disk refuses; the earlier files are where they were, and the next try goes on.
        """
        with refused(self.shown, *PUT_BACK):
            if not self.lock.stands or not self._begun.exists():
                return []
            earlier, none = _names_if_any(self._begun / "earlier"), _names_if_any(self._begun / "none")
            replaced = sorted({*earlier, *none} - set(_names_if_any(self._new)))
            for name in replaced:
                if name in earlier:
                    (self._begun / "earlier" / name).replace(self.folder / name)
                else:
                    with suppress(FileNotFoundError):  # somebody took it away since
                        (self.folder / name).replace(self._new / name)
            self._begun.rename(self._over)
        return replaced

    @property
    def settled(self) -> bool:
        """Whether it is known that no earlier file waits to be put back."""
        try:
            return self.lock.stands and not self._begun.exists()
        except OSError:
            return False

    def clear(self) -> bool:
        """Take all but the lock away, unless earlier files wait to be put back; tells whether nothing is left."""
        with suppress(OSError):
            if self.lock.stands and not self._begun.exists():
                for path in self._left():
                    if path.is_dir() and not path.is_symlink():
                        shutil.rmtree(path, ignore_errors=True)
                    else:
                        path.unlink()
                return not self._left()
        return False

    def _left(self) -> list[Path]:
        return [self._at(name) for name in _names(self.lock.folder) if name != LOCK]

    @property
    def _new(self) -> Path:
        return self._at("new")

    @property
    def _begun(self) -> Path:
        return self._at("begun")

    @property
    def _over(self) -> Path:
        return self._at("over")

    def _at(self, name: str) -> Path:
        return self.lock.folder / name

    def _waiting(self) -> list[str]:
        """Names of the new files."""
        with refused(self.shown, "a folder that can be written"):
            return _names(self._new)

    def _check_place(self) -> None:
        if not self.lock.stands:
            raise OSError(errno.ESTALE, EXCHANGED, str(self.folder))


@contextmanager
def staging_of(shown: Path) -> Iterator[Staging]:
    """The waiting folder of a folder, empty: what a killed save left there is put back first.

    Raises:
        UserInputError: Another run saves there and goes on to, or the folder cannot be written.
    """
    with refused(shown, "a folder that can be written"):
        staging = _held(shown, PATIENCE_S)
    try:
        staging.put_back()
        if not staging.clear():
            with refused(shown / NAME, "a folder that can be emptied"):
                raise OSError(errno.ENOTEMPTY, "an earlier run left something there")
        yield staging
    finally:
        _left(staging)


def put_right(folder: Path) -> list[str]:
    """Where a save was killed midway, put the earlier files back; tells their names. Nothing where a run saves there.

    Raises:
        UserInputError: The disk refuses.
    """
    try:
        if not (folder / NAME).is_dir():
            return []
        staging = _held(folder, 0)
    except OSError:  # held by a run that is alive; whatever else it is, saving tells
        return []
    try:
        return staging.put_back()
    finally:
        _left(staging)


def _held(shown: Path, patience_s: float) -> Staging:
    """The waiting folder, as it is.

    Raises:
        OSError: Another process holds it and goes on to, or the folder cannot be written.
    """
    folder = shown.resolve(strict=True)
    meant = folder.lstat()
    lock = take(folder / NAME, patience_s)
    try:
        if os.path.samestat(meant, folder.lstat()):
            return Staging(shown, folder, lock)
    except BaseException:
        lock.release()
        raise
    lock.release()
    raise OSError(errno.ESTALE, EXCHANGED, str(folder))


def _left(staging: Staging) -> None:
    """Leave the waiting folder; what the disk refuses to take away now, the next run does."""
    try:
        staging.clear()
    finally:
        staging.lock.release()


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def _names_if_any(folder: Path) -> list[str]:
    """Names in a folder; none where it is gone: whoever copies folders may leave out an empty one."""
    return _names(folder) if folder.is_dir() else []


def _write(path: Path, content: bytes) -> None:
    with path.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _keep(target: Path, earlier: Path, none: Path) -> None:
    """Give the earlier file a second name, or note that there is none.

    A link in the place of a file is what is kept and replaced, never what it leads to.

    Raises:
        OSError: Something that is there may not be replaced: a folder, a file that nobody may write.
    """
    try:
        status = target.lstat()
    except FileNotFoundError:
        none.touch()
        return
    if not stat.S_ISREG(status.st_mode) and not stat.S_ISLNK(status.st_mode):
        raise OSError(errno.EEXIST, "something there that is no file", str(target))
    if not status.st_mode & 0o222:
        raise PermissionError(errno.EACCES, "read-only", str(target))
    try:
        os.link(target, earlier, follow_symlinks=False)
    except (OSError, NotImplementedError):  # a file system without second names
        shutil.copy2(target, earlier, follow_symlinks=False)


def _let_the_same(new: Path, earlier: Path) -> None:
    """Let those use a new file who could use the one that it replaces, in a folder that several people share."""
    if earlier.is_file() and not earlier.is_symlink():
        new.chmod(stat.S_IMODE(earlier.stat().st_mode))


@contextmanager
def refused(path: Path, expected: str, mend: str = CLOSE_IT, code: str = "cannot-write") -> Iterator[None]:
    """What the disk refuses, as a fault of the file or folder that it concerns."""
    try:
        yield
    except BlockingIOError as error:
        found, wait = f"{path} (another run is writing there)", "wait until it has ended, then run the command again"
        raise UserInputError([Fault(Cell(), "in-use", found, "a folder that no other run writes to", wait)]) from error
    except OSError as error:
        found = f"{path} ({error.strerror or error})"
        told = MENDS.get(error.errno or 0, mend) if mend == CLOSE_IT else mend
        raise UserInputError([Fault(Cell(), code, found, expected, told)]) from error

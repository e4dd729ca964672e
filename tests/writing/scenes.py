"""Folders before a save, and what the save is to bring."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from budgetbuild.report.staging import NAME

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FOLDER = b"(a folder)"
"""What an empty folder holds."""

Files = dict[str, bytes]
"""Content by path below the root of a scene."""


@dataclass(frozen=True, slots=True)
class Scene:
    """Files by path below a root: those that are there, and those that are saved.

    Attributes:
        folders: Those that are saved into.
    """

    before: Mapping[str, bytes]
    saved: Mapping[str, bytes]

    @property
    def after(self) -> Files:
        """What stands once the save is done."""
        return {**self.before, **self.saved}

    @property
    def folders(self) -> list[str]:
        """Those that are saved into."""
        return sorted({folder_of(name) for name in self.saved})

    @staticmethod
    def part(folder: str, files: Mapping[str, bytes]) -> Files:
        """Those of some files that are in a folder."""
        return {name: content for name, content in files.items() if folder_of(name) == folder}

    def set_up(self, root: Path) -> None:
        """Put there what is there before."""
        root.mkdir()
        for name, content in self.before.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_bytes(content)

    def wanted(self, root: Path) -> dict[Path, dict[str, bytes]]:
        """What is given to `save_everywhere`."""
        found: dict[Path, dict[str, bytes]] = {}
        for name, content in self.saved.items():
            found.setdefault((root / name).parent, {})[(root / name).name] = content
        return found


def folder_of(name: str) -> str:
    """The folder of a file below a root."""
    return PurePosixPath(name).parent.as_posix()


SCENES = {
    "some files replaced, one new": Scene(
        {"out/guide.md": b"old guide", "out/mine.txt": b"mine", "out/tiers.xlsx": b"old workbook"},
        {"out/guide.md": b"new guide" * 99, "out/results.json": b"new results", "out/tiers.xlsx": b"new workbook"},
    ),
    "folders that are not there": Scene({}, {"a/b/guide.md": b"new guide", "a/b/tiers.xlsx": b"new workbook"}),
    "two folders": Scene(
        {"one/x": b"old x", "two/x": b"old other x"},
        {"one/x": b"new x", "one/y": b"new y", "two/x": b"new other x", "two/z": b"new z"},
    ),
}


def shown(root: Path) -> Files:
    """What anybody sees of a folder: every file but those in the tool's own folders."""
    return {name: content for name, content in everything(root).items() if NAME not in name.split("/")}


def everything(root: Path) -> Files:
    """Every file below a root, every link as where it leads, and every folder that is empty, as such."""
    found: Files = {}
    for path in root.rglob("*"):
        name = path.relative_to(root).as_posix()
        if path.is_symlink():
            found[name] = f"to {path.readlink()}".encode()
        elif path.is_file():
            found[name] = path.read_bytes()
        elif not any(path.iterdir()):
            found[name] = FOLDER
    return found


def files(found: Mapping[str, bytes]) -> Files:
    """Of what was found, the files."""
    return {name: content for name, content in found.items() if content != FOLDER}

"""Where, when and by whom outputs are made; what comes out: SHA-256 of every file and of what is printed."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tests.bytes.shop import Shop

ROOT = Path(__file__).parent.parent.parent
SCRIPT = Path(__file__).with_name("every_command.py")
DAY = {"SOURCE_DATE_EPOCH": "1795651199"}
"""The date of quotes; all other outputs have none but the list's own."""
LIMIT_S = 300.0

Manifest = dict[str, str]
"""SHA-256 by the name of a file, and of what went to either stream of the terminal."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What differs from machine to machine, and from one day to the next.

    Args:
        variables: Environment variables; but for these and the search path there are none.
        before: Words before the command, such as a program that sets the clock.
        umask: Rights that new files do not get.
        folder: Name of the folder with the price list and the outputs.
        inside: Whether it is the working folder.
        workers: Number of processes; with more than one, work is shared also where it is not worth while.
        python: Another Python with the package installed; else this one with this checkout.
    """

    variables: Mapping[str, str] = field(default_factory=dict)
    before: tuple[str, ...] = ()
    umask: int = 0o022
    folder: str = "here"
    inside: bool = False
    workers: int = 1
    python: Path | None = None

    def environment(self) -> dict[str, str]:
        """All environment variables."""
        ours = {} if self.python else {"PYTHONPATH": str(ROOT)}
        return {"PATH": "/usr/local/bin:/usr/bin:/bin", **DAY, **ours, **self.variables}


ORDINARY = Surroundings({"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C.UTF-8", "HOME": "/root", "USER": "root"})


def outputs(shop: Shop, around: Surroundings, folder: Path, *build: str) -> dict[str, bytes]:
    """Everything that every command writes and prints, by name; its folder's own name in it is taken out.

    Args:
        shop: The price list.
        around: Where it is done.
        folder: A new folder to do it in.
        build: Words of one build, where not every command is asked for.
    """
    home = folder / around.folder
    home.mkdir(parents=True)
    for path in shop:
        shutil.copyfile(path, home / path.name)
    words = [*around.before, str(around.python or sys.executable), "-P", str(SCRIPT)]
    words += [*(str(home / path.name) for path in shop), str(home / "out"), str(around.workers), *build]
    done = subprocess.run(  # noqa: S603 - our own words
        words,
        cwd=home if around.inside else folder,
        env=around.environment(),
        umask=around.umask,
        capture_output=True,
        timeout=LIMIT_S,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode(errors="replace")
    out = home / "out"
    files = {path.relative_to(out).as_posix(): path.read_bytes() for path in out.rglob("*") if path.is_file()}
    name = str(home).encode()
    return files | {"terminal": done.stdout.replace(name, b""), "terminal, errors": done.stderr.replace(name, b"")}


def manifest(files: Mapping[str, bytes]) -> Manifest:
    """The SHA-256 of each."""
    return {name: hashlib.sha256(content).hexdigest() for name, content in sorted(files.items())}


def differing(one: Manifest, other: Manifest) -> set[str]:
    """Names of what is not the same in both, or in one alone."""
    return {name for name in one.keys() | other.keys() if one.get(name) != other.get(name)}

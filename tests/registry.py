"""Fetches pinned files for tests from npm's registry, and holds them against their checksums."""

from __future__ import annotations

import base64
import hashlib
import shutil
import subprocess
import tarfile
import tempfile
from pathlib import Path


def command(name: str) -> str:
    """Path of a command that tests need.

    Raises:
        FileNotFoundError: The machine does not have it.
    """
    path = shutil.which(name)
    if path is None:
        raise FileNotFoundError(f"{name} is missing; .ci/run installs what the tests need")
    return path


def from_npm(package: str, version: str, sha512: str, member: str) -> bytes:
    """A file of a package at a pinned version.

    Args:
        package: Its name.
        version: The version wanted.
        sha512: SHA-512 of the package in base 64, as the registry publishes it.
        member: The file's path inside.
    """
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(  # noqa: S603 - fixed arguments
            [command("npm"), "pack", f"{package}@{version}", "--silent"], cwd=folder, check=True, capture_output=True
        )
        packed = Path(folder, f"{package}-{version}.tgz")
        assert base64.b64encode(hashlib.sha512(packed.read_bytes()).digest()).decode() == sha512
        with tarfile.open(packed) as archive:
            found = archive.extractfile(f"package/{member}")
            assert found
            return found.read()

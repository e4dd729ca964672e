"""Folders in memory, where the system has them: thousands of small files are quick there."""

from __future__ import annotations

import os
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

MEMORY = Path("/dev/shm")  # noqa: S108 - a place, and what is put there has a name that nobody guesses


@pytest.fixture
def fast_path() -> Iterator[Path]:
    """A new folder, in memory where that can be."""
    place = MEMORY if MEMORY.is_dir() and os.access(MEMORY, os.W_OK) else None
    with TemporaryDirectory(prefix="budgetbuild-test-", dir=place) as name:
        yield Path(name)

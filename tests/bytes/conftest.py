"""The shop and its outputs in ordinary surroundings, made once; locales, made; another Python, got."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.bytes.shop import write_shop
from tests.bytes.surroundings import ORDINARY, outputs

if TYPE_CHECKING:
    from tests.bytes.shop import Shop

OTHER = "OTHER_PYTHON"
"""Environment variable that names another Python to hold against this one: of an environment with pip, to be filled."""
DECIMAL_MARKS = {"tr_TR.UTF-8": "1,5", "ps_AF.UTF-8": "1\u066b5"}
"""How a locale writes one and a half. The first also has an i of its own; the second is written from right to left."""


@pytest.fixture(scope="package")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """The files of the tiny shop."""
    return write_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture(scope="package")
def ordinary(shop: Shop, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """What comes out in ordinary surroundings."""
    return outputs(shop, ORDINARY, tmp_path_factory.mktemp("ordinary"))


@pytest.fixture(scope="package")
def locales(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the locales, each shown to be in force by how it writes a number."""
    folder = tmp_path_factory.mktemp("locales")
    said = "import locale; locale.setlocale(locale.LC_ALL, ''); print(ascii(locale.str(1.5)))"
    for name, mark in DECIMAL_MARKS.items():
        _run("localedef", "-i", name.partition(".")[0], "-f", "UTF-8", str(folder / name))
        assert _run(sys.executable, "-c", said, LOCPATH=str(folder), LC_ALL=name).strip() == ascii(mark)
    return folder


@pytest.fixture(scope="package")
def other_python(repository: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Another Python with the libraries of the lock and the wheel that is built from this checkout."""
    folder = tmp_path_factory.mktemp("other")
    named = os.environ.get(OTHER)
    if not named:
        _run(str(repository / ".ci" / "newest-python"), str(folder))
    python = Path(named) if named else folder / "bin" / "python"
    install = (str(python), "-m", "pip", "install", "--quiet", "--only-binary", ":all:")
    _run(*install, "--require-hashes", "--requirement", str(repository / ".ci" / "run-time.txt"))
    _run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder / "wheel"), cwd=repository)
    (wheel,) = (folder / "wheel").glob("*.whl")
    _run(*install, "--no-deps", "--no-index", "--force-reinstall", str(wheel))
    return python


def _run(*words: str, cwd: Path | None = None, **environment: str) -> str:
    """What a command prints; where it fails, the test fails with what it says."""
    done = subprocess.run(  # noqa: S603 - our own words
        words, cwd=cwd, env={**os.environ, **environment}, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, f"{words} ended with {done.returncode}:\n{done.stdout}\n{done.stderr}"
    return done.stdout

"""Fixtures that every test may use: the repository, the sample catalogue, golden files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parent.parent
UPDATE = "--golden-update"


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that rewrites golden files."""
    parser.addoption(UPDATE, action="store_true", help="write the golden files anew; review the change")


@pytest.fixture(scope="session")
def repository() -> Path:
    """The top level of the repository."""
    return ROOT


@pytest.fixture(scope="session")
def sample_workbook() -> Path:
    """The sample catalogue that stands at the top level."""
    return ROOT / "sample_catalogue.xlsx"


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[Path, str], None]:
    """Compare rendered text with a golden file: `golden(path, text)`."""
    update = bool(request.config.getoption(UPDATE))
    return lambda path, text: compare_golden(path, text, update=update)


def compare_golden(path: Path, text: str, *, update: bool = False) -> None:
    """Hold a rendering against its golden file; what differs is saved beside it as `NAME.actual.EXT`.

    Args:
        path: The golden file, with the extension that its kind has.
        text: What was rendered.
        update: Whether to write the golden file instead.
    """
    actual = path.with_suffix(f".actual{path.suffix}")
    actual.unlink(missing_ok=True)
    if update:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", newline="\n")
        return
    expected = path.read_text("utf-8") if path.exists() else ""
    if text != expected:
        actual.parent.mkdir(parents=True, exist_ok=True)
        actual.write_text(text, "utf-8", newline="\n")
        pytest.fail(f"{path.name} differs: compare it with {actual.name}, or accept the change with {UPDATE}")

"""The comparison with golden files."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.conftest import compare_golden

if TYPE_CHECKING:
    from pathlib import Path


def test_equal_text_passes_and_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / "page.md").write_text("one\n", "utf-8")
    compare_golden(tmp_path / "page.md", "one\n")
    assert [file.name for file in tmp_path.iterdir()] == ["page.md"]


def test_different_text_fails_and_is_saved_beside_the_golden_file(tmp_path: Path) -> None:
    (tmp_path / "page.md").write_text("one\n", "utf-8")
    with pytest.raises(pytest.fail.Exception, match=r"page\.actual\.md"):
        compare_golden(tmp_path / "page.md", "two\n")
    assert (tmp_path / "page.actual.md").read_text("utf-8") == "two\n"
    assert (tmp_path / "page.md").read_text("utf-8") == "one\n"


def test_missing_golden_file_fails_rather_than_being_made_up(tmp_path: Path) -> None:
    with pytest.raises(pytest.fail.Exception):
        compare_golden(tmp_path / "page.md", "one\n")
    assert not (tmp_path / "page.md").exists()


def test_update_writes_the_golden_file_and_removes_the_saved_difference(tmp_path: Path) -> None:
    (tmp_path / "page.actual.md").write_text("two\n", "utf-8")
    compare_golden(tmp_path / "page.md", "two\n", update=True)
    compare_golden(tmp_path / "page.md", "two\n")
    assert [file.name for file in tmp_path.iterdir()] == ["page.md"]

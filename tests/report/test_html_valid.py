"""Every page and picture that the tool writes, held against the Nu Html Checker, the W3C's own."""

from __future__ import annotations

import json
import re
import subprocess
from typing import TYPE_CHECKING, Any

import pytest

from tests.registry import command, from_npm
from tests.report.written import GROUPS, written_as

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

pytestmark = pytest.mark.reference

VNU_VERSION = "26.9.27"
VNU_SHA512 = "TkQd5DFfOaWC9ebtvozTsrH2Vaod3jYg+vrOeREzIXxBexLz9+rS2DNtjn7+RPUiZhgli0SghgBX6RJRNea0KA=="
"""SHA-512 of the package, as its registry publishes it."""

KNOWN = {
    # It does not match scripts and styles with the hashes that the policy names; Chromium does, and the pages' own
    # tests show that they run and look as the policy says and no otherwise.
    ("counter.html", "Inline script violates Content Security Policy"),
    ("", "Inline style violates Content Security Policy"),
    # In the standard (CSS Fill and Stroke, SVG 2), and understood by every browser; the checker's list lacks it.
    ("counter.html", "CSS: “vector-effect”: Property “vector-effect” doesn't exist."),
}
"""File (any, where none is named) and beginning of a message, for what the checker says and is wrong about."""


@pytest.fixture(scope="module")
def checker(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The checker's program."""
    path = tmp_path_factory.mktemp("checker") / "vnu.jar"
    path.write_bytes(from_npm("vnu-jar", VNU_VERSION, VNU_SHA512, "build/dist/vnu.jar"))
    return path


def complaints(checker: Path, paths: Iterable[Path]) -> list[tuple[str, str, str]]:
    """What the checker says about files, all in one run: errors and warnings, with the file and the place."""
    options = ("--format", "json", "--stdout", "--exit-zero-always", "--also-check-svg")
    done = subprocess.run(  # noqa: S603 - fixed arguments
        [command("java"), "-jar", checker, *options, *paths], check=True, capture_output=True, text=True
    )
    found: list[dict[str, Any]] = json.loads(done.stdout)["messages"]
    return [(message["url"].rpartition("/")[2], message["message"], message.get("extract", "")) for message in found]


def unknown(found: list[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    """Complaints but those that are known to be wrong."""
    return [(name, text, place) for name, text, place in found
            if not any(file in ("", name) and text.startswith(start) for file, start in KNOWN)]  # fmt: skip


def test_every_page_and_picture_is_valid(checker: Path, published: Path, tmp_path: Path) -> None:
    for number, group in enumerate(GROUPS):
        for name, content in written_as(group, ".html", ".svg").items():
            path = tmp_path / str(number) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
    paths = [path for folder in (tmp_path, published) for path in sorted(folder.rglob("*.*"))]
    checked = [path for path in paths if path.suffix in {".html", ".svg"}]
    assert {path.name for path in checked} >= {"guide.html", "counter.html", "pick_list.html", "quote-0.html"}
    assert unknown(complaints(checker, checked)) == []


def test_pictures_inside_a_page_are_valid_on_their_own(checker: Path, published: Path, tmp_path: Path) -> None:
    drawings = re.findall(r"<svg.*?</svg>", (published / "guide.html").read_text("utf-8"), re.DOTALL)
    assert len(drawings) > 20
    for number, drawing in enumerate(drawings):
        namespaced = re.sub(r"<svg(?![^>]*xmlns=)", '<svg xmlns="http://www.w3.org/2000/svg"', drawing, count=1)
        (tmp_path / f"{number}.svg").write_text(namespaced, "utf-8")
    assert complaints(checker, sorted(tmp_path.glob("*.svg"))) == []


def test_the_checker_finds_a_planted_fault(checker: Path, tmp_path: Path) -> None:
    page, picture = tmp_path / "page.html", tmp_path / "picture.svg"
    page.write_text(
        '<!DOCTYPE html><html lang="en"><title>Page</title><p><div></p><style>a { colr: red }</style>', "utf-8"
    )
    picture.write_text('<svg xmlns="http://www.w3.org/2000/svg"><rect widht="1"/></svg>', "utf-8")
    found = {name for name, _, _ in complaints(checker, [page, picture])}
    assert found == {"page.html", "picture.svg"}


def test_the_guide_of_the_sample_is_one_small_file_that_runs_nothing(published: Path) -> None:
    page = (published / "guide.html").read_bytes()
    assert len(page) < 500_000
    assert re.search(rb"<(script|link|iframe|object|embed)\b| on\w+=|javascript:", page, re.IGNORECASE) is None

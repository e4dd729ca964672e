"""A workbook with its sheets, columns and rows in another order gives the same files, byte for byte.

Two things honestly differ: the workbook's own hash, wherever it is told, and where a notice points at a cell. Rows keep
their order where the shop chose it: vehicles, briefs, tiers, texts and promotions come out as they are listed.
"""

from __future__ import annotations

import json
import random
import zipfile
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.cli.main import main
from tests.laws.shuffled import cells_of, shuffled, written

if TYPE_CHECKING:
    from pathlib import Path

    from tests.laws.shuffled import Book

ONE = ("--tier", "Middle", "--brief", "Keep own head unit")
UNREAD = ("Amplifiers", "Shelf")
"""A column of the sample that nothing reads, which is told with its cell."""

IN_TURNS = ("headline", "standing", "next_tier", "text")


@pytest.fixture(scope="module")
def book(sample_workbook: Path) -> Book:
    """The sample without what a notice points at."""
    cells = cells_of(sample_workbook)
    sheet, header = UNREAD
    place = cells[sheet][0].index(header)
    return cells | {sheet: [[*row[:place], *row[place + 1 :]] for row in cells[sheet]]}


def outputs(book: Book, folder: Path, *options: str) -> dict[str, bytes]:
    """Every file that `build` makes of a workbook, of a package each part, by name, without the workbook's hash."""
    path = written(book, folder / "list.xlsx")
    assert main(["build", str(path), "--out", str(folder / "out"), "--counter", "briefs", "--quiet", *options]) == 0
    digest = sha256(path.read_bytes()).hexdigest().encode()
    found: dict[str, bytes] = {}
    for file in sorted((folder / "out").rglob("*")):
        name = file.relative_to(folder / "out").as_posix()
        if file.suffix == ".xlsx":
            with zipfile.ZipFile(file) as package:
                found |= {f"{name}: {part}": package.read(part) for part in package.namelist()}
        elif file.is_file():
            found[name] = file.read_bytes()
    return {name: content.replace(digest, b"the hash") for name, content in found.items()}


def test_the_order_of_sheets_columns_and_rows_changes_no_byte(book: Book, tmp_path: Path) -> None:
    other = shuffled(book, random.Random(1))  # noqa: S311 - an order, no secret
    assert list(other) != list(book)
    assert other["Speakers"] != book["Speakers"]
    as_listed, turned = outputs(book, tmp_path / "as listed", *ONE), outputs(other, tmp_path / "turned", *ONE)
    assert {"results.json", "guide.md", "guide.html", "counter.html", "rundown.md", "pick_list.html"} <= set(as_listed)
    assert any(b"the hash" in content for content in as_listed.values())
    assert list(as_listed) == list(turned)
    for name, content in as_listed.items():
        assert turned[name] == content, name


@pytest.mark.slow
def test_the_order_changes_no_byte_of_all_builds(book: Book, tmp_path: Path) -> None:
    """Every tier and brief."""
    other = shuffled(book, random.Random(9))  # noqa: S311 - an order, no secret
    assert outputs(other, tmp_path / "turned") == outputs(book, tmp_path / "as listed")


def test_the_order_of_tiers_briefs_and_vehicles_changes_no_build(book: Book, tmp_path: Path) -> None:
    """They come out in another order, and are the same."""
    sheets = ("Tiers", "Briefs", "Vehicles")
    other = book | {sheet: [book[sheet][0], *book[sheet][:0:-1]] for sheet in sheets}
    brief = ("--brief", "Keep own head unit")
    as_listed, turned = (
        builds(outputs(cells, tmp_path / name, *brief)) for name, cells in (("as listed", book), ("turned", other))
    )
    assert len(as_listed) == 3
    assert turned == as_listed
    assert list(turned) != list(as_listed)


def builds(files: dict[str, bytes]) -> dict[str, Any]:
    """Lines, connections, checks and every figure of each build, by its tier."""
    return {build["tier"]: wordless(build) for build in json.loads(files["results.json"])["builds"]}


def wordless(told: Any) -> Any:  # noqa: ANN401 - whatever stands in the data file
    """Without sentences that compare with the tier before, or are put in turns from one tier to the next."""
    if isinstance(told, list):
        return [wordless(one) for one in told]
    if isinstance(told, dict):
        return {key: wordless(one) for key, one in told.items() if key not in IN_TURNS}
    return told

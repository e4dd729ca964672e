"""The shop's own paragraphs: read from their sheet, found by what they are about, told where that does not exist."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue.kinds import TextPlace
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.faults import Severity
from tests.catalogue.workbooks import Rows, faults_of, sound_book, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.faults import Fault


def written(tmp_path: Path, rows: Rows) -> Path:
    """The sound catalogue with a sheet of texts."""
    return write_book(tmp_path / "book.xlsx", sound_book() | {"Texts": rows})


def text(place: str, about: str | None, words: str | None) -> dict[str, str | None]:
    """A row of the sheet."""
    return {"Place": place, "About": about, "Text": words}


def loaded(tmp_path: Path, *rows: dict[str, str | None]) -> Catalogue:
    return load_catalogue(written(tmp_path, list(rows)))


def faults(tmp_path: Path, *rows: dict[str, str | None]) -> list[Fault]:
    return faults_of(written(tmp_path, list(rows)))


def test_paragraphs_are_found_by_what_they_are_about_in_the_order_of_the_sheet(tmp_path: Path) -> None:
    tier = sound_book()["Tiers"][0]["Tier"]
    catalogue = loaded(
        tmp_path,
        text("opening", None, "Welcome."),
        text("product", "sp-1", "Sweet."),
        text("Tier", f" {tier} ", "First."),
        text("opening", None, "Come in."),
        text("product", "SP-2", "Loud."),
    )
    assert catalogue.texts_for(TextPlace.OPENING) == ("Welcome.", "Come in.")
    assert catalogue.texts_for(TextPlace.PRODUCT, "SP-1") == ("Sweet.",)
    assert catalogue.texts_for(TextPlace.TIER, tier) == ("First.",)
    assert catalogue.texts_for(TextPlace.BRIEF, "any") == catalogue.texts_for(TextPlace.CLOSING) == ()
    assert catalogue.warnings == ()


def test_a_paragraph_may_be_long(tmp_path: Path) -> None:
    assert loaded(tmp_path, text("closing", None, "word " * 700)).texts_for(TextPlace.CLOSING)[0].count("word") == 700
    (fault,) = faults(tmp_path, text("closing", None, "word " * 900))
    assert (fault.code, fault.expected) == ("too-long", "Text: at most 4000 characters")


@pytest.mark.parametrize(
    ("row", "cell", "code", "severity"),
    [
        (text("product", "SP-9", "x"), "B2", "unknown-name", Severity.WARNING),
        (text("brief", "Nothing", "x"), "B2", "unknown-name", Severity.WARNING),
        (text("tier", None, "x"), "B2", "missing-value", Severity.WARNING),
        (text("opening", "SP-1", "x"), "B2", "ignored-value", Severity.NOTICE),
        (text("cellar", None, "x"), "A2", "unknown-choice", Severity.FAULT),
        (text("opening", None, None), "C2", "missing-value", Severity.FAULT),
    ],
)
def test_a_paragraph_that_cannot_be_placed_is_told_at_its_cell(
    row: dict[str, str | None], cell: str, code: str, severity: Severity, tmp_path: Path
) -> None:
    # A second row, so that the sheet has every header.
    (fault,) = faults(tmp_path, row, text("opening", None, "Welcome."))
    assert (fault.at.sheet, fault.at.address, fault.code, fault.severity) == ("Texts", cell, code, severity)

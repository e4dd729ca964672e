"""A fault stops the run only where some brief can use what it spoils."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue.load import load_catalogue
from tests.catalogue.workbooks import faults_of, sound_book, told, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from tests.catalogue.workbooks import Book


def loads_with(tmp_path: Path, book: Book, *expected: tuple[str, str, str]) -> None:
    """The catalogue loads, and tells just this."""
    assert told(list(load_catalogue(write_book(tmp_path / "book.xlsx", book)).warnings)) == set(expected)


def test_fault_in_an_inactive_row_is_a_warning_and_the_row_is_dropped(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0] |= {"Active": "no", "Price": "ask"}
    loads_with(tmp_path, book, ("Speakers!D2", "not-a-number", "warning"))
    assert [s.sku for s in load_catalogue(tmp_path / "book.xlsx").speakers] == ["SP-2"]


def test_fault_in_the_active_cell_itself_stops(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0] |= {"Active": "perhaps", "Price": "ask"}
    assert told(faults_of(write_book(tmp_path / "book.xlsx", book))) == {
        ("Speakers!D2", "not-a-number", "fault"),
        ("Speakers!L2", "not-yes-no", "fault"),
    }


def test_fault_in_a_sheet_that_no_brief_uses_is_a_warning(tmp_path: Path) -> None:
    book = sound_book()
    book["Deadening"] = [{"SKU": "DE-1", "Price": 20, "Rating": 5, "Sheet m2": "big"}]
    loads_with(tmp_path, book, ("Deadening!D2", "not-a-number", "warning"))
    assert load_catalogue(tmp_path / "book.xlsx").deadening == ()


def test_missing_column_in_a_sheet_that_no_brief_uses_is_a_warning(tmp_path: Path) -> None:
    book = sound_book()
    book["Deadening"] = [{"SKU": "DE-1", "Price": 20, "Rating": 5}]
    loads_with(tmp_path, book, ("Deadening!1:1", "missing-column", "warning"))
    assert load_catalogue(tmp_path / "book.xlsx").deadening == ()


def test_notice_in_a_sheet_that_no_brief_uses_stays_a_notice(tmp_path: Path) -> None:
    book = sound_book()
    book["Deadening"] = [{"SKU": "DE-1", "Price": 20, "Rating": 5, "Sheet m2": 1, "Shelf": "A"}]
    loads_with(tmp_path, book, ("Deadening!E1", "unknown-column", "notice"))


def test_vehicle_that_no_brief_names_may_be_wrong(tmp_path: Path) -> None:
    book = sound_book()
    book["Vehicles"].append({"Vehicle": "Tern Van", "Opening": "huge"})
    loads_with(tmp_path, book, ("Vehicles!B3", "unknown-choice", "warning"))


def test_brief_that_no_tier_names_may_be_wrong(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"].append(book["Briefs"][0] | {"Brief": "Later", "Vehicle": "Tern Van", "Bass": "perhaps"})
    book["Tiers"][0]["Briefs"] = "Everyday"
    loads_with(tmp_path, book, ("Briefs!B3", "unknown-name", "warning"), ("Briefs!H3", "unknown-choice", "warning"))
    assert [brief.name for brief in load_catalogue(tmp_path / "book.xlsx").briefs] == ["Everyday"]


def test_product_that_every_brief_leaves_out_may_be_wrong(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0] |= {"Price": None}
    book["Briefs"][0]["Leave out"] = "Alva; sp-9"
    loads_with(tmp_path, book, ("Speakers!D2", "missing-value", "warning"), ("Briefs!N2", "unknown-name", "warning"))


def test_fitting_kit_of_another_vehicle_may_be_wrong(tmp_path: Path) -> None:
    book = sound_book()
    book["Vehicles"].append({"Vehicle": "Tern Van", "Opening": "single"})
    book["Fitting kits"].append(book["Fitting kits"][0] | {"SKU": "FK-2", "Vehicles": "Tern Van", "Price": -1})
    loads_with(tmp_path, book, ("Fitting kits!D3", "out-of-range", "warning"))


@pytest.mark.parametrize("briefs", ["Everyday", None])
def test_fault_in_what_a_brief_can_use_stops(tmp_path: Path, briefs: str | None) -> None:
    book = sound_book()
    book["Tiers"][0]["Briefs"] = briefs
    book["Speakers"][0]["Ohm"] = 0
    assert told(faults_of(write_book(tmp_path / "book.xlsx", book))) == {("Speakers!I2", "out-of-range", "fault")}

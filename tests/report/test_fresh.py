"""What the outputs say of a price file: which one, how many prices it changed, and never a cost where others read."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from budgetbuild.catalogue.fresh import Change, Fresh, Stranger
from budgetbuild.faults import Cell
from budgetbuild.report import render_all
from budgetbuild.report.content import report_content
from budgetbuild.report.results import render_results
from budgetbuild.report.sheets import fresh as fresh_sheet
from budgetbuild.report.sheets.workbook import render_workbook
from tests.report import fixtures
from tests.report.test_workbook import opened

NAME = "monday <b>*prices*</b>.csv"


def change(field: str, before: int | None, after: int, line: int = 2) -> Change:
    """A change of one product."""
    header, money = field.capitalize(), field in {"price", "cost"}
    at = Cell("", line, 2, NAME)
    return Change(at=at, sku="HU-1", field=field, header=header, money=money, before=before, after=after)


CHANGES = (
    change("price", 29900, 24900),
    change("cost", 16661, 15000),
    change("stock", None, 3),
    change("active", before=False, after=True),
)
FRESH = Fresh(
    name=NAME,
    sha256="ab" * 32,
    named=1,
    changes=CHANGES,
    unknown=(Stranger(at=Cell("", 9, 1, NAME), sku="1", near=("001",)),),
    missing=("AM-4", "AM-1"),
)


def catalogue(*changes: Change) -> Any:  # noqa: ANN401 - a catalogue
    """The catalogue of the fixtures with a price file laid over it."""
    return replace(fixtures.CATALOGUE, fresh=replace(FRESH, changes=changes))


def notes(shop: Any) -> list[list[object]]:  # noqa: ANN401 - a catalogue
    """The rows of the sheet of notes."""
    book = opened(render_workbook(report_content((fixtures.replaced(),), shop)), values=True)
    return [[cell.value for cell in row] for row in book["Catalogue notes"].iter_rows()]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        (CHANGES[2:], "The price file {} was laid over the price list and changed no price."),
        (CHANGES, "One price of the price list is replaced by that of the price file {}."),
        (CHANGES[:1] * 12, "12 prices of the price list are replaced by those of the price file {}."),
    ],
)
def test_the_guide_says_in_one_sentence_which_price_file_and_how_many_prices(
    changes: tuple[Change, ...], says: str
) -> None:
    files = render_all((fixtures.replaced(),), catalogue(*changes))
    html, markdown = files["guide.html"].decode(), files["guide.md"].decode()
    assert says.format("monday &lt;b&gt;*prices*&lt;/b&gt;.csv") in html
    assert says.partition("{}")[0] in markdown
    for page in (html, markdown):
        assert "<b>" not in page
        assert "ab" * 32 in page
        assert "166.61" not in page
    assert r"\*prices\*" in markdown


def test_without_a_price_file_no_output_speaks_of_one() -> None:
    files = render_all((fixtures.replaced(),), fixtures.CATALOGUE)
    assert all(b"price file" not in content for name, content in files.items() if not name.endswith(".xlsx"))
    assert json.loads(files["results.json"])["prices_file"] is None


def test_the_data_file_has_every_change_but_costs() -> None:
    content = json.loads(render_results(report_content((fixtures.replaced(),), catalogue(*CHANGES))))
    fresh = content["prices_file"]
    assert [(one["column"], one["before"], one["after"]) for one in fresh["changes"]] == [
        ("Price", "299.00", "249.00"), ("Stock", None, 3), ("Active", False, True),
    ]  # fmt: skip
    place = {"file": NAME, "sheet": "", "cell": "A9"}
    assert fresh["unknown"] == [{"sku": "1", "near": ["001"], **place}]
    assert (fresh["name"], fresh["sha256"], fresh["products"], fresh["missing"]) == (
        NAME,
        "ab" * 32,
        1,
        ["AM-4", "AM-1"],
    )
    assert content["catalogue"]["sha256"] == "0f" * 32


def test_the_notes_list_what_is_new_and_which_skus_only_one_has_without_costs() -> None:
    rows = notes(catalogue(*CHANGES))
    at = next(index for index, row in enumerate(rows) if row[0] == "Price file")
    assert (
        rows[at + 1][0]
        == f"{NAME} names 1 product of the list and gives 4 new values, of which 1 cost is not listed here."
    )
    line = f"{NAME}, line 2, column B"
    assert [[cell or None for cell in row[:6]] for row in rows[at + 3 :]] == [
        ["new value", "HU-1", "Price", 299, 249, line],
        ["new value", "HU-1", "Stock", None, 3, line],
        ["new value", "HU-1", "Active", "no", "yes", line],
        [
            "left out",
            "1",
            None,
            None,
            None,
            f"{NAME}, line 9, column A: the list does not have this SKU; perhaps 001 is meant",
        ],
        ["kept", "AM-4", None, None, None, "not named in the price file: every value stays"],
        ["kept", "AM-1", None, None, None, "not named in the price file: every value stays"],
    ]


def test_only_what_is_new_or_left_out_is_printed_and_very_many_skus_are_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fresh_sheet, "MOST", 1)
    rows = notes(catalogue(*CHANGES))
    assert rows[-1][0] == "more"
    assert str(rows[-1][5]).startswith("1 SKU more")
    book = opened(render_workbook(report_content((fixtures.replaced(),), catalogue(*CHANGES))), values=True)
    sheet = book["Catalogue notes"]
    last = next(row for row in range(1, sheet.max_row + 1) if sheet.cell(row, 1).value == "left out")
    assert str(sheet.print_area).endswith(f"$A$1:$G${last}")


def test_the_first_sheet_names_both_files_with_their_hashes() -> None:
    book = opened(render_workbook(report_content((fixtures.replaced(),), catalogue(*CHANGES))), values=True)
    facts = {row[0].value: row[1].value for row in book["About"].iter_rows(max_row=9)}
    assert facts["Price file laid over it"] == NAME
    assert (facts["SHA-256 of the list"], facts["SHA-256 of the price file"]) == ("0f" * 32, "ab" * 32)

"""Results in a copy of the shop's own workbook: they read the shop's cells, and follow what is typed there."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.places import find_places
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.cli import main
from budgetbuild.faults import Cell, Severity, UserInputError
from budgetbuild.report.content import report_content
from budgetbuild.report.graft.graft import sheet_titles
from budgetbuild.report.results import render_results
from budgetbuild.report.save import save_everywhere
from budgetbuild.report.sheets.into_copy import Copy, ShopWorkbook, render_into_copy
from budgetbuild.report.sheets.workbook import render_workbook
from tests.report import fixtures, shops
from tests.report.packages import Package, entries, only_added
from tests.report.recalculate import recalculated
from tests.report.tallies import Shop, expected_cells

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from budgetbuild.report.shown import Report

pytestmark = pytest.mark.filterwarnings("ignore:.*extension is not supported")

ONE_BUILD = ("--counter", "none", "--tier", "Entry", "--brief", "Keep own head unit")
LINKED = re.compile(r"=ROUND\('[^']+'!\$[A-Z]+\$\d+(\*'[^']+'!\$[A-Z]+\$\d+)?,2\)|='[^']+'!\$[A-Z]+\$\d+")


def copied(folder: Path, odd: Mapping[str, float | str] | None = None) -> tuple[Copy, bytes, Report]:
    """The builds of the fixtures in a copy of a rich shop's workbook; the workbook; what is shown."""
    data, catalogue = shops.rich_shop(odd)
    raw = read_sheets(open_package(shops.written(data, folder)))
    report = report_content(fixtures.every_build(), catalogue)
    shop = ShopWorkbook(data, find_places(catalogue, raw))
    return render_into_copy(report, shop, render_workbook(report)), data, report


def priced(content: bytes, title: str = "Prices 2") -> dict[str, tuple[object, object]]:
    """What stands as price and cost on the sheet of prices, by SKU; by what is done where it is labour."""
    sheet: Any = openpyxl.load_workbook(BytesIO(content))[title]
    head = next(row for row in sheet.iter_rows() if row[0].value == "Ref")
    names = {cell.value: cell.column for cell in head}
    rows = range(head[0].row + 1, sheet.max_row + 1)
    found: dict[str, tuple[object, object]] = {}
    for row in rows:
        sku, product, price, cost = (
            sheet.cell(row, names[name]).value for name in ("SKU", "Product", "Unit price", "Cost without tax")
        )
        found[str(product if sku == "labour" else sku)] = (price, cost)
    return found


def test_prices_and_costs_are_read_from_the_cells_of_the_shop(tmp_path: Path) -> None:
    copy, _, _ = copied(tmp_path)
    prices = priced(copy.content)
    assert prices["HU-1"] == ("=ROUND('Head units'!$E$5,2)", "=ROUND('Head units'!$C$5,2)")
    assert prices["SP-R"] == ("=ROUND('Speakers'!$E$6,2)", None)
    assert prices["fitting: head unit"] == ("=ROUND('Labour'!$B$2*'Settings'!$B$3,2)", None)
    assert all(LINKED.fullmatch(str(price)) for price, _ in prices.values())
    inputs = openpyxl.load_workbook(BytesIO(copy.content))["Inputs"]
    assert [inputs["B4"].value, inputs["B10"].value] == ["='Settings'!$B$2", "=ROUND('Tiers'!$B$2,2)"]


def test_linked_cells_show_their_amounts_before_anything_recalculates(tmp_path: Path) -> None:
    copy, _, report = copied(tmp_path)
    stored = openpyxl.load_workbook(BytesIO(copy.content), data_only=True)["Prices 2"]
    prices = [stored.cell(row, 4).value for row in range(5, stored.max_row + 1)]
    assert [round(float(str(price)) * 100) for price in prices] == [row.unit_price for row in report.prices]


def test_the_copy_of_a_rich_shop_is_in_order_and_only_gained(tmp_path: Path) -> None:
    copy, data, _ = copied(tmp_path)
    assert Package(copy.content).faults == []
    before, after = entries(data), entries(copy.content)
    assert [name for name in before if not only_added(before[name], after[name])] == []
    assert [name for name in before if before[name] != after[name] and "/sheet" in name] == []


def test_a_price_that_is_text_is_typed_and_told_with_its_cell(tmp_path: Path) -> None:
    copy, _, _ = copied(tmp_path, {"HU-1": "\u20ac 249.00", "CV-1": "=C5*1.78", "SP-F": 199.0000001})
    prices = priced(copy.content)
    assert prices["HU-1"][0] == 249
    assert prices["CV-1"][0] == "=ROUND('Converters'!$E$5,2)"
    assert prices["SP-F"][0] == "=ROUND('Speakers'!$E$5,2)"
    told = {fault.at: fault for fault in copy.told if fault.code == "not-linked"}
    assert set(told) == {Cell("Head units", 5, 5)}
    assert "249.00" in told[Cell("Head units", 5, 5)].found
    assert told[Cell("Head units", 5, 5)].severity is Severity.NOTICE


def test_a_cell_that_does_not_give_the_amount_is_never_read(tmp_path: Path) -> None:
    copy, _, _ = copied(tmp_path, {"HU-1": 248.99, "SP-F": 199.006})
    prices = priced(copy.content)
    assert (prices["HU-1"][0], prices["SP-F"][0]) == (249, 199)
    assert {fault.at.sheet for fault in copy.told if fault.code == "not-linked"} == {"Head units", "Speakers"}


def test_names_that_are_taken_are_told(tmp_path: Path) -> None:
    copy, _, _ = copied(tmp_path)
    assert [(fault.code, fault.found, fault.severity) for fault in copy.told] == [
        ("earlier-results", "result sheets of an earlier run", Severity.WARNING),
        ("sheet-name-taken", "Prices", Severity.NOTICE),
    ]


def built(sample: Path, folder: Path, *more: str) -> tuple[int, Path]:
    """One build of the sample, into a copy beside the folder of the others; the exit status and the copy."""
    copy = folder / "copies" / "price list with results.xlsx"
    return main(["build", str(sample), "--out", str(folder / "out"), "--into-copy", str(copy), *ONE_BUILD, *more]), copy


def test_build_writes_the_copy_beside_everything_else(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, copy = built(sample_workbook, tmp_path)
    assert status == 0
    assert {"tiers.xlsx", "guide.md", "results.json"} <= {path.name for path in (tmp_path / "out").iterdir()}
    assert f"Wrote {copy}" in capsys.readouterr().out
    content = copy.read_bytes()
    assert Package(content).faults == []
    before, after = entries(sample_workbook.read_bytes()), entries(content)
    assert len([name for name in before if before[name] != after[name]]) == 4
    own = sheet_titles(sample_workbook.read_bytes())
    assert sheet_titles(content)[: len(own)] == own
    assert sheet_titles(content)[len(own) :] == sheet_titles((tmp_path / "out" / "tiers.xlsx").read_bytes())


def test_the_copy_is_a_catalogue_like_the_one_that_it_came_from(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, copy = built(sample_workbook, tmp_path)
    before, after = load_catalogue(sample_workbook), load_catalogue(copy)
    assert after.products() == before.products()
    assert (after.tiers, after.briefs, after.vehicles) == (before.tiers, before.briefs, before.vehicles)
    capsys.readouterr()
    again = tmp_path / "again.xlsx"
    assert (
        main(["build", str(copy), "--out", str(tmp_path / "2"), "--into-copy", str(again), *ONE_BUILD, "--quiet"]) == 0
    )
    assert Package(again.read_bytes()).faults == []
    told = capsys.readouterr().err
    assert "earlier run" in told
    assert "Prices 2" in told


def test_what_the_copy_is_not_like_is_told_before_anything_is_written(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    book = openpyxl.load_workbook(sample_workbook)
    book.calculation.calcMode = "manual"
    changed = tmp_path / "list.xlsx"
    book.save(changed)

    def fail(*_: object) -> None:
        raise UserInputError([])

    monkeypatch.setattr("budgetbuild.report.save.save_everywhere", fail)
    assert built(changed, tmp_path)[0] == 2
    assert "list.xlsx calculates by hand" in " ".join(capsys.readouterr().err.split())
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("target", "says"),
    [
        ("list.xlsx", "another file than the catalogue itself"),
        ("out/tiers.xlsx", "none of the other files"),
        ("folder", "not a folder"),
        ("copy.xlsm", "ends in .xlsx"),
    ],
)
def test_a_copy_that_cannot_stand_there_is_refused_and_nothing_written(
    target: str, says: str, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    catalogue = shops.written(sample_workbook.read_bytes(), tmp_path, "list.xlsx")
    (tmp_path / "folder").mkdir()
    arguments = ["build", str(catalogue), "--out", str(tmp_path / "out"), "--into-copy", str(tmp_path / target)]
    assert main([*arguments, *ONE_BUILD]) == 2
    assert says in " ".join(capsys.readouterr().err.split())
    assert not (tmp_path / "out").exists()
    assert catalogue.read_bytes() == sample_workbook.read_bytes()


def test_a_copy_may_lie_in_the_folder_of_the_others(sample_workbook: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    copy = out / ".." / "out" / "copy.xlsx"
    assert (
        main(["build", str(sample_workbook), "--out", str(out), "--into-copy", str(copy), *ONE_BUILD, "--quiet"]) == 0
    )
    assert {"copy.xlsx", "tiers.xlsx"} <= {path.name for path in out.iterdir()}


def test_a_folder_that_fails_leaves_the_other_one_as_it_was(tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    first.mkdir()
    (first / "a").write_bytes(b"old")
    (second / "c").mkdir(parents=True)
    with pytest.raises(UserInputError):
        save_everywhere({first: {"a": b"new", "b": b"new"}, second: {"c": b"new"}})
    assert {path.name: path.read_bytes() for path in first.iterdir()} == {"a": b"old"}
    assert [path.name for path in second.iterdir()] == ["c"]


class Ours:
    """The result sheets of a copy, by themselves."""

    def __init__(self, book: Any, before: int) -> None:  # noqa: ANN401 - openpyxl's own
        """Leave out the sheets before them."""
        self.book, self.sheetnames = book, book.sheetnames[before:]

    def __getitem__(self, name: str) -> Any:  # noqa: ANN401
        """A sheet."""
        return self.book[name]


def numbers(catalogue: Any) -> Shop:  # noqa: ANN401
    """What the shop's list says."""
    products, tax = catalogue.products(), catalogue.settings.tax_rate
    return Shop(
        allowances={tier.name: Decimal(round(tier.allowance * 10000)) / 10000 for tier in catalogue.tiers},
        costs={product.sku: None if product.cost is None else Decimal(product.cost) / 100 for product in products},
        shelf={product.sku: product.stock for product in products},
        tax=Decimal(round(tax * 10000)) / 10000,
    )


def differing(copy: bytes, before: int, results: Mapping[str, Any], shop: Shop, folder: Path) -> dict[Any, Any]:
    """Formula cells of the results that LibreOffice, working everything out, does not show as they have to be."""
    ours = Ours(openpyxl.load_workbook(BytesIO(copy)), before)
    expected = expected_cells(ours, results, shop)
    formulas = {
        (name, cell.coordinate)
        for name in ours.sheetnames
        for row in ours[name].iter_rows()
        for cell in row
        if cell.data_type == "f"
    }
    assert set(expected) <= formulas
    assert {name for name, _ in formulas - set(expected)} <= {"Prices", "Prices 2", "Inputs"}
    fresh = recalculated(copy, folder)
    return {
        place: (value, seen)
        for place, value in expected.items()
        if not agrees(value, seen := fresh[place[0]][place[1]].value)
    }


def agrees(expected: Decimal | str, seen: object) -> bool:
    """Whether a cell shows a value, amounts to far less than a cent."""
    if isinstance(expected, str) or not isinstance(seen, int | float):
        return expected == seen
    return abs(float(expected) - seen) < 1e-6


@pytest.mark.office
def test_after_recalculation_every_formula_shows_what_the_data_file_says(tmp_path: Path) -> None:
    copy, data, report = copied(tmp_path)
    results, shop = json.loads(render_results(report)), numbers(report.catalogue)
    assert differing(copy.content, len(sheet_titles(data)), results, shop, tmp_path) == {}


@pytest.mark.office
def test_totals_follow_what_is_typed_into_the_cells_of_the_shop(tmp_path: Path) -> None:
    copy, data, report = copied(tmp_path)
    results, shop = json.loads(render_results(report)), numbers(report.catalogue)
    typed = shops.retyped(
        copy.content,
        {
            ("Speakers", "E5"): 299.99,
            ("Amplifiers", "E6"): 0.37,
            ("Head units", "E5"): 1000.05,
            ("Head units", "C5"): 12.34,
            ("Settings", "B3"): 61.01,
            ("Settings", "B2"): 0.19,
            ("Tiers", "B3"): 777.77,
        },
    )
    # Work on the head unit: 1.5 hours at 61.01 is 91.515, half up 91.52.
    shop.prices |= {"SP-F": Decimal("299.99"), "AM-1": Decimal("0.37"), "HU-1": Decimal("1000.05")}
    shop.prices |= {"fitting: head unit": Decimal("91.52")}
    shop.costs = {**shop.costs, "HU-1": Decimal("12.34")}
    shop.tax, shop.budgets = Decimal("0.19"), {"Middle": Decimal("777.77")}
    assert differing(typed, len(sheet_titles(data)), results, shop, tmp_path) == {}


@cache
def sample_results(sample: Path, folder: Path) -> tuple[bytes, dict[str, Any]]:
    """The whole sample in a copy of itself, and its data file."""
    copy = folder / "copy.xlsx"
    arguments = ["build", str(sample), "--out", str(folder), "--counter", "none", "--quiet", "--into-copy", str(copy)]
    assert main(arguments) == 0
    return copy.read_bytes(), json.loads((folder / "results.json").read_bytes())


@pytest.mark.office
def test_the_sample_follows_three_prices_typed_into_its_own_sheets(sample_workbook: Path, tmp_path: Path) -> None:
    content, results = sample_results(sample_workbook, tmp_path)
    shop, before = numbers(load_catalogue(sample_workbook)), len(sheet_titles(sample_workbook.read_bytes()))
    (tmp_path / "as it is").mkdir()
    assert differing(content, before, results, shop, tmp_path / "as it is") == {}
    links = {sku: str(price) for sku, (price, _) in priced(content, "Prices").items()}
    chosen = dict(zip(sorted(links)[::20], ("4321.99", "0.37", "1000.05"), strict=False))
    cells = {}
    for sku, price in chosen.items():
        sheet, column, row = re.findall(r"'([^']+)'!\$([A-Z]+)\$(\d+)", links[sku])[0]
        cells[sheet, f"{column}{row}"] = float(price)
        shop.prices[sku] = Decimal(price)
    assert len(cells) == 3
    (tmp_path / "typed").mkdir()
    assert differing(shops.retyped(content, cells), before, results, shop, tmp_path / "typed") == {}

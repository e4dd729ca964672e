"""The sample's product sheets, flattened to one list with odd column names, come back as the same products."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.items import NOWHERE
from budgetbuild.catalogue.load import catalogue_from, load_catalogue
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.cli import main
from tests.pricelist.lists import placed, write_csv, write_xlsx
from tests.sample.tables import tables_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue

NAMES = {"SKU": "Art. nr.", "Brand": "House", "Model": "What", "Rating": "Stars", "Cost": "We pay", "Stock": "Qty",
         "Family": "Kin", "Link": "Page", "Note": "Say", "Active": "On sale", "Price": "Net"}  # fmt: skip
"""What the list calls the columns that all product sheets have; the others get a number for a name."""
GROUPS = {"Speakers": "LS", "Subwoofers": "Sub", "Speaker cable": "Cable by the reel", "Head units": "Radio"}
"""What the list calls some kinds of products."""
TAX = Decimal("0.21")


def odd(header: str) -> str:
    """What the list calls a column."""
    headers = sorted({column.header for sheet in PRODUCT_SHEETS for column in sheet.columns} - set(NAMES))
    return NAMES.get(header) or f"col {headers.index(header)}"


def net(price: float) -> str:
    """A price without tax, to four places, with a decimal comma."""
    return str((Decimal(str(price)) / (1 + TAX)).quantize(Decimal("0.0001"))).replace(".", ",")


BLURB = ("Type", "Size mm", "RMS W", "Ohm")
"""What the list says of speakers in one text only."""


def flat_row(sheet: str, row: dict[str, Any]) -> dict[str, str]:
    """A product as a row of the list."""
    texts = {odd(header): "" if value is None else str(value) for header, value in row.items()}
    texts |= {"Group": GROUPS.get(sheet, sheet), NAMES["Price"]: net(row["Price"])}
    if sheet == "Speakers":
        texts |= {odd(header): "" for header in BLURB}
        kind = {"coaxial": "2-way coax", "component": "set"}[row["Type"]]
        texts["Blurb"] = f"{kind} {row['Size mm']:g} mm, {row['Ohm']:g} ohm, {row['RMS W']:g} W RMS (peak x 3)"
    elif sheet == "Boxes":
        texts[odd("Width mm")] = f"{row['Width mm'] / 10:g}"
    elif sheet == "Deadening":
        texts[odd("Sheet m2")] = f"{round(row['Sheet m2'] * 10000):g}"
    elif sheet == "Head units":
        texts[odd("Opening")] = {"single": "1-DIN", "double": "2-DIN", "floating": "FLT"}[row["Opening"]]
    elif sheet == "Signal leads":
        texts[odd("Channels")] = f"{row['Channels']}CH"
    return texts


SPECIAL = {
    ("Speakers", "Type"): '{ column = "Blurb", containing = { coax = "coaxial", set = "component" } }',
    ("Speakers", "Size mm"): '{ column = "Blurb", before = "mm" }',
    ("Speakers", "RMS W"): '{ column = "Blurb", before = "W RMS" }',
    ("Speakers", "Ohm"): '{ column = "Blurb", before = "ohm" }',
    ("Boxes", "Width mm"): f'{{ column = "{odd("Width mm")}", unit = "cm" }}',
    ("Deadening", "Sheet m2"): f'{{ column = "{odd("Sheet m2")}", unit = "cm2" }}',
    ("Head units", "Opening"): f'{{ column = "{odd("Opening")}", words = {{ FLT = "floating" }} }}',
    ("Signal leads", "Channels"): f'{{ column = "{odd("Channels")}", words = {{ 2CH = 2, 4CH = 4, 6CH = 6 }} }}',
}
"""How the cells are filled that the list writes in its own way."""


def mapping(without: Sequence[str] = ()) -> str:
    """The mapping of the list."""
    common = [f'"{header}" = "{odd(header)}"' for header in NAMES if header not in without]
    lines = ["[list]", 'prices = "without tax"', 'tax = "21 %"', 'decimal-mark = ","', "[columns]", *common]
    for sheet in PRODUCT_SHEETS:
        lines += [
            "[[group]]",
            f'sheet = "{sheet.name}"',
            f'where = {{ Group = "{GROUPS.get(sheet.name, sheet.name)}" }}',
        ]
        lines += ["[group.columns]"]
        own = [column.header for column in sheet.columns if column.header not in NAMES]
        lines += [f'"{header}" = {SPECIAL.get((sheet.name, header), repr(odd(header)))}' for header in own]
    return "\n".join(lines)


@pytest.fixture(scope="module")
def sample(sample_workbook: Path) -> Catalogue:
    """The sample."""
    return load_catalogue(sample_workbook)


@pytest.fixture(scope="module")
def rows(sample: Catalogue) -> list[list[str]]:
    """The flat list."""
    tables = tables_of(sample)
    found = [flat_row(sheet.name, row) for sheet in PRODUCT_SHEETS for row in tables[sheet.name]]
    names = ["Group", "Blurb", *dict.fromkeys(name for row in found for name in row if name not in {"Group", "Blurb"})]
    return [["Trellin flat list"], names, *([row.get(name, "") for name in names] for row in found)]


def comma(rows: list[list[str]]) -> list[list[str]]:
    """Numbers with a decimal comma, as the list has them throughout."""
    return [[cell.replace(".", ",") if cell.replace(".", "", 1).isdigit() else cell for cell in row] for row in rows]


def read_with_the_samples_wishes(path: Path, sample_workbook: Path) -> Catalogue:
    """The product sheets of a workbook, with the sample's vehicles, briefs and settings."""
    products = {sheet.name for sheet in PRODUCT_SHEETS}
    package = open_package(path)
    own = [raw for raw in read_sheets(package) if raw.title in products]
    others = [raw for raw in read_sheets(open_package(sample_workbook)) if raw.title not in products]
    return catalogue_from(package, [*own, *others])


def without_places(catalogue: Catalogue) -> list[Product]:
    """The products, wherever they stand."""
    return [replace(product, at=NOWHERE) for product in catalogue.products()]


WRITERS: dict[str, Callable[[Path, list[list[str]]], Path]] = {"list.csv": write_csv, "list.xlsx": write_xlsx}


@pytest.mark.parametrize("name", WRITERS)
def test_the_samples_products_come_back_from_a_flat_list(
    name: str, rows: list[list[str]], sample: Catalogue, sample_workbook: Path, tmp_path: Path
) -> None:
    path, out = WRITERS[name](tmp_path / name, comma(rows)), tmp_path / "catalogue.xlsx"
    (tmp_path / "mapping.toml").write_text(mapping(), "utf-8")
    assert main(["import", str(path), str(tmp_path / "mapping.toml"), "--out", str(out)]) == 0
    assert without_places(read_with_the_samples_wishes(out, sample_workbook)) == without_places(sample)


def test_what_the_list_does_not_hold_is_blank_and_listed_and_all_else_comes_back(
    rows: list[list[str]], sample: Catalogue, tmp_path: Path
) -> None:
    found = placed(tmp_path, mapping(without=["Rating", "Link"]), comma(rows))
    made = [values for products in found.products.values() for values in products]
    assert [(one["sku"], one["price"], one.get("cost"), one.get("stock")) for one in made] == [
        (one.sku, one.price, one.cost, one.stock) for one in sample.products()
    ]
    assert not any({"rating", "link"} & values.keys() for values in made)
    rated = [product for product in sample.products() if product.rating is not None]
    assert [(blank.sku, blank.column.header) for blank in found.blanks] == [(one.sku, "Rating") for one in rated]
    assert found.blank_counts() == [
        (sheet.name, "Rating", len(getattr(sample, sheet.field)))
        for sheet in PRODUCT_SHEETS
        if sheet.column("rating").required
    ]

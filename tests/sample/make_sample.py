"""Writes `sample_catalogue.xlsx`, the price list of an invented shop: `python -m tests.sample.make_sample`.

The price list itself stands in `data/`, one file per sheet; every name, price and specification in it is invented.
"""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.columns import SETTINGS, SHEETS, Column, Kind, Sheet
from budgetbuild.catalogue.schema import NUMERIC
from tests.sample.sheets import CREATED, Writer

if TYPE_CHECKING:
    from tests.sample.tables import Row, Tables, Value

DATA = Path(__file__).parent / "data"
SAMPLE = Path(__file__).parents[2] / "sample_catalogue.xlsx"
WELCOME = """\
Price list of Trellin Slip Car Sound, a two-bay fitting shop in Trellinhaven harbour.

The shop, the town and every maker, vehicle and product in this workbook are invented.
Prices are in euro and include 21 % tax; costs exclude it. Ratings, 0 to 10, are the shop's own.

The product sheets hold what the shop sells, one row per article.
Vehicles, Briefs and Tiers say what to put together.
Labour, Weights and Settings say how to reckon.
Every header has a comment that says what belongs in its column.
A vehicle's blank dimension has to be measured first.
Versions of one product, such as the 2 ohm and the 4 ohm one, share the words in Family.

Change what you like: budgetbuild reads the workbook afresh each time, never writes to it,
and ignores this sheet.
"""


def sample_tables() -> Tables:
    """The tables of the sample, by sheet name; a sheet that has no file is not in it."""
    return {sheet.name: _table(sheet) for sheet in SHEETS if _file(sheet).exists()}


def _file(sheet: Sheet) -> Path:
    """The file of one sheet's rows."""
    return DATA / f"{sheet.name.lower().replace(' ', '_')}.csv"


def _table(sheet: Sheet) -> list[Row]:
    """One sheet's rows, from its file in `data/`."""
    columns = {column.header: column for column in sheet.columns}
    settings = {setting.header: setting for setting in SETTINGS}
    meanings: dict[str, Row] = {
        setting.header: {"Default": setting.blank or None, "Meaning": setting.help} for setting in SETTINGS
    }
    with _file(sheet).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [
        {
            header: typed(text, settings[row["Setting"]] if header == "Value" else columns.get(header))
            for header, text in row.items()
        }
        | meanings.get(row.get("Setting", ""), {})
        for row in rows
    ]


def typed(text: str, column: Column | None) -> Value:
    """A text of the files as the value of a cell; an unknown column holds text.

    >>> typed("4", Column(header="Coils", field="coils", kind=Kind.WHOLE, help="")), typed("00411", None)
    (4, '00411')
    """
    if not text:
        return None
    if column and column.kind in NUMERIC:
        number = float(text)
        return int(number) if number.is_integer() else number
    if column and column.kind is Kind.DATE:
        return dt.date.fromisoformat(text)
    return text


def write_sample(path: Path = SAMPLE) -> None:
    """Write the sample catalogue; the same bytes each time."""
    writer = Writer(path)
    writer.book.set_properties(
        {
            "title": "Sample catalogue",
            "subject": "Price list of an invented car-audio shop",
            "comments": "Every name in it is invented.",
            "created": CREATED,
        }
    )
    _welcome(writer)
    writer.sheets(sample_tables())
    writer.book.close()


def _welcome(writer: Writer) -> None:
    """The first sheet, for people only."""
    page: Any = writer.book.add_worksheet("Read me")
    page.hide_gridlines(2)
    page.set_column(0, 0, 90)
    page.write_string(0, 0, "Sample catalogue", writer.style(bold=True, font_size=16, font_color="#1F4E5F"))
    for row, line in enumerate(WELCOME.splitlines(), start=2):
        page.write_string(row, 0, line, writer.style())
    page.set_paper(9)
    page.fit_to_pages(1, 0)


if __name__ == "__main__":
    write_sample()

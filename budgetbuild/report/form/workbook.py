"""The catalogue workbook as a form: empty but for one example row on each sheet, or filled with products.

Headers, comments, drop-downs, warnings and formats come from the schema alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.columns import LEFT_OVER, READ_ME, SETTINGS, SHEETS, TO_FILL_IN
from budgetbuild.catalogue.shop_sheets import SETTINGS_SHEET
from budgetbuild.report.form.book import FormBook
from budgetbuild.report.form.read_me import how_to_fill_in, write_read_me
from budgetbuild.report.form.rows import cell_value, first_rows
from budgetbuild.report.form.to_fill_in import write_left_over, write_to_fill_in

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.pricelist.placed import FieldValues, Placed
    from budgetbuild.report.form.rows import CellValue, FormRow
    from budgetbuild.report.words.voice import Voice


def render_starter(voice: Voice, *, examples: bool = True) -> bytes:
    """A new catalogue workbook, the same bytes every time.

    Args:
        voice: How the shop says things.
        examples: Whether each sheet has an example row; together they make one small sound catalogue.
    """
    rows = {sheet.field: first_rows(sheet, examples=examples) for sheet in SHEETS}
    book = FormBook(voice)
    read_me = book.page(READ_ME)
    pages = book.sheets(rows)
    write_read_me(read_me, pages, voice, how_to_fill_in(voice, examples=examples))
    return book.content()


def render_imported(voice: Voice, placed: Placed, source: str, settings: Mapping[str, CellValue]) -> bytes:
    """A catalogue workbook with the products of a flat list, and what of it has to be filled in.

    Args:
        voice: How the shop says things.
        placed: The list, sorted onto product sheets.
        source: Name of the list's file.
        settings: What is known of the shop's settings, by field.
    """
    rows = {sheet.field: first_rows(sheet, examples=False) for sheet in SHEETS}
    for row, setting in zip(rows[SETTINGS_SHEET.field], SETTINGS, strict=True):
        row[SETTINGS_SHEET.column("value").header] = settings.get(setting.field)
    rows |= {field: _product_rows(field, products) for field, products in placed.products.items()}
    book = FormBook(voice)
    read_me, to_fill_in = book.page(READ_ME), book.page(TO_FILL_IN)
    left_over = book.page(LEFT_OVER) if placed.left_over else None
    pages = book.sheets(rows)
    came_from = voice.say("import", "read-me", source=source)
    write_read_me(read_me, pages, voice, [came_from, *how_to_fill_in(voice, examples=False)])
    write_to_fill_in(to_fill_in, pages, voice, placed.blanks)
    if left_over:
        write_left_over(left_over, voice, placed)
    return book.content()


def _product_rows(field: str, products: Iterable[FieldValues]) -> list[FormRow]:
    """The rows of one product sheet."""
    columns = next(sheet.columns for sheet in SHEETS if sheet.field == field)
    return [{one.header: cell_value(one, values.get(one.field)) for one in columns} for values in products]

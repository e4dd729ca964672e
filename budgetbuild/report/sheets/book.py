"""A result workbook being written: formats, and cells that never turn catalogue text into anything but text."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache
from math import ceil
from typing import TYPE_CHECKING

from xlsxwriter.utility import xl_rowcol_to_cell

from budgetbuild.catalogue.names import without_unseen
from budgetbuild.report.pictures.lettering import text_width, wrap
from budgetbuild.report.sheets.looks import LOOKS, SMALL, looks
from budgetbuild.report.sheets.names import sheet_name

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

    from budgetbuild.report.words.notation import Notation

LONGEST_TEXT = 32767
"""Most characters that one cell holds."""
ROW_HEIGHT, LINE_HEIGHT = 15.0, 12.75
"""Height of a row with one line of text, and of each line more, in points."""
UNIT_PIXELS = 7
"""Pixels in one unit of column width, and how many more a column has at its edges."""
EDGE_PIXELS = 5
TYPE_PIXELS = 10.5
"""Type size by which text is measured. Measuring takes bold type of the widest usual face, so this is less than the
13.3 pixels of the type; a row too high does less harm than cut text."""
INDENT_PIXELS = 12
MOST_LINES = 27
"""A spreadsheet's row is at most 409 points high."""
NARROW = 8.43
"""Width of a column that nobody has set."""
LONGEST_NOTED = 4000
"""Characters of a text that are looked at for its height."""
CENTS = 100
THOUSANDTHS = 1000


@dataclass(slots=True)
class Book:
    """The workbook with its formats and its sheets.

    Attributes:
        notation: How the shop writes amounts.
        sheet_names: Names given so far, folded.
    """

    workbook: Workbook
    notation: Notation
    formats: dict[str, Format] = field(default_factory=dict)
    sheet_names: set[str] = field(default_factory=set)
    pages: list[Page] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.formats = {name: self.workbook.add_format(look) for name, look in looks(self.notation).items()}

    def add(self, name: str) -> Page:
        """A new sheet, its name made legal and unique."""
        legal = sheet_name(name, self.sheet_names)
        self.sheet_names.add(legal.casefold())
        sheet = self.workbook.add_worksheet(legal)
        sheet.hide_gridlines(2)
        sheet.set_paper(9)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.5, right=0.5, top=0.5, bottom=0.6)
        sheet.set_footer(f"&L{SMALL}&F&C{SMALL}&A&R{SMALL}Page &P of &N", {"margin": 0.3})
        page = Page(self, sheet, legal)
        self.pages.append(page)
        return page

    def fit_rows(self) -> None:
        """Make every row as high as its wrapped text; not every program does so by itself when it opens a file."""
        for page in self.pages:
            for row, lines in page.lines.items():
                if lines > 1:
                    page.sheet.set_row(row, page.height(row))


@dataclass(slots=True)
class Page:
    """One sheet. Rows and columns count from 0.

    Attributes:
        columns: Widths of the first columns, in characters.
        lines: Lines of text in each row that has wrapped text.
    """

    book: Book
    sheet: Worksheet
    name: str
    columns: tuple[float, ...] = ()
    lines: dict[int, int] = field(default_factory=dict)

    def text(self, row: int, column: int, text: str, look: str = "text") -> None:
        """Write what one sees of a text as text, whatever it begins with; what no cell can hold is cut and says so.

        Raises:
            ValueError: The cell lies outside a sheet.
        """
        seen = text if text.isprintable() else "\n".join(map(without_unseen, text.split("\n")))
        fitting = seen if len(seen) <= LONGEST_TEXT else f"{seen[: LONGEST_TEXT - 1]}…"
        if self.sheet.write_string(row, column, fitting, self.book.formats[look]):
            raise ValueError(f"cannot write row {row}, column {column}")
        if LOOKS.get(look, {}).get("text_wrap"):
            self.note_lines(row, column, fitting)

    def note_lines(self, row: int, column: int, text: str) -> None:
        """Remember how many lines a wrapped text takes."""
        width = self.pixels(column, column) - INDENT_PIXELS
        lines = _line_count(text[:LONGEST_NOTED], width)
        self.lines[row] = min(max(self.lines.get(row, 1), lines), MOST_LINES)

    def height(self, row: int) -> float:
        """Height of a row in points, after its text was written."""
        return ROW_HEIGHT + (self.lines.get(row, 1) - 1) * LINE_HEIGHT

    def pixels(self, first: int, last: int) -> float:
        """Width of some columns together; columns whose width was never set count as narrow."""
        widths = [self.columns[at] if at < len(self.columns) else NARROW for at in range(first, last + 1)]
        return sum(width * UNIT_PIXELS + EDGE_PIXELS for width in widths)

    def prose(self, row: int, text: str, last: int, look: str = "plain", most: int = MOST_LINES) -> int:
        """Write a sentence in rows of its own from the first column on, no wider than the columns up to `last`.

        A cell would have to be merged to wrap over several columns; so each row holds a line, and it runs on over the
        empty cells beside it.

        Returns:
            The row after it. What takes more than `most` rows is cut and says so.
        """
        lines = wrap(text, self.pixels(0, last) - INDENT_PIXELS, TYPE_PIXELS)
        if len(lines) > most:
            lines = [*lines[: most - 1], f"{lines[most - 1]}…"]
        for below, line in enumerate(lines):
            self.text(row + below, 0, line, look)
        return row + len(lines)

    def print_up_to(self, row: int, column: int, first: int = 0) -> None:
        """Print the cells from the row `first` up to a row and column, and nothing beside them."""
        self.sheet.print_area(first, 0, row, column)

    def number(self, row: int, column: int, value: float, look: str = "figure") -> None:
        """Write a number; a whole figure without a decimal mark."""
        if look == "figure" and value == int(value):
            look = "figure_whole"
        self.sheet.write_number(row, column, value, self.book.formats[look])

    def money(self, row: int, column: int, cents: int, look: str = "money") -> None:
        """Write an amount that stands here and nowhere else."""
        self.number(row, column, cents / CENTS, look)

    def blank(self, row: int, column: int, look: str) -> None:
        """Give an empty cell its look."""
        self.sheet.write_blank(row, column, None, self.book.formats[look])

    def formula(self, row: int, column: int, formula: str, value: float | str, look: str = "money") -> None:
        """Write a formula with the value that it has now, for programs that do not recalculate."""
        self.sheet.write_formula(row, column, formula, self.book.formats[look], value)

    def money_formula(self, row: int, column: int, formula: str, cents: int, look: str = "money") -> None:
        """Write a formula that gives an amount."""
        self.formula(row, column, formula, cents / CENTS, look)

    def link(self, row: int, column: int, target: Page, text: str, look: str = "link", cell: str = "A1") -> None:
        """Write text that leads to a cell of another sheet."""
        place = f"internal:{target.quoted}!{cell}"
        self.sheet.write_url(row, column, place, self.book.formats[look], text[:LONGEST_TEXT])
        self.note_lines(row, column, text)

    def head(self, row: int, headers: Sequence[str], right: frozenset[str] = frozenset()) -> None:
        """Write a header row; the headers in `right` stand over numbers."""
        for column, header in enumerate(headers):
            self.text(row, column, header, "head_right" if header in right else "head")

    def widths(self, *widths: float) -> None:
        """Set the widths of the first columns, in characters; before any text is written."""
        self.columns = widths
        for column, width in enumerate(widths):
            self.sheet.set_column(column, column, width)

    def place(self, row: int, column: int) -> str:
        """A cell of this sheet as other sheets name it."""
        return f"{self.quoted}!{absolute(row, column)}"

    @property
    def quoted(self) -> str:
        """The sheet's name as formulas write it."""
        return "'" + self.name.replace("'", "''") + "'"


@lru_cache(maxsize=50_000)
def _line_count(text: str, width: float) -> int:
    """Lines that a text takes; the same few texts stand in many rows."""
    return sum(max(len(wrap(line, width, TYPE_PIXELS)), 1) for line in text.split("\n"))


def fitting_width(texts: Iterable[str], least: float, most: float) -> float:
    """The column width in which each of the texts stands in one line, within limits.

    >>> fitting_width(["ab"], 12, 30), fitting_width(["W" * 90], 12, 30), fitting_width([], 12, 30)
    (12, 30, 12)
    """
    pixels = max((text_width(text, TYPE_PIXELS) for text in texts), default=0.0)
    return min(max(ceil((pixels + INDENT_PIXELS) / UNIT_PIXELS), least), most)


def chart_text(text: str) -> str:
    """Text for a chart, whose writer takes what looks like a cell of a sheet for one: a space keeps it text.

    >>> chart_text("Autumn!A1 deal"), chart_text("Now!")
    ('Autumn! A1 deal', 'Now!')
    """
    return re.sub(r"!(?=\$?[A-Z]+\$?\d)", "! ", text)


def absolute(row: int, column: int) -> str:
    """A cell address that does not move when copied.

    >>> absolute(0, 0), absolute(9, 27)
    ('$A$1', '$AB$10')
    """
    return str(xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True))


def relative(row: int, column: int) -> str:
    """A cell address that moves when copied.

    >>> relative(0, 0)
    'A1'
    """
    return str(xl_rowcol_to_cell(row, column))

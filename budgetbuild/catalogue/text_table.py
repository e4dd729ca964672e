"""A text table (CSV) as raw rows: its encoding, what separates its cells, and its lines; nothing is guessed.

A comma or semicolon between cells and one in an amount look alike. So the separator is the one under which the column
names are found, and a line must fit under them.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from dataclasses import dataclass
from itertools import islice, pairwise
from typing import TYPE_CHECKING, NoReturn

from budgetbuild.catalogue.read import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, RawSheet, value_of
from budgetbuild.catalogue.tables import HEADER_WITHIN, header_index, known_names, named_fields
from budgetbuild.faults import Cell, Fault, Severity, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.cells import RawValue
    from budgetbuild.catalogue.schema import Sheet

MARKS = {",": "comma", ";": "semicolon", "\t": "tab"}
"""What may stand between cells."""
BYTE_ORDERS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
"""First bytes that say the encoding; the longer ones first, for one begins like another."""
UNMARKED = ("utf-8", "cp1252")
"""Encodings of a text that does not say its own; hardly any text of the second is also one of the first."""
_STATED = re.compile(r'"?sep=(?P<mark>[,;\t])"?(?:\r\n|\n|\r)', re.IGNORECASE)
"""A first line in which some programs state the separator."""
_AS_TEXT = re.compile(r'="([^"]*)"')
"""A cell that a spreadsheet program is made to take as text: `="00123"`."""
_WHOLE, _CENTS = re.compile(r"[^\d,]*\d{1,3}(?:[.' ]?\d{3})*"), re.compile(r"\d{1,2}\D*")
"""What stands before and after the comma of an amount."""
LONGEST_LINE = 1_000_000
"""Characters; four hundred columns of a long paragraph each."""
LONGEST_CELL = csv.field_size_limit()
"""Characters; the library's own limit."""
_SAVE_AS = "save it as CSV UTF-8 in your spreadsheet program"


@dataclass(frozen=True, slots=True)
class TextTable:
    """A text table that is read.

    Attributes:
        raw: Its filled rows, numbered by the line that each begins on; the sheet has no title.
        faults: What is wrong with it, and how it was read where that has to be said.
    """

    raw: RawSheet
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class _Line:
    """One record: the line that it begins on, how many cells it has, and its cells up to the last filled one."""

    number: int
    width: int
    cells: list[RawValue]


def read_text_table(name: str, data: bytes, sheet: Sheet) -> TextTable:
    """Read a text table.

    Args:
        name: Of the file.
        data: Its bytes.
        sheet: What its columns may be called, by which the separator is known.

    Raises:
        UserInputError: It is no text, no table with such columns, or larger than any price list.
    """
    text = _decoded(name, data)
    _refuse_no_table(name, text.text)
    stated = _STATED.match(text.text)
    body = text.text[stated.end() :] if stated else text.text
    mark = stated["mark"] if stated else _separator(name, body, sheet)
    lines = _lines(name, body, mark, first=2 if stated else 1)
    raw = RawSheet("", tuple((line.number, line.cells) for line in lines))
    misfits = _misfits(name, lines, header_index(sheet, raw), mark, whole=body.endswith(("\n", "\r")))
    return TextTable(raw, (*text.notices, *misfits))


@dataclass(frozen=True, slots=True)
class _Text:
    """A decoded text, and a notice where its encoding is not beyond doubt."""

    text: str
    notices: tuple[Fault, ...] = ()


def _decoded(name: str, data: bytes) -> _Text:
    """The text.

    Raises:
        UserInputError: It is in no encoding that is read.
    """
    marked = next((encoding for mark, encoding in BYTE_ORDERS if data.startswith(mark)), "")
    tried = (marked,) if marked else UNMARKED
    found = next(((encoding, text) for encoding in tried if (text := _tried(data, encoding)) is not None), None)
    if found is None:
        expected = "text in UTF-8, UTF-16 or Windows-1252"
        _refuse(name, "unknown-encoding", "an encoding that is not read", expected, _SAVE_AS)
    encoding, text = found
    return _Text(text, (_old_encoding(name),) if encoding == UNMARKED[-1] else ())


def _tried(data: bytes, encoding: str) -> str | None:
    """The text in an encoding; `None` where it is not in that one."""
    try:
        return data.decode(encoding)
    except UnicodeDecodeError:
        return None


def _old_encoding(name: str) -> Fault:
    mend = f"read as Windows-1252; to be sure of accents and currency signs, {_SAVE_AS}"
    return Fault(Cell(file=name), "old-encoding", "text that is not UTF-8", "text in UTF-8", mend, Severity.NOTICE)


def _refuse(name: str, code: str, found: str, expected: str, mend: str, line: int = 0) -> NoReturn:
    raise UserInputError([Fault(Cell("", line, 0, name), code, found, expected, mend)])


def _refuse_no_table(name: str, text: str) -> None:
    """Nothing at all, web pages, and data that only happens to decode."""
    expected = "a text table (CSV) or an Excel workbook (.xlsx)"
    if not text.strip():
        _refuse(name, "empty-file", "nothing", expected, "take a copy that holds something")
    if text[:2000].lstrip().lower().startswith(("<", "mime-version")):
        _refuse(name, "web-page", "a web page", expected, f"open it and {_SAVE_AS}")
    if "\0" in text:
        _refuse(name, "not-a-table", "data that is no text", expected, f"open it and {_SAVE_AS}")
    if any(len(line) > LONGEST_LINE for part in text.split("\n") for line in part.split("\r")):
        limit = f"lines of at most {LONGEST_LINE:,} characters"
        _refuse(name, "too-long", "a line without end", limit, f"take out what is no price list, or {_SAVE_AS}")


def _separator(name: str, text: str, sheet: Sheet) -> str:
    """The separator under which most column names are found.

    Raises:
        UserInputError: None are found, or two separators do equally well and give different cells.
    """
    known = known_names(sheet)
    found = {mark: max(_named(text, mark, known), default=(0, 0)) for mark in MARKS}
    most = max(names for names, _ in found.values())
    best = [mark for mark, (names, _) in found.items() if names == most]
    if not most:
        headers = ", ".join(column.header for column in sheet.columns)
        mend = "write the column names in one row above the table"
        _refuse(name, "no-header-row", "no such row", f"a row with column names, of {headers}", mend)
    parting = [mark for mark in best if found[mark][1] > 1]
    if len(parting) > 1:
        marks = " and ".join(MARKS[mark] for mark in parting)
        expected = f"one of {', '.join(MARKS.values())} between all cells"
        _refuse(name, "unclear-separator", f"both {marks}", expected, "save it as CSV anew")
    return (parting or best)[0]


def _named(text: str, mark: str, known: dict[str, str]) -> Iterator[tuple[int, int]]:
    """Of each row where the column names may be: how many of them it has, and how many cells."""
    try:
        for _, record in islice(_records("", text, mark), HEADER_WITHIN):
            yield len(named_fields(known, record)), len(record)
    except UserInputError:
        return


def _records(name: str, text: str, mark: str, first: int = 1) -> Iterator[tuple[int, list[str]]]:
    """Every record with the number of the line that it begins on.

    Raises:
        UserInputError: Quotation marks do not close.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True, skipinitialspace=True)
    begins = first
    try:
        for record in reader:
            yield begins, record
            begins = first + reader.line_num
    except csv.Error as error:
        if "field limit" in str(error):
            expected = f"at most {LONGEST_CELL:,} characters in a cell"
            mend = "shorten it, or close the quotation mark that it begins with"
            _refuse(name, "too-long", "a cell without end", expected, mend, begins)
        found = f"quotation marks that do not close ({error})"
        mend = "close them; a quotation mark that belongs to the text is written twice"
        _refuse(name, "unclear-quotes", found, "quotation marks around whole cells", mend, begins)


def _lines(name: str, text: str, mark: str, first: int) -> list[_Line]:
    """Every filled record.

    Raises:
        UserInputError: Quotation marks do not close, or the table is larger than any price list.
    """
    lines: list[_Line] = []
    cells = 0
    for number, record in _records(name, text, mark, first):
        cells += len(record)
        if len(lines) >= MOST_ROWS or cells > MOST_CELLS or len(record) > MOST_COLUMNS:
            expected = f"at most {MOST_ROWS} rows, {MOST_COLUMNS} columns and {MOST_CELLS} cells"
            _refuse(name, "too-many-cells", "more", expected, "take out what is no price list", number)
        values = _cells(record)
        if values:
            lines.append(_Line(number, len(record), values))
    return lines


def _cells(record: list[str]) -> list[RawValue]:
    """The cells of a record up to the last filled one."""
    cells = [value_of(found[1] if (found := _AS_TEXT.fullmatch(cell)) else cell) for cell in record]
    while cells and cells[-1] is None:
        cells.pop()
    return cells


def _misfits(name: str, lines: list[_Line], header: int | None, mark: str, *, whole: bool) -> Iterator[Fault]:
    """Lines that do not fit under the column names, so that nobody can tell which cell is which."""
    if header is None:
        return
    head, last = lines[header], lines[-1]
    for line in lines[header + 1 :]:
        if _is_too_long(line, head) or (mark == "," and _may_be_too_long(line, head)):
            mend = (
                "put quotation marks around an amount with a comma; write a separator for each blank cell and no more"
            )
            yield _misfit(name, "misfit-line", line, head, mend)
    if not whole and last is not head and last.width < head.width:
        yield _misfit(name, "cut-off-line", last, head, "take a whole copy of the file, or end its last line")


def _is_too_long(line: _Line, head: _Line) -> bool:
    """Whether a line has cells without a name, even blank ones: one before them may be half an amount with a comma."""
    return line.width > head.width or len(line.cells) > len(head.cells)


def _may_be_too_long(line: _Line, head: _Line) -> bool:
    """Whether a line lacks cells, and would have fewer still if an amount with a comma were one of them."""
    return line.width < head.width and any(
        isinstance(whole, str) and isinstance(cents, str) and _WHOLE.fullmatch(whole) and _CENTS.fullmatch(cents)
        for whole, cents in pairwise(line.cells)
    )


def _misfit(name: str, code: str, line: _Line, head: _Line, mend: str) -> Fault:
    found = f"{line.width} {'cell' if line.width == 1 else 'cells'}"
    return Fault(Cell("", line.number, 0, name), code, found, f"{head.width} cells, one for each column name", mend)

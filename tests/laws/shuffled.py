"""A catalogue workbook as plain cells, written again in another order of sheets, columns and rows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import openpyxl
import xlsxwriter

if TYPE_CHECKING:
    import random
    from collections.abc import Collection, Mapping, Sequence
    from pathlib import Path

Grid = list[list[Any]]
"""Header row and rows, as values."""
Book = dict[str, Grid]

IN_ORDER = ("Vehicles", "Briefs", "Tiers", "Texts", "Promotions")
"""Sheets whose order of rows the shop chose to be read in: outputs follow it."""


def cells_of(path: Path) -> Book:
    """Every sheet of a workbook whose headers stand in the first row."""
    book = openpyxl.load_workbook(path, data_only=True)
    return {page.title: [list(row) for row in page.iter_rows(values_only=True)] for page in book.worksheets}


def written(book: Mapping[str, Grid], path: Path) -> Path:
    """A workbook of these cells."""
    path.parent.mkdir(parents=True)
    with xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False}) as workbook:
        days = workbook.add_format({"num_format": "yyyy-mm-dd"})
        for title, grid in book.items():
            page = workbook.add_worksheet(title)
            for number, row in enumerate(grid):
                for place, value in enumerate(row):
                    page.write(number, place, value, *([days] if hasattr(value, "year") else []))
    return path


def shuffled(book: Mapping[str, Grid], rng: random.Random, *, keep: Collection[str] = IN_ORDER) -> Book:
    """The sheets in another order, the columns of each, and the rows of all but those that keep theirs."""
    titles = list(book)
    rng.shuffle(titles)
    return {title: _turned(book[title], rng, rows=title not in keep) for title in titles}


def _turned(grid: Grid, rng: random.Random, *, rows: bool) -> Grid:
    places = list(range(len(grid[0])))
    rng.shuffle(places)
    body: Sequence[list[Any]] = grid[1:]
    if rows:
        body = rng.sample(body, len(body))
    return [[row[place] for place in places] for row in (grid[0], *body)]

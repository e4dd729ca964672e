"""Rows, headers and sheets that are not where they should be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.catalogue.workbooks import sound_book
from tests.fuzz.grid import Page, packed, pages_of, parts_of
from tests.fuzz.mutant import of_catalogue

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from random import Random

    from tests.fuzz.mutant import Mutant

TITLES = (
    "Sheet1",
    "Head units 2",
    "head  UNITS",
    "Speaker",
    "",
    " ",
    "x" * 300,
    "a\tb",
    "A&B<C>",
    "🔊",
    "Tiers",
    "\u202ex",
)
RANGES = ("A1:B1", "A1:Z1", "B1:B3", "A2:C9", "A1:XFD1048576", "B2:A1", "A1", "x:y", "A1:A99999999999")
FILTERS = (
    '<autoFilter ref="A1:XFD1048576"/>',
    '<hyperlinks><hyperlink ref="A1:XFD1048576" location="x"/></hyperlinks>',
    '<dataValidations><dataValidation sqref="A1:XFD1048576"><formula1>1</formula1></dataValidation></dataValidations>',
    '<conditionalFormatting sqref="A1:XFD1048576"><cfRule type="odd" priority="1"/></conditionalFormatting>',
    '<extLst><ext uri="x"/></extLst>',
    '<drawing r:id="rId99"/>',
    '<tableParts count="1"><tablePart r:id="rId99"/></tableParts>',
)


def rows_doubled(chance: Random, pages: list[Page]) -> None:
    """Some rows stand twice."""
    page = chance.choice(pages)
    page.rows += [list(chance.choice(page.rows)) for _ in range(chance.choice((1, 2, 500)))]


def rows_missing(chance: Random, pages: list[Page]) -> None:
    """A row, or all, are gone."""
    page = chance.choice(pages)
    del page.rows[chance.randrange(len(page.rows)) :]


def rows_shuffled(chance: Random, pages: list[Page]) -> None:
    """Rows in another order, the header among them."""
    chance.shuffle(chance.choice(pages).rows)


def sheets_renamed(chance: Random, pages: list[Page]) -> None:
    """Sheets under other names, perhaps under that of another."""
    for page in chance.sample(pages, chance.choice((1, 1, 2, len(pages)))):
        page.title = chance.choice((*TITLES, chance.choice(pages).title))


def sheets_doubled(chance: Random, pages: list[Page]) -> None:
    """A sheet stands twice, under the same name or nearly so."""
    page = chance.choice(pages)
    title = chance.choice((page.title, page.title.upper(), f"{page.title} (2)", f" {page.title}"))
    pages.insert(chance.randrange(len(pages)), Page(title, [list(row) for row in page.rows]))


def sheets_missing(chance: Random, pages: list[Page]) -> None:
    """Some sheets, or all, are gone or hidden."""
    for page in chance.sample(pages, chance.choice((1, 1, 2, len(pages)))):
        if chance.random() < 0.3:
            page.state = chance.choice(("hidden", "veryHidden", "odd"))
        else:
            pages.remove(page)


def headers_merged(chance: Random, pages: list[Page]) -> None:
    """Merged headers, and merges of every size."""
    page = chance.choice(pages)
    page.merges += chance.sample(RANGES, chance.choice((1, 2, 5)))
    if chance.random() < 0.4:
        page.more = "<!-- so that it is read with care -->"


def columns_swapped(chance: Random, pages: list[Page]) -> None:
    """Two headers changed places, or two whole columns."""
    page = chance.choice(pages)
    one, other = chance.choices(range(len(page.headers)), k=2)
    for row in page.rows[: chance.choice((1, len(page.rows)))]:
        row[one], row[other] = row[other], row[one]


def headers_changed(chance: Random, pages: list[Page]) -> None:
    """A header misspelt, doubled, blank, or one more column."""
    page = chance.choice(pages)
    at, other = chance.choices(range(len(page.headers)), k=2)
    page.headers[at] = chance.choice((None, str(page.headers[at])[1:], page.headers[other], f"{page.headers[at]} €"))


def very_wide(chance: Random, pages: list[Page]) -> None:
    """A sheet with many more columns than a price list has."""
    page, width = chance.choice(pages), chance.choice((390, 401, 2000))
    for row in page.rows:
        row.extend([chance.choice(("x", 7.0, None))] * (width - len(row)))


def very_many_sheets(chance: Random, pages: list[Page]) -> None:
    """Sheets without end."""
    pages += [Page(f"More {number}", [["x"]]) for number in range(chance.choice((90, 300)))]


def odd_settings_of_a_sheet(chance: Random, pages: list[Page]) -> None:
    """What a sheet has beside its cells."""
    chance.choice(pages).more = chance.choice(FILTERS) + chance.choice(("", "<!-- x -->"))


def of_sheets(change: Callable[[Random, list[Page]], None]) -> Callable[[Random, Path], Mutant]:
    """Change the pages of a sound catalogue, and write it."""

    def mutate(chance: Random, folder: Path) -> Mutant:
        pages = pages_of(sound_book())
        change(chance, pages)
        return of_catalogue(chance, folder, packed(parts_of(pages, shared=chance.random() < 0.5)))

    return mutate


KINDS = {
    f"sheets: {change.__name__.replace('_', ' ')}": of_sheets(change)
    for change in (
        rows_doubled,
        rows_missing,
        rows_shuffled,
        sheets_renamed,
        sheets_doubled,
        sheets_missing,
        headers_merged,
        columns_swapped,
        headers_changed,
        very_wide,
        very_many_sheets,
        odd_settings_of_a_sheet,
    )
}

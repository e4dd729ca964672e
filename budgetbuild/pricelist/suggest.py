"""A first mapping for a list: what its columns may be, each as a suggestion that somebody has to confirm."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import RawValue, plain, shown
from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.describe import common_columns
from budgetbuild.catalogue.problems import wanted
from budgetbuild.catalogue.schema import key
from budgetbuild.faults import UserInputError
from budgetbuild.pricelist.flat import Flat, cell_of, read_flat
from budgetbuild.pricelist.units import FACTORS

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from budgetbuild.catalogue.schema import Column, Sheet

GROUPING = ("group", "category", "kind", "type", "class", "range", "department", "family")
"""Names of columns by which lists are usually sorted."""
FEWEST_GROUPS, MOST_GROUPS = 2, 60
REPEATED = 1.5
"""How often each word of a grouping column that no name gives away stands in it on average, at least."""
NEAR = 0.8
"""How alike two names are, from 0 to 1, for one to be suggested for the other."""
SHORTEST = 4
"""Letters from which on a word within another says anything."""
FEWEST_KNOWN = 3
"""Known names that make a row the one with the column names."""
SAMPLES = 3
LONGEST_SAMPLE = 40


@dataclass(frozen=True, slots=True)
class ListColumn:
    """A column of the list: its name, how many filled cells and different contents it has, and a few of them.

    Attributes:
        words: Whether every content has a letter in it.
    """

    name: str
    filled: int
    different: int
    words: bool
    samples: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Guess:
    """A column of a product sheet, what it holds in words, and the list's column that may fill it, or none."""

    name: str
    wanted: str
    required: bool
    column: str


@dataclass(frozen=True, slots=True)
class SuggestedGroup:
    """Rows of the list with the same word in the grouping column; `sheet` may be where they go, or empty."""

    word: str
    rows: int
    sheet: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A first mapping; nothing of it holds before it is confirmed.

    Attributes:
        sorted_by: The list's column by which its rows may be told apart; empty where none looks so.
        units: Units that a list may count in where a product sheet counts in another.
        sheets: Own columns of every product sheet, by its name.
    """

    file: str
    sheet: str
    other_sheets: tuple[str, ...]
    place: str
    rows: int
    columns: tuple[ListColumn, ...]
    common: tuple[Guess, ...]
    sorted_by: str
    groups: tuple[SuggestedGroup, ...]
    sheets: dict[str, tuple[Guess, ...]]
    units: tuple[str, ...]


def suggest_mapping(path: Path, sheet: str = "") -> Suggestion:
    """Look at a list and suggest what its columns may be.

    Args:
        path: The list.
        sheet: Which sheet of a workbook; may be left out where only one is filled.

    Raises:
        UserInputError: The list cannot be read.
    """
    flat = _read(path, sheet)
    columns = {number: _column(flat, number, header) for number, header in flat.headers.items()}
    common = common_columns()
    guesses = _guesses(common, columns.values(), taken=set())
    taken = {guess.column for guess in guesses if guess.column}
    sorted_by = _grouping([column for column in columns.values() if column.name not in taken])
    taken |= {sorted_by}
    sheets = {one.name: _guesses(_own(one), columns.values(), taken) for one in PRODUCT_SHEETS}
    return Suggestion(
        file=flat.file,
        sheet=flat.title,
        other_sheets=flat.other_sheets,
        place=str(flat.at(flat.header_row)),
        rows=len(flat.rows),
        columns=tuple(columns.values()),
        common=guesses,
        sorted_by=sorted_by,
        groups=tuple(_groups(flat, sorted_by)) if sorted_by else (),
        sheets=sheets,
        units=tuple(dict.fromkeys(unit for unit, _ in FACTORS)),
    )


def _read(path: Path, sheet: str) -> Flat:
    """The list under the row that has most of the names that product sheets know, if it has any to speak of."""
    names = {name for one in PRODUCT_SHEETS for column in one.columns for name in (column.header, *column.aliases)}
    try:
        flat = read_flat(path, names, sheet)
    except UserInputError as error:
        if all(fault.code != "no-header-row" for fault in error.faults):
            raise
        return read_flat(path, (), sheet)
    known = {key(name) for name in names}
    return flat if len(known & set(map(key, flat.headers.values()))) >= FEWEST_KNOWN else read_flat(path, (), sheet)


def _column(flat: Flat, number: int, header: str) -> ListColumn:
    """One column of the list."""
    contents = Counter(_text(cell) for _, cells in flat.rows if (cell := cell_of(cells, number)) is not None)
    samples = tuple(text[:LONGEST_SAMPLE] for text in list(contents)[:SAMPLES])
    words = all(any(mark.isalpha() for mark in text) for text in contents)
    return ListColumn(header, contents.total(), len(contents), words, samples)


def _text(value: RawValue) -> str:
    """A cell as one would type it in the mapping."""
    return plain(value) if isinstance(value, float) else shown(value).strip('"')


def _guesses(wants: Iterable[Column], columns: Iterable[ListColumn], taken: set[str]) -> tuple[Guess, ...]:
    """For each column of a product sheet the list's column whose name is its own, or nearly."""
    names = {key(column.name): column.name for column in columns if column.name not in taken}
    return tuple(Guess(column.header, wanted(column), column.required, _alike(column.keys, names)) for column in wants)


def _alike(keys: Iterable[str], names: dict[str, str]) -> str:
    """The name that is one of these, or else the most alike; empty where none is."""
    for one in keys:
        if one in names:
            return names[one]
    near = [match for one in keys for match in get_close_matches(one, names, n=1, cutoff=NEAR)]
    return names[near[0]] if near else ""


def _grouping(columns: Iterable[ListColumn]) -> str:
    """The column by whose words the rows may be told apart: by its name, else the one with the fewest words."""
    fitting = [
        column
        for column in columns
        if column.words and FEWEST_GROUPS <= column.different <= MOST_GROUPS and column.different < column.filled
    ]
    named = [column for word in GROUPING for column in fitting if word in key(column.name)]
    repeated = [column for column in fitting if column.different * REPEATED <= column.filled]
    best = named or sorted(repeated, key=lambda column: column.different)
    return best[0].name if best else ""


def _groups(flat: Flat, sorted_by: str) -> Iterable[SuggestedGroup]:
    """A group for each word of the grouping column, in the order of the list."""
    number = flat.columns_named(sorted_by)[0]
    words = Counter(_text(cell) for _, cells in flat.rows if (cell := cell_of(cells, number)) is not None)
    for word, rows in words.items():
        sheet = _sheet(word)
        yield SuggestedGroup(word, rows, sheet.name if sheet else "")


def _own(sheet: Sheet) -> list[Column]:
    """Columns that not every product sheet has."""
    shared = {column.header for column in common_columns()}
    return [column for column in sheet.columns if column.header not in shared]


def _sheet(word: str) -> Sheet | None:
    """The one product sheet to whose name or kinds of products a word is alike."""
    folded = key(word)
    names = {name: sheet for sheet in PRODUCT_SHEETS for name in (*_kinds(sheet), *sheet.keys)}
    within = [sheet for name, sheet in names.items() if len(name) >= SHORTEST and name in folded]
    around = [sheet for name, sheet in names.items() if len(folded) >= SHORTEST and folded in name]
    near = [names[match] for match in get_close_matches(folded, names, n=1, cutoff=NEAR)]
    for found in (within, around, near):
        if len({sheet.name for sheet in found}) == 1:
            return found[0]
    return None


def _kinds(sheet: Sheet) -> list[str]:
    """Words for the kinds of products on a sheet."""
    return [
        key(word)
        for column in sheet.columns
        if column.field == "type"
        for word in (*column.choices, *(synonym for synonym, _ in column.synonyms))
    ]

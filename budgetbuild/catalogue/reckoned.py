"""Ratings that the shop leaves blank, reckoned from the criteria of the `Points` sheet, and what stays unrated."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import TYPE_CHECKING

from budgetbuild.catalogue.build_items import ITEMS
from budgetbuild.catalogue.parse import parse_cell
from budgetbuild.catalogue.point_columns import RATED, Source, cell_in, hints_of
from budgetbuild.catalogue.points import Points, as_cell
from budgetbuild.catalogue.problems import Problem
from budgetbuild.catalogue.rows import problem_fault
from budgetbuild.catalogue.value import CellValue, Criterion, Earned, rating_of
from budgetbuild.faults import Fault, Severity

if TYPE_CHECKING:
    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.usage import RowsBySheet

Reckoned = dict[str, tuple[Earned, ...]]
"""What each product with a reckoned rating earned, by its SKU."""


def reckon_ratings(rows: RowsBySheet, points: Points, currency: str) -> Reckoned:
    """Rate every product whose rating is blank and whose sheet has criteria; what stays unrated says why."""
    found: Reckoned = {}
    for field in RATED:
        products = rows.get(field, [])
        blank = [row for row in products if not row.filled("rating")]
        if field in points.spoilt:
            _forget_missing(blank)
        elif field in points.criteria:
            _forget_missing(blank)
            readers = [_Reader(criterion, source, currency) for criterion, source in points.criteria[field]]
            of_sheet = {row.get("sku"): earned for row in blank if (earned := _rate(row, readers))}
            _tell(rows["points"], field, (len(products), len(blank), len(of_sheet)))
            found |= {str(sku): earned for sku, earned in of_sheet.items() if sku is not None}
    return found


def _forget_missing(rows: list[Row]) -> None:
    """A blank rating that can be reckoned is no fault."""
    for row in rows:
        at = row.at("rating")
        row.faults = [fault for fault in row.faults if (fault.code, fault.at) != ("missing-value", at)]


def _rate(row: Row, readers: list[_Reader]) -> tuple[Earned, ...]:
    """Rate one product; empty where a cell that its rating needs is blank, or cannot be read."""
    values = [(reader, reader.value(row)) for reader in readers]
    unknown = [reader for reader, value in values if value is None]
    if unknown:
        row.faults.append(_unrated(row, unknown))
        row.unrated = True
        return ()
    told = [(reader.criterion, value) for reader, value in values if value is not None]
    earned = tuple(Earned(criterion, value, criterion.earns(value)) for criterion, value in told)
    row.values["rating"] = float(rating_of(earned))
    return earned


def _unrated(row: Row, unknown: list[_Reader]) -> Fault:
    """A product that can be offered to nobody until it is rated."""
    cells = [f"{reader.source.header} ({reader.source.at(row.number).address})" for reader in unknown]
    expected = f"Rating: a number out of 10, or what it is reckoned from: {', '.join(cells)}"
    what = "that cell" if len(cells) == 1 else "those cells"
    mend = f"never offered until it is rated: fill in {what}, or type a rating"
    return Fault(row.at("rating"), "unrated", "nothing", expected, mend, Severity.WARNING)


def _tell(rows: list[Row], of: str, counts: tuple[int, int, int]) -> None:
    """How many products of a sheet are rated so, at the first row about it."""
    first = next(row for row in rows if row.get("of") == of)
    products, blank, reckoned = counts
    found = f"{blank} of {products} ratings blank on {first.get('sheet')}" if blank else "no rating blank"
    unrated = f"; {blank - reckoned} not rated, see there" if blank > reckoned else ""
    mend = f"{reckoned} reckoned from these points{unrated}" if blank else "not used; typed ratings stay as they are"
    expected = "Rating: the shop's own judgement, or blank"
    first.faults.append(Fault(first.at("sheet"), "ratings-reckoned", found, expected, mend, Severity.NOTICE))


class _Reader:
    """Reads the cells of one criterion."""

    def __init__(self, criterion: Criterion, source: Source, currency: str) -> None:
        self.criterion = criterion
        self.source = source
        self.hints = hints_of(source, currency)
        self.body = {} if criterion.field else dict(source.table.body)

    def value(self, row: Row) -> CellValue | None:
        """What a product's cell holds; `None` where it is blank and a blank says nothing, or cannot be read."""
        field = self.criterion.field
        if not field:
            return self._own(row)
        if field in row.spoilt:
            return None
        value = row.get(field)
        return as_cell(value) if value is not None else _meant_by_blank(self.criterion)

    def _own(self, row: Row) -> CellValue | None:
        """What a column of the shop's own holds."""
        raw = cell_in(self.body[row.number], self.source.number)
        result = parse_cell(raw, self.source.column, self.hints)
        if isinstance(result, Problem):
            row.faults.append(problem_fault(result, self.source.at(row.number), raw, self.source.column))
            return None
        return None if result is None else as_cell(result)


def _meant_by_blank(criterion: Criterion) -> CellValue | None:
    """What a blank cell stands for where it stands for something, such as a head unit without an internal amplifier."""
    meant = next(one.default for one in fields(ITEMS[criterion.sheet]) if one.name == criterion.field)
    return None if meant is MISSING or meant is None or meant == "" else as_cell(meant)

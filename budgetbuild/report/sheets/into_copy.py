"""The results as sheets in a copy of the shop's own workbook, beside its own sheets and reading its prices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, Severity
from budgetbuild.report.graft.graft import graft, sheet_titles, taken_names
from budgetbuild.report.sheets.links import Beside, link_prices
from budgetbuild.report.sheets.workbook import render_workbook

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.places import Places
    from budgetbuild.report.shown import Report

EARLIER = "_tbl_prices"
"""A name that only result sheets bear."""


@dataclass(frozen=True, slots=True)
class ShopWorkbook:
    """The shop's own workbook: its bytes, safe to open, and where its prices stand."""

    data: bytes
    places: Places


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy with results.

    Attributes:
        told: What of the results is not as in a workbook of their own.
    """

    content: bytes
    told: tuple[Fault, ...]


def render_into_copy(report: Report, shop: ShopWorkbook, alone: bytes) -> Copy:
    """Add the result sheets after the shop's own, with prices read from the shop's cells.

    Args:
        report: What the sheets show.
        shop: A workbook in which the survey finds nothing that stops.
        alone: The result sheets as a workbook of their own, whose sheet names they keep where they are free.
    """
    titles = tuple(sheet_titles(shop.data))
    links = link_prices(report, shop.places)
    results = render_workbook(report, Beside(titles, links))
    renamed = _renamed(sheet_titles(alone), sheet_titles(results))
    return Copy(graft(shop.data, results), (*_earlier(shop.data), *renamed, *links.told))


def _renamed(wanted: list[str], given: list[str]) -> Iterator[Fault]:
    """Sheets whose name the shop's workbook has already."""
    for old, new in zip(wanted, given, strict=True):
        if old != new:
            mend = f"the result sheet is called {new}; where a sentence names {old}, it means that"
            yield Fault(Cell(old), "sheet-name-taken", old, "a name for a result sheet", mend, Severity.NOTICE)


def _earlier(data: bytes) -> Iterator[Fault]:
    """Results that stand in the shop's workbook from an earlier run."""
    if EARLIER in taken_names(data):
        mend = "they stay as they are, old figures and all; delete them in your own workbook if they are in the way"
        yield Fault(
            Cell("--into-copy"), "earlier-results", "result sheets of an earlier run", "none", mend, Severity.WARNING
        )

"""A chapter of the guide, or a sheet of the workbook, as values: what it says, not how a page or a sheet shows it.

A question beside the tiers (what to promote, how to climb) is told as one. Tables hold money in cents and scores in
thousandths; each output writes them in its own way. Cells and sentences are plain text, escaped where they are shown.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar


class Kind(StrEnum):
    """What the cells of a column hold."""

    TEXT = "text"
    MONEY = "money"
    """Whole cents."""
    MONEY_CHANGE = "money change"
    """Whole cents more or less, shown with their sign."""
    POINTS = "points"
    """Whole thousandths of a point."""
    POINTS_CHANGE = "points change"
    """Whole thousandths more or less, shown with their sign."""
    COUNT = "count"
    PERCENT = "percent"
    """A share of one: 0.25 is shown as 25 %."""


CellValue = str | int | float | None
"""`None` where there is nothing to show."""


@dataclass(frozen=True, slots=True)
class TableColumn:
    """One column of a table."""

    head: str
    kind: Kind = Kind.TEXT


@dataclass(frozen=True, slots=True)
class Heading:
    """The title of what follows in a chapter."""

    form: ClassVar[str] = "heading"
    text: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One or more sentences."""

    form: ClassVar[str] = "paragraph"
    text: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """Sentences one below the other; `safety` marks those that keep someone from harm."""

    form: ClassVar[str] = "bullets"
    items: tuple[str, ...]
    safety: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table; the first column names the row.

    Attributes:
        rows: At least one, each with as many cells as there are columns.
    """

    form: ClassVar[str] = "table"
    caption: str
    columns: tuple[TableColumn, ...]
    rows: tuple[tuple[CellValue, ...], ...]

    def __post_init__(self) -> None:
        if not self.rows or any(len(row) != len(self.columns) for row in self.rows):
            raise ValueError(f"{self.caption}: no rows, or not as many cells as columns")


@dataclass(frozen=True, slots=True)
class Plot:
    """The points of a table's rows, one figure against another; the table stands beside it.

    Attributes:
        across: Column, from 0, whose figures run to the right; `up` the one whose figures rise.
    """

    form: ClassVar[str] = "plot"
    title: str
    table: Table
    across: int
    up: int


Block = Heading | Paragraph | Bullets | Table | Plot


@dataclass(frozen=True, slots=True)
class Chapter:
    """What one question comes to.

    Attributes:
        anchor: Name of its place in a page: lower case, digits and hyphens, unique in the report.
        title: Its heading.
        sheet: Name of its sheet in the workbook.
        shop_only: Whether it holds what no customer should read: it is then left out of the guide.
        with_builds: Whether the guide tells it build by build, so that it is a chapter of the workbook alone.
    """

    anchor: str
    title: str
    sheet: str
    blocks: tuple[Block, ...]
    shop_only: bool = False
    with_builds: bool = False

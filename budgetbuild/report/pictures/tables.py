"""What a picture says, as a table for those who do not see it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TextTable:
    """A table of words.

    Attributes:
        rows: As many texts in each as in `header`; the first names the row.
        figures: Columns, from 0, that hold figures to set flush right.
    """

    caption: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: frozenset[int] = frozenset()

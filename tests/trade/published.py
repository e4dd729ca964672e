"""Figures printed by others, read from `tests/data`, each row with its source; nothing here computes."""

from __future__ import annotations

import csv
import functools
from pathlib import Path

Row = dict[str, str]
DATA = Path(__file__).parent.parent / "data"


@functools.cache
def rows(name: str) -> tuple[Row, ...]:
    """Every row of a file of published figures."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return tuple(csv.DictReader(stream))


def section(name: str, start: str, quantity: str = "") -> list[Row]:
    """The rows of a section, by the start of its name and of the quantity."""
    return [row for row in rows(name) if row["section"].startswith(start) and row["quantity"].startswith(quantity)]


def value(name: str, identifier: str) -> float:
    """The printed value of one row."""
    return float(next(row["value"] for row in rows(name) if row["id"] == identifier))


def awg_number(item: str) -> int:
    """The gauge in an item's name, 0 for 1/0 or `0`, -1 for 2/0 or `00`, and so on."""
    size = item.removeprefix("AWG ").split()[0].rstrip(",")
    if "/" in size:
        return 1 - int(size.split("/")[0])
    return 1 - len(size) if set(size) == {"0"} else int(size)


def name_of(row: Row) -> str:
    """What a test calls a row: its number, item and quantity."""
    return f"{row['id']} {row['item']} {row['quantity']}"

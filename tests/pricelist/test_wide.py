"""A flat list that is wider than what is read of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue.read import MOST_COLUMNS
from budgetbuild.pricelist.flat import read_flat
from tests.pricelist.lists import write_xlsx

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize("more", [0, 1])
def test_what_stands_farther_right_than_is_read_is_told(tmp_path: Path, more: int) -> None:
    rows = [["Art", "Price", *(f"Own {at}" for at in range(2, MOST_COLUMNS + more))], ["S1", "5"]]
    found = read_flat(write_xlsx(tmp_path / "list.xlsx", rows), ["Art", "Price"])
    told = [(str(fault.at), fault.code, str(fault.severity)) for fault in found.notices]
    assert told == [("list.xlsx: List", "too-many-columns", "warning")] * more

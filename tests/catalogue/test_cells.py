"""What stands in a cell, said in messages and shown by number formats."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue.cells import DateValue, ErrorValue, Formatted, NoStoredValue, is_percent, shown, shown_digits
from budgetbuild.catalogue.rows import said

if TYPE_CHECKING:
    from budgetbuild.catalogue.cells import RawValue


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "nothing"),
        (True, "TRUE"),
        (False, "FALSE"),
        (165.0, "165"),
        (16.5, "16.5"),
        ("75 W", '"75 W"'),
        (ErrorValue("#N/A"), "#N/A"),
        (NoStoredValue(), "a formula without a stored value"),
        (DateValue("2026-05-04"), "the date 2026-05-04"),
        (Formatted(0.05, "0%"), "0.05 formatted 0%"),
    ],
)
def test_content_is_said_as_the_shop_would_see_it(value: RawValue, text: str) -> None:
    assert shown(value) == text


def test_parsed_values_are_said_in_words() -> None:
    assert [said(value) for value in (None, ("A", "B"), 2.50, "x", 3)] == ["nothing", '"A; B"', "2.5", '"x"', "3"]


@pytest.mark.parametrize(
    ("number", "code", "text"),
    [
        (123.0, "00000", "00123"),
        (123456.0, "00000", "123456"),
        (1234.0, "000-000", "001-234"),
        (7.0, '"SP-"000', "SP-007"),
        (7.0, "000\\-\\X", "007-X"),
        (7.0, "0", "7"),
        (7.5, "000", None),
        (-7.0, "000", None),
        (7.0, "#,##0", None),
        (0.5, "0%", None),
    ],
)
def test_number_formats_of_zeros_show_their_digits(number: float, code: str, text: str | None) -> None:
    assert shown_digits(number, code) == text


def test_quoted_percent_sign_is_a_word() -> None:
    assert is_percent("0.00%")
    assert not is_percent('0.00" %"')

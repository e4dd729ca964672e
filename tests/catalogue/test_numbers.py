"""Numbers written as text: what is unmistakable, what is not, and what the rest of the column settles."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.numbers import Ambiguous, Number, shown_mark, take_apart

NBSP, NARROW, THIN = "\u00a0", "\u202f", "\u2009"


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1299", "1299"),
        ("1,299.00", "1299.00"),
        ("1.299,00", "1299.00"),
        ("1 299,00", "1299.00"),
        (f"1{NBSP}299,00", "1299.00"),
        (f"1{NARROW}299", "1299"),
        (f"12{THIN}345.5", "12345.5"),
        ("12,5", "12.5"),
        ("12.5", "12.5"),
        ("1'299.50", "1299.50"),
        ("1\u2019299", "1299"),
        ("1,299,000", "1299000"),
        ("1.299.000,5", "1299000.5"),
        ("0,125", "0.125"),
        (".5", "0.5"),
        ("1299,500", "1299.500"),
        ("-3", "-3"),
        ("\u22123,5", "-3.5"),
        ("+4", "4"),
        ("1.299,-", "1299.00"),
        ("45.--", "45.00"),
        ("\uff11\uff16\uff15", "165"),
    ],
)
def test_unmistakable_number_is_read(text: str, value: str) -> None:
    written = take_apart(text)
    assert written is not None
    assert isinstance(written.number, Number)
    assert written.number.value == Decimal(value)
    assert (written.before, written.after) == ("", "")


@pytest.mark.parametrize(
    "text", ["", "abc", "1,29,9.0", "1.2.3", "1,2,3", "1,2.3,4", "1 29", "12 5", "16.", "1.3E+03", "½", "--5"]
)
def test_text_that_is_no_number_is_not_read_as_one(text: str) -> None:
    written = take_apart(text)
    assert written is None or written.before or written.after


@pytest.mark.parametrize(("text", "decimal", "grouped"), [("1,299", "1.299", "1299"), ("-16.500", "-16.500", "-16500")])
def test_one_separator_before_three_digits_has_two_readings(text: str, decimal: str, grouped: str) -> None:
    written = take_apart(text)
    assert written is not None
    assert isinstance(written.number, Ambiguous)
    assert (written.number.decimal, written.number.grouped) == (Decimal(decimal), Decimal(grouped))


@pytest.mark.parametrize(
    ("before", "text", "after"),
    [
        ("€", "€ 1.299,00", ""),
        ("", "75W", "W"),
        ("", "165 mm", "mm"),
        ("EUR", "EUR 5", ""),
        ("max", "max 75 W", "W"),
        ("€", "-€5", ""),
        ("", "4-8 ohm", "-8 ohm"),
        ("", "2 x 75", "x 75"),
    ],
)
def test_what_stands_beside_a_number_is_kept_apart(before: str, text: str, after: str) -> None:
    written = take_apart(text)
    assert written is not None
    assert (written.before, written.after) == (before, after)


def test_a_column_shows_its_decimal_mark_only_where_its_texts_agree() -> None:
    assert shown_mark(["1,299", "1.299,00"]) == ","
    assert shown_mark(["1,299", "€ 1,299.50"]) == "."
    assert shown_mark(["1,299", "1,299,000"]) == "."
    assert shown_mark(["1,299", "1299", "no number"]) is None
    assert shown_mark(["12,5", "12.5"]) is None


AMOUNTS = st.decimals(min_value=0, max_value=9_999_999, places=2, allow_nan=False, allow_infinity=False)


GROUPINGS = st.sampled_from(["", " ", NBSP, NARROW, "'", ".", ","])


@given(amount=AMOUNTS, grouping=GROUPINGS, mark=st.sampled_from([".", ","]))
def test_an_amount_formatted_in_any_usual_way_is_read_back(amount: Decimal, grouping: str, mark: str) -> None:
    if grouping == mark:
        grouping = ""
    text = f"{amount:,.2f}".translate({ord(","): grouping, ord("."): mark})
    written = take_apart(text)
    assert written is not None
    assert isinstance(written.number, Number)
    assert written.number.value == amount


@given(text=st.text(max_size=30))
def test_any_text_is_taken_apart_or_refused_without_raising(text: str) -> None:
    take_apart(text)

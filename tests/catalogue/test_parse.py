"""One cell at a time: the value it gives, or the problem it has."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.cells import DateValue, ErrorValue, Formatted, NoStoredValue
from budgetbuild.catalogue.columns import SETTINGS, Column, sheet_named
from budgetbuild.catalogue.kinds import AmplifierClass, Conductor, Opening
from budgetbuild.catalogue.parse import parse_cell
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import Problem
from budgetbuild.faults import Severity

PRICE = sheet_named("Speakers").column("price")
SIZE = sheet_named("Speakers").column("size_mm")
RMS = sheet_named("Speakers").column("rms_w")
OHM = sheet_named("Speakers").column("ohm")
SENSITIVITY = sheet_named("Speakers").column("sensitivity_db")
RATING = sheet_named("Speakers").column("rating")
SKU = sheet_named("Speakers").column("sku")
MODEL = sheet_named("Speakers").column("model")
COST = sheet_named("Speakers").column("cost")
STOCK = sheet_named("Speakers").column("stock")
ACTIVE = sheet_named("Speakers").column("active")
FULL_W = sheet_named("Amplifiers").column("w_at_4")
AMP_CLASS = sheet_named("Amplifiers").column("amplifier_class")
CHANNELS = sheet_named("Amplifiers").column("channels")
AWG = sheet_named("Power kits").column("awg")
AREA = sheet_named("Power kits").column("mm2")
LENGTH = sheet_named("Power kits").column("length_m")
CONDUCTOR = sheet_named("Power kits").column("conductor")
OPENING = sheet_named("Vehicles").column("opening")
DOOR = sheet_named("Vehicles").column("door_m2")
HOURS = sheet_named("Labour").column("hours")
LITRES = sheet_named("Boxes").column("litres")
ALLOWANCE = sheet_named("Tiers").column("allowance")
BRIEFS = sheet_named("Tiers").column("briefs")
SETTING = {column.field: column for column in SETTINGS}


def parse(value: Any, column: Column, hints: Hints | None = None) -> Any:  # noqa: ANN401 - the type is what is tested
    return parse_cell(value, column, hints or Hints())


@pytest.mark.parametrize(
    ("value", "column", "expected"),
    [
        (1298.5, PRICE, 129850),
        (1298.9999999999998, PRICE, 129900),
        (0.1 + 0.2, PRICE, 30),
        ("€ 1,299.00", PRICE, 129900),
        ("1.299,00 €", PRICE, 129900),
        ("EUR 45", PRICE, 4500),
        ("1.299,-", PRICE, 129900),
        ("19,90", PRICE, 1990),
        ("45 euro", PRICE, 4500),
        (Formatted(12.0, '0.00" €"'), PRICE, 1200),
        (11.994, COST, 1199),
        ("19,9951", COST, 2000),
        ("165 mm", SIZE, 165.0),
        ("165mm", SIZE, 165.0),
        (165.0, SIZE, 165.0),
        ("16,5", SIZE, 16.5),
        (Formatted(165.0, '0" mm"'), SIZE, 165.0),
        ("75W", RMS, 75.0),
        ("75 W RMS", RMS, 75.0),
        ("75 watts", RMS, 75.0),
        ("4 Ω", OHM, 4.0),
        ("2\u2126", OHM, 2.0),
        ("4 ohms", OHM, 4.0),
        ("90 dB", SENSITIVITY, 90.0),
        ("5,5 m", LENGTH, 5.5),
        ("30 litres", LITRES, 30.0),
        ("30 l", LITRES, 30.0),
        ("1.6 m²", DOOR, 1.6),
        ("1,6 m2", DOOR, 1.6),
        ("1.5 h", HOURS, 1.5),
        ("16 mm²", AREA, 16.0),
        ("4.0", STOCK, 4),
        (4.0, STOCK, 4),
        ("12 pcs", STOCK, 12),
        ("4 ch", CHANNELS, 4),
        (0.0, RATING, 0.0),
        ("00123", SKU, "00123"),
        (123.0, SKU, "123"),
        (Formatted(123.0, "00000"), SKU, "00123"),
        (Formatted(7.0, '"SP-"000'), SKU, "SP-007"),
        ("AB-1E5", SKU, "AB-1E5"),
        (1230000000001.0, SKU, "1230000000001"),
        (200.0, MODEL, "200"),
        (4006381333931.0, SKU, "4006381333931"),
        (Formatted(165.0, "0.00E+00"), SIZE, 165.0),
        (2.5, MODEL, "2.5"),
        (Formatted(7.0, "000"), MODEL, "007"),
        (True, MODEL, "TRUE"),
        (DateValue("2026-12-01"), MODEL, "2026-12-01"),
        ("Yes", ACTIVE, True),
        ("n", ACTIVE, False),
        (True, ACTIVE, True),
        (0.0, ACTIVE, False),
        ("TRUE", ACTIVE, True),
        ("Double", OPENING, Opening.DOUBLE),
        ("Cu", CONDUCTOR, Conductor.COPPER),
        ("OFC", CONDUCTOR, Conductor.COPPER),
        ("Copper clad aluminium", CONDUCTOR, Conductor.CCA),
        ("cca", CONDUCTOR, Conductor.CCA),
        ("Class A/B", AMP_CLASS, AmplifierClass.AB),
        (4.0, AWG, 4),
        ("4 AWG", AWG, 4),
        ("AWG8", AWG, 8),
        ("1/0", AWG, 0),
        ("0", AWG, 0),
        (0.0, AWG, 0),
        ("2/0", AWG, -1),
        ("00", AWG, -1),
        ("3/0 AWG", AWG, -2),
        ("4/0", AWG, -3),
        ("0000", AWG, -3),
        ("4 ga", AWG, 4),
        (Formatted(0.0, "00"), AWG, -1),
        (Formatted(4.0, "00"), AWG, 4),
        (Formatted(4.0, '0" AWG"'), AWG, 4),
        ("8/10", RATING, 8.0),
        ("8,5 / 10", RATING, 8.5),
        (Formatted(0.0001, "0.00%"), ALLOWANCE, Decimal("0.01")),
        ("0.01 %", ALLOWANCE, Decimal("0.01")),
        (0.0, ALLOWANCE, Decimal(0)),
        (0.25, ALLOWANCE, Decimal("0.25")),
        ("\u2713", ACTIVE, True),
        ("A; B ;; C", BRIEFS, ("A", "B", "C")),
        (123.0, BRIEFS, ("123",)),
        (1.0, ALLOWANCE, Decimal(1)),
        ("1 %", ALLOWANCE, Decimal(1)),
        (Formatted(0.01, "0%"), ALLOWANCE, Decimal(1)),
        ("0,5", ALLOWANCE, Decimal("0.5")),
        ("5 %", SETTING["cable_loss_share"], Decimal("0.05")),
        (0.05, SETTING["cable_loss_share"], Decimal("0.05")),
        (Formatted(0.21, "0%"), SETTING["tax_rate"], Decimal("0.21")),
        ("eur", SETTING["currency"], "EUR"),
        ("€", SETTING["currency"], "EUR"),
        (DateValue("2026-11-02"), SETTING["date"], "2026-11-02"),
        ("November", SETTING["date"], "November"),
        (None, PRICE, None),
    ],
)
def test_sound_cell_gives_its_value(value: Any, column: Column, expected: Any) -> None:  # noqa: ANN401
    found = parse(value, column)
    assert found == expected
    assert type(found) is type(expected)


NAN, INFINITE = float("nan"), float("inf")


@pytest.mark.parametrize(
    ("value", "column", "code"),
    [
        ("1,299", PRICE, "ambiguous-number"),
        ("1.299 €", PRICE, "ambiguous-number"),
        ("16.500", SIZE, "ambiguous-number"),
        ("1.299", STOCK, "ambiguous-number"),
        ("call us", PRICE, "not-a-number"),
        ("12.3.4", PRICE, "not-a-number"),
        ("1.3E+03", PRICE, "not-a-number"),
        ("from 99", PRICE, "not-a-number"),
        ("(99)", PRICE, "not-a-number"),
        ("$ 99", PRICE, "wrong-currency"),
        ("99 GBP", PRICE, "wrong-currency"),
        ("0", PRICE, "out-of-range"),
        (-5.0, PRICE, "out-of-range"),
        (1e9, PRICE, "out-of-range"),
        (19.995, PRICE, "too-many-decimals"),
        ("19,9951", PRICE, "too-many-decimals"),
        (NAN, PRICE, "not-a-number"),
        (INFINITE, PRICE, "not-a-number"),
        ("NaN", PRICE, "not-a-number"),
        ("inf", PRICE, "not-a-number"),
        (True, PRICE, "not-a-number"),
        (DateValue("2026-05-04"), PRICE, "date-for-number"),
        (ErrorValue("#N/A"), PRICE, "error-cell"),
        (NoStoredValue(), PRICE, "formula-without-value"),
        (Formatted(0.2, "0%"), PRICE, "wrong-unit"),
        ("16.5 cm", SIZE, "wrong-unit"),
        ('6.5"', SIZE, "wrong-unit"),
        ("6.5 in", SIZE, "wrong-unit"),
        (Formatted(16.5, '0.0" cm"'), SIZE, "wrong-unit"),
        (0.0, SIZE, "out-of-range"),
        ("4-8 ohm", OHM, "wrong-unit"),
        ("1.2 kW", FULL_W, "wrong-unit"),
        ("300 W max", FULL_W, "peak-power"),
        ("peak 300", FULL_W, "peak-power"),
        ("75 W RMS / 150 W peak", RMS, "peak-power"),
        ("2 x 75 W", RMS, "wrong-unit"),
        (4.5, STOCK, "not-whole"),
        ("4.5", STOCK, "not-whole"),
        ("y" * 501, BRIEFS, "too-long"),
        (11.0, RATING, "out-of-range"),
        ("5 stars", RATING, "wrong-unit"),
        ("11/10", RATING, "out-of-range"),
        (80.0, RATING, "out-of-range"),
        (0.01, ALLOWANCE, "ambiguous-percent"),
        ("0.05", ALLOWANCE, "ambiguous-percent"),
        (1.5e16, SKU, "sku-lost-digits"),
        ("1.23E+12", SKU, "sku-lost-digits"),
        (12.5, SKU, "sku-lost-digits"),
        (1.23e12, SKU, "sku-lost-digits"),
        (Formatted(100000.0, "0.00E+00"), SKU, "sku-number-format"),
        (DateValue("2026-01-02"), SKU, "date-for-sku"),
        (True, SKU, "not-a-sku"),
        (Formatted(NAN, "0%"), PRICE, "not-a-number"),
        (Formatted(5.0, "0%"), SKU, "sku-number-format"),
        ("x", ACTIVE, "not-yes-no"),
        (2.0, ACTIVE, "not-yes-no"),
        ("tripple", OPENING, "unknown-choice"),
        (DateValue("2026-01-01"), AWG, "date-for-awg"),
        ("5/0", AWG, "not-a-gauge"),
        ("-2", AWG, "not-a-gauge"),
        ("4 mm2", AWG, "not-a-gauge"),
        (4.5, AWG, "not-a-gauge"),
        ("x" * 501, MODEL, "too-long"),
        ("dollars", SETTING["currency"], "not-a-currency"),
        ("$", SETTING["currency"], "not-a-currency"),
        (21.0, SETTING["tax_rate"], "out-of-range"),
        (45000.0, SETTING["date"], "not-a-date"),
    ],
)
def test_bad_cell_is_a_problem_of_its_kind(value: Any, column: Column, code: str) -> None:  # noqa: ANN401
    found = parse(value, column)
    assert isinstance(found, Problem)
    assert found.code == code


def test_ambiguous_number_says_both_readings() -> None:
    found = parse("1,299", PRICE)
    assert isinstance(found, Problem)
    assert "1299 or 1.299" in found.expected


def test_the_column_settles_an_ambiguous_number() -> None:
    assert parse("1,299", PRICE, Hints(mark=".")) == 129900
    assert parse("1.299", PRICE, Hints(mark=",")) == 129900
    assert parse("1,500", LENGTH, Hints(mark=",")) == 1.5


def test_small_bare_percentage_says_both_readings() -> None:
    found = parse(0.05, ALLOWANCE)
    assert isinstance(found, Problem)
    assert "0.05 % or 5 %" in found.expected


@pytest.mark.parametrize("text", ["n/a", "-", "NaN", "TBC"])
def test_word_for_nothing_known_is_to_be_cleared_where_a_blank_is_allowed(text: str) -> None:
    optional, required = parse(text, sheet_named("Speakers").column("depth_mm")), parse(text, SIZE)
    assert isinstance(optional, Problem)
    assert optional.mend == "clear the cell where nothing is known"
    assert required.mend == "type the number alone, in mm"


def test_formula_without_value_says_how_to_get_one() -> None:
    found = parse(NoStoredValue(), PRICE)
    assert isinstance(found, Problem)
    assert found.mend == "open and save it once in your spreadsheet program"


def test_peak_power_warns_where_the_power_is_optional_and_stops_where_it_is_required() -> None:
    optional, required = parse("300 W max", FULL_W), parse("300 W max", RMS)
    assert optional.severity is Severity.WARNING
    assert required.severity is Severity.FAULT


def test_misspelt_choice_is_told_the_nearest_word() -> None:
    assert parse("duoble", OPENING).mend == "did you mean double?"


def test_price_in_the_shops_own_currency_is_taken() -> None:
    assert parse("£12.50", PRICE, Hints(currency="GBP")) == 1250
    assert parse("12,50 zł", PRICE, Hints(currency="PLN")) == 1250
    assert parse("99 kr", PRICE, Hints(currency="SEK")) == 9900


@given(cents=st.integers(min_value=1, max_value=10**9))
def test_price_written_with_two_decimals_comes_back_to_the_cent(cents: int) -> None:
    assert parse(f"{cents // 100},{cents % 100:02d}", PRICE) == cents
    assert parse(f"{cents // 100}.{cents % 100:02d} €", PRICE) == cents
    assert parse(cents / 100, PRICE) == cents


@given(gauge=st.integers(min_value=-3, max_value=40))
def test_gauge_written_as_on_the_cable_comes_back(gauge: int) -> None:
    text = f"{1 - gauge}/0" if gauge <= 0 else str(gauge)
    assert parse(f"{text} AWG", AWG) == gauge


@given(digits=st.text(alphabet="0123456789", min_size=1, max_size=15))
def test_digits_of_a_text_sku_all_stay(digits: str) -> None:
    assert parse(digits, SKU) == digits
    assert parse(Formatted(float(int(digits)), "0" * max(len(digits), 2)), SKU) == digits.zfill(2)


@given(value=st.text(max_size=20) | st.floats() | st.booleans() | st.none())
def test_any_content_gives_a_value_or_a_problem_in_every_column(value: Any) -> None:  # noqa: ANN401
    for column in (PRICE, SIZE, STOCK, SKU, ACTIVE, OPENING, AWG, ALLOWANCE, BRIEFS, *SETTINGS):
        parse(value or None, column)

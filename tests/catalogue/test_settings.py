"""The Settings sheet: each row read as its declaration says."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest
from openpyxl import Workbook

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.catalogue.settings import SettingRows, build_settings, read_settings
from budgetbuild.catalogue.tables import find_tables
from budgetbuild.faults import Collector
from tests.catalogue.workbooks import sound_book, told, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Settings


def read(tmp_path: Path, *rows: tuple[Any, Any]) -> SettingRows:
    """What a Settings sheet of these rows says."""
    path = write_book(tmp_path / "s.xlsx", {"Settings": [{"Setting": name, "Value": value} for name, value in rows]})
    tables, _ = find_tables(read_sheets(open_package(path)), Collector())
    return read_settings(tables.get("settings"))


def settings(tmp_path: Path, *rows: tuple[Any, Any]) -> Settings:
    """The settings of these rows, which are sound."""
    found = read(tmp_path, *rows)
    assert found.faults.faults == []
    return build_settings(found)


def test_shop_settings_are_read_in_their_own_types(tmp_path: Path) -> None:
    found = settings(
        tmp_path,
        ("shop name", "Quay Sound"),
        ("Currency", "gbp"),
        ("TAX RATE", "21 %"),
        ("Labor rate", "£65.50"),
        ("Date", "2026-11-02"),
    )
    assert (found.shop_name, found.currency, found.tax_rate, found.labour_rate, found.date) == (
        "Quay Sound",
        "GBP",
        Fraction(21, 100),
        6550,
        "2026-11-02",
    )


def test_limits_are_changed_by_their_trade_names(tmp_path: Path) -> None:
    limits = settings(
        tmp_path,
        ("Power ratio least", 0.3),
        ("Speaker cable loss share", "4 %"),
        ("Most amplifiers", 1),
        ("Copper-clad allowed", "no"),
        ("Allowed drop V", "0,4 V"),
        ("Power run m", None),
    ).limits
    assert (limits.ratio_min, limits.cable_loss_share, limits.max_amplifiers) == (0.3, 0.04, 1)
    assert (limits.cca_allowed, limits.allowed_drop_v, limits.power_run_m) == (False, 0.4, 5.0)
    assert isinstance(limits.max_amplifiers, int)


def test_percent_format_counts_as_a_share(tmp_path: Path) -> None:
    workbook = Workbook()
    sheet = workbook.worksheets[0]
    sheet.title = "Settings"
    for row in (["Setting", "Value"], ["Tax rate", 0.21], ["Alternator share", 0.5]):
        sheet.append(row)
    sheet["B2"].number_format = "0%"
    workbook.save(tmp_path / "s.xlsx")
    tables, _ = find_tables(read_sheets(open_package(tmp_path / "s.xlsx")), Collector())
    found = build_settings(read_settings(tables["settings"]))
    assert (found.tax_rate, found.limits.alternator_share) == (Fraction(21, 100), 0.5)


@pytest.mark.parametrize(
    ("label", "value", "share", "notices"),
    [
        ("Tax rate", 21, Fraction(21, 100), 1),
        ("Tax rate", "21", Fraction(21, 100), 1),
        ("Tax rate", "5,5", Fraction(55, 1000), 1),
        ("Tax rate %", 21, Fraction(21, 100), 0),
        ("Tax rate %", 1, Fraction(1, 100), 0),
        ("Tax rate %", "21 %", Fraction(21, 100), 0),
        ("VAT", 0.21, Fraction(21, 100), 0),
        ("VAT", 0, Fraction(0), 0),
    ],
)
def test_share_may_stand_as_a_number_of_percent(
    tmp_path: Path, label: str, value: object, share: Fraction, notices: int
) -> None:
    found = read(tmp_path, (label, value))
    assert build_settings(found).tax_rate == share
    assert [(str(fault.at), fault.code) for fault in found.faults.faults] == [
        ("Settings!B2", "read-as-percent")
    ] * notices


@pytest.mark.parametrize(
    ("label", "value", "code"),
    [
        ("Tax rate", 1, "out-of-range"),
        ("Tax rate", 0.7, "out-of-range"),
        ("Tax rate", "2100 %", "out-of-range"),
        ("Tax rate %", 0.21, "ambiguous-percent"),
        ("Tax rate", "many", "not-a-number"),
        ("Full match from", 0.2, "out-of-range"),
    ],
)
def test_share_that_may_mean_two_things_is_a_fault(tmp_path: Path, label: str, value: object, code: str) -> None:
    assert told(read(tmp_path, (label, value)).faults.faults) == {("Settings!B2", code, "fault")}


def test_unknown_setting_is_warned_of_with_the_nearest_names(tmp_path: Path) -> None:
    found = read(tmp_path, ("Labour rat", 60), (None, 5))
    assert told(found.faults.faults) == {
        ("Settings!A2", "unknown-setting", "warning"),
        ("Settings!A3", "missing-value", "warning"),
    }
    assert "did you mean Labour rate" in found.faults.faults[0].mend


def test_blank_setting_and_row_beside_the_table_keep_the_default(tmp_path: Path) -> None:
    path = write_book(
        tmp_path / "s.xlsx",
        {
            "Settings": [
                {"Setting": "Currency", "Value": 5, "Why": None},
                {"Setting": "Labour rate", "Value": None},
                {"Why": "we are in the euro"},
            ]
        },
    )
    tables, _ = find_tables(read_sheets(open_package(path)), Collector())
    found = read_settings(tables["settings"])
    assert (found.values, set(found.cells)) == ({}, {"currency"})
    assert told(found.faults.faults) == {("Settings!B2", "not-a-currency", "fault")}


def test_setting_that_stands_twice_or_cannot_be_read_is_a_fault(tmp_path: Path) -> None:
    found = read(tmp_path, ("Currency", "EUR"), ("Currency code", "USD"), ("Tax rate", 2100), ("Labour rate", "$ 60"))
    assert told(found.faults.faults) == {
        ("Settings!A3", "doubled-setting", "fault"),
        ("Settings!B4", "out-of-range", "fault"),
        ("Settings!B5", "wrong-currency", "fault"),
    }


def test_least_ratio_above_the_greatest_is_a_fault(tmp_path: Path) -> None:
    found = read(tmp_path, ("Power ratio most", 0.5), ("Bass power ratio least", 2))
    assert told(found.faults.faults) == {
        ("Settings!B2", "range-reversed", "fault"),
        ("Settings!B3", "range-reversed", "fault"),
    }


def test_catalogue_without_settings_keeps_every_default(tmp_path: Path) -> None:
    book = sound_book()
    del book["Settings"]
    catalogue = load_catalogue(write_book(tmp_path / "book.xlsx", book))
    assert catalogue.settings == build_settings(SettingRows())
    assert catalogue.settings.currency == "EUR"


def test_prices_follow_the_currency_of_the_settings(tmp_path: Path) -> None:
    book = sound_book()
    book["Settings"][0]["Value"] = "GBP"
    book["Speakers"][0]["Price"] = "£ 59.90"
    assert load_catalogue(write_book(tmp_path / "book.xlsx", book)).speakers[0].price == 5990

"""The declarations agree with one another, with the items and with the limits."""

from __future__ import annotations

from dataclasses import MISSING, fields

import pytest

from budgetbuild.catalogue import items
from budgetbuild.catalogue.build_items import BUILDERS
from budgetbuild.catalogue.columns import (
    LIMIT_SETTINGS,
    PRODUCT_SHEETS,
    SETTINGS,
    SHEETS,
    SHOP_SETTINGS,
    Kind,
    Sheet,
    SheetKind,
    key,
    sheet_named,
)
from budgetbuild.catalogue.gauge import awg_area
from budgetbuild.catalogue.limits import Limits
from budgetbuild.catalogue.shop import Catalogue, Settings, Weights
from budgetbuild.catalogue.shop_sheets import Part
from budgetbuild.catalogue.units import SPELLINGS
from budgetbuild.catalogue.usage import MAY_USE

ITEMS = {
    "head_units": items.HeadUnit,
    "converters": items.Converter,
    "speakers": items.Speaker,
    "subwoofers": items.Subwoofer,
    "boxes": items.Box,
    "amplifiers": items.Amplifier,
    "power_kits": items.PowerKit,
    "signal_leads": items.SignalLead,
    "speaker_cables": items.SpeakerCable,
    "aerials": items.Aerial,
    "fitting_kits": items.FittingKit,
    "deadening": items.Deadening,
}


def test_every_sheet_fills_a_field_of_the_catalogue() -> None:
    assert {sheet.field for sheet in SHEETS} <= {one.name for one in fields(Catalogue)}
    assert {sheet.field for sheet in PRODUCT_SHEETS} == set(ITEMS)
    assert set(BUILDERS) == set(ITEMS) | {"vehicles", "briefs", "tiers", "promotions", "discounts", "texts"}
    assert set(MAY_USE) == set(ITEMS) | {"labour_hours"}


@pytest.mark.parametrize("sheet", PRODUCT_SHEETS, ids=lambda sheet: sheet.field)
def test_columns_of_a_product_sheet_are_the_fields_of_its_item(sheet: Sheet) -> None:
    computed = {"at", "any_vehicle"}
    item = ITEMS[sheet.field]
    assert {column.field for column in sheet.columns} == {one.name for one in fields(item)} - computed
    needed = {one.name for one in fields(item) if one.default is MISSING and one.default_factory is MISSING}
    assert needed <= {column.field for column in sheet.columns if column.required}


def test_every_limit_has_one_setting_and_every_setting_a_field() -> None:
    assert [column.field for column in LIMIT_SETTINGS] == [one.name for one in fields(Limits)]
    assert {column.field for column in SHOP_SETTINGS} == {one.name for one in fields(Settings)} - {"limits"}
    assert {str(part) for part in Part} == {one.name for one in fields(Weights)}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.field)
def test_names_in_a_sheet_are_told_apart_by_letters_and_digits_alone(sheet: Sheet) -> None:
    names = [name for column in sheet.columns for name in column.keys]
    assert len(names) == len(set(names))


def test_names_of_sheets_and_settings_are_told_apart() -> None:
    assert len({key(sheet.name) for sheet in SHEETS}) == len(SHEETS)
    settings = [name for column in SETTINGS for name in column.keys]
    assert len(settings) == len(set(settings))


def test_every_column_has_help_a_known_unit_and_choices_where_it_needs_them() -> None:
    for column in [*SETTINGS, *(column for sheet in SHEETS for column in sheet.columns)]:
        assert column.help.endswith(".")
        assert column.unit in SPELLINGS
        assert bool(column.choices) == (column.kind is Kind.CHOICE)


def test_rating_is_required_exactly_where_the_role_scores() -> None:
    scoring = {"head_units", "converters", "speakers", "subwoofers", "amplifiers", "deadening"}
    assert {sheet.field for sheet in PRODUCT_SHEETS if sheet.column("rating").required} == scoring


def test_only_vehicles_briefs_and_tiers_are_always_required() -> None:
    assert {sheet.name for sheet in SHEETS if sheet.required} == {"Vehicles", "Briefs", "Tiers"}
    assert {sheet.kind for sheet in SHEETS if sheet.required} == {SheetKind.LIST}


def test_unknown_names_raise() -> None:
    with pytest.raises(KeyError):
        sheet_named("Wheels")
    with pytest.raises(KeyError):
        sheet_named("Tiers").column("wheels")


@pytest.mark.parametrize(("awg", "mm2"), [(-3, 107.2), (0, 53.5), (4, 21.2), (8, 8.37), (16, 1.31)])
def test_wire_gauges_have_the_areas_of_the_published_table(awg: int, mm2: float) -> None:
    assert awg_area(awg) == pytest.approx(mm2, rel=0.005)

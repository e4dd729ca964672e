"""How a cell of a product sheet is filled: each way of the mapping, figures worked out by hand, nothing guessed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.faults import Severity, UserInputError
from tests.pricelist.lists import EVERY, SPEAKERS, WITH_TAX, placed

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.faults import Fault

HEAD = ["Art", "Price", "Kind", "Text"]


def taken(folder: Path, header: str, how: str, *texts: str) -> list[Any]:
    """What a column of speakers gets from texts of the list; `None` where it stays blank."""
    rows = [HEAD, *([f"S{number}", "10", "speaker", text] for number, text in enumerate(texts))]
    found = placed(folder, f"{WITH_TAX}{EVERY}{SPEAKERS}{header} = {how}\n", rows)
    field = next(column.field for column in _columns() if column.header == header.strip('"'))
    return [values.get(field) for values in found.products["speakers"]]


def _columns() -> tuple[Any, ...]:
    from budgetbuild.catalogue.product_sheets import SPEAKERS as SHEET  # noqa: PLC0415 - a name of the lists' own

    return SHEET.columns


def faults(folder: Path, header: str, how: str, *texts: str) -> list[Fault]:
    """What is wrong with texts of the list."""
    with pytest.raises(UserInputError) as caught:
        taken(folder, header, how, *texts)
    return caught.value.faults


BEFORE_MM = '{ column = "Text", before = "mm" }'
BEFORE_W = '{ column = "Text", before = "W" }'


def test_a_column_is_read_as_the_workbooks_own_units_and_marks_included(tmp_path: Path) -> None:
    assert taken(tmp_path, '"Size mm"', '"Text"', "165", "165 mm", "130mm", "") == [165, 165, 130, None]


def test_words_are_translated_and_others_read_as_they_stand(tmp_path: Path) -> None:
    how = """{ column = "Text", words = { '6.5"' = 165, '5.25"' = 130 } }"""
    assert taken(tmp_path, '"Size mm"', how, '6.5"', "165 mm", '5.25"') == [165, 165, 130]


def test_a_word_that_nobody_translated_is_a_fault_in_the_list(tmp_path: Path) -> None:
    how = """{ column = "Text", words = { '6.5"' = 165 } }"""
    (fault,) = faults(tmp_path, '"Size mm"', how, '6.5"', '4"')
    assert (str(fault.at), fault.code) == ("list.csv, line 3, column D", "wrong-unit")


def test_texts_found_in_a_cell_give_their_meaning_and_nothing_where_none_is_found(tmp_path: Path) -> None:
    how = '{ column = "Text", containing = { coax = "coaxial", "comp. set" = "component" } }'
    assert taken(tmp_path, "Type", how, "Three-way COAX", "a comp. set", "speaker") == ["coaxial", "component", None]


def test_texts_that_contradict_one_another_are_a_fault(tmp_path: Path) -> None:
    how = '{ column = "Text", containing = { coax = "coaxial", set = "component" } }'
    (fault,) = faults(tmp_path, "Type", how, "set of two coax")
    assert fault.code == "ambiguous-text"
    assert "coaxial" in fault.expected
    assert "component" in fault.expected


def test_every_row_of_a_group_may_get_the_same(tmp_path: Path) -> None:
    assert taken(tmp_path, "Type", '{ always = "coax" }', "one", "two") == ["coaxial", "coaxial"]
    assert taken(tmp_path, "Ohm", "{ always = 4 }", "one") == [4]


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("coax 165 mm, 60 W", 165),
        ("coax 165mm", 165),
        ("16,5 cm or 2 x 165 mm", 165),
        ("165 mm; grille for 165 mm", 165),
        ("XR165mm", None),
        ("430 x 350 mm", None),
        ("50-60 mm", None),
        ("130/165 mm", None),
        ("1 299 mm", None),
        ("2,5 mm2", None),
        ("no size", None),
    ],
)
def test_the_number_before_a_word_is_taken_only_where_it_stands_alone(
    text: str, size: float | None, tmp_path: Path
) -> None:
    assert taken(tmp_path, '"Size mm"', BEFORE_MM, text) == [size]


@pytest.mark.parametrize(
    ("text", "size"), [("size 165", 165), ("Size165mm", 165), ("size 6x9", None), ("size 130/165", None), ("165", None)]
)
def test_the_number_after_a_word_too(text: str, size: float | None, tmp_path: Path) -> None:
    assert taken(tmp_path, '"Size mm"', '{ column = "Text", after = "size" }', text) == [size]


def test_two_numbers_before_the_word_are_a_fault_that_names_both(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, '"Size mm"', BEFORE_MM, "woofer 165 mm, tweeter 25 mm")
    assert (fault.code, str(fault.at)) == ("ambiguous-number", "list.csv, line 2, column D")
    assert "165 or 25" in fault.expected


@pytest.mark.parametrize("text", ["300 W max", "max. 300 W", "300 W (peak)", "peak power: 300 W"])
def test_maximum_power_is_never_taken(text: str, tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, '"RMS W"', BEFORE_W, text)
    assert fault.code == "peak-power"


@pytest.mark.parametrize("leave_blank", [False, True])
def test_maximum_power_in_a_column_that_may_be_blank_is_a_warning_and_stays_blank(
    leave_blank: bool,  # noqa: FBT001 - of the parametrization
    tmp_path: Path,
) -> None:
    amplifiers = '[[group]]\nsheet = "Amplifiers"\nwhere = { Kind = "amp" }\n[group.columns]\n"W at 4 ohm" = "Text"\n'
    rows = [HEAD, ["A", "10", "amp", "300 W max"]]
    found = placed(tmp_path, f"{WITH_TAX}{EVERY}{amplifiers}", rows, leave_blank=leave_blank)
    assert [(fault.code, fault.severity) for fault in found.faults] == [("peak-power", Severity.WARNING)]
    assert "w_at_4" not in found.products["amplifiers"][0]
    assert {blank.column.header: blank.found for blank in found.blanks}["W at 4 ohm"] == '"300 W max"'


def test_the_continuous_power_beside_a_maximum_is_taken_by_its_own_words(tmp_path: Path) -> None:
    how = '{ column = "Text", before = "W RMS" }'
    assert taken(tmp_path, '"RMS W"', how, "75 W RMS / max 300 W", "4 x 75 W RMS") == [75, 75]


@pytest.mark.parametrize(
    ("unit", "text", "size"),
    [
        ("inch", "6.5", 165.1),
        ("inch", '10"', 254),
        ("inch", "10 inch", 254),
        ("cm", "16,5 cm", 165),
        ("m", "0.165", 165),
    ],
)
def test_a_number_in_another_unit_is_worked_out_exactly(unit: str, text: str, size: float, tmp_path: Path) -> None:
    assert taken(tmp_path, '"Size mm"', f'{{ column = "Text", unit = "{unit}" }}', text) == [size]


def test_a_number_that_bears_another_unit_than_the_one_stated_is_a_fault(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, '"Size mm"', '{ column = "Text", unit = "inch" }', "165 mm")
    assert fault.code == "wrong-unit"


def test_the_range_is_that_of_the_column_after_the_conversion(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, '"Size mm"', '{ column = "Text", unit = "m" }', "6")
    assert fault.code == "out-of-range"


WITHOUT_TAX = '[list]\nprices = "without tax"\ntax = "21 %"\n'


def prices(folder: Path, mapping: str, *texts: str) -> list[int]:
    """Prices of speakers, in cents."""
    rows = [HEAD, *([f"S{number}", text, "speaker", ""] for number, text in enumerate(texts))]
    found = placed(folder, f"{mapping}{EVERY}Cost = 'Price'\n{SPEAKERS}", rows)
    return [int(str(values["price"])) for values in found.products["speakers"]]


def test_tax_is_added_and_each_price_rounded_half_up_to_a_cent_once(tmp_path: Path) -> None:
    # 82.60 x 1.21 = 99.946; 0.50 x 1.21 = 0.605 and 1.50 x 1.21 = 1.815, where half-even would give 0.60 and 1.82;
    # 165.2893 x 1.21 = 200.000053, and rounding the net price first would give 165.29 x 1.21 = 200.0009.
    assert prices(tmp_path, WITHOUT_TAX, "82.60", "0.50", "1.50", "165.2893") == [9995, 61, 182, 20000]


@pytest.mark.parametrize(
    ("text", "code"), [("9" * 40, "out-of-range"), ("-5", "out-of-range"), ("ask", "not-a-number")]
)
def test_a_price_that_is_none_is_a_fault_before_any_tax(text: str, code: str, tmp_path: Path) -> None:
    rows = [HEAD, ["S", text, "speaker", ""]]
    with pytest.raises(UserInputError) as caught:
        placed(tmp_path, f"{WITHOUT_TAX}{EVERY}{SPEAKERS}", rows)
    assert [(str(fault.at), fault.code) for fault in caught.value.faults] == [("list.csv, line 2, column B", code)]


def test_prices_with_tax_stay_as_they_are_and_costs_get_no_tax(tmp_path: Path) -> None:
    assert prices(tmp_path, WITH_TAX, "82.60", "€ 0,50") == [8260, 50]
    rows = [HEAD, ["S", "82.60", "speaker", ""]]
    found = placed(tmp_path, f"{WITHOUT_TAX}{EVERY}Cost = 'Price'\n{SPEAKERS}", rows)
    assert (found.products["speakers"][0]["price"], found.products["speakers"][0]["cost"]) == (9995, 8260)


def test_a_price_that_can_be_read_in_two_ways_is_a_fault_that_says_both(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        prices(tmp_path, WITH_TAX, "1.299")
    price, cost = caught.value.faults
    assert (str(price.at), price.code, price.severity) == (
        "list.csv, line 2, column B",
        "ambiguous-number",
        Severity.FAULT,
    )
    assert "1299 or 1.299" in price.expected
    assert cost.code == "ambiguous-number"


def test_the_mark_that_another_cell_of_the_column_shows_settles_it_and_so_does_the_mapping(tmp_path: Path) -> None:
    assert prices(tmp_path, WITH_TAX, "1.299", "12,50") == [129900, 1250]
    assert prices(tmp_path, f'{WITH_TAX}decimal-mark = ","\n', "1.299") == [129900]
    without = WITHOUT_TAX.replace("21 %", "0 %")
    assert prices(tmp_path, f'{without}decimal-mark = "."\n', "1.299") == [130]


def test_a_price_in_another_currency_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        prices(tmp_path, WITH_TAX, "$ 82.60")
    assert {fault.code for fault in caught.value.faults} == {"wrong-currency"}
    assert prices(tmp_path, f'{WITH_TAX}currency = "USD"\n', "$ 82.60") == [8260]

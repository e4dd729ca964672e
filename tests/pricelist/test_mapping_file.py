"""What is wrong with a mapping file is told at once, at its place; nothing about money is taken for granted."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from budgetbuild.faults import UserInputError
from budgetbuild.pricelist.mapping import Prices
from budgetbuild.pricelist.mapping_file import read_mapping
from tests.pricelist.lists import EVERY, SPEAKERS, WITH_TAX

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.faults import Fault
    from budgetbuild.pricelist.mapping import Mapping

SOUND = f"{WITH_TAX}{EVERY}{SPEAKERS}"


def read(folder: Path, text: str) -> Mapping:
    """A mapping as a file holds it."""
    path = folder / "mapping.toml"
    path.write_text(text, "utf-8")
    return read_mapping(path)


def faults(folder: Path, text: str) -> list[Fault]:
    """What is wrong with it."""
    with pytest.raises(UserInputError) as caught:
        read(folder, text)
    return caught.value.faults


@pytest.mark.parametrize(
    ("text", "place", "expected"),
    [
        (SOUND.replace('"with tax"', '""'), "[list] prices", '"with tax" or "without tax"'),
        (SOUND.replace('prices = "with tax"', ""), "[list] prices", '"with tax" or "without tax"'),
        (SOUND.replace('"with tax"', '"net"'), "[list] prices", '"with tax" or "without tax"'),
        (SOUND.replace('"with tax"', '["with tax"]'), "[list] prices", '"with tax" or "without tax"'),
        (SOUND.replace('"with tax"', '"without tax"'), "[list] tax", "the rate that the prices lack"),
        (SOUND.replace('"with tax"', '"without tax"\ntax = "much"'), "[list] tax", "a share or a percentage"),
        (SOUND.replace('"with tax"', '"with tax"\ntax = "21 %"'), "[list] tax", "nothing"),
        (SOUND.replace('"with tax"', '"with tax"\ncurrency = "money"'), "[list] currency", "three letters"),
        (SOUND.replace('"with tax"', '"with tax"\ndecimal-mark = ";"'), "[list] decimal-mark", "a comma or a point"),
        (SOUND.replace('"with tax"', '"with tax"\nround = "up"'), "[list]", "one of sheet, currency, prices"),
        (f"{SOUND}\n[columms]\nSKU = 'x'", "the file", "one of list, columns, group"),
        (SOUND.replace("SKU =", "Skew ="), "[columns]", "a column of the product sheets"),
        (SOUND.replace("Speakers", "Spekers"), "[[group]] 1 sheet", "a product sheet"),
        (SOUND.replace('"Speakers"', "5"), "[[group]] 1 sheet", "a text"),
        (SOUND.replace('where = { Kind = "speaker" }', ""), "[[group]] 1", "where or containing"),
        (SOUND.replace('{ Kind = "speaker" }', "{ Kind = [] }"), "[[group]] 1 where Kind", "words, in square brackets"),
        (SOUND.replace('{ Kind = "speaker" }', '"speaker"'), "[[group]] 1 where", "a table"),
        (f"{WITH_TAX}{EVERY}", "[[group]]", "at least one group"),
        (f'{SOUND}"Channels" = "Text"', "[[group]] 1 columns", "a column of Speakers"),
        (f'{SOUND}Ohm = {{ before = "ohm" }}', "[[group]] 1 Ohm", "either column or always"),
        (f'{SOUND}Ohm = {{ column = "Text", always = 4 }}', "[[group]] 1 Ohm", "either column or always"),
        (f'{SOUND}Ohm = {{ column = "Text", unit = "inch" }}', "[[group]] 1 Ohm unit", "no unit"),
        (f'{SOUND}"Size mm" = {{ column = "Text", unit = "yard" }}', "[[group]] 1 Size mm unit", "one of cm, m, inch"),
        (f'{SOUND}Type = {{ column = "Text", before = "x" }}', "[[group]] 1 Type", "a column of numbers"),
        (f'{SOUND}Ohm = {{ column = "Text", befor = "x" }}', "[[group]] 1 Ohm", "one of column, always"),
        (f"{SOUND}Ohm = 4", "[[group]] 1 Ohm", "a table"),
    ],
)
def test_what_is_wrong_is_told_at_its_place(text: str, place: str, expected: str, tmp_path: Path) -> None:
    found = faults(tmp_path, text)
    assert [str(fault.at) for fault in found] == [f"mapping.toml: {place}"]
    assert expected in found[0].expected


def test_everything_that_is_wrong_is_told_at_once(tmp_path: Path) -> None:
    text = SOUND.replace('"with tax"', '"net"').replace("SKU =", "Skew =").replace("Speakers", "Spekers")
    assert len(faults(tmp_path, text)) == 3


def test_a_file_that_is_no_toml_is_told_with_its_line(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, "[list]\nprices = with tax\n")
    assert "line 2" in fault.found


@pytest.mark.parametrize("rate", ['"21 %"', "21", "0.21", '"0.21"'])
def test_a_tax_rate_is_read_as_in_the_settings(rate: str, tmp_path: Path) -> None:
    mapping = read(tmp_path, SOUND.replace('"with tax"', f'"without tax"\ntax = {rate}'))
    assert (mapping.prices, mapping.tax) == (Prices.WITHOUT_TAX, Decimal("0.21"))


def test_names_of_sheets_and_columns_are_matched_as_in_the_workbook(tmp_path: Path) -> None:
    text = SOUND.replace('"Speakers"', '"SPEAKER"').replace("SKU =", '"Article number" =') + '"Impedance" = "Z"'
    (group,) = read(tmp_path, text).groups
    assert group.sheet is not None
    assert group.sheet.name == "Speakers"
    assert {field: take.column for field, take in group.columns.items()} == {"sku": "Art", "price": "Price", "ohm": "Z"}


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        read_mapping(tmp_path / "nowhere.toml")
    assert caught.value.faults[0].code == "no-such-file"

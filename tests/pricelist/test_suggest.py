"""A suggested mapping holds nothing until it is confirmed; confirmed where it is right, it sorts the list."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli import main
from budgetbuild.faults import UserInputError
from budgetbuild.pricelist.mapping_file import read_mapping
from budgetbuild.pricelist.suggest import suggest_mapping
from budgetbuild.report.pages.mapping import render_mapping
from tests.pricelist.lists import placed, write_csv, write_xlsx

if TYPE_CHECKING:
    from pathlib import Path

ROWS = [
    ["Stock list of the week"],
    ["Article no", "Maker", "Model name", "Product group", "Selling price", "Impedance", 'Odd "name"'],
    ["00123", "Quovane", "C16", "Coaxials", "99.95", "4", "a"],
    ["00124", "Quovane", "C13", "Coaxials", "49.95", "4 ohm", "b"],
    ["A400", "Zebrin", "Four", "Amps", "249.00", "", "c"],
    ["H1", "Zebrin", "Horn", "Horns", "9.00", "", "d"],
    ["H2", "Zebrin", "Horn", "Horns", "9.50", "", "e"],
]


def suggested(path: Path) -> str:
    """The text of the mapping suggested for a list."""
    return render_mapping(suggest_mapping(path)).decode()


def confirmed(text: str) -> str:
    """The mapping with every suggestion confirmed, and what only the shop knows filled in."""
    text = re.sub(r"^# (.*) # perhaps;", r"\1 #", text, flags=re.MULTILINE)
    text = re.sub(r'^sheet = "" +# perhaps (".*")$', r"sheet = \1", text, flags=re.MULTILINE)
    return text.replace('prices = ""', 'prices = "with tax"')


def test_it_is_toml_that_settles_nothing(tmp_path: Path) -> None:
    written = tomllib.loads(suggested(write_csv(tmp_path / "list.csv", ROWS)))
    assert written["list"] == {"currency": "EUR", "prices": ""}
    assert written["columns"] == {}
    assert [(group["where"], group["sheet"], group["columns"]) for group in written["group"]] == [
        ({"Product group": [word]}, "", {}) for word in ("Coaxials", "Amps", "Horns")
    ]


def test_as_it_is_it_sorts_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, out = write_csv(tmp_path / "list.csv", ROWS), tmp_path / "catalogue.xlsx"
    assert main(["import", str(path), "--suggest", str(tmp_path / "mapping.toml")]) == 0
    capsys.readouterr()
    assert main(["import", str(path), str(tmp_path / "mapping.toml"), "--out", str(out)]) == 2
    assert "say whether they include tax" in capsys.readouterr().err
    assert not out.exists()


def test_it_suggests_what_the_names_of_columns_and_groups_say(tmp_path: Path) -> None:
    found = suggest_mapping(write_csv(tmp_path / "list.csv", ROWS))
    assert {guess.name: guess.column for guess in found.common if guess.column} == {
        "SKU": "Article no",
        "Brand": "Maker",
        "Model": "Model name",
        "Price": "Selling price",
    }
    assert [(group.word, group.rows, group.sheet) for group in found.groups] == [
        ("Coaxials", 2, "Speakers"),
        ("Amps", 1, "Amplifiers"),
        ("Horns", 2, ""),
    ]
    assert {guess.name: guess.column for guess in found.sheets["Speakers"] if guess.column} == {"Ohm": "Impedance"}


def test_confirmed_it_sorts_the_list(tmp_path: Path) -> None:
    text = confirmed(suggested(write_csv(tmp_path / "list.csv", ROWS)))
    found = placed(tmp_path, text, ROWS)
    assert [(one["sku"], one["price"], one["ohm"]) for one in found.products["speakers"]] == [
        ("00123", 9995, 4),
        ("00124", 4995, 4),
    ]
    assert [one["sku"] for one in found.products["amplifiers"]] == ["A400"]
    assert [one.texts[1] for one in found.left_over] == ["H1", "H2"]


def test_every_column_of_the_list_and_of_the_product_sheets_is_named(tmp_path: Path) -> None:
    found = suggest_mapping(write_csv(tmp_path / "list.csv", ROWS))
    text = render_mapping(found).decode()
    for name in ROWS[1]:
        assert name.replace('"', '\\"') in text
    for guess in [*found.common, *(guess for guesses in found.sheets.values() for guess in guesses)]:
        assert f'"{guess.name}" = ' in text


@pytest.mark.parametrize("rows", [[["odd one", "odd two"], ["1", "2"], ["3", "4"]], [["alone"], ["1"]]])
def test_a_list_that_says_nothing_gets_an_empty_mapping_that_explains_itself(
    rows: list[list[str]], tmp_path: Path
) -> None:
    text = suggested(write_csv(tmp_path / "list.csv", rows))
    assert tomllib.loads(text) == {"list": {"currency": "EUR", "prices": ""}, "columns": {}}
    assert "[[group]]" in text
    assert f'"{rows[0][0]}": {len(rows) - 1} different' in text


def test_a_workbook_is_looked_at_like_a_text_table(tmp_path: Path) -> None:
    from_text = suggest_mapping(write_csv(tmp_path / "list.csv", ROWS))
    from_book = suggest_mapping(write_xlsx(tmp_path / "list.xlsx", ROWS))
    assert from_book.groups == from_text.groups
    assert from_book.common == from_text.common
    written = tomllib.loads(render_mapping(from_book).decode())
    assert written["list"]["sheet"] == "List"


def test_names_that_toml_would_take_for_something_else_are_quoted(tmp_path: Path) -> None:
    rows = [[name.replace("Product group", 'Kind "\\" # of') for name in row] for row in ROWS]
    text = confirmed(suggested(write_csv(tmp_path / "list.csv", rows)))
    (tmp_path / "mapping.toml").write_text(text, "utf-8")
    assert 'Kind "\\" # of' in read_mapping(tmp_path / "mapping.toml").names()


def test_a_list_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("<html>", "utf-8")
    with pytest.raises(UserInputError) as caught:
        suggest_mapping(tmp_path / "list.csv")
    assert [fault.code for fault in caught.value.faults] == ["web-page"]


def test_a_mapping_that_is_there_stays_as_it_is(tmp_path: Path) -> None:
    path, mapping = write_csv(tmp_path / "list.csv", ROWS), tmp_path / "mapping.toml"
    mapping.write_text("confirmed by hand", "utf-8")
    assert main(["import", str(path), "--suggest", str(mapping)]) == 2
    assert mapping.read_text("utf-8") == "confirmed by hand"
    assert main(["import", str(path), "--suggest", str(mapping), "--force"]) == 0
    assert mapping.read_text("utf-8") == suggested(path)

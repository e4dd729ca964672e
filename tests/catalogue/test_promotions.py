"""The sheets of promotions and discount ceilings: read as they are meant, every fault at its cell."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.build import Role
from budgetbuild.catalogue.asked import Asked
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.promotion import Discounted, discounted
from budgetbuild.faults import Severity, UserInputError
from budgetbuild.trade.promotion import ROLES
from tests.catalogue.workbooks import faults_of, sound_book, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.faults import Fault

BRIEF, TIER = sound_book()["Briefs"][0]["Brief"], "First"
Row = dict[str, Any]


def promotion(**cells: object) -> Row:
    """A sound row, but for what is told otherwise."""
    row: Row = {
        "Promotion": "Spring", "Brief": BRIEF, "Tier": None, "Bundle price": 599, "Sets": 4,
        "Margin floor in %": "20 %", "Margin floor per set": None, "Must clear": None, "Clear at least": None,
    }  # fmt: skip
    return row | {name.replace("_", " "): value for name, value in cells.items()}


def written(tmp_path: Path, *rows: Row, discounts: list[Row] | None = None, tax: bool = True) -> Path:
    """The sound catalogue with promotions, costs and a tax rate."""
    book = sound_book() | {"Promotions": list(rows)}
    if discounts:
        book["Discounts"] = discounts
    if tax:
        book["Settings"].append({"Setting": "Tax rate", "Value": "21 %"})
    for speaker in book["Speakers"]:
        speaker["Cost"] = 30
    return write_book(tmp_path / "book.xlsx", book)


def only(faults: list[Fault]) -> tuple[str, str]:
    """Code and place of the one fault that stops the run."""
    stopping = [fault for fault in faults if fault.severity is Severity.FAULT]
    assert len(stopping) == 1, stopping
    return stopping[0].code, str(stopping[0].at)


def test_a_promotion_is_read_with_its_figures(tmp_path: Path) -> None:
    discounts: list[Row] = [
        {"Promotion": "all", "For": "Amplifiers", "Most %": 12.5},
        {"Promotion": "spring", "For": "Alva", "Most %": "5 %"},
    ]
    row = promotion(Margin_floor_per_set=25.5, Must_clear="sp-1; SP-2")
    catalogue = load_catalogue(written(tmp_path, row, discounts=discounts))
    found = catalogue.promotions[0]
    assert (found.name, found.price, found.tier, found.sets) == ("Spring", 59900, "", 4)
    assert (found.floor_share, found.floor) == (Fraction(1, 5), 2550)
    assert (found.clear, found.clear_least) == (("sp-1", "SP-2"), 1)
    amplifiers, alva = catalogue.discounts
    assert (amplifiers.promotions, amplifiers.part, amplifiers.most) == ((), Discounted.AMPLIFIER, Fraction(1, 8))
    assert (alva.promotions, alva.part, alva.most) == (("spring",), None, Fraction(1, 20))


def test_blank_cells_mean_one_set_no_floor_and_nothing_to_clear(tmp_path: Path) -> None:
    row = {"Promotion": "Spring", "Brief": BRIEF, "Tier": TIER}
    found = load_catalogue(written(tmp_path, row)).promotions[0]
    assert (found.tier, found.price, found.sets, found.clear_least) == (TIER, None, 1, 0)
    assert not found.has_floor


FAULTY = [
    (promotion(Tier=TIER), "two-prices", "Promotions!D2"),
    (promotion(Bundle_price=None), "missing-value", "Promotions!D2"),
    (promotion(Brief=BRIEF[:-1]), "unknown-name", "Promotions!B2"),
    (promotion(Bundle_price=None, Tier="Frist"), "unknown-name", "Promotions!C2"),
    (promotion(Sets=0), "out-of-range", "Promotions!E2"),
    (promotion(Sets=1.5), "not-whole", "Promotions!E2"),
    (promotion(**{"Margin floor in %": 0.2}), "ambiguous-percent", "Promotions!F2"),
    (promotion(**{"Margin floor in %": None}), "unbounded-discount", "Promotions!D2"),
    (promotion(Must_clear="SP-9"), "unknown-name", "Promotions!H2"),
    (promotion(Must_clear="Alva"), "unknown-name", "Promotions!H2"),
    (promotion(Clear_at_least=2), "nothing-to-clear", "Promotions!I2"),
    (promotion(Must_clear="SP-1; sp-1", Clear_at_least=2), "too-many-to-clear", "Promotions!I2"),
]


@pytest.mark.parametrize(("row", "code", "at"), FAULTY)
def test_every_fault_is_told_at_its_cell(tmp_path: Path, row: Row, code: str, at: str) -> None:
    assert only(faults_of(written(tmp_path, row))) == (code, at)


def test_a_misspelt_name_comes_with_the_nearest(tmp_path: Path) -> None:
    (fault,) = [
        one for one in faults_of(written(tmp_path, promotion(Must_clear="SP-11"))) if one.code == "unknown-name"
    ]
    assert "SP-1" in fault.mend


def test_a_name_stands_once(tmp_path: Path) -> None:
    faults = faults_of(written(tmp_path, promotion(), promotion(Promotion="SPRING")))
    assert only(faults) == ("duplicate-name", "Promotions!A3")


def test_a_floor_without_a_tax_rate_cannot_be_reckoned(tmp_path: Path) -> None:
    assert only(faults_of(written(tmp_path, promotion(), tax=False))) == ("no-tax-rate", "Promotions!F2")


def test_a_floor_without_any_cost_cannot_be_reckoned(tmp_path: Path) -> None:
    book = sound_book() | {"Promotions": [promotion()]}
    book["Settings"].append({"Setting": "Tax rate", "Value": "21 %"})
    assert only(faults_of(write_book(tmp_path / "book.xlsx", book))) == ("no-costs", "Promotions!F2")


def test_a_brief_for_several_vehicles_is_refused(tmp_path: Path) -> None:
    book = sound_book() | {"Promotions": [promotion(Bundle_price=None, Tier=TIER, **{"Margin floor in %": None})]}
    book["Vehicles"].append(book["Vehicles"][0] | {"Vehicle": "Another"})
    book["Briefs"][0]["Vehicle"] = "all"
    assert only(faults_of(write_book(tmp_path / "book.xlsx", book))) == ("several-vehicles", "Promotions!B2")


def test_a_ceiling_for_all_parts_bounds_a_bundle_price_without_a_floor(tmp_path: Path) -> None:
    row = promotion(**{"Margin floor in %": None})
    discounts = [{"Promotion": None, "For": "all", "Most %": 10}]
    assert load_catalogue(written(tmp_path, row, discounts=discounts)).promotions[0].price == 59900
    others = [{"Promotion": "Autumn", "For": "all", "Most %": 10}]
    codes = {fault.code for fault in faults_of(written(tmp_path, row, discounts=others))}
    assert {"unknown-name", "unbounded-discount"} <= codes


@pytest.mark.parametrize(
    ("row", "code", "at"),
    [
        ({"Promotion": "Sprung", "For": "all", "Most %": 10}, "unknown-name", "Discounts!A2"),
        ({"Promotion": None, "For": "amplifer", "Most %": 10}, "unknown-name", "Discounts!B2"),
        ({"Promotion": None, "For": "amplifier", "Most %": 101}, "out-of-range", "Discounts!C2"),
        ({"Promotion": None, "For": "amplifier", "Most %": 0.15}, "ambiguous-percent", "Discounts!C2"),
    ],
)
def test_a_faulty_ceiling_is_told_at_its_cell(tmp_path: Path, row: Row, code: str, at: str) -> None:
    assert only(faults_of(written(tmp_path, promotion(), discounts=[row]))) == (code, at)


def test_a_ceiling_stands_once_for_a_promotion(tmp_path: Path) -> None:
    discounts: list[Row] = [
        {"Promotion": "Spring", "For": "amplifier", "Most %": 10},
        {"Promotion": None, "For": "amplifier", "Most %": 20},
        {"Promotion": "Spring", "For": "Amplifiers", "Most %": 30},
    ]
    assert only(faults_of(written(tmp_path, promotion(), discounts=discounts))) == ("duplicate-name", "Discounts!B4")


def test_a_brief_that_a_promotion_alone_names_is_in_use(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"].append(book["Briefs"][0] | {"Brief": "Other", "Vehicle": "Nowhere"})
    book["Tiers"][0]["Briefs"] = BRIEF
    assert not [
        one for one in load_catalogue(write_book(tmp_path / "a.xlsx", book)).warnings if one.severity is Severity.FAULT
    ]
    book["Promotions"] = [{"Promotion": "Spring", "Brief": "Other", "Tier": TIER}]
    assert only(faults_of(write_book(tmp_path / "b.xlsx", book))) == ("unknown-name", "Briefs!B3")


def test_one_brief_at_the_counter_needs_no_promotion(tmp_path: Path) -> None:
    path = written(tmp_path, promotion(Brief="no such brief"))
    with pytest.raises(UserInputError):
        load_catalogue(path)
    assert load_catalogue(path, Asked(brief=BRIEF)).promotions == ()


def test_every_line_but_labour_is_of_a_kind_that_a_ceiling_may_name() -> None:
    assert {role for roles in ROLES.values() for role in roles} == set(Role) - {Role.LABOUR}


@pytest.mark.parametrize("kind", Discounted)
def test_a_kind_of_part_may_be_named_in_the_plural_and_in_any_case(kind: Discounted) -> None:
    assert discounted(kind.upper()) is kind
    assert discounted(f" {kind}s") is kind or kind in {Discounted.BOX, Discounted.ALL}

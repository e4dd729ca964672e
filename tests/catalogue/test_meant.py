"""Which vehicles a brief means, how many of them it asks for, and how much each counts."""

from __future__ import annotations

from copy import deepcopy
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue.asked import Asked
from budgetbuild.catalogue.listed import names_of
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.meant import meant_by
from budgetbuild.faults import UserInputError
from tests.catalogue.workbooks import Book, faults_of, sound_book, told, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.faults import Fault

NAMES = ("Kestrel Hatch", "Fenn Coupe", "Tarn Saloon")


def three(vehicle: object, weights: tuple[object, ...] = (), share: object = None) -> Book:
    """The sound catalogue with three vehicles alike, and a brief that says this of its vehicle."""
    book = sound_book()
    own = book["Vehicles"][0]
    book["Vehicles"] = [deepcopy(own) | {"Vehicle": name} for name in NAMES]
    for row, weight in zip(book["Vehicles"], weights, strict=False):
        row["Weight"] = weight
    book["Briefs"] = [book["Briefs"][0] | {"Vehicle": vehicle, "Share %": share}]
    book["Fitting kits"] = [kit | {"Vehicles": "any"} for kit in book["Fitting kits"]]
    return book


def loaded(tmp_path: Path, book: Book) -> Catalogue:
    """The catalogue."""
    return load_catalogue(write_book(tmp_path / "book.xlsx", book))


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("Fenn Coupe; Kestrel Hatch", ("Kestrel Hatch", "Fenn Coupe")),
        ("fenn coupe;kestrel  hatch; Fenn Coupe;", ("Kestrel Hatch", "Fenn Coupe")),
        ("all", NAMES),
        ("All vehicles", NAMES),
        ("any", NAMES),
    ],
)
def test_several_vehicles_are_named_once_each_in_the_order_of_their_sheet(
    tmp_path: Path, written: str, meant: tuple[str, ...]
) -> None:
    (brief,) = loaded(tmp_path, three(written)).briefs
    assert (brief.is_kit, brief.vehicle, brief.vehicles, brief.share) == (True, "", meant, Fraction(1))


@pytest.mark.parametrize("written", ["Fenn Coupe", " fenn  coupe ", "Fenn Coupe;"])
def test_one_name_is_one_vehicle_as_it_always_was(tmp_path: Path, written: str) -> None:
    (brief,) = loaded(tmp_path, three(written)).briefs
    assert (brief.is_kit, brief.vehicle, brief.vehicles) == (False, "Fenn Coupe", ())


def test_all_of_one_vehicle_is_that_vehicle(tmp_path: Path) -> None:
    book = three("all")
    book["Vehicles"] = book["Vehicles"][:1]
    (brief,) = loaded(tmp_path, book).briefs
    assert (brief.is_kit, brief.vehicle) == (False, "Kestrel Hatch")


def test_a_vehicle_whose_own_name_has_a_semicolon_or_is_all_can_still_be_named() -> None:
    assert meant_by(("Marl", "long"), ["Marl; long", "Fenn"]) == ("Marl; long",)
    assert meant_by(("all",), ["All", "Fenn"]) == ("All",)


def test_each_unknown_name_is_told_with_the_nearest(tmp_path: Path) -> None:
    faults = faults_of(write_book(tmp_path / "book.xlsx", three("Fenn Cupe; Tarn Saloon; Nowhere")))
    assert [(str(one.at), one.found) for one in faults] == [("Briefs!B2", '"Fenn Cupe"'), ("Briefs!B2", '"Nowhere"')]
    assert faults[0].mend == "did you mean Fenn Coupe?"


def test_a_cell_of_separators_names_nothing(tmp_path: Path) -> None:
    assert ("Briefs!B2", "missing-value", "fault") in told(faults_of(write_book(tmp_path / "b.xlsx", three(" ; "))))


@pytest.mark.parametrize(("share", "meant"), [(80, Fraction(4, 5)), ("66.6 %", Fraction(333, 500)), (100, Fraction(1))])
def test_the_share_counts_in_percent(tmp_path: Path, share: object, meant: Fraction) -> None:
    (brief,) = loaded(tmp_path, three("all", share=share)).briefs
    assert brief.share == meant


@pytest.mark.parametrize(("share", "code"), [(0.8, "ambiguous-percent"), (0, "out-of-range"), (101, "out-of-range")])
def test_a_share_that_may_mean_two_things_or_none_is_a_fault(tmp_path: Path, share: float, code: str) -> None:
    book = write_book(tmp_path / "book.xlsx", three("all", share=share))
    assert ("Briefs!", code) in {(str(one.at)[:7], one.code) for one in faults_of(book)}


def test_a_share_of_one_vehicle_is_not_used_and_said_so(tmp_path: Path) -> None:
    catalogue = loaded(tmp_path, three("Fenn Coupe", share=80))
    assert [(one.code, one.severity) for one in catalogue.warnings if "Share" in one.expected] == [
        ("ignored-value", "notice")
    ]
    assert catalogue.briefs[0].share == 1


def test_weights_are_whole_or_decimals_and_one_where_blank(tmp_path: Path) -> None:
    catalogue = loaded(tmp_path, three("all", (3, "0.25", None)))
    assert [vehicle.weight for vehicle in catalogue.vehicles] == [3.0, 0.25, 1.0]
    catalogue = loaded(tmp_path, three("all", (1 / 3, 48_210, 0.001)))
    assert [vehicle.weight for vehicle in catalogue.vehicles] == [0.333, 48210.0, 0.001]


def _codes(faults: list[Fault]) -> set[tuple[str, str]]:
    return {(one.code, one.severity) for one in faults}


def test_a_weight_that_cannot_be_read_stops_only_where_a_brief_counts_it(tmp_path: Path) -> None:
    several = write_book(tmp_path / "a.xlsx", three("all", (0, 1, 1)))
    assert ("out-of-range", "fault") in _codes(faults_of(several))
    one = loaded(tmp_path, three("Kestrel Hatch", (0, 1, 1)))
    assert ("out-of-range", "warning") in _codes(list(one.warnings))


def test_every_vehicle_of_a_brief_for_several_states_its_opening(tmp_path: Path) -> None:
    book = three("all")
    del book["Vehicles"][1]["Opening"]
    assert ("Vehicles!B3", "missing-value", "fault") in told(faults_of(write_book(tmp_path / "book.xlsx", book)))
    book["Briefs"][0]["Vehicle"] = "Kestrel Hatch; Tarn Saloon"
    assert ("Vehicles!B3", "blank-assumed", "notice") in told(list(loaded(tmp_path, book).warnings))


def test_at_the_counter_a_brief_for_several_is_asked_for_in_one(tmp_path: Path) -> None:
    path = write_book(tmp_path / "book.xlsx", three("all"))
    with pytest.raises(UserInputError) as caught:
        load_catalogue(path, Asked())
    (fault,) = caught.value.faults
    assert (str(fault.at), fault.code, fault.mend) == ("--vehicle", "several-vehicles", "name the customer's vehicle")
    (brief,) = load_catalogue(path, Asked(vehicle="tarn saloon")).briefs
    assert (brief.is_kit, brief.vehicle) == (False, "Tarn Saloon")


def test_a_list_of_briefs_says_which_are_for_several(tmp_path: Path) -> None:
    listed = names_of(write_book(tmp_path / "book.xlsx", three("all")))
    assert [(brief.vehicle, brief.several) for brief in listed.briefs] == [("", True)]
    listed = names_of(write_book(tmp_path / "book.xlsx", three("fenn coupe")))
    assert [(brief.vehicle, brief.several) for brief in listed.briefs] == [("Fenn Coupe", False)]

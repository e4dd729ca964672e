"""Names of files made from names of vehicles: safe on every system, and never the same twice."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.fleet.file_names import RESERVED, file_names


@given(st.lists(st.text(max_size=300)))
def test_any_names_give_files_that_differ_and_stay_in_their_folder(names: list[str]) -> None:
    found = file_names(names, ".html")
    assert len({name.casefold() for name in found}) == len(names)
    for name in found:
        assert name.endswith(".html")
        plain = name.removesuffix(".html")
        assert all(mark.isalnum() or mark in "-~" for mark in plain)
        assert plain
        assert not plain.startswith("-")
        assert plain.casefold() not in RESERVED
        assert len(name.encode()) < 200


def test_a_number_is_no_name_that_another_vehicle_may_have() -> None:
    assert file_names(["A B", "a b", "A B 2", "A-B~2", "A  B"], "") == ["A-B", "a-b~2", "A-B-2", "A-B-2~2", "A-B~3"]

"""`build --into-copy`: what is asked for, whether it can be done, and what it will not be like."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from budgetbuild.catalogue.load import catalogue_from
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.places import find_places
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.cli.console import print_faults
from budgetbuild.cli.loading import is_same, told
from budgetbuild.faults import Cell, Fault, Severity, UserInputError
from budgetbuild.report.save import by_folder

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.sheets.into_copy import ShopWorkbook
    from budgetbuild.report.shown import Report


def load_both(arguments: argparse.Namespace) -> tuple[Catalogue, ShopWorkbook]:
    """The catalogue, and the workbook that it stands in, of which a copy is asked for.

    What the copy will not be like is told at once.

    Raises:
        UserInputError: The catalogue has faults, or no copy can be made of it, or none under that name.
    """
    path, target = arguments.catalogue, arguments.into_copy
    from budgetbuild.report.graft.survey import survey
    from budgetbuild.report.sheets.into_copy import ShopWorkbook

    package = open_package(path)
    found = [*_misplaced(arguments), *survey(package.data, package.name, target.name)]
    stopping = [fault for fault in found if fault.severity is Severity.FAULT]
    if stopping:
        raise UserInputError(stopping)
    raw = read_sheets(package)
    catalogue = told(arguments, catalogue_from(package, raw, prices=arguments.prices))
    _tell(found)
    return catalogue, ShopWorkbook(package.data, find_places(catalogue, raw))


def copy_of(shop: ShopWorkbook, report: Report, alone: bytes) -> bytes:
    """The copy with its result sheets; where they are not as in a workbook of their own is told at once.

    Args:
        shop: The workbook.
        report: What the sheets show.
        alone: The result sheets as a workbook of their own.
    """
    from budgetbuild.report.sheets.into_copy import render_into_copy

    copy = render_into_copy(report, shop, alone)
    _tell(copy.told)
    return copy.content


def placed(
    files: Mapping[str, bytes], copy: bytes | None, arguments: argparse.Namespace
) -> dict[Path, dict[str, bytes]]:
    """Where everything goes: the files into their folder, the copy where it is asked for."""
    paths = {arguments.out / name: content for name, content in files.items()}
    return by_folder(paths if copy is None else {**paths, arguments.into_copy: copy})


def _misplaced(arguments: argparse.Namespace) -> Iterator[Fault]:
    """Why a copy cannot stand where it is asked for."""
    target, out = arguments.into_copy, arguments.out
    if is_same(target, arguments.catalogue):
        yield _fault("copy-over-original", target, "another file than the catalogue itself")
    elif is_same(target, arguments.prices):
        yield _fault("copy-over-prices", target, "another file than that of --prices")
    elif os.path.realpath(target.parent) == os.path.realpath(out) and target.name.casefold() == "tiers.xlsx":
        yield _fault("copy-over-output", target, f"a name that none of the other files in {out} has")
    if os.path.isdir(target):  # noqa: PTH112 - also where nobody may look
        yield _fault("not-a-file", target, "the name of a file, not a folder")


def _fault(code: str, target: Path, expected: str) -> Fault:
    return Fault(Cell("--into-copy"), code, str(target), expected, "write another name")


def _tell(faults: Sequence[Fault]) -> None:
    """Say what the copy will not be like, before it is written; also where nothing else is said."""
    if faults:
        print_faults(faults, "About the copy; nothing has been written yet.")

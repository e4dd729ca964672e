"""A look at a shop's workbook before sheets are added to a copy: what stops that, and what it changes."""

from __future__ import annotations

import zipfile
from typing import TYPE_CHECKING

from budgetbuild.catalogue.package import damaged
from budgetbuild.faults import Cell, Fault, Severity
from budgetbuild.report.graft.markup import Element, parse
from budgetbuild.report.graft.parts import MAIN, Parts, read_parts

if TYPE_CHECKING:
    from collections.abc import Iterator

_OPEN, _MACROS = "application/vnd.openxmlformats-officedocument.spreadsheetml", "application/vnd.ms-excel"
ENDINGS = {
    f"{_OPEN}.sheet.main+xml": ".xlsx",
    f"{_MACROS}.sheet.macroEnabled.main+xml": ".xlsm",
    f"{_OPEN}.template.main+xml": ".xltx",
    f"{_MACROS}.template.macroEnabled.main+xml": ".xltm",
}
"""Ending that a spreadsheet program insists on, by what the workbook says that it is."""
TRUE = frozenset({"1", "true", "on"})
_SAVE_AS = "save it as an Excel workbook (.xlsx) in your spreadsheet program"


def survey(data: bytes, name: str, target: str) -> list[Fault]:
    """What stops a copy with more sheets, or changes by it.

    Args:
        data: The shop's workbook, safe to open.
        name: Its file name.
        target: File name of the copy.

    Returns:
        Faults where no copy can be made; warnings and notices of what is not there any more as it was.
    """
    try:
        parts = read_parts(data)
        book = parse(parts.content[parts.workbook])
        found = [*_stopping(parts, book, name, target)]
        return found or [*_changing(parts, book, name)]
    except (ValueError, LookupError, RecursionError, zipfile.BadZipFile):
        return [damaged(name)]


def _stopping(parts: Parts, book: Element, name: str, target: str) -> Iterator[Fault]:
    """Why no sheets can be added."""
    if book.namespace != MAIN:
        expected = "a workbook of the usual kind, not of the strict one"
        yield Fault(Cell(), "strict-workbook", name, expected, _SAVE_AS)
        return
    ending = ENDINGS.get(parts.type_of(parts.workbook))
    if ending is None:
        yield Fault(Cell(), "not-a-workbook", name, "a workbook or template with sheets", _SAVE_AS)
    elif not target.lower().endswith(ending):
        macros = " with its macros" if ending.endswith("m") else ""
        expected = f"a name that ends in {ending}, as a copy of {name}{macros} must"
        yield Fault(Cell("--into-copy"), "wrong-ending", target, expected, f"write {target.rpartition('.')[0]}{ending}")
    if parts.related(parts.workbook, "revisionHeaders"):
        expected = "a workbook that is not shared with a log of changes, which allows no tables"
        yield Fault(Cell(), "shared-workbook", name, expected, "stop sharing it, save it, and run again")


def _changing(parts: Parts, book: Element, name: str) -> Iterator[Fault]:
    """What is different in the copy, though every part of it is there."""
    if any("digital-signature" in one.type for one in parts.relations("")):
        yield _told("signature-void", f"the signature of {name}", "it is void in the copy, which holds more; sign anew")
    if _set(book.find("workbookProtection"), "lockStructure"):
        mend = "sheets are added to the copy all the same; it stays protected"
        yield _told("structure-protected", f"the protected structure of {name}", mend, Severity.NOTICE)
    calculation = book.find("calcPr")
    if calculation is not None and calculation.attributes.get("calcMode") == "manual":
        yield _told("manual-calculation", f"{name} calculates by hand", "press F9 after a change, or totals stay")
    if calculation is not None and calculation.attributes.get("fullPrecision") in {"0", "false", "off"}:
        yield _told("precision-as-shown", f"{name} keeps numbers as displayed", "it holds for the result sheets too")
    if book.find("customWorkbookViews") is not None:
        mend = "they come along, but a spreadsheet program does not offer them where a workbook has tables"
        yield _told("custom-views", f"the custom views of {name}", mend)


def _set(element: Element | None, key: str) -> bool:
    return element is not None and element.attributes.get(key, "").lower() in TRUE


def _told(code: str, found: str, mend: str, severity: Severity = Severity.WARNING) -> Fault:
    return Fault(Cell("--into-copy"), code, found, "the same in the copy", mend, severity)

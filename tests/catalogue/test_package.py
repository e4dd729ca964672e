"""Files that are no price list: each is refused in plain words before any reader library sees it."""

from __future__ import annotations

import io
import zipfile
from typing import TYPE_CHECKING

import pytest
import xlsxwriter

from budgetbuild.catalogue import package
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.package import open_package
from budgetbuild.faults import Cell, UserInputError
from tests.catalogue.workbooks import sound_book, write_book

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600
CONTENT = '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>'


def zipped(parts: Mapping[str, str | bytes]) -> bytes:
    """A zip of named parts."""
    memory = io.BytesIO()
    with zipfile.ZipFile(memory, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return memory.getvalue()


def repacked(path: Path, change: dict[str, bytes]) -> bytes:
    """A workbook with some parts exchanged or added."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    return zipped(parts | change)


def code_of(path: Path) -> str:
    """Code of the one fault with which a file is refused."""
    with pytest.raises(UserInputError) as refused:
        load_catalogue(path)
    (fault,) = refused.value.faults
    assert fault.at == Cell()
    assert fault.found == path.name
    return fault.code


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty-file"),
        (b"SKU;Brand;Price\r\nA;B;1\r\n", "text-table"),
        (b"\xef\xbb\xbfSKU,Brand\n", "text-table"),
        (b"<html><table><tr><td>SKU</td></tr></table></html>", "web-page"),
        (b"\r\n<?xml version='1.0'?><Workbook/>", "web-page"),
        (OLE, "old-format"),
        (OLE + "EncryptedPackage".encode("utf-16-le"), "password"),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "not-a-workbook"),
        (b"PK\x03\x04 and then nothing that makes a zip", "damaged-file"),
        (zipped({"mimetype": "application/vnd.oasis.opendocument", "content.xml": "<x/>"}), "open-document"),
        (zipped({"notes.txt": "hello"}), "not-a-workbook"),
        (zipped({"[Content_Types].xml": CONTENT, "xl/workbook.bin": b"\0"}), "binary-workbook"),
        (zipped({"[Content_Types].xml": CONTENT, "word/document.xml": "<x/>"}), "not-a-workbook"),
        (zipped({"[Content_Types].xml": CONTENT, "xl/workbook.xml": "<x/>"}), "damaged-file"),
    ],
)
def test_file_of_another_kind_is_refused_by_name(tmp_path: Path, data: bytes, code: str) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(data)
    assert code_of(path) == code


def test_missing_file_and_folder_are_refused(tmp_path: Path) -> None:
    assert code_of(tmp_path / "none.xlsx") == "no-such-file"
    assert code_of(tmp_path) == "not-a-file"


def test_lock_file_of_an_open_workbook_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "~$prices.xlsx"
    path.write_bytes(b"\x05owner")
    assert code_of(path) == "lock-file"


def test_truncated_workbook_is_refused(tmp_path: Path) -> None:
    whole = write_book(tmp_path / "whole.xlsx", sound_book()).read_bytes()
    path = tmp_path / "half.xlsx"
    for length in (100, len(whole) // 2, len(whole) - 30):
        path.write_bytes(whole[:length])
        assert code_of(path) == "damaged-file"


def test_changed_byte_in_a_part_is_refused(tmp_path: Path) -> None:
    path = write_book(tmp_path / "prices.xlsx", sound_book())
    data = bytearray(path.read_bytes())
    data[data.index(b"xl/worksheets/sheet1.xml") + 60] ^= 0xFF
    path.write_bytes(data)
    assert code_of(path) == "damaged-file"


def test_package_that_unpacks_far_beyond_its_size_is_refused(tmp_path: Path) -> None:
    path = write_book(tmp_path / "prices.xlsx", sound_book())
    path.write_bytes(repacked(path, {"xl/media/picture.bin": b"\0" * 30_000_000}))
    assert code_of(path) == "unpacks-too-large"


def test_file_above_the_size_limit_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(package, "MOST_FILE_BYTES", 1000)
    assert code_of(write_book(tmp_path / "prices.xlsx", sound_book())) == "file-too-large"


@pytest.mark.parametrize(
    "prologue",
    [
        b'<?xml version="1.0"?><!DOCTYPE s [<!ENTITY a "b">]>',
        b'<?xml version="1.0"?><!-- long --><!DOCTYPE s SYSTEM "file:///etc/passwd">',
    ],
)
def test_document_type_and_entities_are_refused(tmp_path: Path, prologue: bytes) -> None:
    path = write_book(tmp_path / "prices.xlsx", sound_book())
    path.write_bytes(repacked(path, {"xl/styles.xml": prologue + b"<styleSheet/>"}))
    assert code_of(path) == "hostile-file"


def test_count_that_would_use_up_the_memory_is_refused(tmp_path: Path) -> None:
    path = write_book(tmp_path / "prices.xlsx", sound_book())
    path.write_bytes(repacked(path, {"xl/sharedStrings.xml": b'<sst count="9" uniqueCount="4294967295"></sst>'}))
    assert code_of(path) == "hostile-file"


def test_part_in_a_wide_encoding_is_refused(tmp_path: Path) -> None:
    path = write_book(tmp_path / "prices.xlsx", sound_book())
    hidden = '<?xml version="1.0" encoding="utf-16"?><!DOCTYPE s []><styleSheet/>'.encode("utf-16")
    path.write_bytes(repacked(path, {"xl/styles.xml": hidden}))
    assert code_of(path) == "hostile-file"


def test_file_that_may_not_be_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_book(tmp_path / "prices.xlsx", sound_book())

    def locked(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("budgetbuild.given._without_waiting", locked)
    assert code_of(path) == "unreadable-file"


def test_workbook_that_stands_elsewhere_in_the_package_is_found(tmp_path: Path) -> None:
    path = write_book(tmp_path / "prices.xlsx", {"A": [{"x": 1}]})
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts["_rels/.rels"] = parts["_rels/.rels"].replace(b'officeDocument"', b'other"')
    path.write_bytes(zipped(parts))
    assert [sheet.part for sheet in open_package(path).sheets] == ["xl/worksheets/sheet1.xml"]


def test_chart_sheet_is_no_price_list(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    with xlsxwriter.Workbook(str(path)) as workbook:
        sheet = workbook.add_worksheet("A")
        sheet.write(0, 0, 1)
        chart = workbook.add_chart({"type": "bar"})
        chart.add_series({"values": "=A!$A$1"})
        workbook.add_chartsheet("Picture").set_chart(chart)
    assert [sheet.title for sheet in open_package(path).sheets] == ["A"]


def test_sheet_xml_that_no_reader_understands_is_refused(tmp_path: Path) -> None:
    path = write_book(tmp_path / "prices.xlsx", sound_book())
    path.write_bytes(repacked(path, {"xl/worksheets/sheet1.xml": b"<worksheet><sheetData><row r='x'><c"}))
    assert code_of(path) == "damaged-file"


def test_name_and_hash_of_the_file_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "empty.xlsx"
    write_book(path, {"A": [{"x": 1}]})
    found = open_package(path)
    assert (found.name, len(found.sha256)) == ("empty.xlsx", 64)
    assert [sheet.title for sheet in found.sheets] == ["A"]

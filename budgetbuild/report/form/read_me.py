"""The first sheet of the form, for people only: how to fill it in, and which sheets are needed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.columns import SHEETS
from budgetbuild.catalogue.usage import MAY_USE
from budgetbuild.report.sheets.book import fitting_width
from budgetbuild.report.sheets.looks import TAB_CONTROL

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.catalogue.schema import Sheet
    from budgetbuild.report.sheets.book import Page
    from budgetbuild.report.words.voice import Voice

LINES = ("sheets", "comments", "blanks", "examples", "entries", "skus", "powers", "ratings", "commands",
         "fitter")  # fmt: skip
"""The sentences of the sheet, in their order."""
ABOUT_EXAMPLES = "examples"


def how_to_fill_in(voice: Voice, *, examples: bool) -> list[str]:
    """The sentences of the sheet; `examples` where the form has example rows."""
    return [voice.say("starter", name) for name in LINES if examples or name != ABOUT_EXAMPLES]


def write_read_me(page: Page, pages: Mapping[str, Page], voice: Voice, sentences: Iterable[str]) -> None:
    """Write the sheet: some sentences, then every sheet of the form with a link to it."""
    page.sheet.set_tab_color(TAB_CONTROL)
    page.sheet.set_portrait()
    page.widths(fitting_width([sheet.name for sheet in SHEETS], 20, 40), 26, 62)
    page.text(0, 0, voice.say("starter", "title"), "title")
    row = 2
    for sentence in sentences:
        row = page.prose(row, sentence, 2) + 1
    page.head(row, [voice.say("starter", f"head-{name}") for name in ("sheet", "needed", "holds")])
    for below, sheet in enumerate(SHEETS, start=row + 1):
        page.link(below, 0, pages[sheet.name], sheet.name, "link_plain")
        page.text(below, 1, voice.say("starter", _needed(sheet)))
        page.text(below, 2, sheet.help)
    page.print_up_to(row + len(SHEETS), 2)


def _needed(sheet: Sheet) -> str:
    """Name of the sentence that says when a sheet is needed."""
    if sheet.required:
        return "needed-always"
    return "needed-by-brief" if sheet.field in MAY_USE else "needed-never"

"""What comes out of a recheck: pages, workbook and data."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Recheck
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.voice import Voice


def render_recheck(
    recheck: Recheck, catalogue: Catalogue, voice: Voice, templates: Path | None = None
) -> dict[str, bytes]:
    """Every file by its name; the same input gives the same bytes.

    Args:
        recheck: What was found.
        catalogue: Today's list.
        voice: The shop's sentences.
        templates: A shop's own templates instead of the tool's.

    Raises:
        UserInputError: A shop's own template is wrong.
    """
    # Imported here: the template engine and the workbook writer are slow to load.
    from budgetbuild.report.pages.what_changed import render_changed_pages  # noqa: PLC0415
    from budgetbuild.report.results_recheck import render_recheck_data  # noqa: PLC0415
    from budgetbuild.report.sheets.what_changed import render_changed_workbook  # noqa: PLC0415
    from budgetbuild.report.words.recheck_chapters import changed_page  # noqa: PLC0415

    page = changed_page(recheck, catalogue, voice)
    return {
        **render_changed_pages(page, catalogue, voice.notation, templates),
        "what_changed.xlsx": render_changed_workbook(page, catalogue, voice.notation),
        "recheck.json": render_recheck_data(recheck, catalogue, voice),
    }

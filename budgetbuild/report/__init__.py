"""What comes out: workbook, guide and data, rendered from audited builds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.content import CurvePoint, report_content

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from budgetbuild.build import Build
    from budgetbuild.catalogue.shop import Catalogue


def render_all(
    builds: Sequence[Build],
    catalogue: Catalogue,
    curves: Mapping[str, Sequence[CurvePoint]] | None = None,
    templates: Path | None = None,
) -> dict[str, bytes]:
    """Every output of the main job by file name; the same input gives the same bytes.

    Args:
        builds: Solved and audited, in any order.
        catalogue: The catalogue that they were solved from.
        curves: Budget curve by brief; where empty, the tiers' own points are shown.
        templates: A shop's own templates instead of the tool's.

    Raises:
        ValueError: A build was refused by the audit, or carries a code that has no words: a defect in the tool.
        UserInputError: A shop's own template is wrong.
    """
    # Imported here: the template engine and the workbook writer are slow to load, and other commands need neither.
    from budgetbuild.report.guide import render_html, render_markdown  # noqa: PLC0415
    from budgetbuild.report.results import render_results  # noqa: PLC0415
    from budgetbuild.report.workbook import render_workbook  # noqa: PLC0415

    report = report_content(builds, catalogue, curves)
    return {
        "tiers.xlsx": render_workbook(report),
        "guide.md": render_markdown(report, templates),
        "guide.html": render_html(report, templates),
        "results.json": render_results(report),
    }

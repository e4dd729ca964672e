"""What comes out: workbook, guide and data, rendered from audited builds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import NOTHING_BESIDE

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction
    from pathlib import Path

    from budgetbuild.build import Beside, Build, Curve
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.shown import Report


@dataclass(frozen=True, slots=True)
class Counter:
    """What the counter page answers.

    Attributes:
        curves: At most one for each brief and vehicle.
        allowance: What a build may cost above the budget, as a share of it.
        visible: Least gain that counts as a visible step, in thousandths of a point.
        own_only: Whether vehicles that no brief names are left out, which the page then says.
    """

    curves: tuple[Curve, ...]
    allowance: Fraction
    visible: int
    own_only: bool = False


def render_all(
    builds: Sequence[Build],
    catalogue: Catalogue,
    curves: Sequence[Curve] = (),
    counter: Counter | None = None,
    templates: Path | None = None,
    beside: Beside = NOTHING_BESIDE,
) -> dict[str, bytes]:
    """Every output of the main job by file name; the same input gives the same bytes.

    Pictures beside the Markdown guide have the name of their folder before theirs.

    Args:
        builds: Solved and audited, in any order.
        catalogue: The catalogue that they were solved from.
        curves: Budget curves of the briefs; where there are none, the tiers' own points are shown.
        counter: What the counter page answers; where there is none, the page is left out.
        templates: A shop's own templates instead of the tool's.
        beside: What was found beside the builds.

    Raises:
        ValueError: A build was refused by the audit, or carries a code that has no words: a defect in the tool.
        UserInputError: A shop's own template or sentence is wrong.
    """
    # Imported here: commands that only save files through this package need none of it.
    from budgetbuild.report.content import report_content  # noqa: PLC0415
    from budgetbuild.report.words.voice import voice_of  # noqa: PLC0415

    report = report_content(builds, catalogue, curves, voice_of(catalogue.settings, templates), beside)
    return render_report(report, counter, templates)


def render_report(report: Report, counter: Counter | None = None, templates: Path | None = None) -> dict[str, bytes]:
    """The same from what the outputs show.

    Raises:
        ValueError: The counter's curves carry a code that has no words: a defect in the tool.
        UserInputError: A shop's own template or sentence is wrong.
    """
    # Imported here: the template engine and the workbook writer are slow to load, and other commands need neither.
    from budgetbuild.report.pages.guide import FOLDER, render_html, render_markdown, render_pictures  # noqa: PLC0415
    from budgetbuild.report.pages.picklist import render_pick_lists  # noqa: PLC0415
    from budgetbuild.report.pages.rundown import render_rundown  # noqa: PLC0415
    from budgetbuild.report.results import render_results  # noqa: PLC0415
    from budgetbuild.report.sheets.workbook import render_workbook  # noqa: PLC0415

    files = {
        "tiers.xlsx": render_workbook(report),
        "guide.md": render_markdown(report, templates),
        "guide.html": render_html(report, templates),
        "rundown.md": render_rundown(report, templates),
        "pick_list.html": render_pick_lists(report, templates),
        "results.json": render_results(report),
    }
    files |= {f"{FOLDER}/{name}": picture for name, picture in render_pictures(report).items()}
    if counter:
        files["counter.html"] = counter_page(report.catalogue, counter, templates)
    return files


def counter_page(catalogue: Catalogue, counter: Counter, templates: Path | None = None) -> bytes:
    """The counter page alone.

    Raises:
        ValueError: A curve carries a code that has no words: a defect in the tool.
        UserInputError: A shop's own template or sentence is wrong.
    """
    from budgetbuild.report.pages.counter import render_counter  # noqa: PLC0415

    return render_counter(
        counter.curves,
        catalogue,
        visible=counter.visible,
        allowance=counter.allowance,
        own_only=counter.own_only,
        templates=templates,
    )

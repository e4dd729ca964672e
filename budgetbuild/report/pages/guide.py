"""The buying guide, as Markdown and as one HTML page, from templates that a shop may replace."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.pages.templating import drawn, fill_html, fill_markdown
from budgetbuild.report.pictures.of_report import (
    connections,
    cost_picture,
    curve_pictures,
    plot_pictures,
    score_picture,
    wiring_picture,
)
from budgetbuild.report.words.safety import Topic

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.report.pictures.of_report import Picture
    from budgetbuild.report.pictures.wiring import Wiring
    from budgetbuild.report.shown import Report, ReportBuild

FOLDER = "pictures"
"""Folder beside the Markdown guide that its pictures lie in."""


class Shown:
    """What the templates call for the pictures of a report."""

    def __init__(self, report: Report) -> None:
        self._report = report

    def connections(self, shown: ReportBuild) -> Wiring | None:
        """How the parts of a build are connected, in words."""
        return connections(self._report, shown)

    def wiring(self, shown: ReportBuild) -> Picture | None:
        """The wiring of a build."""
        return wiring_picture(self._report, shown)

    def costs(self, shown: ReportBuild) -> Picture:
        """Cost by part of a build."""
        return cost_picture(self._report, shown)

    def scores(self, shown: ReportBuild) -> Picture:
        """Score by part of a build."""
        return score_picture(self._report, shown)

    def curves(self) -> tuple[Picture, ...]:
        """The budget curve of every brief."""
        return curve_pictures(self._report)

    drawn = staticmethod(drawn)


def render_markdown(report: Report, templates: Path | None = None, *, pictures: bool = True) -> bytes:
    """The guide as Markdown, UTF-8.

    Args:
        report: What it shows.
        templates: A shop's own templates; what it lacks comes from the tool.
        pictures: Whether the files of `render_pictures` lie beside it.

    Raises:
        UserInputError: A shop's own template is wrong or asks for something that does not exist.
    """
    values = {**_context(report), "folder": FOLDER if pictures else ""}
    return fill_markdown("guide.md.j2", values, report.notation, templates, _safety(report))


def render_html(report: Report, templates: Path | None = None) -> bytes:
    """The guide as one HTML page without any outside part, UTF-8.

    Args:
        report: What it shows.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        UserInputError: A shop's own template is wrong or asks for something that does not exist.
    """
    return fill_html("guide.html.j2", _context(report), report.notation, templates, _safety(report))


def render_pictures(report: Report) -> dict[str, bytes]:
    """The pictures that the Markdown guide shows, as SVG files by their names in its folder."""
    found = {f"wiring-{shown.anchor}": wiring_picture(report, shown) for shown in report.builds}
    found |= {f"curve-{place}": picture for place, picture in enumerate(curve_pictures(report), start=1)}
    found |= plot_pictures(report)
    return {f"{name}.svg": f"{picture.svg}\n".encode() for name, picture in found.items() if picture and picture.svg}


def _safety(report: Report) -> tuple[str, ...]:
    """Every safety sentence that the guide holds: for everybody, and beside each system."""
    return (*report.safety, *(sentence.text for shown in report.builds for sentence in shown.safety))


def _context(report: Report) -> dict[str, object]:
    return {"report": report, "pictures": Shown(report), "topics": Topic}

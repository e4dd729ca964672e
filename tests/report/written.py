"""Every file that the tool writes of the fixtures, also with names that mean harm: what validators are run over."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import TYPE_CHECKING

from budgetbuild.report import render_all
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.counter import render_counter
from budgetbuild.report.pages.quote_letter import render_quote_html, render_quote_markdown
from budgetbuild.report.words.voice import voice_of
from tests.kits.pages import kit_files
from tests.recheck.pages import changed_files
from tests.report import fixtures
from tests.report.counter_page import CURVES
from tests.report.curves import CATALOGUE
from tests.report.test_counter import hostile_page
from tests.report.test_guide import HOSTILE

if TYPE_CHECKING:
    from budgetbuild.build import Build
    from budgetbuild.catalogue.shop import Catalogue

DAY = date(2026, 11, 2)


PLAIN, COUNTER = "plain", "hostile counter"
GROUPS = (PLAIN, COUNTER, *HOSTILE)
"""Fixtures as they are, a counter page where everything means harm, and fixtures by the name that their parts have."""


@cache
def written(group: str) -> dict[str, bytes]:
    """What is written of a group: content by file name."""
    if group == COUNTER:
        return {"counter.html": hostile_page()}
    if group == PLAIN:
        counter = {"counter.html": render_counter(CURVES, CATALOGUE)}
        harmful = {f"harmful_{name}": content for name, content in changed_files(" ".join(HOSTILE)).items()}
        harmful |= {f"harmful_{name}": content for name, content in kit_files(" ".join(HOSTILE)).items()}
        return _of(fixtures.every_build(), fixtures.CATALOGUE) | counter | changed_files() | kit_files() | harmful
    return _of(*fixtures.renamed(group))


def written_as(group: str, *endings: str) -> dict[str, bytes]:
    """Those of some kinds."""
    return {name: content for name, content in written(group).items() if name.endswith(endings)}


def _of(builds: tuple[Build, ...], catalogue: Catalogue) -> dict[str, bytes]:
    """Everything of some builds, with a quote of each system."""
    files = render_all(builds, catalogue)
    voice = voice_of(catalogue.settings)
    for number, build in enumerate(build for build in builds if build.audited):
        report = report_content((build,), catalogue, (), voice)
        files[f"quote-{number}.html"] = render_quote_html(report, DAY)
        files[f"quote-{number}.md"] = render_quote_markdown(report, DAY)
    return files

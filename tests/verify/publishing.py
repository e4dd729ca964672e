"""Small shops, what they publish, and what verifying it finds."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.shop import Settings, Tier
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.planning.verify import verify
from budgetbuild.published import read_document
from budgetbuild.report.content import report_content
from budgetbuild.report.results import render_results
from budgetbuild.report.verify import held_against
from tests.oracle.catalogues import random_catalogue

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Verification
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.held import Held

Document = dict[str, Any]


def shop(seed: int, profile: str) -> Catalogue:
    """A random small shop with three tiers: one that buys little or nothing, one about right, one with plenty."""
    catalogue, brief, vehicle, cap = random_catalogue(seed, profile)
    budgets = {"Low": cap * 3 // 4, "Middle": cap, "High": cap * 5 // 3}
    return named(
        replace(
            catalogue,
            briefs=(brief,),
            vehicles=(vehicle,),
            tiers=tuple(
                Tier(name=name, budget=budget, allowance=Fraction(seed % 3, 100)) for name, budget in budgets.items()
            ),
            settings=replace(catalogue.settings, tax_rate=Fraction(21, 100) if seed % 2 else None),
        )
    )


def named(catalogue: Catalogue) -> Catalogue:
    """A shop's list as if it had come from a file."""
    return replace(catalogue, name="list.xlsx", sha256="0a" * 32)


def publish(catalogue: Catalogue, run: Run | None = None) -> Document:
    """What the shop publishes, as data."""
    solved = solve_all(catalogue, run or Run())
    report = report_content(solved.builds, catalogue, solved.curves, beside=solved.beside)
    document: Document = json.loads(render_results(report))
    return document


def verified(document: Document, catalogue: Catalogue, folder: Path) -> tuple[Held, Verification]:
    """What is found when a file is verified."""
    path = folder / "results.json"
    path.write_text(json.dumps(document), "utf-8")
    published, content = read_document(path)
    verification = verify(catalogue, published)
    return held_against(content, verification, catalogue, published), verification


def settings(**columns: Any) -> Settings:  # noqa: ANN401 - any setting
    """Settings with a tax rate."""
    return Settings(tax_rate=Fraction(21, 100), **columns)

"""A shop of a dozen products with what it published, and its price list on a later day."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.kinds import Want, Work
from budgetbuild.catalogue.shop import Catalogue, Settings, Tier
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.planning.recheck import How, recheck
from budgetbuild.published import read_published
from budgetbuild.report.content import report_content
from budgetbuild.report.results import render_results
from tests.program.small import cable, front, lead, power_kit, sheet, stereo, stock, wants

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Published, Recheck, Rechecked

SHEETS = (
    "head_units", "converters", "speakers", "subwoofers", "boxes", "amplifiers", "power_kits", "signal_leads",
    "speaker_cables", "aerials", "fitting_kits", "deadening",
)  # fmt: skip
NAMES = {"brand": "Orvane"}
BRIEF = wants(
    name="Front only",
    front=Want.REQUIRED,
    rear=Want.NONE,
    bass=Want.NONE,
    amplifier=Want.REQUIRED,
    deadening=Want.OPTIONAL,
)
"""Front speakers on an amplifier, deadening if it pays."""
TIER = Tier(name="Entry", budget=330_00, allowance=Fraction(1, 100))
"""Cap 333.30: the front (100), amplifier (120), kit (40), lead (30) and cable (20) come to 310."""


def list_of(*more: Any, tier: Tier = TIER, brief: Any = BRIEF, **columns: Any) -> Catalogue:  # noqa: ANN401 - products
    """The shop's list, with further products."""
    settings = columns.pop("settings", Settings(tax_rate=Fraction(21, 100), labour_rate=60_00))
    found = stock(
        front(**NAMES, model="Front 6"), stereo(**NAMES, model="Two"), power_kit(**NAMES, model="Run"),
        lead(**NAMES, model="Lead"), cable(**NAMES, model="Reel"), *more,
        settings=settings, labour_hours=dict.fromkeys(Work, Fraction(1)), **columns,
    )  # fmt: skip
    return replace(found, name="list.xlsx", sha256="0a" * 32, briefs=(brief,), tiers=(tier,))


def later(catalogue: Catalogue, changes: dict[str, dict[str, Any] | None]) -> Catalogue:
    """The list on another day: columns of products changed by SKU; `None` takes the row out."""
    sheets: dict[str, Any] = {
        name: tuple(
            replace(product, **(changes.get(product.sku) or {}))
            for product in getattr(catalogue, name)
            if changes.get(product.sku, {}) is not None
        )
        for name in SHEETS
    }
    return replace(catalogue, **sheets)


def written(catalogue: Catalogue, folder: Path) -> Path:
    """The data file of what the shop publishes."""
    solved = solve_all(catalogue, Run())
    path = folder / "results.json"
    path.write_bytes(render_results(report_content(solved.builds, catalogue, solved.curves)))
    return path


def published(catalogue: Catalogue, folder: Path) -> Published:
    """What the shop publishes, read back."""
    return read_published(written(catalogue, folder))


def rechecked(before: Catalogue, after: Catalogue, folder: Path, how: How | None = None) -> Recheck:
    """What was published from one list, held against another."""
    return recheck(after, published(before, folder), how)


def only(found: Recheck) -> Rechecked:
    """Its one build."""
    (build,) = found.builds
    return build


def codes(build: Rechecked) -> list[str]:
    """What drifted, by code."""
    return [drift.code for drift in build.drifts]


SHEETS_OF_DEADENING = sheet(**NAMES, model="Mat")

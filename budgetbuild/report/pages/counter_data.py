"""What the counter page carries: every budget curve as plain JSON, in tables that nothing stands in twice.

A point of a curve is a handful of small numbers. Each number names a row of a table, and each row is written once for
the whole page, however many points, briefs and vehicles share it:

    point -> groups (source, front, rear, bass, ...) -> lines (role, item, unit price) -> items (SKU, name, link)
    point -> scores (source, front, rear, bass, ...) -> earned (name, points, most)
    point -> one list of what to watch, one list of safety sentences -> sentences

So the page grows with the number of points, 60 to 70 bytes each, and hardly with what a point holds; the tables grow
with the products that any curve uses and the sentences said of them, some 500 bytes a product. The sample's 45 curves
have 13,900 points and come to 1.0 MB.

The page multiplies quantity and unit price and adds lines up; everything else it shows stands here.
"""

from __future__ import annotations

from itertools import count, pairwise
from operator import itemgetter
from typing import TYPE_CHECKING

from budgetbuild.build import Role
from budgetbuild.catalogue.names import fold
from budgetbuild.report.pages.counter_tables import ROLES, Shelf, Tables, items_of, points_of
from budgetbuild.report.words.format import capital, label
from budgetbuild.report.words.steps import COMPARED

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from fractions import Fraction

    from budgetbuild.build import Curve
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.notation import Notation
    from budgetbuild.report.words.voice import Voice

SOUNDING = (Role.FRONT, Role.REAR, Role.BASS)
"""Roles without which nothing is heard."""

SLIDER_STEPS = 1000
"""Most positions of the slider: about as many as a wide screen has points to drag over."""


def counter_data(
    curves: Sequence[Curve], catalogue: Catalogue, voice: Voice, *, visible: int, allowance: Fraction
) -> dict[str, object]:
    """Everything that the page shows, as values for JSON; money in cents, points in thousandths.

    Args:
        curves: At most one for each vehicle and brief, in any order.
        catalogue: The catalogue that they were solved from.
        voice: How the shop says things.
        visible: Least gain of a step up, in thousandths of a point.
        allowance: What a build may cost above the budget, as a share of it.

    Raises:
        ValueError: A curve stands twice, is not ascending, or holds a build that the audit refused: a defect.
    """
    vehicles = _names((each.name for each in catalogue.vehicles), (curve.vehicle.name for curve in curves))
    briefs = _names((each.name for each in catalogue.briefs), (curve.brief.name for curve in curves))
    placed = _placed(curves, list(vehicles), list(briefs))
    step, most = slider_scale(max((curve.points[-1].total for curve in curves if curve.points), default=0))
    return {
        "written": _written(voice.notation),
        # As text: JSON numbers in a browser are exact only up to 2 to the power of 53.
        "allowance": [str(allowance.numerator), str(allowance.denominator)],
        "allowed": voice.notation.number(float(100 * allowance)),
        "visible": visible,
        "slider": {"step": step, "most": most},
        "budgets": sorted({tier.budget for tier in catalogue.tiers}),
        "start": _start(placed, catalogue),
        "vehicles": [label(name) for name in vehicles.values()],
        "briefs": [label(name) for name in briefs.values()],
        "roles": [capital(role.value) for role in ROLES],
        "sounding": [ROLES.index(role) for role in SOUNDING],
        "compared": [[ROLES.index(role), capital(words)] for role, words in COMPARED.items()],
        **_curves(placed, Shelf(catalogue, voice)),
    }


def _written(notation: Notation) -> dict[str, object]:
    """How money and figures are written: what stands before and after an amount and one below 0, and the marks."""
    above, below = (notation.money(cents).split(notation.amount(1)) for cents in (1, -1))
    return {
        "mark": label(notation.symbol),
        "above": above,
        "below": below,
        "grouping": notation.grouping_mark,
        "sizes": notation.group_sizes,
        "decimal": notation.decimal_mark,
    }


def slider_scale(most: int) -> tuple[int, int]:
    """Step of the slider and its end, in cents: a round step, and the first multiple that reaches `most`.

    >>> slider_scale(465000), slider_scale(90), slider_scale(100001)
    ((500, 465000), (100, 100), (200, 100200))
    """
    round_steps = (digit * 10**power for power in count(2) for digit in (1, 2, 5))
    step = next(step for step in round_steps if most <= step * SLIDER_STEPS)
    return step, max(step, -(-most // step) * step)


def _names(listed: Iterable[str], used: Iterable[str]) -> dict[str, str]:
    """Names that curves use, by folded name, in the catalogue's order; names that it lacks come last."""
    wanted = {fold(name): name for name in used}
    known = {fold(name): name for name in listed if fold(name) in wanted}
    return known | {folded: name for folded, name in wanted.items() if folded not in known}


def _placed(curves: Sequence[Curve], vehicles: list[str], briefs: list[str]) -> dict[tuple[int, int], Curve]:
    """Curves by the numbers of their vehicle and brief, each sound, in that order."""
    placed: dict[tuple[int, int], Curve] = {}
    for curve in curves:
        place = vehicles.index(fold(curve.vehicle.name)), briefs.index(fold(curve.brief.name))
        where = f"{curve.vehicle.name} / {curve.brief.name}"
        if place in placed:
            raise ValueError(f"two curves for {where}")
        if any(point.refused for point in curve.points):
            raise ValueError(f"the audit refuses a point of {where}: never to be published")
        if any(old.total >= new.total or old.score >= new.score for old, new in pairwise(curve.points)):
            raise ValueError(f"the curve of {where} does not ascend")
        placed[place] = curve
    return dict(sorted(placed.items(), key=itemgetter(0)))


def _curves(placed: Mapping[tuple[int, int], Curve], shelf: Shelf) -> dict[str, object]:
    """Every curve, and the tables that their numbers name."""
    tables = Tables()
    told = [
        {"vehicle": vehicle, "brief": brief, **points_of(curve, tables, shelf)}
        for (vehicle, brief), curve in placed.items()
    ]
    return {
        "curves": told,
        "items": items_of(tables, shelf),
        "lines": tables.lines.rows(),
        "groups": tables.groups.rows(),
        "earned": tables.earned.rows(),
        "scores": tables.scores.rows(),
        "sentences": tables.sentences.rows(),
        "lists": tables.lists.rows(),
    }


def _start(placed: Mapping[tuple[int, int], Curve], catalogue: Catalogue) -> tuple[int, int, int]:
    """What the page shows first: vehicle, brief, and the least tier's budget that buys something there."""
    for (vehicle, brief), curve in placed.items():
        if curve.points:
            least = curve.points[0].total
            return vehicle, brief, min((tier.budget for tier in catalogue.tiers if tier.budget >= least), default=least)
    return 0, 0, 0

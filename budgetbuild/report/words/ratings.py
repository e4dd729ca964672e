"""Ratings that are reckoned from specifications, in words: which they are, from what, and by which rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.words.format import capital, label, listed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from budgetbuild.build import PricedLine
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.catalogue.value import CellValue, Criterion, Earned
    from budgetbuild.report.words.notation import Notation
    from budgetbuild.report.words.voice import Voice

TOPIC = "ratings"
POINT_DECIMALS = 3


@dataclass(frozen=True, slots=True)
class CriterionRow:
    """What one column of a product sheet earns, as a row of a table.

    Attributes:
        worst: What earns nothing; `best` what earns everything.
        points: Most points that it earns.
    """

    sheet: str
    column: str
    worst: str
    best: str
    points: str


@dataclass(frozen=True, slots=True)
class ToldCriteria:
    """The rule by which blank ratings are reckoned, and what it reckons them from.

    Attributes:
        rule: Sentences.
        rows: What earns points on each sheet with such a rating.
    """

    rule: tuple[str, ...]
    rows: tuple[CriterionRow, ...]


def rated(product: Product, catalogue: Catalogue, voice: Voice) -> str:
    """What a product is rated, and whether the shop judged it so or reckoned it; empty where it is unrated."""
    if product.rating is None:
        return ""
    if product.sku in catalogue.reckoned:
        return voice.say(TOPIC, "rated", rating=voice.notation.number(product.rating))
    return voice.say("reasons", "rated", rating=voice.notation.number(product.rating))


def told_ratings(lines: tuple[PricedLine, ...], catalogue: Catalogue, voice: Voice) -> tuple[str, ...]:
    """A sentence for each product of a build whose rating is reckoned."""
    products = catalogue.by_sku()
    skus = dict.fromkeys(line.sku for line in lines if line.sku in catalogue.reckoned)
    return tuple(reckoning(products[sku], catalogue.reckoned[sku], voice) for sku in skus)


def reckoning(product: Product, told: tuple[Earned, ...], voice: Voice) -> str:
    """How one rating was reckoned."""
    write = voice.notation
    terms = [
        voice.say(
            TOPIC,
            "term",
            column=label(one.criterion.column),
            value=cell_text(one.value, write),
            earned=points_text(one.points, write),
            most=points_text(one.criterion.most, write),
        )
        for one in told
    ]
    return voice.say(
        TOPIC,
        "reckoned",
        product=label(product.name),
        rating=write.number(product.rating or 0),
        earned=points_text(sum(one.points for one in told), write),
        most=points_text(sum(one.criterion.most for one in told), write),
        terms=listed(terms),
    )


def told_criteria(catalogue: Catalogue, voice: Voice) -> ToldCriteria:
    """The rule and its criteria, for sheets on which some rating is reckoned; empty where none is."""
    if not catalogue.reckoned:
        return ToldCriteria((), ())
    sheets = {one.criterion.sheet for told in catalogue.reckoned.values() for one in told}
    used = [criterion for criterion in catalogue.points if criterion.sheet in sheets]
    rule = tuple(capital(voice.say(TOPIC, name)) for name in ("rule", "rule-earns", "rule-source"))
    return ToldCriteria(rule, tuple(row for criterion in used for row in _rows(criterion, voice)))


def _rows(criterion: Criterion, voice: Voice) -> Iterator[CriterionRow]:
    """One row for a number, one for each word that earns."""
    write = voice.notation
    title, column = label(criterion.title), label(criterion.column)
    if criterion.worst is not None and criterion.best is not None:
        worst, best = (write.number(float(bound), POINT_DECIMALS) for bound in (criterion.worst, criterion.best))
        yield CriterionRow(title, column, worst, best, points_text(criterion.most, write))
        return
    for word in criterion.words:
        yield CriterionRow(
            title,
            column,
            voice.say(TOPIC, "other-word"),
            cell_text(word.value, write),
            points_text(word.points, write),
        )


def cell_text(value: CellValue, write: Notation) -> str:
    """What a cell holds, as it is written on a page."""
    if isinstance(value, str):
        return label(value)
    return ("yes" if value else "no") if isinstance(value, bool) else write.number(value, POINT_DECIMALS)


def points_text(points: Fraction | int, write: Notation) -> str:
    """Points towards a rating."""
    return write.number(float(points), POINT_DECIMALS)

"""Ratings that are reckoned from specifications, reckoned once more from the products and the shop's criteria."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import Amplifier, Converter, Deadening, HeadUnit, Product, Speaker, Subwoofer
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from budgetbuild.audit.case import Case
    from budgetbuild.catalogue.value import CellValue, Criterion

SHEETS: dict[type[Product], str] = {
    HeadUnit: "head_units",
    Converter: "converters",
    Speaker: "speakers",
    Subwoofer: "subwoofers",
    Amplifier: "amplifiers",
    Deadening: "deadening",
}
"""Which criteria are for which kind of product."""
UNRATED = -1
SOURCE = "additive value function (Keeney and Raiffa 1976), from the shop's Points sheet"


def check_ratings(case: Case) -> None:
    """Check the rating of every part whose rating is reckoned, to the hundredth."""
    for sku in dict.fromkeys(part.sku for part in case.system.parts):
        product = case.products.get(sku)
        if product is None or sku not in case.catalogue.reckoned:
            continue
        hundredths, rating = _hundredths(case, product), product.rating
        case.notes.check(
            "Rating from the Points sheet",
            sku,
            hundredths / 100,
            "none" if rating is None else f"equal to {rating:g}",
            ok=rating is not None and hundredths == Fraction(repr(rating)) * 100,
            unit="of 10",
            source=SOURCE,
        )


def _hundredths(case: Case, product: Product) -> int:
    """The rating in whole hundredths, halves upwards: what its cells earn, over what they could; below 0 = unrated."""
    told = case.catalogue.reckoned[product.sku]
    own = {one.criterion.column: one.value for one in told if not one.criterion.field}
    earned = most = Fraction(0)
    for criterion in case.catalogue.points:
        if criterion.sheet == SHEETS.get(type(product)):
            value = getattr(product, criterion.field) if criterion.field else own.get(criterion.column)
            if value is None:
                return UNRATED
            earned += _earned(criterion, value)
            most += criterion.most
    return (2000 * earned + most) // (2 * most) if most else UNRATED


def _earned(criterion: Criterion, value: CellValue) -> Fraction:
    """What one cell earns: its way from the worst value towards the best, or what the word in it is given."""
    if criterion.worst is None or criterion.best is None:
        given = [word.points for word in criterion.words if _reads(word.value) == _reads(value)]
        return given[0] if given else Fraction(0)
    number = Fraction(repr(float(value)))
    low, high = sorted((criterion.worst, criterion.best))
    way = abs(min(max(number, low), high) - criterion.worst)
    return criterion.most * way / abs(criterion.best - criterion.worst)


def _reads(value: CellValue) -> tuple[str, CellValue]:
    """A cell as it is compared: yes is not 1, and words have no capitals."""
    if isinstance(value, str):
        return "word", fold(value)
    return ("answer", value) if isinstance(value, bool) else ("number", value)

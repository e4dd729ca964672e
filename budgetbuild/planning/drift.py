"""What drifted of a published system: its lines, its score, the rules that it must meet, the cautions beside it."""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.audit.bill import WITHIN_CAP
from budgetbuild.audit.case import KINDS
from budgetbuild.audit.choice import ON_OFFER
from budgetbuild.build import Audited, Drift, Role, Weight
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from budgetbuild.build import Caution, Check, PricedLine, PublishedBuild, PublishedLine
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue, Tier

TOLD_OTHERWISE = frozenset({WITHIN_CAP, ON_OFFER})
"""Rules that a drift of its own speaks of."""
SHORT = "out-of-stock"
"""Code of the caution that there are too few on the shelf."""
GONE = frozenset({"gone", "other-kind"})
"""Codes of lines whose product nothing is known of any more."""
AS_PRINTED = 1e-6
"""Figures that differ by a smaller share than this are printed alike."""


def drifts_of_lines(catalogue: Catalogue, build: PublishedBuild) -> list[Drift]:
    """Line by line: product gone, no longer offered, renamed, rated otherwise, at another price, too few of it."""
    products = catalogue.by_sku()
    found = [drift for line in build.lines if line.sku for drift in _of_line(line, products)]
    return found + list(_of_stock(build, products))


def drifts_of_system(build: PublishedBuild, audited: Audited, tier: Tier, published_by: str) -> list[Drift]:
    """What the audit finds otherwise: labour, cap, score, rules and figures, cautions.

    Args:
        build: As published.
        audited: The same system by today's list.
        tier: Today's.
        published_by: Version of the tool that published it: another one may word a limit otherwise.
    """
    found = [*_of_labour(build, audited.lines)]
    if audited.total > tier.cap:
        found.append(Drift("over-cap", "", tier.cap, audited.total, Weight.BREAKS, {}))
    if audited.score != build.score:
        found.append(Drift("score", "", build.score, audited.score, Weight.PRINTED, {}))
    found += _of_rules(build.checks, audited.checks, same_words=published_by == __version__)
    return found + list(_of_cautions(build.cautions, audited.cautions))


def _of_line(line: PublishedLine, products: Mapping[str, Product]) -> Iterator[Drift]:
    product = products.get(line.sku)
    if product is None:
        near = next((p.sku for p in products.values() if fold(p.name) == fold(line.description)), "")
        yield Drift("gone", line.sku, line.description, None, Weight.BREAKS, {"near": near} if near else {})
        return
    if not isinstance(product, KINDS[line.role]):
        yield Drift("other-kind", line.sku, line.role.value, product.at.sheet, Weight.BREAKS, {})
        return
    if not product.active:
        yield Drift("not-offered", line.sku, line.description, None, Weight.BREAKS, {})
    if product.name != line.description:
        yield Drift("name", line.sku, line.description, product.name, Weight.PRINTED, {})
    if line.rating is not None and product.rating != line.rating:
        yield Drift("rating", line.sku, line.rating, product.rating, Weight.PRINTED, {})
    if product.price != line.unit_price:
        yield Drift("price", line.sku, line.unit_price, product.price, Weight.PRINTED, {"quantity": line.quantity})


def _of_stock(build: PublishedBuild, products: Mapping[str, Product]) -> Iterator[Drift]:
    """Products of which there are too few where that was not printed, and enough where it was."""
    needed: Counter[str] = Counter()
    for line in build.lines:
        needed[line.sku] += line.quantity
    printed = {caution.subject for caution in build.cautions if caution.code == SHORT}
    for sku, wanted in needed.items():
        product = products.get(sku)
        if product is None or not product.active:
            continue
        short = product.stock is not None and product.stock < wanted
        if short and sku not in printed:
            figures: dict[str, float | int | str] = {"wanted": wanted, "stock": product.stock or 0}
            yield Drift("stock", sku, None, product.stock, Weight.PRINTED, figures)
        if sku in printed and not short:
            yield Drift("in-stock", sku, SHORT, None, Weight.NOTE, {})


def _of_labour(build: PublishedBuild, lines: Iterable[PricedLine]) -> Iterator[Drift]:
    """Labour by the name of the work: price, work that came, work that went."""
    before = {line.description: (line.unit_price, line.quantity) for line in build.lines if line.role is Role.LABOUR}
    after = {line.description: (line.unit_price, line.quantity) for line in lines if line.role is Role.LABOUR}
    for work in dict.fromkeys((*before, *after)):
        was, is_now = before.get(work), after.get(work)
        if was != is_now:
            quantity = (is_now or was or (0, 1))[1]
            price_before, price_after = (each[0] if each else None for each in (was, is_now))
            yield Drift("labour", work, price_before, price_after, Weight.PRINTED, {"quantity": quantity})


def _of_rules(before: Sequence[Check], after: Sequence[Check], *, same_words: bool) -> list[Drift]:
    """Rules that are no longer met, and figures that are printed otherwise."""
    printed: dict[tuple[str, str], list[Check]] = defaultdict(list)
    for check in before:
        printed[check.rule, check.subject].append(check)
    found: list[Drift] = []
    for check in after:
        if check.rule in TOLD_OTHERWISE:
            continue
        same = printed[check.rule, check.subject]
        was = same.pop(0) if same else None
        if not check.ok:
            found.append(_rule_drift("rule", was, check, Weight.BREAKS))
        elif was and not _alike(was, check, same_words=same_words):
            found.append(_rule_drift("figure", was, check, Weight.PRINTED))
    return found


def _rule_drift(code: str, was: Check | None, check: Check, weight: Weight) -> Drift:
    figures: dict[str, float | int | str] = {"rule": check.rule, "limit": check.limit, "unit": check.unit}
    if was and was.limit != check.limit:
        figures["limit_before"] = was.limit
    return Drift(code, check.subject, was.figure if was else None, check.figure, weight, figures)


def _alike(was: Check, check: Check, *, same_words: bool) -> bool:
    """Whether a figure and its limit are printed as they were; words count only if the same tool chose them."""
    if same_words and was.limit != check.limit:
        return False
    if isinstance(was.figure, str) or isinstance(check.figure, str):
        return not same_words or was.figure == check.figure
    return abs(was.figure - check.figure) <= AS_PRINTED * max(abs(was.figure), abs(check.figure))


def _of_cautions(before: Sequence[Caution], after: Sequence[Caution]) -> Iterator[Drift]:
    """Cautions that have to be printed now, and those that need not be any more; what the shelf lacks is told apart."""
    was, is_now = ({_name(one): one for one in some if one.code != SHORT} for some in (before, after))
    for name, caution in is_now.items():
        if name not in was:
            yield Drift("caution", caution.subject, None, caution.code, Weight.PRINTED, dict(caution.figures))
    for name, caution in was.items():
        if name not in is_now:
            yield Drift("caution-gone", caution.subject, caution.code, None, Weight.NOTE, dict(caution.figures))


def _name(caution: Caution) -> tuple[str, ...]:
    """What tells one caution from another; its numbers may change."""
    words = (value for _, value in sorted(caution.figures.items()) if isinstance(value, str))
    return caution.code, caution.subject, *words

"""What `build` prints of promotions: for the shop, so with its margin."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from budgetbuild.cli.console import print_table, tell

if TYPE_CHECKING:
    from budgetbuild.build import Promotions
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.voice import Voice

HEADINGS = ("promotion", "brief", "sets", "standing", "score", "list total", "price", "margin of a set")


def print_promotions(found: Promotions | None, catalogue: Catalogue, voice: Voice) -> None:
    """The bundles, one line each, and why there is none."""
    from budgetbuild.report.words.promotions import build_of
    from budgetbuild.report.words.promotions_shop import reasons
    from budgetbuild.report.words.wording import short_standing

    if found is None:
        return
    write, products = voice.notation, catalogue.by_sku()
    rows = [
        (
            bundle.promotion.name,
            bundle.brief.name,
            write.number(bundle.promotion.sets),
            short_standing(build_of(bundle), voice),
            write.points(bundle.audited.score),
            write.money(bundle.sale.list_total),
            write.money(bundle.sale.price),
            "" if bundle.sale.margin is None else write.money(bundle.sale.margin),
        )
        for bundle in found.bundles
        if bundle.audited and bundle.sale
    ]
    if rows:
        print_table(HEADINGS, rows, right=(2, 4, 5, 6, 7), to=sys.stdout)
    for bundle in found.bundles:
        if bundle.audited is None:
            told, waivers = reasons(bundle, products, voice)
            tell(" ".join([*told, *waivers]))

"""What a customer reads of a promotion: a chapter with its price, what it saves, its list, cautions and safety."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Build
from budgetbuild.catalogue.shop import Tier
from budgetbuild.report.chapter import Chapter, Kind, Paragraph, Table, TableColumn
from budgetbuild.report.words.format import label, slug
from budgetbuild.report.words.listing import system_blocks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.build import Bundle, Promotions, Sale
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Block
    from budgetbuild.report.words.voice import Voice

TOPIC = "promotion"
PRICE = (TableColumn("Sum"), TableColumn("Amount", Kind.MONEY))


def build_of(bundle: Bundle) -> Build:
    """The bundle as a build, for the words that builds are told in; its own price is then the budget."""
    tier = bundle.tier or Tier(name=bundle.promotion.name, budget=bundle.promotion.price or 0)
    return Build(
        tier=tier,
        brief=bundle.brief,
        vehicle=bundle.vehicle,
        status=bundle.status,
        bound=bundle.audited.score if bundle.audited else None,
        audited=bundle.audited,
        no_build=bundle.no_bundle.no_build if bundle.no_bundle else None,
        solver=bundle.solver,
        versions=bundle.versions,
    )


def promotion_chapters(found: Promotions, catalogue: Catalogue, voice: Voice) -> Iterator[Chapter]:
    """A chapter for each promotion that is possible, in the order of the sheet."""
    for number, bundle in enumerate(found.bundles, start=1):
        if bundle.audited is not None and bundle.sale is not None:
            name = label(bundle.promotion.name)
            anchor = f"promotion-{number}-{slug(bundle.promotion.name)}".rstrip("-")
            blocks = tuple(_blocks(bundle, bundle.sale, catalogue, voice))
            yield Chapter(anchor, voice.say(TOPIC, "title", promotion=name), name, blocks)


def _blocks(bundle: Bundle, sale: Sale, catalogue: Catalogue, voice: Voice) -> Iterator[Block]:
    name, build = label(bundle.promotion.name), build_of(bundle)
    yield Paragraph(" ".join(_offer(bundle, sale, voice)))
    if sale.discount:
        rows = (
            (voice.say(TOPIC, "sum"), sale.list_total),
            (voice.say(TOPIC, "bundle-price"), sale.price),
            (voice.say(TOPIC, "saving"), sale.discount),
        )
        yield Table(voice.say(TOPIC, "price", promotion=name), PRICE, rows)
    yield from system_blocks(build, catalogue, voice, voice.say(TOPIC, "list", promotion=name))


def _offer(bundle: Bundle, sale: Sale, voice: Voice) -> Iterator[str]:
    write, sets = voice.notation, bundle.promotion.sets
    figures = {
        "vehicle": label(bundle.vehicle.name),
        "brief": label(bundle.brief.name),
        "price": write.money(sale.price),
    }
    if sale.discount or bundle.tier is None:
        listed, saving = write.money(sale.list_total), write.money(sale.discount)
        yield voice.say(TOPIC, "offer-bundle", **figures, list=listed, saving=saving)
    else:
        yield voice.say(TOPIC, "offer-list", **figures, tier=label(bundle.tier.name))
    if bundle.audited:
        yield voice.say(TOPIC, "score", score=write.points(bundle.audited.score))
    yield voice.say(TOPIC, "fitted" if bundle.brief.fitted else "not-fitted")
    yield voice.say(TOPIC, "tax")
    yield voice.say(TOPIC, "sets-one") if sets == 1 else voice.say(TOPIC, "sets", count=write.number(sets))

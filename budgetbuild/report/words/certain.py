"""Builds that hold if prices rise, as a chapter: what certainty costs, what changes for it, and the list to order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.report.chapter import Bullets, Chapter, Heading, Kind, Paragraph, Table, TableColumn
from budgetbuild.report.words.advised import step_changes
from budgetbuild.report.words.format import label, listed
from budgetbuild.report.words.listing import system_blocks
from budgetbuild.report.words.wording import short_standing

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import Certain, Secured
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Block, CellValue
    from budgetbuild.report.words.voice import Voice

TOPIC = "certain"
TRADE = (
    TableColumn("Prices that rise"),
    TableColumn("Score", Kind.POINTS),
    TableColumn("Points it costs", Kind.POINTS),
    TableColumn("Total today", Kind.MONEY),
    TableColumn("Total then, at most", Kind.MONEY),
    TableColumn("Today's best then, at most", Kind.MONEY),
)
STANDING = TableColumn("Standing")
"""Told where some of them are not proven."""
RISES = (
    TableColumn("Product"),
    TableColumn("SKU"),
    TableColumn("Quantity", Kind.COUNT),
    TableColumn("Each today", Kind.MONEY),
    TableColumn("Each then", Kind.MONEY),
    TableColumn("More in all", Kind.MONEY),
)


def certain_chapter(found: Sequence[Certain], catalogue: Catalogue, voice: Voice) -> Chapter:
    """The chapter of all tiers and briefs.

    Args:
        found: At least one.
        catalogue: What they were solved from.
        voice: The shop's sentences.
    """
    said = voice.say(TOPIC, "opening", rising=_any(found[0].rising, voice))
    several = [label(brief.name) for brief in catalogue.briefs if brief.is_kit]
    if several:
        said += " " + voice.say(TOPIC, "left-out", briefs=listed(several))
    blocks = [block for certain in found for block in _blocks(certain, catalogue, voice)]
    return Chapter("if-prices-rise", voice.say(TOPIC, "title"), "If prices rise", (Paragraph(said), *blocks))


def verdict(certain: Certain, voice: Voice) -> str:
    """What certainty costs for one tier and brief, or why it is not to be had."""
    write, last = voice.notation, certain.last
    rising, cap = _any(certain.rising, voice), write.money(certain.today.tier.cap)
    if not certain.met:
        return _unmet(certain, rising, cap, voice)
    figures = {"rising": rising, "cap": cap, "dearest": write.money(last.dearest or 0)}
    if not last.rising:
        return voice.say(TOPIC, "all-certain")
    if certain.change is None:
        return voice.say(TOPIC, "same", **figures)
    figures |= {"score": write.points(last.build.score or 0), "total": write.money(last.build.total or 0)}
    over = last.today_total - certain.today.tier.cap
    if over <= 0:  # it holds as well, but is not proven the best
        return voice.say(TOPIC, "stopped", **figures)
    lost = certain.lost(last) or 0
    figures |= {"today": write.money(last.today_total), "over": write.money(over), "lost": write.points(lost)}
    return voice.say(TOPIC, "costs" if lost else "free", **figures)


def _unmet(certain: Certain, rising: str, cap: str, voice: Voice) -> str:
    if certain.last.build.status is Status.TIME_LIMIT and certain.last.build.audited is None:
        return voice.say(TOPIC, "not-in-time", rising=rising, cap=cap)
    least = "" if certain.least is None else voice.say(TOPIC, "least", least=voice.notation.money(certain.least))
    greatest = certain.greatest
    fewer = voice.say(TOPIC, "fewer", greatest=_any(greatest, voice)) if greatest else voice.say(TOPIC, "not-one")
    return " ".join(text for text in (voice.say(TOPIC, "none", rising=rising, cap=cap), least, fewer) if text)


def _blocks(certain: Certain, catalogue: Catalogue, voice: Voice) -> Iterator[Block]:
    today, last = certain.today, certain.last
    name = voice.say(TOPIC, "name", tier=label(today.tier.name), brief=label(today.brief.name))
    yield Heading(name)
    yield Paragraph(verdict(certain, voice))
    yield _trade(certain, voice.say(TOPIC, "trade", name=name), voice)
    if last.risen:
        products = catalogue.by_sku()
        rows = tuple(
            (label(products[one.sku].name), label(one.sku), one.quantity, one.price, one.price_high, one.cents)
            for one in last.risen
        )
        yield Table(voice.say(TOPIC, "rises", name=name), RISES, rows)
    if certain.change:
        changes = step_changes(certain.change, catalogue.by_sku(), voice)
        yield Paragraph(voice.say(TOPIC, "changes" if changes else "small-changes"))
        if changes:
            yield Bullets(changes)
        yield from system_blocks(last.build, catalogue, voice, voice.say(TOPIC, "list", name=name))


def _trade(certain: Certain, caption: str, voice: Voice) -> Table:
    """What each further price that may rise costs."""
    rows: list[tuple[CellValue, ...]] = [
        (
            row_name(step, voice),
            step.build.score,
            certain.lost(step),
            step.build.total,
            step.dearest,
            step.today_total,
        )
        for step in certain.steps
    ]
    if all(step.build.status is Status.OPTIMAL for step in certain.steps):
        return Table(caption, TRADE, tuple(rows))
    standing = [short_standing(step.build, voice) for step in certain.steps]
    return Table(caption, (*TRADE, STANDING), tuple((*row, told) for row, told in zip(rows, standing, strict=True)))


def row_name(step: Secured, voice: Voice) -> str:
    """How many prices rise, in words."""
    if not step.rising:
        return voice.say(TOPIC, "no-price-can" if step.all_rise else "no-price")
    count = voice.notation.number(step.rising)
    return voice.say(TOPIC, "any-more", count=count) if step.all_rise else _any(step.rising, voice)


def _any(rising: int, voice: Voice) -> str:
    """Any so many."""
    return voice.say(TOPIC, "any-one" if rising == 1 else "any", count=voice.notation.number(rising))

"""An upgrade path as a chapter: all steps at a glance, then each with what is bought, kept, put aside, and its list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.chapter import Chapter, Heading, Kind, Paragraph, Table, TableColumn
from budgetbuild.report.words import ladder as sentences
from budgetbuild.report.words.format import label, slug
from budgetbuild.report.words.listing import system_blocks

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from budgetbuild.build import Ladder, LadderStep, Pieces
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Block, CellValue
    from budgetbuild.report.words.voice import Voice

TOPIC = sentences.TOPIC
STEPS = (
    TableColumn("Step"),
    TableColumn("Paid now", Kind.MONEY),
    TableColumn("Spent in all", Kind.MONEY),
    TableColumn("Cap", Kind.MONEY),
    TableColumn("Lies aside", Kind.MONEY),
    TableColumn("Score", Kind.POINTS),
    TableColumn("Own best", Kind.POINTS),
    TableColumn("Below own best", Kind.POINTS),
)
FITTED = TableColumn("Of that fitting", Kind.MONEY)
"""Stands after what is paid where the brief is fitted."""
MOVES = (
    TableColumn("At this step"),
    TableColumn("Product"),
    TableColumn("SKU"),
    TableColumn("Quantity", Kind.COUNT),
    TableColumn("Each", Kind.MONEY),
    TableColumn("Paid now", Kind.MONEY),
)


def ladder_chapters(ladders: Sequence[Ladder], catalogue: Catalogue, voice: Voice) -> tuple[Chapter, ...]:
    """One chapter for each brief."""
    return tuple(_chapter(number, ladder, catalogue, voice) for number, ladder in enumerate(ladders, start=1))


def _chapter(number: int, ladder: Ladder, catalogue: Catalogue, voice: Voice) -> Chapter:
    brief = label(ladder.brief.name)
    blocks = tuple(_blocks(ladder, catalogue, voice))
    anchor = f"climbing-{number}-{slug(brief)}".rstrip("-")
    return Chapter(anchor, sentences.title(ladder, voice), voice.say(TOPIC, "sheet", brief=brief), blocks)


def _blocks(ladder: Ladder, catalogue: Catalogue, voice: Voice) -> Iterator[Block]:
    if not ladder.steps:
        yield Paragraph(sentences.no_path(ladder, voice))
        return
    products = catalogue.by_sku()
    yield Paragraph(sentences.opening(ladder, voice))
    yield _overview(ladder, voice)
    for number, step in enumerate(ladder.steps, start=1):
        name = voice.say(TOPIC, "step", number=voice.notation.number(number), tier=label(step.build.tier.name))
        caption = f"{label(ladder.brief.name)}, {name[:1].lower()}{name[1:]}"
        yield Heading(name)
        yield Paragraph(sentences.step_text(step, number, voice))
        if rows := tuple(_moves(step, products, voice)):
            yield Table(voice.say(TOPIC, "moves", name=caption), MOVES, rows)
        if step.build.audited and step.build.audited.lines:  # a brief that requires nothing may begin with nothing
            yield from system_blocks(step.build, catalogue, voice, voice.say(TOPIC, "list", name=caption))


def _overview(ladder: Ladder, voice: Voice) -> Table:
    fitted = sentences.fitted_in(ladder)
    rows: list[tuple[CellValue, ...]] = []
    for step in ladder.steps:
        climbed, tier = step.climbed, step.build.tier
        work = (climbed.labour,) if fitted else ()
        money = (climbed.paid, *work, climbed.spent, tier.cap, climbed.lies_aside)
        rows.append((label(tier.name), *money, step.build.score, step.best.score, step.lost))
    columns = (*STEPS[:2], *((FITTED,) if fitted else ()), *STEPS[2:])
    return Table(voice.say(TOPIC, "overview", brief=label(ladder.brief.name)), columns, tuple(rows))


def _moves(step: LadderStep, products: Mapping[str, Product], voice: Voice) -> Iterator[tuple[CellValue, ...]]:
    """What happens to which pieces, in the order of a conversation, then SKU order; work last."""
    climbed = step.climbed
    for name, some in (("bought", climbed.bought), ("kept", climbed.kept), ("aside", climbed.aside)):
        for pieces in _in_order(step, some):
            paid = pieces.cents if name == "bought" else None
            product = label(products[pieces.sku].name)
            yield voice.say(TOPIC, name), product, label(pieces.sku), pieces.quantity, pieces.price, paid
    if climbed.labour:
        yield voice.say(TOPIC, "work"), voice.say(TOPIC, "work-name"), "", None, None, climbed.labour


def _in_order(step: LadderStep, some: Sequence[Pieces]) -> list[Pieces]:
    lines = step.build.audited.lines if step.build.audited else ()
    place = {line.sku: number for number, line in reversed(list(enumerate(lines)))}
    return sorted(some, key=lambda pieces: (place.get(pieces.sku, len(lines)), pieces.sku))

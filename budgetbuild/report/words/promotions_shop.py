"""What the shop alone reads of its promotions: margin by line, room for discounts, stock, what more margin costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.report.chapter import Bullets, Chapter, Heading, Kind, Paragraph, Plot, Table, TableColumn
from budgetbuild.report.words.advised import step_changes
from budgetbuild.report.words.cautions import no_build_reason
from budgetbuild.report.words.format import capital, label, listed
from budgetbuild.report.words.promotions import build_of
from budgetbuild.report.words.wording import short_standing

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from fractions import Fraction

    from budgetbuild.build import Bundle, BundleChoice, MissingPieces, NoBundle, Promotions, Sale, TradeOff, Waiver
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Block, CellValue
    from budgetbuild.report.words.voice import Voice

TOPIC = "promotion-shop"
SUMMARY = (
    TableColumn("Promotion"),
    TableColumn("Brief"),
    TableColumn("Sets", Kind.COUNT),
    TableColumn("Score", Kind.POINTS),
    TableColumn("List total", Kind.MONEY),
    TableColumn("Price", Kind.MONEY),
    TableColumn("Margin of a set", Kind.MONEY),
    TableColumn("Margin share", Kind.PERCENT),
    TableColumn("Margin of all sets", Kind.MONEY),
    TableColumn("Standing"),
)
LINES = (
    TableColumn("Part"),
    TableColumn("Product"),
    TableColumn("SKU"),
    TableColumn("Quantity", Kind.COUNT),
    TableColumn("Line total", Kind.MONEY),
    TableColumn("Without tax", Kind.MONEY),
    TableColumn("Cost", Kind.MONEY),
    TableColumn("Margin", Kind.MONEY),
    TableColumn("Ceiling", Kind.PERCENT),
    TableColumn("Room for discount", Kind.MONEY),
)
STOCK = (
    TableColumn("Product"),
    TableColumn("SKU"),
    TableColumn("In a set", Kind.COUNT),
    TableColumn("In all sets", Kind.COUNT),
    TableColumn("Other promotions", Kind.COUNT),
    TableColumn("In stock", Kind.COUNT),
    TableColumn("Left", Kind.COUNT),
)
TRADE = (
    TableColumn("Choice"),
    TableColumn("What changes"),
    TableColumn("Margin of a set", Kind.MONEY),
    TableColumn("Score", Kind.POINTS),
    TableColumn("Margin share", Kind.PERCENT),
    TableColumn("More margin", Kind.MONEY_CHANGE),
    TableColumn("Points it costs", Kind.POINTS),
    TableColumn("List total", Kind.MONEY),
)
CHECKS = (TableColumn("Rule"), TableColumn("Source"), TableColumn("Figure"), TableColumn("Limit"), TableColumn("Unit"))
LEFT_OUT = (
    TableColumn("Product"),
    TableColumn("Promotion"),
    TableColumn("SKU"),
    TableColumn("In stock", Kind.COUNT),
    TableColumn("Sets", Kind.COUNT),
    TableColumn("Cost", Kind.MONEY),
)
MANY = 5
"""So many products are named in a sentence at most; a table names them all."""


def shop_chapter(found: Promotions, catalogue: Catalogue, voice: Voice) -> Chapter:
    """The chapter of all promotions, which no customer sees."""
    products = catalogue.by_sku()
    blocks: list[Block] = [Paragraph(text) for text in _opening(found, catalogue, voice)]
    blocks.append(Table(voice.say(TOPIC, "summary"), SUMMARY, tuple(_summary(one, voice) for one in found.bundles)))
    blocks += [block for bundle in found.bundles for block in _blocks(bundle, products, voice)]
    left_out = tuple(row for bundle in found.bundles for row in _left_out(bundle, products))
    if left_out:
        blocks.append(Table(voice.say(TOPIC, "left-out"), LEFT_OUT, left_out))
    return Chapter("promotions-shop", voice.say(TOPIC, "title"), "Promotions (shop)", tuple(blocks), shop_only=True)


def _opening(found: Promotions, catalogue: Catalogue, voice: Voice) -> Iterator[str]:
    write, rate = voice.notation, catalogue.settings.tax_rate
    yield voice.say(TOPIC, "opening")
    if rate is None:
        yield voice.say(TOPIC, "tax-unknown")
    else:
        yield voice.say(TOPIC, "tax", rate=write.measure(float(100 * rate), "%"))
    if any(bundle.promotion.price is not None for bundle in found.bundles) and catalogue.discounts:
        yield voice.say(TOPIC, "ceilings")
    if found.contested:
        yield voice.say(TOPIC, "contested", products=_named(found.contested, catalogue.by_sku()))
    if any(bundle.status is Status.TIME_LIMIT for bundle in found.bundles):
        if found.bound is None or found.score is None:
            yield voice.say(TOPIC, "bound-unknown")
        else:
            yield voice.say(TOPIC, "bound", score=write.points(found.score), bound=write.points(found.bound))


def _summary(bundle: Bundle, voice: Voice) -> tuple[CellValue, ...]:
    sale, sets = bundle.sale, bundle.promotion.sets
    margin = sale.margin if sale else None
    return (
        label(bundle.promotion.name),
        label(bundle.brief.name),
        sets,
        bundle.audited.score if bundle.audited else None,
        sale.list_total if sale else None,
        sale.price if sale else None,
        margin,
        share(sale) if sale else None,
        None if margin is None else margin * sets,
        _standing(bundle, voice),
    )


def _standing(bundle: Bundle, voice: Voice) -> str:
    return short_standing(build_of(bundle), voice)


def share(sale: Sale) -> float | None:
    """The margin as a share of the parts' revenue without tax; `None` where there is none."""
    return None if sale.margin is None or not sale.revenue else sale.margin / sale.revenue


def _blocks(bundle: Bundle, products: Mapping[str, Product], voice: Voice) -> Iterator[Block]:
    name, sale = label(bundle.promotion.name), bundle.sale
    yield Heading(name)
    if sale is None:
        told, waivers = reasons(bundle, products, voice)
        yield from (Paragraph(text) for text in told)
        if waivers:
            yield Bullets(waivers)
    notes = tuple(_notes(bundle, products, voice))
    if notes:
        yield Bullets(notes)
    if sale is None:
        return
    yield Table(voice.say(TOPIC, "lines", promotion=name), LINES, tuple(_lines(bundle, sale, voice)))
    yield Table(voice.say(TOPIC, "stock", promotion=name), STOCK, tuple(_stock(bundle, products)))
    if bundle.trade_off:
        yield from _trade_off(name, bundle.trade_off, products, voice)
    rows = tuple(
        (f"{check.rule} {check.subject}".strip(), check.source, str(check.figure), check.limit, check.unit)
        for check in bundle.checks
    )
    yield Table(voice.say(TOPIC, "checks", promotion=name), CHECKS, rows)


def _notes(bundle: Bundle, products: Mapping[str, Product], voice: Voice) -> Iterator[str]:
    """What decided, and what took no part."""
    floors = tuple(_floors(bundle, voice))
    if floors:
        yield voice.say(TOPIC, "floor", floors=listed(floors))
    if bundle.cleared:
        yield voice.say(TOPIC, "cleared", products=_named(bundle.cleared, products))
    if bundle.uncosted:
        name = "uncosted-out" if bundle.counts else "uncosted-in"
        count = voice.notation.number(len(bundle.uncosted))
        yield voice.say(TOPIC, name, count=count, products=_named(bundle.uncosted, products))
    if bundle.scarce:
        count = voice.notation.number(len(bundle.scarce))
        yield voice.say(TOPIC, "scarce", count=count, products=_named(bundle.scarce, products))


def _left_out(bundle: Bundle, products: Mapping[str, Product]) -> Iterator[tuple[CellValue, ...]]:
    """Every product that took no part, since its stock or its cost is lacking."""
    lacking = {*bundle.scarce, *(bundle.uncosted if bundle.counts else ())}
    for sku in sorted(lacking):
        product = products[sku]
        name, promotion = label(product.name), label(bundle.promotion.name)
        yield name, promotion, label(sku), product.stock, bundle.promotion.sets, product.cost


def _floors(bundle: Bundle, voice: Voice) -> Iterator[str]:
    if bundle.promotion.floor is not None:
        yield voice.say(TOPIC, "floor-cents", floor=voice.notation.money(bundle.promotion.floor))
    if bundle.promotion.floor_share is not None:
        yield voice.say(TOPIC, "floor-share", share=_percent(bundle.promotion.floor_share, voice))


def _percent(part: Fraction, voice: Voice) -> str:
    return voice.notation.measure(float(100 * part), "%")


def _named(skus: Sequence[str], products: Mapping[str, Product]) -> str:
    """Products by name and SKU; of many the first, and how many more."""
    told = [f"{label(products[sku].name)} ({label(sku)})" for sku in skus[:MANY]]
    more = len(skus) - len(told)
    return listed([*told, f"{more} more"] if more else told)


def _lines(bundle: Bundle, sale: Sale, voice: Voice) -> Iterator[tuple[CellValue, ...]]:
    """The parts; what is taken off; labour, which no margin counts; and the set."""
    for line in sale.lines:
        margin = None if line.net is None or line.cost is None else line.net - line.cost
        ceiling = float(line.ceiling) if sale.discount else None
        yield (
            capital(line.role.value), label(line.description), label(line.sku), line.quantity, line.line_total,
            line.net, line.cost, margin, ceiling, line.room if sale.discount else None,
        )  # fmt: skip
    if sale.labour:
        yield voice.say(TOPIC, "labour"), "", "", None, sale.labour, *[None] * 5
    if sale.discount:
        net = None if sale.discount_net is None else -sale.discount_net
        yield voice.say(TOPIC, "discount"), "", "", None, -sale.discount, net, None, net, None, None
    room = sale.room if sale.discount else None
    yield voice.say(TOPIC, "set"), "", "", 1, sale.price, sale.revenue, sale.cost, sale.margin, None, room
    sets = bundle.promotion.sets
    if sets > 1:
        figures = (sale.price, sale.revenue, sale.cost, sale.margin)
        sums = (None if figure is None else figure * sets for figure in figures)
        yield voice.say(TOPIC, "all-sets", count=voice.notation.number(sets)), "", "", sets, *sums, None, None


def _stock(bundle: Bundle, products: Mapping[str, Product]) -> Iterator[tuple[CellValue, ...]]:
    for one in bundle.shelves:
        name = label(products[one.sku].name)
        yield name, label(one.sku), one.each, one.taken, one.others, one.stock, one.left


def _trade_off(name: str, found: TradeOff, products: Mapping[str, Product], voice: Voice) -> Iterator[Block]:
    first = found.choices[0]
    if len(found.choices) == 1 and found.whole:
        yield Paragraph(voice.say(TOPIC, "one-choice"))
        return
    rows = tuple(_choice(number, one, first, products, voice) for number, one in enumerate(found.choices, start=1))
    table = Table(voice.say(TOPIC, "trade-off", promotion=name), TRADE, rows)
    yield Plot(voice.say(TOPIC, "trade-off-plot", promotion=name), table, 2, 3)
    if found.step > 1:
        close, step = voice.notation.number(found.close), voice.notation.money(found.step)
        yield Paragraph(voice.say(TOPIC, "thinned", close=close, step=step))
    elif found.whole:
        yield Paragraph(voice.say(TOPIC, "whole"))
    if found.stopped:
        yield Paragraph(voice.say(TOPIC, "stopped"))


def _choice(
    number: int, one: BundleChoice, first: BundleChoice, products: Mapping[str, Product], voice: Voice
) -> tuple[CellValue, ...]:
    changes = "; ".join(change.rstrip(".") for change in step_changes(one.step, products, voice))
    told = voice.say(TOPIC, "choice-first") if one is first else changes or voice.say(TOPIC, "choice-small")
    more = (one.sale.margin or 0) - (first.sale.margin or 0)
    lost = first.audited.score - one.audited.score
    return str(number), told, one.sale.margin, one.audited.score, share(one.sale), more, lost, one.sale.list_total


WAIVERS_STOPPED = {"waivers": "waivers", "waivers-pairs": "pairs-stopped", "waivers-none": "waivers-stopped"}
"""What is said where the search for terms to waive was stopped: nothing of what does not help."""


def reasons(bundle: Bundle, products: Mapping[str, Product], voice: Voice) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Why a promotion has no bundle, a sentence each, and what alone would make it possible."""
    name, why = label(bundle.promotion.name), bundle.no_bundle
    if why is None:
        return (voice.say(TOPIC, "none-stopped", promotion=name),), ()
    if why.beside:
        return tuple(_beside(name, bundle, why, products, voice)), ()
    told = [voice.say(TOPIC, "none", promotion=name)]
    if why.no_build:
        return (*told, no_build_reason(build_of(bundle), voice)), ()
    looked_for = "waivers" if why.waivers else "waivers-pairs" if why.pairs else "waivers-none"
    told.append(voice.say(TOPIC, looked_for if why.sought else WAIVERS_STOPPED[looked_for]))
    helping = [_waiver(one, products, voice) for one in why.waivers]
    for pair in why.pairs:
        one, other = (voice.say(TOPIC, f"pair-{code}") for code in pair)
        helping.append(voice.say(TOPIC, "pair", one=one, other=other))
    return tuple(told), tuple(capital(f"{text}.") for text in helping)


def _beside(name: str, bundle: Bundle, why: NoBundle, products: Mapping[str, Product], voice: Voice) -> Iterator[str]:
    others = listed([f"“{label(other)}”" for other in why.beside])
    stopped = bundle.status is Status.TIME_LIMIT
    yield voice.say(TOPIC, "beside-open" if stopped else "beside", promotion=name, others=others)
    if why.missing:
        yield voice.say(TOPIC, "missing", pieces=_pieces(why.missing, products, voice))


def _waiver(one: Waiver, products: Mapping[str, Product], voice: Voice) -> str:
    figures = {
        "price": voice.notation.money(one.cents),
        "margin": voice.notation.money(one.cents),
        "share": "" if one.share is None else _percent(one.share, voice),
        "count": voice.notation.number(one.count),
        "pieces": _pieces(one.missing, products, voice),
    }
    return voice.say(TOPIC, f"waiver-{_waiver_name(one)}", **figures)


def _waiver_name(one: Waiver) -> str:
    """Which sentence tells it: some of them have a plainer one where a figure is lacking."""
    plainer = {
        "floor": one.share is None and "floor-bare",
        "clear": not one.count and "clear-none",
        "stock": not one.missing and "stock-plenty",
    }
    return plainer.get(one.code) or one.code


def _pieces(missing: Sequence[MissingPieces], products: Mapping[str, Product], voice: Voice) -> str:
    return listed(
        [
            voice.say(
                TOPIC,
                "pieces",
                count=voice.notation.number(one.pieces),
                product=f"{label(products[one.sku].name)} ({label(one.sku)})",
            )
            for one in missing
        ]
    )

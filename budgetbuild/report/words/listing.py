"""A system as blocks of a chapter: its list with the tally, which version to order, what to watch, and the safety."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.chapter import Bullets, Kind, Table, TableColumn
from budgetbuild.report.words import reasons, safety
from budgetbuild.report.words.cautions import caution_text
from budgetbuild.report.words.format import capital, label
from budgetbuild.report.words.versions import alert_text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Audited, Build
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Block
    from budgetbuild.report.words.voice import Voice

COLUMNS = (
    TableColumn("Part"),
    TableColumn("Product"),
    TableColumn("SKU"),
    TableColumn("Quantity", Kind.COUNT),
    TableColumn("Each", Kind.MONEY),
    TableColumn("Line total", Kind.MONEY),
    TableColumn("Running total", Kind.MONEY),
    TableColumn("Why"),
)


def system_blocks(build: Build, catalogue: Catalogue, voice: Voice, caption: str) -> tuple[Block, ...]:
    """What a customer must read of a system that stands in a chapter; empty where the build has none.

    Args:
        build: Solved and audited.
        catalogue: What it was solved from.
        voice: The shop's sentences.
        caption: Of its list.
    """
    if build.audited is None:
        return ()
    products = catalogue.by_sku()
    alerts = tuple(alert_text(alert, products, voice) for alert in build.versions)
    watched = tuple(
        caution_text(caution, voice, products) for caution in build.audited.cautions if caution.code not in safety.SAID
    )
    blocks: list[Block] = [Table(caption, COLUMNS, _rows(build, products, catalogue, voice))]
    blocks += [Bullets(some) for some in (alerts, watched) if some]
    return (*blocks, Bullets(safety_sentences(build.audited, products, voice), safety=True))


def safety_sentences(audited: Audited, products: Mapping[str, Product], voice: Voice) -> tuple[str, ...]:
    """What keeps whoever fits a system from harm, with its figures."""
    return tuple(sentence.text for sentence in safety.safety(audited, products, voice))


def _rows(
    build: Build, products: Mapping[str, Product], catalogue: Catalogue, voice: Voice
) -> tuple[tuple[str | int | None, ...], ...]:
    return tuple(
        (
            capital(line.role.value),
            label(line.description),
            label(line.sku),
            line.quantity,
            line.unit_price,
            line.line_total,
            line.running_total,
            reasons.why(line, build, products.get(line.sku), catalogue, voice),
        )
        for line in (build.audited.lines if build.audited else ())
    )

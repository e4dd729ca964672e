"""Tables of the page "what changed": prices, what else drifted, the choice that the owner has, what goes and comes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.chapter import Heading, Kind, Paragraph, Table, TableColumn
from budgetbuild.report.words.drifts import PRICES, Speaker, difference, drift_rows, work_named
from budgetbuild.report.words.format import capital, label
from budgetbuild.report.words.recheck import is_best, is_late

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Audited, Change, Rechecked, Remedy, ScorePart
    from budgetbuild.report.chapter import Block, CellValue


def columns(speaker: Speaker, *heads: tuple[str, Kind]) -> tuple[TableColumn, ...]:
    """Columns with the heads of these names."""
    return tuple(TableColumn(speaker.say(f"head-{head}"), kind) for head, kind in heads)


def price_table(rechecked: Rechecked, speaker: Speaker) -> list[Block]:
    """Every price that is not as printed, and the total."""
    names = {(line.sku or line.description): line.description for line in rechecked.published.lines}
    rows: list[tuple[CellValue, ...]] = []
    for drift in rechecked.drifts:
        if drift.code in PRICES:
            labour = drift.code == "labour"
            name = work_named(drift.subject) if labour else label(names.get(drift.subject, drift.subject))
            quantity, before, after, more = difference(drift)
            rows.append((name, None if labour else label(drift.subject), quantity, before, after, more))
    before, after = rechecked.published.total, rechecked.total
    if before is not None and after is not None and rows:
        rows.append((speaker.say("total-of-list"), None, None, before, after, after - before))
    heads = columns(
        speaker,
        ("product", Kind.TEXT),
        ("sku", Kind.TEXT),
        ("quantity", Kind.COUNT),
        ("each-then", Kind.MONEY),
        ("each-now", Kind.MONEY),
        ("difference", Kind.MONEY_CHANGE),
    )
    return [Table(speaker.say("prices"), heads, tuple(rows))] if rows else []


def drift_table(rechecked: Rechecked, speaker: Speaker) -> list[Block]:
    """Everything else that is not as printed."""
    rows = tuple(tuple(text or None for text in row) for row in drift_rows(rechecked, speaker))
    heads = columns(speaker, *((head, Kind.TEXT) for head in ("what", "about", "then", "now")))
    return [Table(speaker.say("other-drifts"), heads, rows)] if rows else []


def choice(rechecked: Rechecked, speaker: Speaker) -> list[Block]:
    """What the owner may choose between, with parts changed, score and money."""
    published, cap, ways = rechecked.published, rechecked.tier.cap, _ways(rechecked)
    if not ways:
        return []
    printed, now = published.score or 0, rechecked.audited
    rows: list[tuple[CellValue, ...]] = [
        (speaker.say("choice-then"), None, published.score, None, published.total, None),
        *(
            (speaker.say(f"choice-{name}"), changed, one.score, one.score - printed, one.total, cap - one.total)
            for name, changed, one in ([("now", 0, now), *ways] if now else ways)
        ),
    ]
    heads = columns(
        speaker,
        ("choice", Kind.TEXT),
        ("changed", Kind.COUNT),
        ("score", Kind.POINTS),
        ("against", Kind.POINTS_CHANGE),
        ("total", Kind.MONEY),
        ("left", Kind.MONEY_CHANGE),
    )
    heading = Heading(speaker.say("choice-heading"))
    return [heading, Table(speaker.say("choice"), heads, tuple(rows)), *_points_table(rechecked, speaker)]


def _ways(rechecked: Rechecked) -> list[tuple[str, int | None, Audited]]:
    """Name, parts changed and system of the repair and of the best today, which is left out where it is the repair."""
    best = None if is_best(rechecked) else rechecked.best
    found = (("repair", rechecked.repair), ("best-late" if is_late(best) else "best", best))
    return [(name, one.parts_changed, one.audited) for name, one in found if one and one.audited]


def _points_table(rechecked: Rechecked, speaker: Speaker) -> list[Block]:
    """The score of each choice part by part."""
    choices = [("then", rechecked.published.score_parts)]
    choices += [(name, audited.score_parts) for name, _, audited in _ways(rechecked)]
    summed = [_by_part(parts) for _, parts in choices]
    names = dict.fromkeys(name for sums in summed for name in sums)
    rows: list[tuple[CellValue, ...]] = [
        (capital(label(name)), *(sums.get(name, 0) for sums in summed))
        for name in names
        if any(sums.get(name) for sums in summed)
    ]
    if not rows:
        return []
    heads = (TableColumn(speaker.say(f"choice-{name}"), Kind.POINTS) for name, _ in choices)
    return [Table(speaker.say("points-heading"), (TableColumn(speaker.say("head-part")), *heads), tuple(rows))]


def _by_part(parts: Sequence[ScorePart]) -> dict[str, int]:
    sums: dict[str, int] = {}
    for part in parts:
        sums[part.part] = sums.get(part.part, 0) + part.points
    return sums


def exchange_table(remedy: Remedy, rechecked: Rechecked, speaker: Speaker) -> list[Block]:
    """What goes, at the price printed, and what comes, at today's."""
    if remedy.audited is None:
        return []
    rows = [row for change in remedy.exchanges for row in _exchanged(change, remedy, rechecked, speaker)]
    if not rows:
        return [Paragraph(speaker.say("exchanges-kept"))]
    heads = columns(
        speaker,
        ("do-part", Kind.TEXT),
        ("for", Kind.TEXT),
        ("product", Kind.TEXT),
        ("sku", Kind.TEXT),
        ("quantity", Kind.COUNT),
        ("each", Kind.MONEY),
        ("line-total", Kind.MONEY),
    )
    return [Table(speaker.say("exchanges"), heads, tuple(rows))]


def _exchanged(change: Change, remedy: Remedy, rechecked: Rechecked, speaker: Speaker) -> list[tuple[CellValue, ...]]:
    then = {line.sku: (line.description, line.unit_price) for line in rechecked.published.lines}
    now = {line.sku: (line.description, line.unit_price) for line in remedy.audited.lines} if remedy.audited else {}
    rows: list[tuple[CellValue, ...]] = []
    for word, parts, lines in (("take-out", change.before, then), ("put-in", change.after, now)):
        for part in parts:
            name, price = lines[part.sku]
            cells = (label(name), label(part.sku), part.quantity, price, price * part.quantity)
            rows.append((speaker.say(word), capital(change.role.value), *cells))
    return rows

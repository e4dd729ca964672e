"""What drifted of a published build, in words: row by row for a table, and in short for a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Caution, Drift, Weight
from budgetbuild.report.words.cautions import caution_text
from budgetbuild.report.words.format import capital, counted, label, listed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from budgetbuild.build import Rechecked
    from budgetbuild.catalogue.items import Product
    from budgetbuild.report.words.voice import Voice

TOPIC = "recheck"
PRICES = frozenset({"price", "labour"})
"""Codes that a table of prices shows."""
TOLD_ELSEWHERE = PRICES | {"possible"}
WITHDRAWING = frozenset({"brief-gone", "brief-unused", "vehicle-gone", "vehicle-unread"})
"""Codes that leave nothing to hold a system against."""
ANEW = {
    "price": "price", "labour": "price", "name": "name", "rating": "rating", "stock": "stock",
    "figure": "figure", "caution": "caution", "budget": "tier", "cap": "tier", "tier-gone": "tier-name",
    "brief-left-tier": "brief", "other-vehicle": "brief", "tax": "tax", "least-total": "least-total",
    "vehicle-total": "vehicle-total",
}  # fmt: skip
"""What has to be printed anew, by the code of what drifted."""

Row = tuple[str, str, str, str]
"""What drifted, what it is about, as printed, as it is today."""
Told = tuple[str, str, str]
"""What it is about, as printed, as it is today."""
Figure = float | int | str | None


@dataclass(frozen=True, slots=True)
class Speaker:
    """Says what drifted, with the names of today's list."""

    voice: Voice
    products: Mapping[str, Product]

    def say(self, name: str, /, **figures: str) -> str:
        """A sentence of this topic."""
        return self.voice.say(TOPIC, name, **figures)

    def named(self, sku: str) -> str:
        """A product of today's list by its name and SKU; anything else as it is."""
        product = self.products.get(sku)
        return f"{label(product.name)} ({label(sku)})" if product and product.name != sku else label(sku)


def drift_rows(rechecked: Rechecked, speaker: Speaker) -> tuple[Row, ...]:
    """Everything that drifted, one row each, but for what is told elsewhere."""
    return tuple(_row(drift, rechecked, speaker) for drift in rechecked.drifts if drift.code not in TOLD_ELSEWHERE)


def _row(drift: Drift, rechecked: Rechecked, speaker: Speaker) -> Row:
    rule = label(str(drift.figures.get("rule", "")))
    about, before, after = WORDS.get(drift.code, _plain)(drift, speaker)
    if not about and drift.code == "gone":
        about = _as_printed(drift, rechecked)
    return speaker.say(f"drift-{drift.code}", rule=rule), about, before, after


def _as_printed(drift: Drift, rechecked: Rechecked) -> str:
    """A line by the name that it was published under."""
    names = (line.description for line in rechecked.published.lines if line.sku == drift.subject)
    name, sku = label(next(names, drift.subject)), label(drift.subject)
    return f"{name} ({sku})" if name != sku else sku


def _plain(drift: Drift, speaker: Speaker) -> Told:
    """Both sides as texts; what it is about need not be said twice."""
    before = "" if drift.before == drift.subject else _side(drift.before, label)
    return speaker.named(drift.subject), before, _side(drift.after, label)


def _side(side: Figure, write: Callable[[str], str]) -> str:
    """A side as a text; empty where there is nothing."""
    return "" if side is None else write(str(side))


def _money(drift: Drift, speaker: Speaker) -> Told:
    def write(cents: str) -> str:
        return speaker.voice.notation.money(int(cents))

    return label(drift.subject), _side(drift.before, write), _side(drift.after, write)


def _points(drift: Drift, speaker: Speaker) -> Told:
    def write(thousandths: str) -> str:
        return speaker.voice.notation.points(int(thousandths))

    return "", _side(drift.before, write), _side(drift.after, write)


def _rating(drift: Drift, speaker: Speaker) -> Told:
    def write(rating: str) -> str:
        return speaker.voice.notation.number(float(rating))

    return speaker.named(drift.subject), _side(drift.before, write), _side(drift.after, write)


def _percent(drift: Drift, speaker: Speaker) -> Told:
    def write(share: str) -> str:
        return speaker.voice.notation.measure(100 * float(share), "%")

    return "", _side(drift.before, write), _side(drift.after, write)


def _gone(drift: Drift, speaker: Speaker) -> Told:
    near = str(drift.figures.get("near", ""))
    after = speaker.say("drift-gone-near", near=label(near)) if near else speaker.say("drift-gone-after")
    return "", speaker.say("drift-on-offer"), after


def _not_offered(drift: Drift, speaker: Speaker) -> Told:
    return speaker.named(drift.subject), speaker.say("drift-on-offer"), speaker.say("drift-not-offered-after")


def _stock(drift: Drift, speaker: Speaker) -> Told:
    figures = {name: str(drift.figures.get(name, "")) for name in ("stock", "wanted")}
    return speaker.named(drift.subject), speaker.say("drift-stock-before"), speaker.say("drift-stock-after", **figures)


def _caution(drift: Drift, speaker: Speaker) -> Told:
    """A caution of today in full; the name of an earlier one, which other words may have told."""
    if drift.after is None:
        return speaker.named(drift.subject), str(drift.before).replace("-", " "), ""
    caution = Caution(str(drift.after), drift.subject, drift.figures)
    return speaker.named(drift.subject), "", caution_text(caution, speaker.voice, speaker.products)


def _figure(drift: Drift, speaker: Speaker) -> Told:
    """Figures of a rule, each with its limit where that is another one or is not kept."""
    limit_before = drift.figures.get("limit_before")
    limits = (limit_before, drift.figures["limit"] if limit_before or drift.weight is Weight.BREAKS else None)
    before, after = (
        "" if side is None else _with_limit(_measured(side, drift, speaker), limit, speaker)
        for side, limit in zip((drift.before, drift.after), limits, strict=True)
    )
    return speaker.named(drift.subject), before, after


def _measured(figure: float | str, drift: Drift, speaker: Speaker) -> str:
    unit = label(str(drift.figures.get("unit", "")))
    if isinstance(figure, str):
        return f"{speaker.voice.notation.decimals_in(label(figure))} {unit}".strip()
    return speaker.voice.notation.measure(figure, unit, 3).strip()


def _with_limit(figure: str, limit: float | str | None, speaker: Speaker) -> str:
    if limit is None:
        return figure
    return speaker.say("drift-with-limit", figure=figure, limit=speaker.voice.notation.decimals_in(label(str(limit))))


WORDS: dict[str, Callable[[Drift, Speaker], Told]] = {
    "gone": _gone, "not-offered": _not_offered, "rating": _rating, "stock": _stock, "over-cap": _money,
    "score": _points, "rule": _figure, "figure": _figure, "caution": _caution, "caution-gone": _caution,
    "in-stock": _caution, "budget": _money, "cap": _money, "tax": _percent, "least-total": _money,
    "vehicle-total": _money, "fits-no-longer": _money,
}  # fmt: skip
"""How each kind of drift tells what it is about and its two sides; those that are not here hold plain words."""


def breaking(rechecked: Rechecked, speaker: Speaker) -> str:
    """Why a system can no longer be sold as it was published, as part of a sentence."""
    broken = (drift for drift in rechecked.drifts if drift.weight is Weight.BREAKS)
    return listed(tuple(_breaks(drift, rechecked, speaker) for drift in broken))


def withdrawing(rechecked: Rechecked, speaker: Speaker) -> str:
    """Why there is nothing to hold a system against, as part of a sentence."""
    gone = (drift for drift in rechecked.drifts if drift.code in WITHDRAWING)
    return listed(tuple(speaker.say(f"withdrawn-{drift.code}", name=label(drift.subject)) for drift in gone))


def _breaks(drift: Drift, rechecked: Rechecked, speaker: Speaker) -> str:
    money = speaker.voice.notation.money
    match drift.code:
        case "gone" | "not-offered":
            return speaker.say(f"breaks-{drift.code}", product=_as_printed(drift, rechecked))
        case "other-kind":
            product, sheet = _as_printed(drift, rechecked), label(str(drift.after))
            return speaker.say("breaks-other-kind", product=product, sheet=sheet)
        case "over-cap":
            total, cap = int(drift.after or 0), int(drift.before or 0)
            return speaker.say("breaks-over-cap", total=money(total), over=money(total - cap), cap=money(cap))
        case "fits-no-longer":
            return speaker.say("breaks-fits-no-longer", vehicle=label(drift.subject))
        case "rule":
            rule = label(str(drift.figures["rule"]))
            subject = speaker.named(drift.subject)
            about = speaker.say("breaks-about", subject=subject) if subject else ""
            limit = speaker.voice.notation.decimals_in(label(str(drift.figures["limit"])))
            figure = _measured(drift.after if drift.after is not None else "", drift, speaker)
            return speaker.say("breaks-rule", rule=rule, about=about, figure=figure, limit=limit)
        case _:
            raise ValueError(f"no words for why {drift.code} breaks a system")


def anew(rechecked: Rechecked, speaker: Speaker) -> str:
    """What has to be printed anew, each kind with how many there are; the total and the score once."""
    counts: dict[str, int] = {}
    for drift in rechecked.drifts:
        if drift.weight is Weight.PRINTED and drift.code in ANEW:
            counts[ANEW[drift.code]] = counts.get(ANEW[drift.code], 0) + 1
    told = [counted(count, speaker.say(f"anew-{name}")) for name, count in counts.items()]
    told += [speaker.say("anew-total")] if rechecked.total not in {None, rechecked.published.total} else []
    told += [speaker.say("anew-score")] if any(drift.code == "score" for drift in rechecked.drifts) else []
    return listed(told)


def difference(drift: Drift) -> tuple[int, int | None, int | None, int]:
    """A price drift as quantity, price of one as printed and today, and the difference of the line, in cents."""
    before, after = (None if side is None else int(side) for side in (drift.before, drift.after))
    quantity = int(drift.figures["quantity"])
    return quantity, before, after, ((after or 0) - (before or 0)) * quantity


def work_named(work: str) -> str:
    """A piece of labour as a line names it."""
    return capital(label(work))

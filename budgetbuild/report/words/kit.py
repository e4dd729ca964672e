"""One system for several vehicles in words: which it fits, what each takes of its own, why it does not fit others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import Opening
from budgetbuild.report.chapter import Bullets, Chapter, Heading, Kind, Paragraph, Table, TableColumn
from budgetbuild.report.words.cautions import caution_text
from budgetbuild.report.words.format import capital, label, listed
from budgetbuild.report.words.shares import asked_share, percent

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from budgetbuild.build import Build, Check, Covered, InVehicle
    from budgetbuild.catalogue.items import Product
    from budgetbuild.report.chapter import Block, CellValue
    from budgetbuild.report.words.voice import Voice

TOPIC = "kit"
SHEET = "Covered vehicles"

WHY_NOT = {
    "Opening takes the head unit": "why-opening",
    "Fitting kit of this vehicle": "why-fitting-kit",
    "Digital-radio aerial": "why-aerial",
    "Adapter for another speaker size": "why-adapter",
    "Speaker fits its place": "why-speaker",
    "Fits the boot": "why-boot",
    "Signal lead reaches": "why-lead",
    "Power kit reaches": "why-power-kit",
    "Current to design for": "why-current",
    "Speaker cable's loop resistance": "why-cable",
    "Deadening sheets": "why-deadening",
    "Total within the cap": "why-cap",
    "Includes what the brief asks for": "why-must",
}
"""Rules of the audit that a system may fail in a vehicle that it was not chosen for, by the name of the words."""

TOLD_BY_THE_PRICE = "over-budget"
"""A caution that each vehicle's own total already tells."""


def vehicle_of(build: Build, voice: Voice) -> str:
    """Which vehicle a build is for, or how many and which one is shown."""
    if build.covered:
        return voice.say(TOPIC, "vehicle", **_count(build.covered), vehicle=build.vehicle.name)
    if build.brief.is_kit:
        return voice.say(TOPIC, "vehicles-asked", all=str(len(build.brief.vehicles)))
    return build.vehicle.name


def names_in(build: Build) -> tuple[str, ...]:
    """Names of the vehicles that a build is for."""
    if build.covered:
        return tuple(one.vehicle.name for one in build.covered.inside)
    return build.brief.vehicles or (build.vehicle.name,)


def title_of(title: str, build: Build, voice: Voice) -> str:
    """A build's title, with how many vehicles it covers."""
    return voice.say(TOPIC, "title", title=title, **_count(build.covered)) if build.covered else title


def price_range(build: Build, voice: Voice) -> str:
    """What a system for several vehicles costs, from the least to the most; empty for one vehicle."""
    if build.covered is None:
        return ""
    low, high = (voice.notation.money(price) for price in (build.covered.lowest, build.covered.highest))
    return voice.say(TOPIC, "price-same" if low == high else "price-range", low=low, high=high)


def total_of(build: Build, voice: Voice) -> str:
    """What a build costs; over several vehicles at most, where it is not the same in all."""
    total = voice.notation.money(build.total or 0)
    if build.covered and build.covered.lowest != build.covered.highest:
        return voice.say(TOPIC, "price-most", high=total)
    return total


def share_of(covered: Covered, voice: Voice) -> str:
    """How many of the vehicles are covered; where they do not count the same, how much of their weights too."""
    told = voice.say(TOPIC, "count" if covered.outside else "count-all", **_count(covered))
    if not covered.outside or len({one.weight for one in covered.vehicles}) == 1:
        return told
    return voice.say(TOPIC, "count-weighted", count=told, share=percent(covered.share, voice))


def _count(covered: Covered) -> dict[str, str]:
    return {"count": str(len(covered.inside)), "all": str(len(covered.vehicles))}


def kit_blocks(build: Build, products: Mapping[str, Product], voice: Voice) -> tuple[Block, ...]:
    """The vehicles of a build for several, one table for those that it covers, and one for the others."""
    covered = build.covered
    if covered is None:
        return ()
    return tuple(_blocks(build, covered, products, voice))


def _blocks(build: Build, covered: Covered, products: Mapping[str, Product], voice: Voice) -> Iterator[Block]:
    yield Heading(voice.say(TOPIC, "heading"))
    yield Paragraph(
        voice.say(
            TOPIC,
            "covers",
            covered=share_of(covered, voice),
            asked=asked_share(covered.asked, len(covered.vehicles), voice),
            prices=price_range(build, voice),
            vehicle=label(build.vehicle.name),
            score=voice.notation.points(covered.score),
        )
    )
    name = f"{label(build.tier.name)}, {label(build.brief.name)}"
    yield _inside(covered, products, voice, voice.say(TOPIC, "inside", name=name))
    others = _other_cautions(covered, products, voice)
    if others:
        yield Paragraph(voice.say(TOPIC, "watch"))
        yield Bullets(others)
    if covered.outside:
        yield _outside(covered, voice, voice.say(TOPIC, "outside", name=name))


def _inside(covered: Covered, products: Mapping[str, Product], voice: Voice, caption: str) -> Table:
    columns = [
        TableColumn(voice.say(TOPIC, "head-vehicle")),
        *_weight_column(covered, voice),
        TableColumn(voice.say(TOPIC, "head-own")),
        *([TableColumn(voice.say(TOPIC, "head-carries"))] if covered.dearest.audited.devices else []),
        TableColumn(voice.say(TOPIC, "head-score"), Kind.POINTS),
        TableColumn(voice.say(TOPIC, "head-total"), Kind.MONEY),
    ]
    rows = tuple(
        (
            *_first(one, covered),
            _own_parts(one, products, voice),
            *_carries(one, voice),
            one.audited.score,
            one.audited.total,
        )
        for one in covered.inside
    )
    return Table(caption, tuple(columns), rows)


def _carries(one: InVehicle, voice: Voice) -> list[str]:
    """What each power kit is good for over the vehicle's own run."""
    kits = {device.kit_sku: device.kit_carries_a for device in one.audited.devices}
    told = [voice.notation.measure(carries, "A", 1) for carries in kits.values()]
    return [", ".join(told)] if told else []


def _outside(covered: Covered, voice: Voice, caption: str) -> Table:
    columns = [
        TableColumn(voice.say(TOPIC, "head-vehicle")),
        *_weight_column(covered, voice),
        TableColumn(voice.say(TOPIC, "head-why-not")),
    ]
    rows = tuple((*_first(one, covered), why_not(one, covered, voice)) for one in covered.outside)
    return Table(caption, tuple(columns), rows)


def _weight_column(covered: Covered, voice: Voice) -> list[TableColumn]:
    """Weights are told where they differ."""
    alike = len({one.weight for one in covered.vehicles}) == 1
    return [] if alike else [TableColumn(voice.say(TOPIC, "head-weight"), Kind.COUNT)]


def _first(one: InVehicle, covered: Covered) -> tuple[CellValue, ...]:
    alike = len({each.weight for each in covered.vehicles}) == 1
    name = label(one.vehicle.name)
    return (name,) if alike else (name, float(one.weight))


def _own_parts(one: InVehicle, products: Mapping[str, Product], voice: Voice) -> str:
    """The vehicle's own parts by name and SKU, with how many where there are several."""
    told = [
        voice.say(
            TOPIC,
            "own-part" if part.quantity == 1 else "own-parts",
            count=str(part.quantity),
            product=label(products[part.sku].name),
            sku=label(part.sku),
        )
        for part in one.own
    ]
    return "; ".join(told) or voice.say(TOPIC, "own-none")


def why_not(one: InVehicle, covered: Covered, voice: Voice) -> str:
    """Why a system does not fit a vehicle, or that it does, with fewer points."""
    refused = one.audited.refused
    if not refused:
        figures = {"score": voice.notation.points(one.audited.score), "least": voice.notation.points(covered.score)}
        return capital(voice.say(TOPIC, "why-score", **figures))
    return capital("; ".join(dict.fromkeys(_refusal(check, one, voice) for check in refused)))


def _refusal(check: Check, one: InVehicle, voice: Voice) -> str:
    """One rule that the system fails there."""
    name = WHY_NOT.get(check.rule, "why-other")
    if name == "why-opening" and one.vehicle.opening is Opening.NONE:
        name = "why-no-opening"
    figure = check.figure if isinstance(check.figure, str) else voice.notation.number(check.figure)
    return voice.say(
        TOPIC,
        name,
        rule=check.rule,
        subject=label(check.subject),
        figure=voice.notation.decimals_in(label(figure)),
        limit=voice.notation.decimals_in(check.limit),
        unit=check.unit,
        opening=str(one.vehicle.opening),
        total=voice.notation.money(one.audited.total),
    )


def _other_cautions(covered: Covered, products: Mapping[str, Product], voice: Voice) -> tuple[str, ...]:
    """What to watch in vehicles other than the one that is shown, each sentence with the vehicles that it is for."""
    shown = covered.dearest.audited.cautions
    vehicles: dict[str, list[str]] = {}
    for one in covered.inside:
        for caution in one.audited.cautions:
            if caution not in shown and caution.code != TOLD_BY_THE_PRICE:
                vehicles.setdefault(caution_text(caution, voice, products), []).append(label(one.vehicle.name))
    return tuple(
        voice.say(TOPIC, "watch-in", vehicles=listed(names, "and the"), text=text) for text, names in vehicles.items()
    )


def kit_chapters(
    builds: Sequence[tuple[str, Build]], products: Mapping[str, Product], voice: Voice
) -> tuple[Chapter, ...]:
    """The vehicles of every build for several, in one chapter for the workbook; the guide tells them with the builds.

    Args:
        builds: Each with its title.
        products: The catalogue's products by SKU.
        voice: The shop's sentences.
    """
    blocks: list[Block] = []
    for title, build in builds:
        if build.covered:
            blocks += [Heading(title), *kit_blocks(build, products, voice)[1:]]
    if not blocks:
        return ()
    return (Chapter("covered-vehicles", voice.say(TOPIC, "heading"), SHEET, tuple(blocks), with_builds=True),)

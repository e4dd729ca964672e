"""What to mind while fitting and using a system: one plain sentence each, beside the figure that it concerns."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from budgetbuild.build import Role
from budgetbuild.catalogue.items import PowerKit, Product
from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.words.format import label, listed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Audited, DeviceFigures, LocationFigures
    from budgetbuild.report.words.notation import Notation
    from budgetbuild.report.words.voice import Voice


class Topic(StrEnum):
    """Which figures a sentence stands beside."""

    SPEAKERS = "speakers and bass"
    POWER = "power run"
    ALL = "the whole job"


SAID = frozenset({"heavy-box"})
"""Codes of cautions that a sentence here says as well."""


@dataclass(frozen=True, slots=True)
class Safety:
    """One sentence and the figures that it stands beside."""

    topic: Topic
    text: str


def safety(audited: Audited, products: Mapping[str, Product], voice: Voice) -> tuple[Safety, ...]:
    """Every safety sentence, with the figures of this system where it has them."""
    return (
        Safety(Topic.SPEAKERS, _boxes(audited, products, voice)),
        Safety(Topic.SPEAKERS, voice.say("safety", "looms")),
        Safety(Topic.SPEAKERS, _hearing(audited.locations, voice)),
        Safety(Topic.POWER, voice.say("safety", "battery")),
        Safety(Topic.POWER, _fuse(audited, products, voice)),
        Safety(Topic.POWER, _rating(audited.devices, products, voice)),
        Safety(Topic.POWER, voice.say("safety", "vents")),
        Safety(Topic.ALL, voice.say("safety", "fitter")),
    )


def for_every_job(voice: Voice) -> tuple[str, ...]:
    """What holds for every system, without the figures of one."""
    names = ("battery", "fuse", "rating", "boxes", "looms", "vents", "hearing", "fitter")
    return tuple(voice.say("safety", name) for name in names)


def _fuse(audited: Audited, products: Mapping[str, Product], voice: Voice) -> str:
    """Where the main fuse goes and how large it may be."""
    kits = [products.get(sku) for sku in dict.fromkeys(device.kit_sku for device in audited.devices)]
    fuses = [
        voice.say("safety", "fuse-for", fuse=main_fuse(kit, audited, voice.notation), kit=label(kit.name))
        for kit in kits
        if isinstance(kit, PowerKit)
    ]
    return voice.say("safety", "fuse-here", fuses=listed(fuses)) if fuses else voice.say("safety", "fuse")


def _rating(devices: tuple[DeviceFigures, ...], products: Mapping[str, Product], voice: Voice) -> str:
    """What each kit's cable may carry at all, and what over this run, where it would lose too much voltage."""
    kits = {device.kit_sku: device for device in reversed(devices)}
    said = [_rated(kits[sku], products, voice) for sku in dict.fromkeys(device.kit_sku for device in devices)]
    return voice.say("safety", "rating-here", ratings=listed(said)) if said else voice.say("safety", "rating")


def _rated(device: DeviceFigures, products: Mapping[str, Product], voice: Voice) -> str:
    carries, kit = voice.notation.measure(device.kit_carries_a, "A", 1), _named(device.kit_sku, products)
    if device.kit_carries_a >= device.kit_ampacity_a:
        return voice.say("safety", "rating-whole", ampacity=carries, kit=kit)
    ampacity = voice.notation.measure(device.kit_ampacity_a, "A", 1)
    return voice.say("safety", "rating-for", ampacity=ampacity, carries=carries, kit=kit)


def _boxes(audited: Audited, products: Mapping[str, Product], voice: Voice) -> str:
    bass = next((figures.sku for figures in audited.locations if figures.location is Location.BASS), "")
    box = _named(bass, products)
    empty = next((part.sku for part in audited.system.parts if part.role is Role.BOX), "")
    if empty:
        box = voice.say("safety", "boxes-box", box=_named(empty, products), driver=box)
    return voice.say("safety", "boxes-here", box=box) if box else voice.say("safety", "boxes")


def _named(sku: str, products: Mapping[str, Product]) -> str:
    """A product by brand and model; what the catalogue lacks by its SKU."""
    product = products.get(sku)
    return label(product.name if product else sku)


def _hearing(locations: tuple[LocationFigures, ...], voice: Voice) -> str:
    levels = [figures.level_db for figures in locations if figures.level_db is not None]
    if not levels:
        return voice.say("safety", "hearing")
    level = voice.notation.measure(max(levels), "dB", 0)
    known = [figures.location.value for figures in locations if figures.level_db is not None]
    if len(known) < len(locations):
        return voice.say("safety", "hearing-part", level=level, known=listed(known))
    return voice.say("safety", "hearing-here", level=level)


def main_fuse(kit: PowerKit, audited: Audited, notation: Notation) -> str:
    """The fuse that protects the kit's cable: its own, or a smaller one where the audit found its own too large."""
    for caution in audited.cautions:
        if caution.code == "kit-fuse-above-ampacity" and caution.subject == kit.sku:
            return f"at most {notation.measure(float(caution.figures['ampacity_a']), 'A')}"
    return notation.measure(kit.fuse_a, "A")

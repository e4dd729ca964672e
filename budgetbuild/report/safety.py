"""What to mind while fitting and using a system: one plain sentence each, beside the figure that it concerns."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import PowerKit, Product
from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.format import label, listed, measure
from budgetbuild.report.wiring import main_fuse

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Audited, DeviceFigures, LocationFigures


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


def safety(audited: Audited, products: Mapping[str, Product]) -> tuple[Safety, ...]:
    """Every safety sentence, with the figures of this system where it has them."""
    return (
        Safety(Topic.SPEAKERS, _boxes(audited)),
        Safety(Topic.SPEAKERS, _looms()),
        Safety(Topic.SPEAKERS, _hearing(audited.locations)),
        Safety(Topic.POWER, _battery()),
        Safety(Topic.POWER, _fuse(audited, products)),
        Safety(Topic.POWER, _rating(audited.devices)),
        Safety(Topic.POWER, _vents()),
        Safety(Topic.ALL, _fitter()),
    )


def _battery() -> str:
    return "Disconnect the battery, earth side first, before touching any wire."


def _fuse(audited: Audited, products: Mapping[str, Product]) -> str:
    """Where the main fuse goes and how large it may be."""
    kits = [products.get(sku) for sku in dict.fromkeys(device.kit_sku for device in audited.devices)]
    fuses = [f"{main_fuse(kit, audited)} for {label(kit.name)}" for kit in kits if isinstance(kit, PowerKit)]
    said = f" (here {listed(fuses)})" if fuses else ""
    return f"Every power cable needs a fuse within 0.45 m (18 in) of the battery, sized to protect the cable{said}."


def _rating(devices: tuple[DeviceFigures, ...]) -> str:
    kits: dict[str, list[DeviceFigures]] = {}
    for device in devices:
        kits.setdefault(device.kit_sku, []).append(device)
    said = listed([f"{measure(fed[0].kit_ampacity_a, 'A', 1)} for {label(sku)}" for sku, fed in kits.items()])
    return f"Never load a cable beyond its rating{f' (here {said})' if said else ''}, whatever the fuse in hand."


def _boxes(audited: Audited) -> str:
    where = next((label(figures.sku) for figures in audited.locations if figures.location is Location.BASS), "")
    said = f" ({where} among them)" if where else ""
    return f"Bolt or strap down everything heavy{said}: in a crash a loose box flies forward."


def _looms() -> str:
    return "Drill and screw nowhere near airbags, seat-belt parts or wiring looms, and lay no cable across them."


def _vents() -> str:
    return "Leave a lithium or vented battery room to breathe: put no amplifier, box or matting against it."


def _hearing(locations: tuple[LocationFigures, ...]) -> str:
    levels = [figures.level_db for figures in locations if figures.level_db is not None]
    said = f"; this system can reach about {measure(max(levels), 'dB', 0)} at 1\u00a0m" if levels else ""
    return f"Long listening above 85 dB(A) harms hearing{said}."


def _fitter() -> str:
    first = "The vehicle's own electrics and the local road rules come before anything said here"
    return f"{first}; a qualified fitter decides."

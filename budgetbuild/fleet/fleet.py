"""What is asked of a fleet: which briefs and tiers in which vehicles, and what keeps a brief from one of them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import fold
from budgetbuild.counter import Doubts
from budgetbuild.fleet.file_names import file_names

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle


class CounterFiles(StrEnum):
    """What is written for the counter, one file for each vehicle."""

    PAGES = "pages"
    """Counter pages, each of one vehicle."""
    DATA = "data"
    """What such a page carries, as JSON."""
    NONE = "none"

    @property
    def ending(self) -> str:
        """What their names end in."""
        return ".html" if self is CounterFiles.PAGES else ".json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """Everything that a process needs to answer for any of the vehicles; it travels whole, once to each process.

    Attributes:
        briefs: Those that some tier asks for, each of one vehicle, in the order of the sheet.
        vehicles: In the order of the sheet.
        files: Name of the counter file of each vehicle, without a folder.
        doubts: What keeps a brief from being asked in a vehicle, in words, by the places of brief and vehicle.
        templates: The shop's own templates, by name; files, since the folder may be on another machine.
    """

    catalogue: Catalogue
    briefs: tuple[Brief, ...]
    tiers: tuple[Tier, ...]
    vehicles: tuple[Vehicle, ...]
    files: tuple[str, ...]
    doubts: dict[tuple[int, int], str]
    counter: CounterFiles = CounterFiles.PAGES
    templates: tuple[tuple[str, bytes], ...] = ()

    def tiers_of(self, brief: Brief) -> list[Tier]:
        """The tiers that ask for a brief, in the order of the sheet."""
        return [tier for tier in self.tiers if asks(tier, brief)]

    @property
    def builds(self) -> int:
        """How many builds are asked for: vehicles x the tiers of each brief."""
        return len(self.vehicles) * sum(len(self.tiers_of(brief)) for brief in self.briefs)


def asks(tier: Tier, brief: Brief) -> bool:
    """Whether a tier asks for a brief: it names it, or none."""
    return not tier.briefs or fold(brief.name) in map(fold, tier.briefs)


def fleet_of(
    catalogue: Catalogue,
    *,
    briefs: Sequence[str] = (),
    tiers: Sequence[str] = (),
    vehicles: Sequence[str] = (),
    counter: CounterFiles = CounterFiles.PAGES,
    templates: Path | None = None,
) -> Fleet:
    """A fleet of the briefs, tiers and vehicles of these names; of all, where none is named.

    A brief for several vehicles takes no part: it asks for one system, not for the best one of each vehicle.

    Args:
        catalogue: The checked catalogue.
        briefs: Names of briefs that it has.
        tiers: Names of tiers that it has.
        vehicles: Names of vehicles that it has.
        counter: What is written for the counter.
        templates: Folder of the shop's own templates.
    """
    asked = tuple(tier for tier in catalogue.tiers if _named(tier.name, tiers))
    alone = (brief for brief in catalogue.briefs if not brief.is_kit and _named(brief.name, briefs))
    wanted = tuple(brief for brief in alone if any(asks(tier, brief) for tier in asked))
    names = file_names([vehicle.name for vehicle in catalogue.vehicles], counter.ending)
    chosen = [(vehicle, name) for vehicle, name in zip(catalogue.vehicles, names, strict=True)]
    chosen = [(vehicle, name) for vehicle, name in chosen if _named(vehicle.name, vehicles)]
    doubts = Doubts(catalogue)
    found = {
        (i, j): "; ".join(f"{fault.at}: found {fault.found}; expected {fault.expected}" for fault in faults)
        for i, brief in enumerate(wanted)
        for j, (vehicle, _) in enumerate(chosen)
        if (faults := doubts.about(brief, vehicle))
    }
    return Fleet(
        catalogue=catalogue,
        briefs=wanted,
        tiers=asked,
        vehicles=tuple(vehicle for vehicle, _ in chosen),
        files=tuple(name for _, name in chosen),
        doubts=found,
        counter=counter,
        templates=_contents(templates),
    )


def _named(name: str, names: Sequence[str]) -> bool:
    return not names or fold(name) in map(fold, names)


def _contents(folder: Path | None) -> tuple[tuple[str, bytes], ...]:
    """Every file of a folder, by its name."""
    files = sorted(path for path in folder.iterdir() if path.is_file()) if folder else []
    return tuple((path.name, path.read_bytes()) for path in files)

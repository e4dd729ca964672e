"""Columns of the program: every candidate as a yes/no decision, with its price and points."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.catalogue.kinds import Location, OneBrand
from budgetbuild.program.dominance import undominated
from budgetbuild.program.options import Kit, Option, Sounder
from budgetbuild.trade import score

if TYPE_CHECKING:
    from collections.abc import Collection

    from budgetbuild.program.arrangements import Arrangement
    from budgetbuild.program.candidates import Candidates


class Column(NamedTuple):
    """One decision: bought (or used) or not.

    Attributes:
        kind: Which slot it belongs to.
        option: The candidate that it stands for; `None` for columns that follow from the others.
        price: Whole cents.
        points: Whole thousandths of a point.
        most: The greatest whole number it may be; 1 = chosen or not.
    """

    kind: str
    option: Option | None
    price: int = 0
    points: int = 0
    most: int = 1


@dataclass(slots=True)
class Layout:
    """The columns of a program by what they decide. Values are positions in `columns`.

    Attributes:
        own: Arrangements and powered subwoofers with a power kit of their own.
        own_kits: Where kits are columns of their own: those that one may choose from for the device of a location, the
            first of those that it covers.
        shared: The same devices on one kit together with others.
        kits: The one kit that several devices share.
        covering: Columns of external amplifiers that drive a location.
        powered: Device columns of powered subwoofers.
        pairing: Load (row) on supply (column) of the location's pairing.
        brand: Which brand the build keeps to, where it must.
        bonus: One-brand thirds earned, by role and brand.
    """

    candidates: Candidates
    columns: list[Column] = field(default_factory=list)
    source: list[int] = field(default_factory=list)
    place: dict[Location, list[int]] = field(default_factory=dict)
    own: list[int] = field(default_factory=list)
    own_kits: dict[Location, list[int]] = field(default_factory=dict)
    shared: list[int] = field(default_factory=list)
    kits: list[int] = field(default_factory=list)
    covering: dict[Location, list[int]] = field(default_factory=lambda: {location: [] for location in Location})
    powered: list[int] = field(default_factory=list)
    pairing: dict[Location, dict[tuple[int, int], int]] = field(default_factory=dict)
    leads: list[int] = field(default_factory=list)
    cables: list[int] = field(default_factory=list)
    deadening: list[int] = field(default_factory=list)
    brand: dict[str, int] = field(default_factory=dict)
    bonus: dict[tuple[str, str], int] = field(default_factory=dict)

    def add(self, kind: str, option: Option | None, price: int = 0, points: int = 0) -> int:
        """Append a column; returns its position."""
        self.columns.append(Column(kind, option, price, points))
        return len(self.columns) - 1

    def add_option(self, kind: str, option: Option) -> int:
        """Append the column of a candidate."""
        return self.add(kind, option, option.price, option.points)

    def arrangement(self, column: int) -> Arrangement | None:
        """The arrangement of a device column; `None` where the device is a powered subwoofer."""
        option = self.columns[column].option
        return option.use if isinstance(option, Device) else None

    def takes_pair(self, location: Location) -> list[int]:
        """Columns that take a stereo pair at a location: external amplifiers, and powered subwoofers at bass."""
        return self.covering[location] + (self.powered if location is Location.BASS else [])


@dataclass(frozen=True, slots=True)
class Device(Option):
    """A fed device: an arrangement or a powered subwoofer, with its own power kit or on a shared one (`kit` `None`).

    Attributes:
        alone: Whether it has a kit of its own that is a column of its own, see `OwnKit`.
    """

    use: Arrangement | None = None
    subwoofer: Sounder | None = None
    kit: Kit | None = None
    alone: bool = False

    @property
    def slot(self) -> Location:
        """The first location that it covers, by which its own kit is known."""
        return self.use.covers[0] if self.use else Location.BASS

    @property
    def current_a(self) -> float:
        """Current to design for."""
        fed = self.use or self.subwoofer
        return fed.current_a if fed else 0.0


@dataclass(frozen=True, slots=True)
class OwnKit(Kit):
    """A power kit for the device of a location alone."""

    slot: Location = Location.FRONT


def lay_out(candidates: Candidates) -> Layout:
    """Give every candidate its column."""
    layout = Layout(candidates)
    layout.source = [layout.add_option("source", option) for option in candidates.sources]
    for location, found in candidates.sounders.items():
        layout.place[location] = [layout.add_option(str(location), option) for option in found]
    _devices(layout)
    for location, pairing in candidates.pairings.items():
        layout.pairing[location] = {
            (int(i), int(j)): layout.add("pairing", None, 0, int(pairing.match[i, j]))
            for i, j in zip(*(pairing.match >= 0).nonzero(), strict=True)
        }
    layout.leads = [layout.add_option("leads", option) for option in candidates.leads]
    layout.cables = [layout.add_option("cable", option) for option in candidates.cables]
    layout.deadening = [layout.add_option("deadening", option) for option in candidates.deadening]
    _brands(layout)
    return layout


def _devices(layout: Layout) -> None:
    found = layout.candidates
    powered = [s for s in found.sounders[Location.BASS] if s.load is None]
    bare = [Device(use.parts, use.price, use.points, use.tags, use=use) for use in found.arrangements]
    bare += [Device((), 0, 0, subwoofer=subwoofer) for subwoofer in powered]
    for device in bare:
        layout.own += [layout.add_option("own kit", fed) for fed in _with_own_kit(device, found)]
    if found.offer.weighing is not None:
        _own_kits(layout, {device.slot for device in bare})
    shareable = [kit for kit in found.kits if kit.feeds > 1]
    sharing = [device for device in bare if _leaves_room(device, found)]
    if shareable and len(sharing) > 1:
        layout.shared = [layout.add_option("shared", device) for device in sharing]
        layout.kits = [layout.add_option("kit", kit) for kit in shareable]
    for column in (*layout.own, *layout.shared):
        use = layout.arrangement(column)
        if use is None:
            layout.powered.append(column)
        for location in use.covers if use else ():
            layout.covering[location].append(column)


def _leaves_room(device: Device, found: Candidates) -> bool:
    """Whether anything is left at another location for a second device to drive, so that the two could share a kit."""
    served = device.use.covers if device.use else (Location.BASS,)
    return any(found.sounders[location] for location in Location if location not in served)


def _with_own_kit(device: Device, found: Candidates) -> list[Device]:
    """The device with each power kit that may be its own; the device alone where its kits are columns of their own."""
    if found.offer.weighing is not None:
        return [replace(device, alone=True)]
    parts, price, points, tags = device.parts, device.price, device.points, device.tags
    return [
        Device((*parts, *kit.parts), price + kit.price, points, tags | kit.tags, device.use, device.subwoofer, kit)
        for kit in found.alone(device.current_a)
    ]


def _own_kits(layout: Layout, slots: Collection[Location]) -> None:
    found = layout.candidates
    kits = undominated(found.kits, worse=lambda kit: (-kit.capacity_a,), weighing=found.offer.weighing)
    for slot in Location:
        if slot in slots:
            some = (OwnKit(kit.parts, kit.price, 0, kit.tags, kit.capacity_a, kit.feeds, slot) for kit in kits)
            layout.own_kits[slot] = [layout.add_option("kit for one", kit) for kit in some]


def _brands(layout: Layout) -> None:
    found = layout.candidates
    brief, limits = found.offer.brief, found.offer.catalogue.settings.limits
    if brief.one_brand is OneBrand.MUST:
        names = {s.brand for some in found.sounders.values() for s in some} | {u.brand for u in found.arrangements}
        layout.brand = {name: layout.add("brand", None) for name in sorted(names)}
    if brief.one_brand is OneBrand.PREFER:
        third = score.thousandths(limits.one_brand_points / 3)
        fronts = {s.brand for s in found.sounders[Location.FRONT]}
        sharing: dict[str, set[str]] = defaultdict(set)
        for location in (Location.REAR, Location.BASS):
            sharing[str(location)] = {s.brand for s in found.sounders[location]}
        sharing["amplifier"] = {u.brand for u in found.arrangements}
        layout.bonus = {
            (role, name): layout.add("bonus", None, 0, third)
            for role in ("rear", "bass", "amplifier")
            for name in sorted(fronts & sharing[role])
        }

"""Labels of fed devices: amplifiers with what they drive, and powered subwoofers, on power kits of their own or on one.

A device is known by its cover: the locations that it drives as an external amplifier, none for a powered subwoofer.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import Location
from budgetbuild.curve.tagged import EMPTY, Tagged
from budgetbuild.program.layout import Device
from budgetbuild.program.options import Kit
from budgetbuild.trade.figures import SLACK

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.curve.stock import Stock
    from budgetbuild.program.layout import Layout

Cover = frozenset[Location]

POWERED: Cover = frozenset()
"""The cover of a powered subwoofer."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """Devices of one cover by the current that they draw.

    Attributes:
        currents: Distinct currents to design for in A, ascending.
        news: Labels of the devices that draw each of them and are not made superfluous by some that draw less.
        up_to: Labels of the devices that draw no more than each of them.
    """

    currents: list[float]
    news: list[Tagged]
    up_to: list[Tagged]


@dataclass
class Devices:
    """Labels of devices by what they cover, made when first asked for."""

    stock: Stock
    _sections: dict[tuple[tuple[Location, int], ...], Tagged] = field(default_factory=dict)

    def own(self, covers: Sequence[Cover]) -> Tagged:
        """Devices, each with what it drives and a power kit of its own."""
        return self.stock.mill.joined(*(self._own.get(cover, {}) for cover in covers))

    def sharing(self, covers: Sequence[Cover]) -> Tagged:
        """Devices with what they drive, all on one power kit that carries the sum of their currents."""
        mill, columns = self.stock.mill, self.stock.layout.columns
        kits = [(i, kit) for i in self.stock.layout.kits if isinstance(kit := columns[i].option, Kit)]
        by_capacity: dict[float, list[int]] = defaultdict(list)
        for i, kit in kits:
            if kit.feeds >= len(covers):
                by_capacity[kit.capacity_a].append(i)
        return mill.united(
            mill.joined(self._within(tuple(covers), capacity * (1 + SLACK)), self.stock.leaf(some))
            for capacity, some in by_capacity.items()
        )

    def _within(self, covers: tuple[Cover, ...], capacity_a: float) -> Tagged:
        """Devices that draw no more than a capacity in A together."""
        drawing = self._drawings.get(covers[0])
        if drawing is None:
            return {}
        fitting = bisect_right(drawing.currents, capacity_a)
        if len(covers) == 1:
            return drawing.up_to[fitting - 1] if fitting else {}
        left = [self._room(covers[1:], capacity_a - current) for current in drawing.currents[:fitting]]
        found, start = [], 0
        for _, alike in groupby(left):  # devices that leave as much room for the others are joined with them at once
            end = start + len(list(alike))
            some = drawing.up_to[end - 1] if not start else self.stock.mill.united(drawing.news[start:end])
            if some:
                rest = self._within(covers[1:], capacity_a - drawing.currents[end - 1])
                found.append(self.stock.mill.joined(some, rest))
            start = end
        return self.stock.mill.united(found)

    def _room(self, covers: tuple[Cover, ...], capacity_a: float) -> float:
        """What tells how much a capacity in A leaves for these devices: the same for all that admit the same."""
        drawing = self._drawings.get(covers[0])
        return capacity_a if len(covers) > 1 or not drawing else bisect_right(drawing.currents, capacity_a)

    @cached_property
    def _own(self) -> dict[Cover, Tagged]:
        found: dict[Cover, list[Tagged]] = defaultdict(list)
        for cover, driven, columns in self._grouped(self.stock.layout.own):
            found[cover].append(self.stock.mill.joined(driven, self.stock.leaf(columns)))
        return {cover: self.stock.mill.united(some) for cover, some in found.items()}

    @cached_property
    def _drawings(self) -> dict[Cover, Drawing]:
        found: dict[Cover, dict[float, list[Tagged]]] = defaultdict(lambda: defaultdict(list))
        for cover, driven, columns in self._grouped(self.stock.layout.shared):
            by_current: dict[float, list[int]] = defaultdict(list)
            for i in columns:
                by_current[_device(self.stock.layout, i).current_a].append(i)
            for current, some in by_current.items():
                found[cover][current].append(self.stock.mill.joined(driven, self.stock.leaf(some)))
        return {cover: self._drawing(by_current) for cover, by_current in found.items()}

    def _drawing(self, by_current: dict[float, list[Tagged]]) -> Drawing:
        currents = sorted(by_current)
        at = [self.stock.mill.united(by_current[current]) for current in currents]
        made = self.stock.mill.accumulated(at)
        return Drawing(currents, [news for _, news in made], [up_to for up_to, _ in made])

    def _grouped(self, columns: Sequence[int]) -> Iterator[tuple[Cover, Tagged, list[int]]]:
        """Device columns that drive alike: their cover, what they drive, and the columns."""
        groups: dict[tuple[tuple[Location, int], ...], list[int]] = defaultdict(list)
        powered: dict[int, list[int]] = defaultdict(list)
        for i in columns:
            device = _device(self.stock.layout, i)
            if not self.stock.view.allowed[i]:
                continue
            if device.use:
                supplies = (
                    self.stock.layout.candidates.pairings[place].external[powers]
                    for place, powers in zip(device.use.covers, device.use.powers, strict=True)
                )
                groups[tuple(zip(device.use.covers, supplies, strict=True))].append(i)
            else:
                powered[id(device.subwoofer)].append(i)
        for sections, some in groups.items():
            yield frozenset(place for place, _ in sections), self._driven(sections), some
        for i in self.stock.layout.place[Location.BASS]:
            option = self.stock.layout.columns[i].option
            if id(option) in powered:
                yield POWERED, self.stock.leaf([i]), powered[id(option)]

    def _driven(self, sections: tuple[tuple[Location, int], ...]) -> Tagged:
        """What hangs on the sections of a device: a supply at each location."""
        if sections not in self._sections:
            alone = self.stock.driven(*sections[-1])
            before = self._driven(sections[:-1]) if sections[1:] else EMPTY
            self._sections[sections] = self.stock.mill.joined(before, alone)
        return self._sections[sections]


def _device(layout: Layout, i: int) -> Device:
    option = layout.columns[i].option
    if not isinstance(option, Device):
        raise TypeError(f"column {i} is no device")
    return option

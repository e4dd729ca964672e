"""Labels of what stands on its own: sources, speakers on a supply, leads, deadening; of one view."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from budgetbuild.catalogue.kinds import HeadUnitMode, Location, Want
from budgetbuild.curve.labels import Labels
from budgetbuild.curve.tagged import EMPTY, Tagged, TaggedMerger
from budgetbuild.program.options import Leads, Sounder, Source

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from numpy.typing import NDArray

    from budgetbuild.curve.cabling import Cabling
    from budgetbuild.curve.view import View
    from budgetbuild.program.layout import Layout
    from budgetbuild.program.options import Tags


@dataclass
class Stock:
    """Labels by slot, made when first asked for.

    Attributes:
        layout: The columns.
        view: Those that may be chosen.
        mill: Makes and merges labels.
        cabling: Classes of loads by the speaker cable that they need.
    """

    layout: Layout
    view: View
    mill: TaggedMerger
    cabling: Cabling
    _driven: dict[tuple[Location, int], Tagged] = field(default_factory=dict)
    _passive: dict[Location, _Passive] = field(default_factory=dict)

    def leaf(self, columns: Sequence[int], more: NDArray[np.int64] | int = 0) -> Tagged:
        """Labels of single columns, those that may be chosen; `more` is added to their codes."""
        kept = [i for i in columns if self.view.allowed[i]]
        more = more if isinstance(more, int) else more[[self.view.allowed[i] for i in columns]]
        return self.mill.leaf(self._codes[kept] + more, kept, [self._tags(i) for i in kept])

    @cached_property
    def _codes(self) -> NDArray[np.int64]:
        """Codes of all columns, class 0."""
        prices = np.array([column.price for column in self.layout.columns], dtype=np.int64)
        return self.mill.merger.scale.code(prices, self.view.points)

    def _tags(self, i: int) -> Tags:
        option = self.layout.columns[i].option
        return option.tags if option else frozenset()

    def driven(self, location: Location, supply: int) -> Tagged:
        """Speakers or bass on one supply of a location's pairing, match points included; classed where external."""
        key = location, supply
        if key not in self._driven:
            self._driven[key] = self._on_supply(location, supply)
        return self._driven[key]

    def _on_supply(self, location: Location, supply: int) -> Tagged:
        if location not in self._passive:
            self._passive[location] = self._passive_at(location)
        passive, pairing = self._passive[location], self.layout.candidates.pairings[location]
        match = pairing.match[passive.load, supply]
        more = passive.codes - match
        good = match >= 0
        if pairing.supplies[supply].external:
            more = more + passive.classes * self.mill.merger.scale.class_unit
            good = good & (passive.classes >= 0)
        at = np.flatnonzero(good)
        return self.mill.leaf(more[at], passive.columns[at].tolist(), [passive.tags[i] for i in at])

    def _passive_at(self, location: Location) -> _Passive:
        loads = {load: i for i, load in enumerate(self.layout.candidates.pairings[location].loads)}
        columns, load, ohms = [], [], []
        for i in self.layout.place[location]:
            option = self.layout.columns[i].option
            if self.view.allowed[i] and isinstance(option, Sounder) and option.load:
                columns.append(i)
                load.append(loads[option.load])
                ohms.append(option.load.ohm)
        return _Passive(
            np.array(columns, dtype=np.intp),
            self._codes[columns],
            np.array(load, dtype=np.intp),
            np.array([self.cabling.number(location, ohm) for ohm in ohms], dtype=np.int64),
            [self._tags(i) for i in columns],
        )

    def sources(self, least_pairs: int, internal_w: float | None = None) -> Tagged:
        """Sources to buy with so many pairs; of one internal power where that drives something."""
        if self.layout.candidates.mode is not HeadUnitMode.REPLACE and not least_pairs:
            return EMPTY
        if self.layout.candidates.mode is HeadUnitMode.KEEP_OWN:
            return EMPTY if self.layout.candidates.kept.pairs >= least_pairs else {}

        def good(source: Source) -> bool:
            return source.pairs >= least_pairs and internal_w in {None, source.internal_w}

        return self.leaf(self._where(self.layout.source, good))

    def leads(self, pairs: int) -> Tagged:
        """Signal leads for so many pairs; for none, only what a term asks for."""
        bought = self.leaf(
            [i for i in self.layout.leads if isinstance(o := self.layout.columns[i].option, Leads) and o.pairs == pairs]
        )
        return self.mill.united([EMPTY, bought]) if not pairs else bought

    def deadening(self) -> Tagged:
        """Sound deadening, or none where the brief does not require it."""
        bought = self.leaf(self.layout.deadening)
        required = self.layout.candidates.offer.brief.deadening is Want.REQUIRED
        return bought if required else self.mill.united([EMPTY, bought])

    def bonus(self) -> Tagged:
        """What any external amplifier earns for its brand; nothing is bought."""
        return {frozenset(): Labels(np.array([-self.view.bonus], dtype=np.int64), lambda _: ())}

    def _where(self, columns: Iterable[int], good: Callable[[Source], bool]) -> list[int]:
        return [i for i in columns if isinstance(o := self.layout.columns[i].option, Source) and good(o)]


@dataclass(frozen=True, slots=True)
class _Passive:
    """Passive speakers or bass of a location, one entry for each column.

    Attributes:
        load: Row in the location's pairing.
        classes: Class of the speaker cable that it needs; below 0 where none will do.
    """

    columns: NDArray[np.intp]
    codes: NDArray[np.int64]
    load: NDArray[np.intp]
    classes: NDArray[np.int64]
    tags: list[Tags]

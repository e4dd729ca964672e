"""Arrangements: one external amplifier in one way of use, and the power that it offers at each location.

What matters of an arrangement at a location is the power that it gives into each load that occurs there. Arrangements
(and internal amplifiers) that give the same powers form one `Supply`; match points depend on load and supply only.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product as every
from typing import TYPE_CHECKING

import numpy as np

from budgetbuild.build import Mode, Part, Role
from budgetbuild.catalogue.kinds import Location, OneBrand, Work
from budgetbuild.catalogue.names import fold
from budgetbuild.program.dominance import undominated
from budgetbuild.program.offer import Offer, rating_of
from budgetbuild.program.options import Load, Option
from budgetbuild.program.useful import useful
from budgetbuild.trade import amplifiers, score
from budgetbuild.trade.figures import at_least, at_most

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from budgetbuild.catalogue.items import Amplifier
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Weights

Powers = tuple[float, ...]
"""Power in W into each distinct load of a location, in ascending order of load; 0 where it drives none of that load."""

Ratings = Mapping[Location, Mapping[float, Sequence[float]]]
"""RMS powers in W that the candidates of each location are rated for, by their load in ohm, ascending."""


@dataclass(frozen=True, slots=True)
class Arrangement(Option):
    """One amplifier in one way of use.

    Attributes:
        way: How it serves each location.
        covers: Locations that it drives, in the order of `way`.
        powers: What it gives at each of them.
        current_a: Current to design for.
        bridged: How many locations it serves bridged; fewer is simpler, where all else is equal.
    """

    way: amplifiers.Way = ()
    covers: tuple[Location, ...] = ()
    powers: tuple[Powers, ...] = ()
    current_a: float = 0.0
    bridged: int = 0
    brand: str = ""


@dataclass(frozen=True, slots=True)
class Supply:
    """Everything that drives a location with the same powers: external arrangements, or one internal amplifier.

    Attributes:
        powers: What it gives there.
        internal_w: Rating of the internal amplifier, W per channel into 4 ohm; 0 where external ones give the powers.
    """

    powers: Powers
    internal_w: float = 0.0

    @property
    def external(self) -> bool:
        """Whether external amplifiers give these powers."""
        return not self.internal_w


def arrangements(offer: Offer, rated: Ratings) -> list[Arrangement]:
    """Undominated arrangements of every amplifier on offer, over the loads that occur at each location.

    Args:
        offer: The catalogue seen through the brief.
        rated: What is to be driven; locations without any load are not covered.
    """
    found: list[Arrangement] = []
    for amplifier in useful(offer, offer.catalogue.amplifiers, Role.AMPLIFIER):
        if not offer.narrowing.permits(Part(Role.AMPLIFIER, amplifier.sku)):
            continue
        found.extend(_uses(offer, amplifier, rated))
    by_brand = offer.brief.one_brand is not OneBrand.NO
    return undominated(
        found,
        key=lambda use: (use.covers, use.powers, use.brand if by_brand else ""),
        worse=lambda use: (use.current_a, use.bridged),
        weighing=offer.weighing,
    )


def _sections(offer: Offer, amplifier: Amplifier, rated: Ratings) -> dict[tuple[Location, Mode], Powers]:
    """What an amplifier gives in each mode at each location; what drives nothing there is missing."""
    limits = offer.catalogue.settings.limits

    def power(location: Location, mode: Mode, ohm: float) -> float:
        """Into a load; 0 where it is not allowed, or the power is right for nothing that has it."""
        watt = amplifiers.section_power(amplifier, mode, ohm) or 0.0
        low, high = amplifiers.ratio_limits(location, limits)
        ratings = rated[location][ohm]
        # The least rating that bears the power: whatever is rated for more gets even less of what it needs.
        least = bisect_left(ratings, True, key=lambda rms: at_most(watt / rms, high))  # noqa: FBT003
        return watt if least < len(ratings) and at_least(watt / ratings[least], low) else 0.0

    modes = {section for way in amplifiers.ways_of_use(amplifier) for section in way}
    found = {(location, mode): tuple(power(location, mode, ohm) for ohm in rated[location]) for location, mode in modes}
    return {section: powers for section, powers in found.items() if any(powers)}


def _uses(offer: Offer, amplifier: Amplifier, rated: Ratings) -> Iterator[Arrangement]:
    """An amplifier in every way of use that the loads at each location allow."""
    parts = (Part(Role.AMPLIFIER, amplifier.sku),)
    alike = partial(
        Arrangement,
        parts=parts,
        price=amplifier.price + offer.labour(Work.AMPLIFIER),
        tags=offer.tags(parts),
        brand=fold(amplifier.brand),
    )
    weights, rating = offer.catalogue.weights, rating_of(amplifier)
    points = {place: score.rating_points(score.share(weights, "amplification", place), rating) for place in Location}
    sections = _sections(offer, amplifier, rated)
    ohms = {location: tuple(some) for location, some in rated.items()}
    for way in amplifiers.ways_of_use(amplifier):
        if not all(section in sections for section in way):
            continue
        covers = tuple(place for place, _ in way)
        earned = sum(points[place] for place in covers)
        bridged = sum(mode is Mode.BRIDGED for _, mode in way)
        for powers, current in _draws(offer, amplifier, way, [sections[section] for section in way], ohms):
            yield alike(points=earned, way=way, covers=covers, powers=powers, current_a=current, bridged=bridged)


def _draws(
    offer: Offer,
    amplifier: Amplifier,
    way: amplifiers.Way,
    powers: Sequence[Powers],
    ohms: Mapping[Location, Sequence[float]],
) -> Iterator[tuple[tuple[Powers, ...], float]]:
    """What an amplifier in one way of use gives at each location, and the current that it draws for that.

    Without a fuse rating the current follows from the loads, so each combination of loads is an arrangement.
    """
    limits = offer.catalogue.settings.limits
    if amplifier.fuse_a is not None:
        yield tuple(powers), amplifiers.current(amplifier, way, {}, limits)[0]
        return
    for at in every(*(_one_load(given) for given in powers)):
        loads = {location: ohms[location][i] for (location, _), (i, _) in zip(way, at, strict=True)}
        yield tuple(only for _, only in at), amplifiers.current(amplifier, way, loads, limits)[0]


def _one_load(powers: Powers) -> list[tuple[int, Powers]]:
    return [(i, tuple(power if j == i else 0.0 for j in range(len(powers)))) for i, power in enumerate(powers) if power]


def internal_supply(watt: float, ohms: Sequence[float]) -> Supply | None:
    """The internal amplifier of `watt` per channel over a location's loads; `None` where it can drive none of them."""
    powers = tuple(amplifiers.internal_power(watt, ohm) or 0.0 for ohm in ohms)
    return Supply(powers, watt) if any(powers) else None


def match_points(
    location: Location,
    loads: Sequence[Load],
    ohms: Sequence[float],
    supplies: Sequence[Supply],
    weights: Weights,
    limits: Limits,
) -> NDArray[np.int64]:
    """Match points, shape (loads, supplies), whole thousandths; -1 where the power ratio is not allowed."""
    at = np.array([ohms.index(load.ohm) for load in loads], dtype=np.intp)
    rms = np.array([load.rms_w for load in loads])
    powers = np.array([supply.powers for supply in supplies]).reshape(len(supplies), len(ohms))
    ratios = powers[:, at].T / rms[:, None]
    factors = score.match_factor(ratios, limits.ratio_full_match, limits.ratio_full_match_to)
    points = score.thousandths(score.share(weights, "match", location) * factors)
    low, high = amplifiers.ratio_limits(location, limits)
    allowed = (ratios > 0) & at_least(ratios, low) & at_most(ratios, high)
    return np.where(allowed, points, -1)

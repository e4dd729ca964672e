"""Brute force over systems that differ from one in few scored parts: what a single swap or drop can come to.

A scored part is the head unit or converter, what fills front, rear or bass (with its count), each external amplifier,
and the deadening (with its count). Everything else follows and is free: boxes, adapters, wiring, leads, kits, cable.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from budgetbuild.build import Role
from budgetbuild.catalogue.kinds import Location, Work
from tests.oracle.choices import Chosen, Shop, Source, Usage, amplifications, sources, taken
from tests.oracle.enumerate import Driven, Key, Workshop, complete

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.build import System

Held = tuple[str, int]
"""SKU and count; an empty SKU for nothing."""
NOTHING: Held = ("", 0)
ANY_PRICE = 10**12
"""Cents that no system costs."""


class Move(Enum):
    """What becomes of one scored part."""

    EXCHANGED = "exchanged"
    GONE = "gone"
    NEW = "new"


@dataclass(frozen=True)
class Moved:
    """A scored part that is not as it was. `part` is a location or a word; `now` is what came in place of `sku`."""

    move: Move
    part: Location | str
    sku: str = ""
    now: str = ""


Moves = tuple[Moved, ...]


@dataclass(frozen=True)
class Scored:
    """The scored parts of a system; amplifiers with what they drive."""

    source: str
    places: dict[Location, Held]
    amplifiers: tuple[tuple[str, frozenset[Location]], ...]
    sheets: Held


def scored(system: System) -> Scored:
    """The scored parts of a proposed system."""

    def held(*roles: Role) -> Held:
        found = [(part.sku, part.quantity) for part in system.parts if part.role in roles]
        assert len(found) <= 1
        return found[0] if found else NOTHING

    drives = [(drive.amplifier, drive.location) for drive in system.drives]
    return Scored(
        held(Role.HEAD_UNIT, Role.CONVERTER)[0],
        {Location.FRONT: held(Role.FRONT), Location.REAR: held(Role.REAR), Location.BASS: held(Role.BASS)},
        tuple((sku, frozenset(at for i, at in drives if i == n)) for n, sku in enumerate(system.amplifiers)),
        held(Role.DEADENING),
    )


@dataclass(frozen=True)
class Way:
    """How a system differs from one: which scored parts moved, and how many locations its amplifiers drive."""

    before: Scored
    moves: Moves
    driven: int


def one_exchanged(way: Way) -> bool:
    """Whether exactly one scored part is another."""
    return [moved.move for moved in way.moves] == [Move.EXCHANGED]


def one_exchanged_or_gone(way: Way) -> bool:
    """Whether exactly one is another or gone, or a location and an amplifier that the rest does not need then.

    The rest does not need it where as many of the other locations are on external amplifiers as before.
    """
    if len(way.moves) == 1:
        return way.moves[0].move is not Move.NEW
    gone = {moved.part for moved in way.moves if moved.move is Move.GONE}
    places = gone & set(Location)
    others = {location for _, covers in way.before.amplifiers for location in covers} - places
    return len(way.moves) == len(gone) == 2 and len(places) == 1 and "amplifier" in gone and way.driven >= len(others)


def best_near(shop: Shop, before: Scored, cap: int, meant: Callable[[Way], bool]) -> Key | None:
    """The best system within a cap (cents) among those that differ as meant."""
    return min((key for _, key in _near(shop, before, cap, meant) if key[1] <= cap), default=None)


def other_product(way: Way) -> bool:
    """Whether exactly one scored part is another product, in whatever quantity."""
    return one_exchanged(way) and way.moves[0].sku != way.moves[0].now


def others_near(shop: Shop, before: Scored) -> dict[tuple[Location | str, str], dict[Key, str]]:
    """Every system at any price with another product in one place, by the place and what stood there before.

    Of each system the product that came: the same list of SKUs says which.
    """
    found: dict[tuple[Location | str, str], dict[Key, str]] = {}
    for way, key in _near(shop, before, ANY_PRICE, other_product):
        (moved,) = way.moves
        found.setdefault((moved.part, moved.sku), {})[key] = moved.now
    return found


def _near(shop: Shop, before: Scored, cap: int, meant: Callable[[Way], bool]) -> Iterator[tuple[Way, Key]]:
    work = Workshop(shop)
    treatments = work.treatments
    labour = shop.labour(Work.AMPLIFIER)
    for usages in amplifications(shop):
        moves = _amplifiers(before, usages)
        if not _few(moves) or not work.can_wire(usages):
            continue
        amps = taken(shop, *(u.amplifier for u in usages), labour=labour * len(usages))
        for source in sources(shop):
            for driven, also in _located(work, before, usages, source, (*moves, *_source(before, source))):
                for treatment in treatments:
                    all_moves = (*also, *_compared("deadening", before.sheets, _first(treatment)))
                    way = Way(before, all_moves, sum(len(usage.way) for usage in usages))
                    if meant(way):
                        work.treatments = [treatment]
                        parts = [amps, source.chosen]
                        found = complete(work, usages, source, parts, driven, lambda _, cost: cost > cap)
                        yield from ((way, key) for key in found)


def _few(moves: Moves) -> bool:
    """Whether a system may still be meant."""
    return len(moves) <= 2 and all(moved.move is not Move.NEW for moved in moves)


def _first(chosen: Chosen) -> Held:
    """The scored product of what fills a place: it stands first, as often as it is taken."""
    return (chosen.skus[0], chosen.skus.count(chosen.skus[0])) if chosen.skus else NOTHING


def _compared(part: Location | str, before: Held, after: Held) -> Moves:
    if before == after:
        return ()
    if before == NOTHING:
        return (Moved(Move.NEW, part),)
    return (Moved(Move.GONE if after == NOTHING else Move.EXCHANGED, part, before[0], after[0]),)


def _amplifiers(before: Scored, usages: tuple[Usage, ...]) -> Moves:
    was, now = Counter(sku for sku, _ in before.amplifiers), Counter(usage.amplifier.sku for usage in usages)
    lost, got = list((was - now).elements()), list((now - was).elements())
    if len(got) > len(lost):
        return (Moved(Move.NEW, "amplifier"),)
    swapped = [Moved(Move.EXCHANGED, "amplifier", sku, new) for sku, new in zip(lost, got, strict=False)]
    return (*swapped, *(Moved(Move.GONE, "amplifier", sku) for sku in lost[len(got) :]))


def _source(before: Scored, source: Source) -> Moves:
    """A converter is there exactly where something takes a pair, so without one none has been left out."""
    if source.converter is False:
        return ()
    return _compared("source", (before.source, 1) if before.source else NOTHING, _first(source.chosen))


def _located(
    work: Workshop, before: Scored, usages: tuple[Usage, ...], source: Source, moves: Moves
) -> Iterator[tuple[list[Driven], Moves]]:
    """Every filling of the three locations with few moves."""
    slots = {location: (slot, mode) for slot, usage in enumerate(usages) for location, mode in usage.way}
    found: list[tuple[list[Driven], Moves]] = [([], moves)] if _few(moves) else []
    for location in Location:
        if location in slots:
            slot, mode = slots[location]
            some = work.amplified(location, slot, usages[slot].amplifier, mode)
        else:
            some = work.unamplified(location, source.internal_w)
        each = [
            (driven, _compared(location, before.places[location], _first(driven.filling.chosen))) for driven in some
        ]
        found = [
            ([*others, driven], (*so_far, *more))
            for others, so_far in found
            for driven, more in each
            if _few((*so_far, *more))
        ]
    yield from found

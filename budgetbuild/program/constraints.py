"""Constraints of the program, one function each: which columns go together. Prices in cents, points in thousandths.

Each function yields rows `low <= sum of coefficient x column <= high`. Algebra in the docstrings: x, y, u ... are
columns (1 = chosen), sums run over the columns that the words name.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.catalogue.kinds import HeadUnitMode, Location, OneBrand, Want
from budgetbuild.program.layout import Column, Device, Layout
from budgetbuild.program.options import Cable, Kit, Leads, Load, Sounder, Source
from budgetbuild.program.speakers import want
from budgetbuild.trade.figures import SLACK, at_most

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

MILLI = 1000.0


class Row(NamedTuple):
    """One linear constraint; `None` = no bound on that side."""

    name: str
    terms: list[tuple[int, float]]
    low: float | None = None
    high: float | None = None


def one_source(layout: Layout) -> Iterator[Row]:
    """A replaced head unit is exactly one; at most one converter.

    sum source = 1 (replace), sum source <= 1 (keep factory)
    """
    mode = layout.candidates.mode
    if mode is HeadUnitMode.REPLACE:
        yield Row("one_source", _ones(layout.source), 1, 1)
    elif mode is HeadUnitMode.KEEP_FACTORY:
        yield Row("one_source", _ones(layout.source), 0, 1)


def fill_places(layout: Layout) -> Iterator[Row]:
    """Each location once where required, at most once where optional.

    sum place = 1 or sum place <= 1
    """
    for location, columns in layout.place.items():
        required = want(layout.candidates.offer, location) is Want.REQUIRED
        yield Row(f"fill_places_{location}", _ones(columns), 1 if required else 0, 1)


def load_driven(layout: Layout) -> Iterator[Row]:
    """Whatever load is chosen at a location is driven exactly once.

    for each location and load: sum over supplies of pairing - sum of its products = 0
    """
    for location, pairing in layout.candidates.pairings.items():
        rows: dict[Load, list[tuple[int, float]]] = {load: [] for load in pairing.loads}
        for (i, _), column in layout.pairing[location].items():
            rows[pairing.loads[i]].append((column, 1))
        for column in layout.place[location]:
            load = _sounder(layout.columns[column]).load
            if load is not None:
                rows[load].append((column, -1))
        for i, terms in enumerate(rows.values()):
            yield Row(f"load_driven_{location}_{i}", terms, 0, 0)


def supply_used(layout: Layout) -> Iterator[Row]:
    """A location is on a supply exactly where an amplifier that gives it is there; an internal one only where bought.

    for each external supply: sum over loads of pairing - sum of its arrangements = 0;
    for each internal supply: sum over loads of pairing - sum of its sources <= 0
    """
    for location, pairing in layout.candidates.pairings.items():
        rows: list[list[tuple[int, float]]] = [[] for _ in pairing.supplies]
        for (_, j), column in layout.pairing[location].items():
            rows[j].append((column, 1))
        for column in layout.covering[location]:
            use = layout.arrangement(column)
            if use is not None:
                rows[pairing.external[use.powers[use.covers.index(location)]]].append((column, -1))
        for j, supply in enumerate(pairing.supplies):
            if supply.external:
                yield Row(f"supply_used_{location}_{j}", rows[j], 0, 0)
            elif layout.candidates.mode is HeadUnitMode.REPLACE:
                sources = [c for c in layout.source if _source(layout.columns[c]).internal_w == supply.internal_w]
                yield Row(f"supply_used_{location}_{j}", rows[j] + _ones(sources, -1), None, 0)


def powered_fed(layout: Layout) -> Iterator[Row]:
    """A powered subwoofer is a fed device.

    for each powered subwoofer: sum of its device columns - its place column = 0
    """
    devices: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for column in layout.powered:
        option = layout.columns[column].option
        if isinstance(option, Device):
            devices[id(option.subwoofer)].append((column, 1))
    for column in layout.place[Location.BASS]:
        sounder = _sounder(layout.columns[column])
        if sounder.load is None:
            yield Row(f"powered_fed_{column}", [*devices[id(sounder)], (column, -1)], 0, 0)


def amplifier_count(layout: Layout) -> Iterator[Row]:
    """At most so many external amplifiers (2), or exactly so many where the offer is narrowed to a number.

    sum of arrangements <= max_amplifiers
    """
    columns = {c for location in Location for c in layout.covering[location]}
    limit = layout.candidates.offer.catalogue.settings.limits.max_amplifiers
    exactly = layout.candidates.offer.narrowing.amplifiers
    yield Row("amplifier_count", _ones(sorted(columns)), exactly, limit if exactly is None else exactly)


def stereo_pairs(layout: Layout) -> Iterator[Row]:
    """The source has a pair for every location on an external amplifier and for a powered subwoofer.

    sum over locations of what takes a pair - sum of pairs x source <= pairs of a kept unit
    """
    needed = [term for location in Location for term in _ones(layout.takes_pair(location))]
    offered = [(c, -float(_source(layout.columns[c]).pairs)) for c in layout.source]
    kept = 0 if layout.candidates.mode is HeadUnitMode.REPLACE else layout.candidates.kept.pairs
    yield Row("stereo_pairs", _added(needed + offered), None, kept)


def converter_where_needed(layout: Layout) -> Iterator[Row]:
    """Beside a kept factory unit: a converter as soon as any location takes a pair, and none otherwise.

    for each location: what takes a pair - sum converter <= 0; sum converter - sum of what takes a pair <= 0
    """
    if layout.candidates.mode is not HeadUnitMode.KEEP_FACTORY:
        return
    converters = layout.source
    for location in Location:
        yield Row(
            f"converter_where_needed_{location}", _ones(layout.takes_pair(location)) + _ones(converters, -1), None, 0
        )
    taking = [term for location in Location for term in _ones(layout.takes_pair(location), -1)]
    yield Row("converter_where_needed_none", _added(_ones(converters) + taking), None, 0)


def enough_leads(layout: Layout) -> Iterator[Row]:
    """One set of leads, for as many pairs as are taken.

    sum of pairs x leads - sum of what takes a pair = 0; sum leads <= 1
    """
    offered = [(c, float(option.pairs)) for c in layout.leads if isinstance(option := layout.columns[c].option, Leads)]
    taking = [term for location in Location for term in _ones(layout.takes_pair(location), -1)]
    yield Row("enough_leads", _added([(c, pairs) for c, pairs in offered if pairs] + taking), 0, 0)
    yield Row("enough_leads_one", _ones(layout.leads), None, 1)


def shared_kit(layout: Layout) -> Iterator[Row]:
    """Devices have a kit each, or all share one that feeds so many and carries the sum of their currents.

    for each location: own devices + sum kit <= 1, shared devices - sum kit <= 0;
    sum of shared devices - sum of feeds x kit <= 0;
    sum of current x shared device - sum of capacity x kit <= 0    [mA]; sum of shared devices - 2 sum kit >= 0
    """
    if not layout.kits:
        return
    own = set(layout.own)
    for location in Location:
        here = layout.takes_pair(location)
        alone, together = [c for c in here if c in own], [c for c in here if c not in own]
        yield Row(f"shared_kit_own_{location}", _ones(alone) + _ones(layout.kits), None, 1)
        yield Row(f"shared_kit_{location}", _ones(together) + _ones(layout.kits, -1), None, 0)
    kits = [(c, kit) for c in layout.kits if isinstance(kit := layout.columns[c].option, Kit)]
    devices = [(c, device) for c in layout.shared if isinstance(device := layout.columns[c].option, Device)]
    yield Row("shared_kit_feeds", _ones(layout.shared) + [(c, -float(kit.feeds)) for c, kit in kits], None, 0)
    # In mA, so that what a solver rounds (1e-6 of a row) is as little as the slack that the trade rules allow.
    drawn = [(c, device.current_a * MILLI) for c, device in devices]
    carried = [(c, -kit.capacity_a * MILLI * (1 + SLACK)) for c, kit in kits]
    yield Row("shared_kit_current", drawn + carried, None, 0)
    yield Row("shared_kit_several", _ones(layout.shared) + _ones(layout.kits, -2), 0, None)


def own_kits(layout: Layout) -> Iterator[Row]:
    """Where kits are columns of their own: a device that is fed alone has one that carries its current.

    for each slot: sum of kits = sum of devices; for each capacity c of a kit:
    sum of devices that draw more than c <= sum of kits that carry more than c
    """
    for slot, columns in layout.own_kits.items():
        kits = [(c, kit.capacity_a) for c in columns if isinstance(kit := layout.columns[c].option, Kit)]
        devices = [(c, device) for c in layout.own if isinstance(device := layout.columns[c].option, Device)]
        here = [(c, device.current_a) for c, device in devices if device.slot is slot]
        yield Row(f"own_kits_{slot}", _ones(c for c, _ in kits) + _ones((c for c, _ in here), -1), 0, 0)
        for capacity_a in sorted({carries_a for _, carries_a in kits} | {0.0}):
            drawing = _ones(c for c, current_a in here if not at_most(current_a, capacity_a))
            carrying = _ones((c for c, carries_a in kits if carries_a > capacity_a), -1)
            if drawing:
                yield Row(f"own_kits_{slot}_{capacity_a:g}", drawing + carrying, None, 0)


def cable_reaches(layout: Layout) -> Iterator[Row]:
    """Every externally driven load has a speaker cable thick enough for it, and no more is bought than serves.

    for each location and load z: sum of cables good for z there - sum of external pairings of loads <= z >= 0;
    for each location: sum of cables there - sum of external pairings <= 0; for each product: sum of its purchases <= 1
    """
    purchases = [(c, cable) for c in layout.cables if isinstance(cable := layout.columns[c].option, Cable)]
    for location, pairing in layout.candidates.pairings.items():
        external = [
            (pairing.loads[i].ohm, column)
            for (i, j), column in layout.pairing[location].items()
            if pairing.supplies[j].external
        ]
        here = [(c, cable) for c, cable in purchases if location in cable.locations]
        for z in sorted({ohm for ohm, _ in external}):
            good = [c for c, cable in here if cable.least_ohm[cable.locations.index(location)] <= z]
            yield Row(
                f"cable_reaches_{location}_{z:g}", _ones(good) + _ones([c for ohm, c in external if ohm <= z], -1), 0
            )
        some = _ones([c for c, _ in here]) + _ones([c for _, c in external], -1)
        yield Row(f"cable_reaches_{location}_only", some, None, 0)
    products: dict[str, list[int]] = defaultdict(list)
    for c, cable in purchases:
        if cable.locations:
            products[cable.parts[0].sku].append(c)
    for sku, columns in products.items():
        yield Row(f"cable_reaches_{sku}_once", _ones(columns), None, 1)


def treat_once(layout: Layout) -> Iterator[Row]:
    """One deadening product per build; at least a sheet where required.

    sum deadening = 1 or sum deadening <= 1
    """
    required = layout.candidates.offer.brief.deadening is Want.REQUIRED
    yield Row("treat_once", _ones(layout.deadening), 1 if required else 0, 1)


def one_brand(layout: Layout) -> Iterator[Row]:
    """Where one brand is a must, front, rear, bass and amplifiers keep to it.

    sum brand <= 1; for each brand and location: sum of its products there - brand <= 0
    """
    if layout.candidates.offer.brief.one_brand is not OneBrand.MUST:
        return
    yield Row("one_brand", _ones(layout.brand.values()), None, 1)
    for location in Location:
        for what, columns in (("place", layout.place[location]), ("amplifier", layout.covering[location])):
            for brand, members in _by_brand(layout, columns).items():
                yield Row(f"one_brand_{what}_{location}_{brand}", [*_ones(members), (layout.brand[brand], -1)], None, 0)


def brand_bonus(layout: Layout) -> Iterator[Row]:
    """A preferred brand earns a third each where rear, bass, and every amplifier share the front's brand.

    bonus <= front of the brand; bonus <= role of the brand; bonus + amplifiers of other brands <= 1 at each location
    """
    if not layout.bonus:
        return
    fronts = _by_brand(layout, layout.place[Location.FRONT])
    amplifiers = {location: _by_brand(layout, layout.covering[location]) for location in Location}
    for (role, brand), column in layout.bonus.items():
        yield Row(f"brand_bonus_{role}_{brand}", [(column, 1), *_ones(fronts[brand], -1)], None, 0)
        if role == "amplifier":
            same = sorted({c for some in amplifiers.values() for c in some.get(brand, [])})
            others = [
                (location, [c for name, some in members.items() if name != brand for c in some])
                for location, members in amplifiers.items()
            ]
            for location, columns in others:
                yield Row(f"brand_bonus_alone_{location}_{brand}", [(column, 1), *_ones(columns)], None, 1)
        else:
            same = _by_brand(layout, layout.place[Location(role)])[brand]
        yield Row(f"brand_bonus_{role}_{brand}_there", [(column, 1), *_ones(same, -1)], None, 0)


def must_include(layout: Layout) -> Iterator[Row]:
    """Every must-include term is met by something bought.

    for each term: sum of columns that satisfy it >= 1
    """
    for i in range(len(layout.candidates.offer.terms)):
        members = [c for c, column in enumerate(layout.columns) if column.option and i in column.option.tags]
        yield Row(f"must_include_{i}", _ones(members), 1)


CONSTRAINTS: tuple[Callable[[Layout], Iterator[Row]], ...] = (
    one_source, fill_places, load_driven, supply_used, powered_fed, amplifier_count, stereo_pairs,
    converter_where_needed, enough_leads, shared_kit, own_kits, cable_reaches, treat_once, one_brand, brand_bonus,
    must_include,
)  # fmt: skip


def _ones(columns: Iterable[int], coefficient: float = 1) -> list[tuple[int, float]]:
    return [(column, coefficient) for column in columns]


def _added(terms: Iterable[tuple[int, float]]) -> list[tuple[int, float]]:
    """The same terms with the coefficients of one column added up."""
    total: dict[int, float] = defaultdict(float)
    for column, coefficient in terms:
        total[column] += coefficient
    return list(total.items())


def _by_brand(layout: Layout, columns: Iterable[int]) -> dict[str, list[int]]:
    found: dict[str, list[int]] = defaultdict(list)
    for column in columns:
        option = layout.columns[column].option
        if isinstance(option, Device):
            option = option.use
        brand = getattr(option, "brand", "")
        found[brand].append(column)
    return found


def _sounder(column: Column) -> Sounder:
    if not isinstance(column.option, Sounder):
        raise TypeError(column.kind)
    return column.option


def _source(column: Column) -> Source:
    if not isinstance(column.option, Source):
        raise TypeError(column.kind)
    return column.option

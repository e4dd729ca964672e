"""What may stand at each place of a system: sources, fillings of the three locations, amplifiers in a way of use."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.catalogue.items import Amplifier, FittingKit, Product, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import AerialUse, HeadUnitMode, KitFor, Location, OneBrand, SubwooferType, Want, Work
from budgetbuild.catalogue.names import fold
from tests.oracle import rules

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from budgetbuild.build import Mode
    from budgetbuild.catalogue.shop import Brief, Catalogue, Place, Vehicle

P = TypeVar("P", bound=Product)


@dataclass(frozen=True, slots=True)
class Shop:
    """One brief in one vehicle at one shop: what is offered, and what things cost."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle

    def offered(self, products: Iterable[P]) -> list[P]:
        """Products that are active and not left out."""
        out = self.brief.leave_out
        return [p for p in products if p.active and not any(rules.meets(term, p) for term in out)]

    def terms(self, *products: Product) -> int:
        """Bits of the `Must include` terms that these products meet."""
        wanted = enumerate(self.brief.must_include)
        return sum(1 << bit for bit, term in wanted if any(rules.meets(term, p) for p in products))

    def labour(self, work: Work, quantity: Fraction = Fraction(1)) -> int:
        """Cents for one unit of fitting work, 0 where the brief is not fitted."""
        if not self.brief.fitted:
            return 0
        rate = self.catalogue.settings.labour_rate
        assert rate is not None
        return rules.labour(self.catalogue.labour_hours.get(work, Fraction(0)), rate, quantity)

    def want(self, location: Location) -> Want:
        """How the brief wants a location."""
        return {"front": self.brief.front, "rear": self.brief.rear, "bass": self.brief.bass}[location.value]

    def kits(self, fits: KitFor) -> list[FittingKit]:
        """Kits on offer of one kind that go into this vehicle."""
        name = fold(self.vehicle.name)
        kits = self.offered(self.catalogue.fitting_kits)
        return [k for k in kits if k.fits is fits and (k.any_vehicle or name in k.vehicles)]


@dataclass(frozen=True, slots=True)
class Chosen:
    """Products taken together: cents (labour included), points (whole thousandths), terms met."""

    skus: tuple[str, ...] = ()
    cost: int = 0
    points: int = 0
    terms: int = 0


def taken(shop: Shop, *products: Product, points: int = 0, labour: int = 0) -> Chosen:
    """One of each product."""
    cost = sum(p.price for p in products) + labour
    return Chosen(tuple(p.sku for p in products), cost, points, shop.terms(*products))


@dataclass(frozen=True, slots=True)
class Source:
    """What plays the music, with its kit and aerial. `converter` is `None` where none could be asked for."""

    chosen: Chosen
    pairs: int
    internal_w: float
    converter: bool | None = None


def sources(shop: Shop) -> list[Source]:
    """Every source that the brief's head-unit mode allows."""
    brief = shop.brief
    if brief.head_unit is HeadUnitMode.KEEP_OWN:
        return [Source(Chosen(), brief.own_preout_pairs, brief.own_internal_w)]
    return _head_units(shop) if brief.head_unit is HeadUnitMode.REPLACE else _factory(shop)


def _head_units(shop: Shop) -> list[Source]:
    factory_aerial = shop.vehicle.factory_digital_aerial
    use = AerialUse.FACTORY_ADAPTER if factory_aerial else AerialUse.SCREEN_MOUNT
    aerials = [a for a in shop.offered(shop.catalogue.aerials) if a.use is use]
    labour = shop.labour(Work.HEAD_UNIT)
    found = []
    for unit in shop.offered(shop.catalogue.head_units):
        if not rules.opening_takes(shop.vehicle.opening, unit.opening):
            continue
        points = rules.rating_points(shop.catalogue.weights.source, unit.rating)
        for extras in [(a,) for a in aerials] if unit.digital_radio else [()]:
            found += [
                Source(chosen, unit.preout_pairs, unit.internal_w)
                for kit in shop.kits(KitFor.HEAD_UNIT)
                for chosen in (taken(shop, unit, kit, *extras, points=points, labour=labour),)
            ]
    return found


def converter_kit_needed(shop: Shop) -> bool:
    """Whether the sheet lists a converter kit for this vehicle by name, on offer or not."""
    name = fold(shop.vehicle.name)
    return any(k.fits is KitFor.CONVERTER and name in k.vehicles for k in shop.catalogue.fitting_kits)


def _factory(shop: Shop) -> list[Source]:
    watt = shop.catalogue.settings.limits.factory_internal_w
    name = fold(shop.vehicle.name)
    kits: list[tuple[FittingKit, ...]] = [()]
    if converter_kit_needed(shop):
        kits = [(k,) for k in shop.kits(KitFor.CONVERTER) if name in k.vehicles]
    found = [Source(Chosen(), 0, watt, converter=False)]
    for unit in shop.offered(shop.catalogue.converters):
        points = rules.rating_points(shop.catalogue.weights.source, unit.rating, Fraction(6, 10))
        for kit in kits:
            chosen = taken(shop, unit, *kit, points=points, labour=shop.labour(Work.CONVERTER))
            found.append(Source(chosen, unit.output_pairs, watt, converter=True))
    return found


@dataclass(frozen=True, slots=True)
class Filling:
    """What fills a location: nothing, speakers, or bass; `ohm` is `None` where there is no passive load."""

    location: Location
    chosen: Chosen = Chosen()
    brand: str | None = None
    ohm: Fraction | None = None
    rms_w: Fraction = Fraction(0)
    powered: Subwoofer | None = None


def fillings(shop: Shop, location: Location) -> list[Filling]:
    """Everything that fits at a location, with nothing unless it is required."""
    want = shop.want(location)
    found = [] if want is Want.REQUIRED else [Filling(location)]
    if want is not Want.NONE:
        found += _bass(shop) if location is Location.BASS else _speakers(shop, location)
    return found


def _speakers(shop: Shop, location: Location) -> Iterator[Filling]:
    front = location is Location.FRONT
    place: Place = shop.vehicle.front if front else shop.vehicle.rear
    weights = shop.catalogue.weights
    for speaker in shop.offered(shop.catalogue.speakers):
        if not rules.place_takes(place, speaker):
            continue
        points = rules.rating_points(weights.front if front else weights.rear, speaker.rating)
        for kit in adapters(shop, location, place, speaker):
            chosen = taken(shop, speaker, *kit, points=points, labour=shop.labour(Work(location.value)))
            ohm, rms = rules.exact(speaker.ohm), rules.exact(speaker.rms_w)
            yield Filling(location, chosen, fold(speaker.brand), ohm, rms)


def adapters(shop: Shop, location: Location, place: Place, speaker: Speaker) -> list[tuple[FittingKit, ...]]:
    """The adapter kits to choose one of; `[()]` where the speaker needs none."""
    if place.size_mm is None or place.size_mm == speaker.size_mm:
        return [()]
    kits = shop.kits(KitFor.SPEAKER)
    return [(k,) for k in kits if k.location is location and k.size_mm == speaker.size_mm]


def _bass(shop: Shop) -> Iterator[Filling]:
    limits = shop.catalogue.settings.limits
    labour = shop.labour(Work.BASS)
    boxes = [b for b in shop.offered(shop.catalogue.boxes) if rules.boot_takes(b, shop.vehicle, limits)]
    for sub in shop.offered(shop.catalogue.subwoofers):
        points = rules.rating_points(shop.catalogue.weights.bass, sub.rating)
        if sub.type is SubwooferType.DRIVER:
            for box in boxes:
                if rules.box_takes(box, sub):
                    chosen = taken(shop, *[sub] * box.drivers, box, points=points, labour=labour)
                    yield from _boxed(sub, box.drivers, chosen)
            continue
        if not rules.boot_takes(sub, shop.vehicle, limits):
            continue
        chosen, brand = taken(shop, sub, points=points, labour=labour), fold(sub.brand)
        if sub.type is SubwooferType.POWERED:
            yield Filling(Location.BASS, chosen, brand, powered=sub)
        else:
            assert sub.ohm is not None
            yield Filling(Location.BASS, chosen, brand, rules.exact(sub.ohm), rules.exact(sub.rms_w))


def _boxed(driver: Subwoofer, count: int, chosen: Chosen) -> Iterator[Filling]:
    assert driver.ohm is not None
    for net in rules.nets(driver.ohm, driver.coils, count):
        yield Filling(Location.BASS, chosen, fold(driver.brand), net, count * rules.exact(driver.rms_w))


@dataclass(frozen=True, slots=True)
class Usage:
    """One external amplifier in one way of use."""

    amplifier: Amplifier
    way: tuple[tuple[Location, Mode], ...]

    @property
    def covers(self) -> frozenset[Location]:
        """Locations that it drives."""
        return frozenset(location for location, _ in self.way)


def amplifications(shop: Shop) -> list[tuple[Usage, ...]]:
    """No, one or two amplifiers (the same product may be taken twice), each location driven once at most."""
    if shop.brief.amplifier is Want.NONE:
        return [()]
    amplifiers = shop.offered(shop.catalogue.amplifiers)
    usages = [Usage(a, tuple(way.items())) for a in amplifiers for way in rules.ways_of_use(a)]
    usages = [u for u in usages if all(shop.want(location) is not Want.NONE for location in u.covers)]
    found: list[tuple[Usage, ...]] = [()]
    for count in range(1, shop.catalogue.settings.limits.max_amplifiers + 1):
        sets = combinations_with_replacement(usages, count)
        found += [some for some in sets if len(_covered(some)) == sum(len(u.way) for u in some)]
    return found


def _covered(usages: Iterable[Usage]) -> set[Location]:
    return {location for usage in usages for location in usage.covers}


def brand_points(shop: Shop, brands: dict[Location, str | None], amplifiers: Iterable[Amplifier]) -> int | None:
    """Points for one brand; `None` where the brief insists on one brand and there are more."""
    amps = {fold(a.brand) for a in amplifiers}
    present = {brand for brand in brands.values() if brand is not None}
    if shop.brief.one_brand is OneBrand.MUST:
        return 0 if len(present | amps) <= 1 else None
    front = brands[Location.FRONT]
    if shop.brief.one_brand is OneBrand.NO or front is None:
        return 0
    shared = (brands[Location.REAR] == front) + (brands[Location.BASS] == front) + (amps == {front})
    return shared * rules.thousandths(rules.exact(shop.catalogue.settings.limits.one_brand_points) / 3)

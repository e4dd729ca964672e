"""What fills the places of a system in the flat model: sources, speakers, bass, sound deadening."""

from __future__ import annotations

import math
from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING, Any, TypeAlias

from ortools.sat.python import cp_model

from budgetbuild.catalogue.kinds import AerialUse, HeadUnitMode, KitFor, Location, SubwooferType, Want, Work
from budgetbuild.catalogue.names import fold
from tests.oracle import rules
from tests.oracle.choices import Shop, adapters, converter_kit_needed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from budgetbuild.catalogue.items import Deadening, Product

Load = tuple[Fraction, Fraction]
"""Net ohm and RMS W in all of what a location holds: products with the same load behave the same electrically."""


CURRENT_UNIT = 10_000
"""Currents are counted in whole ten-thousandths of an ampere.

With millionths (and so coefficients of thousands of millions) the presolve of OR-tools 9.15 lost the optimum of one of
the sample's builds and called a worse one optimal; without presolve, or with this unit, it finds it.
"""

Expr: TypeAlias = Any
"""A whole-number expression of the solver's: a variable, a sum, or a plain number."""


def total(variables: Iterable[Expr]) -> Expr:
    """Sum, 0 of nothing, as something that a constraint takes."""
    return cp_model.LinearExpr.sum(list(variables))


def sheets_of(shop: Shop, item: Deadening) -> Iterator[tuple[int, int, int]]:
    """Sheets, thousandths of a point and cents of labour, up to the area worth treating."""
    door = rules.exact(shop.catalogue.settings.limits.door_m2 if shop.vehicle.door_m2 is None else shop.vehicle.door_m2)
    area = rules.exact(item.sheet_m2)
    for sheets in range(1, math.ceil(door / area) + 1):
        points = rules.rating_points(
            shop.catalogue.weights.treatment, item.rating, min(Fraction(1), sheets * area / door)
        )
        yield sheets, points, shop.labour(Work.DEADENING_PER_M2, sheets * area)


class Flat:
    """Variables and constraints of one brief; prices in cents, points in thousandths, currents in uA."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.weights = shop.catalogue.weights
        self.limits = shop.catalogue.settings.limits
        self.model = cp_model.CpModel()
        self.cost: list[Expr] = []
        self.points: list[Expr] = []
        self.meets: dict[int, list[Expr]] = defaultdict(list)
        self.loads: dict[Location, dict[Load, list[Expr]]] = {location: defaultdict(list) for location in Location}
        self.brands: dict[Location, dict[str, list[Expr]]] = {location: defaultdict(list) for location in Location}
        self.powered: list[Expr] = []
        self.powered_current: list[Expr] = []
        self.internal: dict[float, list[Expr]] = defaultdict(list)
        self.source_pairs: list[Expr] = []
        self.converter: Expr = None
        self.source()
        for location in (Location.FRONT, Location.REAR):
            self.speakers(location)
        self.bass()
        self.treatment()

    def pick(self, *products: Product, points: int = 0, labour: int = 0) -> Expr:
        """A new yes or no: take one of each product."""
        return self.count(1, *products, points=points, labour=labour)

    def count(self, most: int, *products: Product, points: int = 0, labour: int = 0) -> Expr:
        """A new whole number from 0 to `most`: take so many of each product."""
        variable = self.model.new_int_var(0, most, "") if most > 1 else self.model.new_bool_var("")
        self.cost.append((sum(p.price for p in products) + labour) * variable)
        self.points.append(points * variable)
        terms = self.shop.terms(*products)
        for bit in range(len(self.shop.brief.must_include)):
            if terms >> bit & 1:
                self.meets[bit].append(variable)
        return variable

    def source(self) -> None:
        """Head unit with kit and aerial; or the factory unit, a converter deciding on its own; or the own unit."""
        brief = self.shop.brief
        if brief.head_unit is HeadUnitMode.KEEP_OWN:
            self.internal[brief.own_internal_w].append(1)
            self.source_pairs.append(brief.own_preout_pairs)
        elif brief.head_unit is HeadUnitMode.KEEP_FACTORY:
            self.internal[self.limits.factory_internal_w].append(1)
            self.factory()
        else:
            self.head_unit()

    def head_unit(self) -> None:
        """Exactly one that the opening takes, exactly one kit, one aerial where it has digital radio."""
        shop, units, digital = self.shop, [], []
        for unit in shop.offered(shop.catalogue.head_units):
            if not rules.opening_takes(shop.vehicle.opening, unit.opening):
                continue
            points = rules.rating_points(self.weights.source, unit.rating)
            units.append(self.pick(unit, points=points, labour=shop.labour(Work.HEAD_UNIT)))
            self.source_pairs.append(unit.preout_pairs * units[-1])
            self.internal[unit.internal_w].append(units[-1])
            digital += [units[-1]] if unit.digital_radio else []
        use = AerialUse.FACTORY_ADAPTER if shop.vehicle.factory_digital_aerial else AerialUse.SCREEN_MOUNT
        aerials = [self.pick(a) for a in shop.offered(shop.catalogue.aerials) if a.use is use]
        self.model.add(total(units) == 1)
        self.model.add(total(self.pick(kit) for kit in shop.kits(KitFor.HEAD_UNIT)) == 1)
        self.model.add(total(aerials) == total(digital))

    def factory(self) -> None:
        """A converter or none; its kit where the sheet lists one for this vehicle by name."""
        shop, units = self.shop, []
        for unit in shop.offered(shop.catalogue.converters):
            points = rules.rating_points(self.weights.source, unit.rating, Fraction(3, 5))
            units.append(self.pick(unit, points=points, labour=shop.labour(Work.CONVERTER)))
            self.source_pairs.append(unit.output_pairs * units[-1])
        self.converter = total(units)
        if converter_kit_needed(shop):
            kits = [k for k in shop.kits(KitFor.CONVERTER) if fold(shop.vehicle.name) in k.vehicles]
            self.model.add(total(self.pick(kit) for kit in kits) == self.converter)

    def wanted(self, location: Location, variables: list[Expr]) -> None:
        """Required = 1, optional <= 1, none = 0."""
        want = self.shop.want(location)
        self.model.add(total(variables) <= int(want is not Want.NONE))
        self.model.add(total(variables) >= int(want is Want.REQUIRED))

    def speakers(self, location: Location) -> None:
        """One pair at most; a pair of another size with exactly one adapter kit for its size."""
        shop = self.shop
        place = shop.vehicle.front if location is Location.FRONT else shop.vehicle.rear
        weight = self.weights.front if location is Location.FRONT else self.weights.rear
        chosen, adapted = [], defaultdict(list)
        for speaker in shop.offered(shop.catalogue.speakers):
            if not rules.place_takes(place, speaker):
                continue
            points = rules.rating_points(weight, speaker.rating)
            chosen.append(self.pick(speaker, points=points, labour=shop.labour(Work(location.value))))
            self.loads[location][rules.exact(speaker.ohm), rules.exact(speaker.rms_w)].append(chosen[-1])
            self.brands[location][fold(speaker.brand)].append(chosen[-1])
            if adapters(shop, location, place, speaker) != [()]:
                adapted[speaker.size_mm].append(chosen[-1])
        for size, pairs in adapted.items():
            kits = [k for k in shop.kits(KitFor.SPEAKER) if (k.location, k.size_mm) == (location, size)]
            self.model.add(total(self.pick(kit) for kit in kits) == total(pairs))
        self.wanted(location, chosen)

    def bass(self) -> None:
        """A powered subwoofer, a loaded enclosure, or a box with its drivers in one of their nets."""
        shop, chosen = self.shop, []
        labour = shop.labour(Work.BASS)
        for sub in shop.offered(shop.catalogue.subwoofers):
            points = rules.rating_points(self.weights.bass, sub.rating)
            if sub.type is SubwooferType.DRIVER:
                boxes = [b for b in shop.offered(shop.catalogue.boxes) if rules.box_takes(b, sub)]
                boxes = [b for b in boxes if rules.boot_takes(b, shop.vehicle, self.limits)]
                variables = []
                for box in boxes:
                    assert sub.ohm is not None
                    wired = []
                    for net in rules.nets(sub.ohm, sub.coils, box.drivers):
                        wired.append(self.pick(*[sub] * box.drivers, box, points=points, labour=labour))
                        self.loads[Location.BASS][net, rules.exact(sub.rms_w) * box.drivers].append(wired[-1])
                    variables += wired
            elif rules.boot_takes(sub, shop.vehicle, self.limits):
                variables = [self.ready_bass(sub, points, labour)]
            else:
                continue
            self.brands[Location.BASS][fold(sub.brand)] += variables
            chosen += variables
        self.wanted(Location.BASS, chosen)

    def ready_bass(self, sub: Expr, points: int, labour: int) -> Expr:
        """A powered subwoofer or a loaded enclosure."""
        if sub.type is SubwooferType.POWERED:
            points += rules.amplification_points(self.weights, Location.BASS, sub.rating)
            points += rules.match_points(self.weights, Location.BASS, Fraction(1))
            variable = self.pick(sub, points=points, labour=labour)
            self.powered.append(variable)
            self.powered_current.append(round(rules.powered_current(sub, self.limits) * CURRENT_UNIT) * variable)
            return variable
        variable = self.pick(sub, points=points, labour=labour)
        self.loads[Location.BASS][rules.exact(sub.ohm), rules.exact(sub.rms_w)].append(variable)
        return variable

    def treatment(self) -> None:
        """At most one product in one whole number of sheets."""
        want = self.shop.brief.deadening
        chosen = [
            self.count(1, *[item] * sheets, points=points, labour=labour)
            for item in self.shop.offered(self.shop.catalogue.deadening)
            for sheets, points, labour in sheets_of(self.shop, item)
        ]
        self.model.add(total(chosen) <= int(want is not Want.NONE))
        self.model.add(total(chosen) >= int(want is Want.REQUIRED))

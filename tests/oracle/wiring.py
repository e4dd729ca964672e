"""What drives and feeds what in the flat model: amplifiers in two slots, leads, power kits, speaker cable, sheets."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import TYPE_CHECKING

from budgetbuild.build import Mode
from budgetbuild.catalogue.kinds import Location, Want, Work
from budgetbuild.catalogue.names import fold
from tests.oracle import rules
from tests.oracle.flat import CURRENT_UNIT, Expr, Flat, Load, total

if TYPE_CHECKING:
    from fractions import Fraction

    from budgetbuild.catalogue.items import Amplifier

MOST_AMPERES = 5_000 * CURRENT_UNIT
Slot = int


class Wiring:
    """Everything between the source and the loads."""

    def __init__(self, flat: Flat) -> None:
        self.flat = flat
        self.model = flat.model
        self.shop = flat.shop
        slots = range(0 if self.shop.brief.amplifier is Want.NONE else flat.limits.max_amplifiers)
        self.amplifiers = self.shop.offered(self.shop.catalogue.amplifiers)
        labour = self.shop.labour(Work.AMPLIFIER)
        self.used = {(s, i): flat.pick(a, labour=labour) for s in slots for i, a in enumerate(self.amplifiers)}
        self.slots = {s: total(v for (slot, _), v in self.used.items() if slot == s) for s in slots}
        self.driving: dict[tuple[Location, Fraction], list[Expr]] = defaultdict(list)
        self.output: dict[Slot, list[Expr]] = {s: [] for s in slots}
        self.driven: dict[Location, dict[Load, list[Expr]]] = {
            location: {load: [] for load in flat.loads[location]} for location in Location
        }
        for (slot, index), used in self.used.items():
            self.amplifier(slot, self.amplifiers[index], used)
        self.order()
        self.internal()
        for location, loads in flat.loads.items():
            for load, products in loads.items():
                self.model.add(total(self.driven[location][load]) == total(products))
        self.external = {
            w: total(v for (at, _), some in self.driving.items() if at is w for v in some) for w in Location
        }
        self.signal()
        self.power()
        self.cable()

    def order(self) -> None:
        """The second slot only after the first, products in sheet order: the slots have no names."""
        for slot in self.slots:
            self.model.add(self.slots[slot] <= 1)
            if slot:
                place = {s: total(i * v for (at, i), v in self.used.items() if at == s) for s in (slot - 1, slot)}
                self.model.add(self.slots[slot] <= self.slots[slot - 1])
                self.model.add(place[slot - 1] <= place[slot] + len(self.amplifiers) * (1 - self.slots[slot]))

    def amplifier(self, slot: Slot, amplifier: Amplifier, used: Expr) -> None:
        """Each load that it may drive in each mode; no more pairs than it has; at least one location."""
        sections, pairs = [], []
        for location, loads in self.flat.loads.items():
            for load in loads:
                for mode in (mode for mode in Mode if (location, mode) in rules.PAIRS):
                    section = self.section(slot, amplifier, location, mode, load)
                    if section is not None:
                        self.driven[location][load].append(section)
                        sections.append(section)
                        pairs.append(rules.PAIRS[location, mode] * section)
        self.model.add(total(pairs) <= amplifier.channels // 2)
        self.model.add(total(sections) >= used)
        for section in sections:
            self.model.add_implication(section, used)
        if amplifier.fuse_a is not None:
            self.output[slot].append(round(amplifier.fuse_a * CURRENT_UNIT) * used)

    def section(self, slot: Slot, amplifier: Amplifier, location: Location, mode: Mode, load: Load) -> Expr:
        """A new yes or no: this section drives that load; `None` where it must not."""
        ohm, rms = load
        watt = rules.power(amplifier, mode, ohm)
        if watt is None or not rules.ratio_allowed(location, watt / rms, self.flat.limits):
            return None
        variable = self.model.new_bool_var("")
        points = rules.amplification_points(self.flat.weights, location, amplifier.rating)
        match = rules.match_factor(watt / rms, self.flat.limits)
        self.flat.points.append((points + rules.match_points(self.flat.weights, location, match)) * variable)
        self.driving[location, ohm].append(variable)
        if amplifier.fuse_a is None:
            channels = watt if location is Location.BASS else 2 * watt
            amperes = rules.amplifier_current(amplifier, [channels], self.flat.limits)
            self.output[slot].append(round(amperes * CURRENT_UNIT) * variable)
        return variable

    def internal(self) -> None:
        """Front and rear on the amplifier of whatever source is chosen."""
        if self.shop.brief.amplifier is Want.REQUIRED:
            return
        for location in (Location.FRONT, Location.REAR):
            for load in self.flat.loads[location]:
                for rated, units in self.flat.internal.items():
                    watt = rules.internal_power(rated, load[0])
                    if watt is None or not rules.ratio_allowed(location, watt / load[1], self.flat.limits):
                        continue
                    variable = self.model.new_bool_var("")
                    match = rules.match_factor(watt / load[1], self.flat.limits)
                    self.flat.points.append(rules.match_points(self.flat.weights, location, match) * variable)
                    self.driven[location][load].append(variable)
                    self.model.add(variable <= total(units))

    def signal(self) -> None:
        """Pairs of the source, the converter exactly where any is needed, and leads."""
        flat, shop = self.flat, self.shop
        pairs = total([*self.external.values(), *flat.powered])
        self.model.add(total(flat.source_pairs) >= pairs)
        if flat.converter is not None:
            self.model.add(flat.converter <= 1)
            self.model.add(flat.converter <= pairs)
        run = rules.lead_run_m(shop.brief.head_unit, shop.vehicle, flat.limits)
        leads = [lead for lead in shop.offered(shop.catalogue.signal_leads) if rules.at_most(run, lead.length_m)]
        self.model.add(total(lead.channels * flat.count(8, lead) for lead in leads) >= 2 * pairs)

    def power(self) -> None:
        """One kit for every fed device together, or one each."""
        flat = self.flat
        devices = [(self.slots[s], total(self.output[s])) for s in self.slots]
        devices.append((total(flat.powered), total(flat.powered_current)))
        together = self.model.new_bool_var("")
        count = total(present for present, _ in devices)
        self.model.add(together <= count)
        kits = [
            (kit, math.floor(amperes * (1 + 1e-9) * CURRENT_UNIT) + 2)
            for kit in self.shop.offered(self.shop.catalogue.power_kits)
            if (amperes := rules.kit_capacity(kit, self.shop.vehicle, flat.limits)) > 0
        ]
        shared = [(kit, carries, flat.pick(kit)) for kit, carries in kits]
        self.model.add(total(v for _, _, v in shared) == together)
        carried = total(carries * v for _, carries, v in shared)
        self.model.add(total(amperes for _, amperes in devices) <= carried + MOST_AMPERES * (1 - together))
        for kit, _, variable in shared:
            self.model.add(count <= kit.amplifiers_fed).only_enforce_if(variable)
        for present, amperes in devices:
            own = [(carries, flat.pick(kit)) for kit, carries in kits]
            self.model.add(total(v for _, v in own) <= 1 - together)
            self.model.add(total(v for _, v in own) <= present)
            self.model.add(total(v for _, v in own) >= present - together)
            self.model.add(amperes <= total(carries * v for carries, v in own) + MOST_AMPERES * together)

    def cable(self) -> None:
        """One product for each externally amplified location, its loss kept, its metres added up over locations."""
        shop, limits = self.shop, self.flat.limits
        cables = shop.offered(shop.catalogue.speaker_cables)
        metres: dict[str, list[Expr]] = defaultdict(list)
        for location in Location:
            serving = {cable.sku: self.model.new_bool_var("") for cable in cables}
            self.model.add(total(serving.values()) == self.external[location])
            needed = rules.cable_metres(location, shop.vehicle, limits)
            run = rules.cable_run_m(location, shop.vehicle, limits)
            for cable in cables:
                metres[cable.sku].append(int(needed * 10_000) * serving[cable.sku])
                assert needed * 10_000 == int(needed * 10_000)
                lossy = [v for (at, ohm), some in self.driving.items() if at is location for v in some
                         if not rules.cable_allowed(cable, run, ohm, limits)]  # fmt: skip
                self.model.add(total(lossy) + serving[cable.sku] <= 1)
        for cable in cables:
            unit = rules.exact(cable.metres_per_unit) * 10_000
            most = 1 + math.ceil(sum(rules.cable_metres(w, shop.vehicle, limits) for w in Location) * 10_000 / unit)
            self.model.add(int(unit) * self.flat.count(most, cable) >= total(metres[cable.sku]))

    def brands(self) -> dict[str, list[Expr]]:
        """Amplifiers taken, by brand."""
        found: dict[str, list[Expr]] = defaultdict(list)
        for (_, index), used in self.used.items():
            found[fold(self.amplifiers[index].brand)].append(used)
        return found

"""What a shop asks for and sells: vehicles, briefs, tiers, weights, settings, and the whole catalogue.

Money is whole minor units (cents), runs are metres, dimensions millimetres. `None` means "unknown".
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import (
    NOWHERE,
    Aerial,
    Amplifier,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
    Product,
    SignalLead,
    Speaker,
    SpeakerCable,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, OneBrand, Opening, TextPlace, Want, Work
from budgetbuild.catalogue.limits import DEFAULT_LIMITS, Limits
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.catalogue.fresh import Fresh
    from budgetbuild.catalogue.promotion import DiscountCeiling, Promotion
    from budgetbuild.catalogue.value import Criterion, Earned
    from budgetbuild.faults import Cell, Fault


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where speakers go at front or rear of a vehicle; `None` = unknown, to be measured first."""

    size_mm: float | None = None
    depth_mm: float | None = None
    tweeter_place: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """A vehicle; `None` = unknown. Runs in m, boot in mm, `door_m2` the area worth treating; `weight`: how common."""

    at: Cell = NOWHERE
    name: str
    opening: Opening
    factory_digital_aerial: bool | None = None
    front: Place = Place()
    rear: Place = Place()
    boot_width_mm: float | None = None
    boot_height_mm: float | None = None
    boot_depth_mm: float | None = None
    alternator_a: float | None = None
    signal_run_m: float | None = None
    power_run_m: float | None = None
    front_run_m: float | None = None
    rear_run_m: float | None = None
    bass_run_m: float | None = None
    door_m2: float | None = None
    weight: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """What a customer wants. `must_include` and `leave_out` hold SKUs or brands as written in the sheet.

    Attributes:
        vehicle: Name of the vehicle; empty where the brief is for several.
        vehicles: Names of the vehicles where it is for several: one system that fits as many as `share` asks for.
        share: Least share of their weights that the system must fit.
    """

    at: Cell = NOWHERE
    name: str
    vehicle: str = ""
    vehicles: tuple[str, ...] = ()
    share: Fraction = Fraction(1)
    head_unit: HeadUnitMode
    own_preout_pairs: int = 0
    own_internal_w: float = 0.0
    front: Want = Want.REQUIRED
    rear: Want = Want.OPTIONAL
    bass: Want = Want.OPTIONAL
    amplifier: Want = Want.OPTIONAL
    deadening: Want = Want.OPTIONAL
    fitted: bool = False
    one_brand: OneBrand = OneBrand.NO
    must_include: tuple[str, ...] = ()
    leave_out: tuple[str, ...] = ()

    @property
    def is_kit(self) -> bool:
        """Whether it asks for one system for several vehicles."""
        return bool(self.vehicles)

    def named(self) -> tuple[str, ...]:
        """Names of its vehicles, one or several."""
        return self.vehicles or (self.vehicle,)

    def in_vehicle(self, name: str) -> Brief:
        """The same brief for one vehicle alone."""
        return replace(self, vehicle=name, vehicles=(), share=Fraction(1))


LOCALE = "en_GB"
"""By whose customs a shop that states none writes money, figures and dates."""

ALLOWANCE = Fraction(1, 100)
"""What a build may cost above the budget, as a share of it, where nothing else is said."""


def usual_allowance(allowances: Iterable[Fraction]) -> Fraction:
    """The allowance of the tiers where they agree on one, else the usual 1 %.

    >>> usual_allowance([Fraction(2, 100), Fraction(1, 50)]), usual_allowance([Fraction(1, 50), Fraction(0)])
    (Fraction(1, 50), Fraction(1, 100))
    """
    found = set(allowances)
    return found.pop() if len(found) == 1 else ALLOWANCE


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """A budget step; `budget` in cents, `allowance` as a share (1/100 = 1 %). `briefs` empty = all.

    Attributes:
        step_weight: How much its score counts in an upgrade path, beside those of the other tiers.
    """

    at: Cell = NOWHERE
    name: str
    budget: int
    allowance: Fraction = ALLOWANCE
    briefs: tuple[str, ...] = ()
    step_weight: float = 1.0

    @property
    def cap(self) -> int:
        """Most that a build may cost, whole cents: budget x (1 + allowance), rounded down.

        >>> Tier(name="1300", budget=130000).cap
        131300
        """
        return int(self.budget * (1 + self.allowance))


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """Points of each part of the score (0 to 100 in all)."""

    source: float = 20.0
    front: float = 25.0
    rear: float = 8.0
    bass: float = 20.0
    amplification: float = 12.0
    match: float = 10.0
    treatment: float = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The shop's own settings.

    Attributes:
        locale: Language and country by which money, figures and dates are written, as in `en_GB`.
        tax_rate: As a share.
        labour_rate: Cents per hour, tax included.
        visible_gain: Points that a dearer build must gain before it is offered as the next step up.
        stretch_share: Share of the budget by which a swap may exceed the cap, and by which a drop undercuts it.
        shop_address: Printed on a customer's quote, lines separated by `;`.
        quote_days: Days that a customer's quote is good for.
        quote_terms: What the shop prints under a customer's quote, sentences separated by `;`.
        rising: Prices of how many products may rise to their high price before a build leaves the cap; 0 = not asked.
    """

    shop_name: str = ""
    currency: str = "EUR"
    locale: str = LOCALE
    tax_rate: Fraction | None = None
    labour_rate: int | None = None
    date: str = ""
    visible_gain: float = 2.0
    stretch_share: Fraction = Fraction(1, 20)
    shop_address: tuple[str, ...] = ()
    quote_days: int = 30
    quote_terms: tuple[str, ...] = ()
    rising: int = 0
    limits: Limits = DEFAULT_LIMITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A paragraph of the shop's own; `about` names the tier, brief or SKU that it is about."""

    at: Cell = NOWHERE
    place: TextPlace
    about: str = ""
    text: str


@dataclass(frozen=True, kw_only=True)
class Catalogue:
    """A sound catalogue: every product of every sheet, and what to solve. Nothing in it ever changes.

    Attributes:
        labour_hours: Hours by work.
        warnings: Faults that did not stop the run (warnings and notices), in sheet order.
        points: What each column earns towards the ratings that the shop leaves blank.
        reckoned: What each product whose rating is reckoned earned, by its SKU; all other ratings are typed.
        fresh: The price file that was laid over it, and what that changed; `None` where there was none.
    """

    name: str = ""
    sha256: str = ""
    head_units: tuple[HeadUnit, ...] = ()
    converters: tuple[Converter, ...] = ()
    speakers: tuple[Speaker, ...] = ()
    subwoofers: tuple[Subwoofer, ...] = ()
    boxes: tuple[Box, ...] = ()
    amplifiers: tuple[Amplifier, ...] = ()
    power_kits: tuple[PowerKit, ...] = ()
    signal_leads: tuple[SignalLead, ...] = ()
    speaker_cables: tuple[SpeakerCable, ...] = ()
    aerials: tuple[Aerial, ...] = ()
    fitting_kits: tuple[FittingKit, ...] = ()
    deadening: tuple[Deadening, ...] = ()
    labour_hours: dict[Work, Fraction] = field(default_factory=dict)
    vehicles: tuple[Vehicle, ...] = ()
    briefs: tuple[Brief, ...] = ()
    tiers: tuple[Tier, ...] = ()
    weights: Weights = Weights()
    settings: Settings = Settings()
    texts: tuple[Text, ...] = ()
    promotions: tuple[Promotion, ...] = ()
    discounts: tuple[DiscountCeiling, ...] = ()
    points: tuple[Criterion, ...] = ()
    reckoned: dict[str, tuple[Earned, ...]] = field(default_factory=dict)
    warnings: tuple[Fault, ...] = ()
    fresh: Fresh | None = None

    def products(self) -> tuple[Product, ...]:
        """Every product, sheet by sheet."""
        return (
            *self.head_units,
            *self.converters,
            *self.speakers,
            *self.subwoofers,
            *self.boxes,
            *self.amplifiers,
            *self.power_kits,
            *self.signal_leads,
            *self.speaker_cables,
            *self.aerials,
            *self.fitting_kits,
            *self.deadening,
        )

    def by_sku(self) -> Mapping[str, Product]:
        """Every product, by its SKU."""
        return self._by_sku

    @cached_property
    def _by_sku(self) -> Mapping[str, Product]:
        return {product.sku: product for product in self.products()}

    def has_kit(self, use: KitFor, vehicle: str) -> bool:
        """Whether a fitting kit for that use names the vehicle."""
        return fold(vehicle) in self._named_by_kits.get(use, ())

    @cached_property
    def _named_by_kits(self) -> Mapping[KitFor, set[str]]:
        named: dict[KitFor, set[str]] = {}
        for kit in self.fitting_kits:
            named.setdefault(kit.fits, set()).update(kit.vehicles)
        return named

    def texts_for(self, place: TextPlace, about: str = "") -> tuple[str, ...]:
        """The shop's own paragraphs for a place, in the order of the sheet."""
        name = fold(about)
        return tuple(one.text for one in self.texts if one.place is place and (not name or fold(one.about) == name))

    def vehicle(self, name: str) -> Vehicle:
        """The vehicle of that name.

        Raises:
            KeyError: No vehicle has that name; a checked catalogue never names one in a brief.
        """
        for vehicle in self.vehicles:
            if fold(vehicle.name) == fold(name):
                return vehicle
        raise KeyError(name)

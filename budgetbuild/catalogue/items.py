"""What a catalogue holds, as typed and frozen values: products, vehicles, briefs, tiers, settings.

Nothing here knows a spreadsheet, a solver or a page. Money is whole minor units (cents), lengths of
cable are metres, dimensions millimetres, loads ohm, powers continuous RMS watt, currents ampere.
`None` means "the sheet leaves it blank".
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from budgetbuild.catalogue.limits import DEFAULT_LIMITS, Limits
from budgetbuild.faults import Cell, Fault


class Location(StrEnum):
    """The three locations of a system."""

    FRONT = "front"
    REAR = "rear"
    BASS = "bass"


class Opening(StrEnum):
    """Opening in the dash, or the kind of head unit that fills it."""

    SINGLE = "single"
    DOUBLE = "double"
    FLOATING = "floating"
    NONE = "none"


class SpeakerType(StrEnum):
    """Kinds of front and rear speakers."""

    COMPONENT = "component"
    COAXIAL = "coaxial"


class SubwooferType(StrEnum):
    """Kinds of bass products."""

    ENCLOSURE = "enclosure"
    DRIVER = "driver"
    POWERED = "powered"


class AmplifierClass(StrEnum):
    """Classes of amplifiers, for their efficiency."""

    AB = "AB"
    D = "D"


class Conductor(StrEnum):
    """Metal of a cable."""

    COPPER = "copper"
    CCA = "CCA"


class AerialUse(StrEnum):
    """Kinds of digital-radio aerials."""

    SCREEN_MOUNT = "screen-mount"
    FACTORY_ADAPTER = "factory adapter"


class KitFor(StrEnum):
    """What a fitting kit fits."""

    HEAD_UNIT = "head unit"
    CONVERTER = "converter"
    SPEAKER = "speaker"


class Work(StrEnum):
    """The fixed list of fitting work."""

    HEAD_UNIT = "head unit"
    CONVERTER = "converter"
    FRONT = "front"
    REAR = "rear"
    BASS = "bass"
    AMPLIFIER = "amplifier"
    DEADENING_PER_M2 = "deadening per m2"


class HeadUnitMode(StrEnum):
    """What a brief does with the head unit."""

    REPLACE = "replace"
    KEEP_FACTORY = "keep factory"
    KEEP_OWN = "keep own"


class Want(StrEnum):
    """How a brief wants a part."""

    REQUIRED = "required"
    OPTIONAL = "optional"
    NONE = "none"


class OneBrand(StrEnum):
    """Whether front, rear, bass and amplifier share a brand."""

    NO = "no"
    PREFER = "prefer"
    MUST = "must"


NOWHERE = Cell()
"""Place of what was not read from a workbook."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """Columns common to every product sheet. `price` includes tax, `cost` excludes it; both whole cents."""

    at: Cell = NOWHERE
    sku: str
    price: int
    brand: str = ""
    model: str = ""
    rating: float | None = None
    cost: int | None = None
    stock: int | None = None
    family: str = ""
    link: str = ""
    note: str = ""
    active: bool = True

    @property
    def name(self) -> str:
        """Brand and model as one would say them."""
        return f"{self.brand} {self.model}".strip() or self.sku


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadUnit(Product):
    """A source in the dash. `internal_w` is RMS per channel into 4 ohm; 0 = no internal amplifier."""

    preout_pairs: int
    internal_w: float = 0.0
    opening: Opening
    digital_radio: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Converter(Product):
    """A line-output converter."""

    output_pairs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Speaker(Product):
    """A pair of front or rear speakers; `ohm` and `rms_w` of each speaker."""

    type: SpeakerType
    size_mm: float
    depth_mm: float | None = None
    ohm: float
    rms_w: float
    sensitivity_db: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Subwoofer(Product):
    """A bass product; `ohm` per coil for a driver, at the terminals for an enclosure, `None` for a powered one."""

    type: SubwooferType
    ohm: float | None = None
    coils: int = 1
    rms_w: float
    size_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    depth_mm: float | None = None
    box_litres_min: float | None = None
    box_litres_max: float | None = None
    fuse_a: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Box(Product):
    """An empty box with as many equal cut-outs as `drivers`; `litres` in all."""

    cutout_mm: float
    drivers: int
    litres: float
    width_mm: float | None = None
    height_mm: float | None = None
    depth_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Amplifier(Product):
    """An external amplifier; `channels` full-range ones (0 for a mono amplifier), `sub_*` its own sub channel."""

    channels: int = 0
    w_at_4: float | None = None
    w_at_2: float | None = None
    min_ohm: float | None = None
    bridged_w_at_4: float | None = None
    min_bridged_ohm: float | None = None
    sub_w_at_4: float | None = None
    sub_w_at_2: float | None = None
    sub_w_at_1: float | None = None
    sub_min_ohm: float | None = None
    fuse_a: float | None = None
    amplifier_class: AmplifierClass | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerKit(Product):
    """A power wiring kit. Exactly one of `mm2` and `awg` is given (0 = 1/0, -1 = 2/0, -2 = 3/0, -3 = 4/0)."""

    mm2: float | None = None
    awg: int | None = None
    conductor: Conductor
    length_m: float
    fuse_a: float
    amplifiers_fed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SignalLead(Product):
    """A signal lead."""

    channels: int
    length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeakerCable(Product):
    """Two-core speaker cable, sold by the unit. Exactly one of `mm2` and `awg` is given."""

    mm2: float | None = None
    awg: int | None = None
    conductor: Conductor
    metres_per_unit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Aerial(Product):
    """A digital-radio aerial, or the adapter to a factory one."""

    use: AerialUse


@dataclass(frozen=True, slots=True, kw_only=True)
class FittingKit(Product):
    """Fascia, harness, adapters. `vehicles` are folded names (see `fold`); `any_vehicle` where the cell says `any`."""

    fits: KitFor
    vehicles: tuple[str, ...] = ()
    any_vehicle: bool = False
    location: Location | None = None
    size_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Deadening(Product):
    """Sound deadening, sold by the sheet of `sheet_m2`."""

    sheet_m2: float


def fold(name: str) -> str:
    r"""A name as names are compared: case, surrounding and repeated spaces ignored.

    >>> fold("  Kestrel\u00a0 HATCH ") == fold("kestrel hatch")
    True
    """
    return " ".join(name.split()).casefold()


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where speakers go at front or rear of a vehicle; `None` = unknown, to be measured first."""

    size_mm: float | None = None
    depth_mm: float | None = None
    tweeter_place: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """A vehicle; `None` = unknown. Runs in m, boot in mm, `door_m2` the area worth treating."""

    at: Cell = NOWHERE
    name: str
    opening: Opening
    factory_digital_aerial: bool = False
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """What a customer wants. `must_include` and `leave_out` hold SKUs or brands as written in the sheet."""

    at: Cell = NOWHERE
    name: str
    vehicle: str
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """A budget step; `budget` in cents, `allowance` as a share (1/100 = 1 %). `briefs` empty = all."""

    at: Cell = NOWHERE
    name: str
    budget: int
    allowance: Fraction = Fraction(1, 100)
    briefs: tuple[str, ...] = ()

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
    """The shop's own settings. `tax_rate` and `labour_rate` (cents per hour, tax included) as shares and cents."""

    shop_name: str = ""
    currency: str = "EUR"
    tax_rate: Fraction | None = None
    labour_rate: int | None = None
    date: str = ""
    limits: Limits = DEFAULT_LIMITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """A sound catalogue: every product of every sheet, and what to solve.

    Attributes:
        labour_hours: Hours by work.
        warnings: Faults that did not stop the run (warnings and notices), in sheet order.
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
    warnings: tuple[Fault, ...] = ()

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

    def vehicle(self, name: str) -> Vehicle:
        """The vehicle of that name.

        Raises:
            KeyError: No vehicle has that name; a checked catalogue never names one in a brief.
        """
        for vehicle in self.vehicles:
            if fold(vehicle.name) == fold(name):
                return vehicle
        raise KeyError(name)

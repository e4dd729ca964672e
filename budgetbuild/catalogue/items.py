"""Products of a catalogue, one type for each sheet, as frozen values.

Nothing here knows a spreadsheet, a solver or a page. Money is whole minor units (cents), lengths of cable are metres,
dimensions millimetres, loads ohm, powers continuous RMS watt, currents ampere. `None` means that the sheet leaves it
blank.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell

if TYPE_CHECKING:
    from budgetbuild.catalogue.kinds import (
        AerialUse,
        AmplifierClass,
        Conductor,
        KitFor,
        Location,
        Opening,
        SpeakerType,
        SubwooferType,
    )

NOWHERE = Cell()
"""Place of what was not read from a workbook."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """Columns common to every product sheet. `price` includes tax, `cost` excludes it; both whole cents.

    Attributes:
        price_high: What the price may rise to, in cents; `None` where it is certain.
    """

    at: Cell = NOWHERE
    sku: str
    price: int
    price_high: int | None = None
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

    @property
    def rise(self) -> int:
        """By how much the price of one piece may rise, in cents; 0 where it is certain."""
        return 0 if self.price_high is None else self.price_high - self.price


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

"""Random products and vehicles, one by one; every name is invented."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from budgetbuild.catalogue.items import (
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
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.shop import Place, Vehicle

if TYPE_CHECKING:
    import random
    from collections.abc import Callable

    from tests.oracle.knobs import Knobs

P = TypeVar("P", bound=Product)
T = TypeVar("T")
NAME = "Marl Estate"
OTHER = "Fenn Coupe"
BRANDS = ("Orvane", "Tessmar", "Quellin", "Bractow")
Area = tuple[float | None, int | None]
AREAS_POWER: tuple[Area, ...] = ((10.0, None), (20.0, None), (35.0, None), (None, 8), (None, 4), (None, 0))
AREAS_CABLE: tuple[Area, ...] = ((1.5, None), (2.5, None), (4.0, None), (None, 16), (None, 12))


class Maker:
    """Makes products one by one from a seeded generator."""

    def __init__(self, rng: random.Random, knobs: Knobs) -> None:
        self.rng = rng
        self.knobs = knobs
        self.made = 0

    def common(self, low: int, high: int) -> dict[str, Any]:
        """Columns common to every product; prices in euro between the bounds, with odd cents now and then."""
        rng = self.rng
        self.made += 1
        cents = rng.choice((0, 0, 50, 90, 99, rng.randrange(100)))
        return {
            "sku": f"{rng.choice('ABKZabkz')}{rng.choice('-_.')}{self.made:02d}",
            "price": rng.randint(low, high) * 100 + cents,
            "brand": rng.choice(BRANDS[: self.knobs.brands]),
            "rating": round(rng.uniform(3, 10), rng.choice((0, 1, 1, 2))),
            "active": rng.random() > self.knobs.inactive,
        }

    def some(self, count: int, make: Callable[[], P]) -> tuple[P, ...]:
        """So many products; some get a twin of equal price and rating under another SKU."""
        products = [make() for _ in range(count)]
        for index in range(1, len(products)):
            if self.rng.random() < self.knobs.twins:
                products[index] = replace(products[index - 1], sku=products[index].sku)
        return tuple(products)

    def maybe(self, value: T, blank: float = 0.3) -> T | None:
        """The value, or blank now and then."""
        return None if self.rng.random() < blank else value

    def head_unit(self) -> HeadUnit:
        """A head unit; some without pre-outs or without an internal amplifier."""
        rng = self.rng
        return HeadUnit(
            **self.common(80, 420),
            preout_pairs=rng.choice((0, 1, 2, 3, 3)),
            internal_w=rng.choice((0.0, 14.0, 17.5, 22.0, 25.0)),
            opening=rng.choice((Opening.SINGLE, Opening.DOUBLE, Opening.FLOATING)),
            digital_radio=rng.random() < self.knobs.digital,
        )

    def converter(self) -> Converter:
        """A line-output converter."""
        return Converter(**self.common(25, 140), output_pairs=self.rng.choice((1, 2, 3)))

    def speaker(self) -> Speaker:
        """A pair of speakers, some of a size that needs an adapter."""
        rng = self.rng
        return Speaker(
            **self.common(30, 260),
            type=rng.choice(tuple(SpeakerType)),
            size_mm=rng.choice((130.0, 165.0, 165.0)) if self.knobs.sizes else 165.0,
            depth_mm=self.maybe(float(rng.choice((48, 55, 62.5, 70)))),
            ohm=float(rng.choice((2, 3, 4, 4, 6, 8) if self.knobs.odd_loads else (4, 4, 4, 2))),
            rms_w=float(rng.choice((30, 45, 50, 60, 75, 90))),
        )

    def subwoofer(self) -> Subwoofer:
        """A driver, a loaded enclosure or a powered subwoofer."""
        rng = self.rng
        kind = SubwooferType(rng.choice(self.knobs.bass_types))
        common = self.common(90, 420)
        if kind is SubwooferType.POWERED:
            return Subwoofer(
                **common,
                type=kind,
                rms_w=float(rng.choice((100, 150, 220))),
                fuse_a=self.maybe(20.0, 0.4),
                **self.outside(),
            )
        driver = kind is SubwooferType.DRIVER
        return Subwoofer(
            **common,
            type=kind,
            ohm=float(rng.choice((2, 3, 4, 6, 8) if self.knobs.odd_loads else (2, 4))),
            coils=rng.choice((1, 2, 2, 4)) if driver else 1,
            rms_w=float(rng.choice((125, 175, 250, 300, 400))),
            size_mm=float(rng.choice((250, 300))) if driver else None,
            box_litres_min=self.maybe(float(rng.choice((15, 20, 28)))) if driver else None,
            box_litres_max=self.maybe(float(rng.choice((30, 45)))) if driver else None,
            **({} if driver else self.outside()),
        )

    def outside(self) -> dict[str, Any]:
        """Outside dimensions, some unknown."""
        rng = self.rng
        blank = self.knobs.unknown
        return {
            "width_mm": self.maybe(float(rng.choice((350, 500, 640, 790))), blank),
            "height_mm": self.maybe(float(rng.choice((200, 350, 390))), blank),
            "depth_mm": self.maybe(float(rng.choice((300, 400, 490))), blank),
        }

    def box(self) -> Box:
        """An empty box for one, two or four drivers."""
        rng = self.rng
        drivers = rng.choice((1, 1, 2, 4))
        litres = round(drivers * rng.uniform(14, 40), 1)
        cutout = float(rng.choice((250, 300)))
        return Box(**self.common(40, 130), cutout_mm=cutout, drivers=drivers, litres=litres, **self.outside())

    def amplifier(self) -> Amplifier:
        """An amplifier of one of the profile's layouts; some ratings blank."""
        rng = self.rng
        channels, sub = rng.choice(self.knobs.amplifiers)
        columns: dict[str, Any] = {}
        if channels:
            watt = float(rng.choice((40, 50, 62.5, 75, 100)))
            columns |= {
                "w_at_4": watt,
                "w_at_2": self.maybe(watt * 1.5),
                "min_ohm": self.maybe(float(rng.choice((2, 4)))),
            }
            columns |= {"bridged_w_at_4": self.maybe(watt * 3), "min_bridged_ohm": self.maybe(4.0)}
        if sub:
            watt = float(rng.choice((125, 200, 300)))
            columns |= {
                "sub_w_at_4": watt,
                "sub_w_at_2": self.maybe(watt * 1.7),
                "sub_w_at_1": self.maybe(watt * 2.5, 0.6),
            }
            columns |= {"sub_min_ohm": self.maybe(float(rng.choice((1, 2))))}
        return Amplifier(
            **self.common(90, 480),
            channels=channels,
            fuse_a=self.maybe(float(rng.choice((25, 30, 40, 60))), self.knobs.unfused),
            amplifier_class=rng.choice(tuple(AmplifierClass)),
            **columns,
        )

    def power_kit(self) -> PowerKit:
        """A power kit, some too thin, too short or for several devices."""
        rng = self.rng
        mm2, awg = rng.choice(AREAS_POWER)
        return PowerKit(
            **self.common(20, 110),
            mm2=mm2,
            awg=awg,
            conductor=rng.choice(tuple(Conductor)),
            length_m=rng.choice((4.5, 5.0, 6.0)),
            fuse_a=float(rng.choice((40, 60, 80, 100, 150))),
            amplifiers_fed=rng.choice((1, 1, 2, 3)),
        )

    def lead(self) -> SignalLead:
        """A signal lead, some too short."""
        rng = self.rng
        return SignalLead(
            **self.common(6, 45), channels=rng.choice((1, 2, 2, 4, 6)), length_m=rng.choice((0.4, 1.0, 5.0, 5.5, 6.0))
        )

    def cable(self) -> SpeakerCable:
        """A speaker cable by the half metre up to the reel."""
        rng = self.rng
        mm2, awg = rng.choice(AREAS_CABLE)
        metal = rng.choice(tuple(Conductor))
        metres = rng.choice((0.5, 1.0, 5.0, 10.0, 25.0))
        common = self.common(1, 12)
        return SpeakerCable(**common, mm2=mm2, awg=awg, conductor=metal, metres_per_unit=metres)

    def aerial(self) -> Aerial:
        """An aerial or an adapter."""
        return Aerial(**self.common(12, 50), use=self.rng.choice(tuple(AerialUse)))

    def kit(self, fits: KitFor, location: Location | None = None, size_mm: float | None = None) -> FittingKit:
        """A fitting kit for this vehicle, for another, or for any."""
        named = self.rng.choice(((NAME,), (NAME, OTHER), (OTHER,), ()))
        names = tuple(fold(name) for name in named)
        common = self.common(9, 60)
        return FittingKit(
            **common, fits=fits, vehicles=names, any_vehicle=not names, location=location, size_mm=size_mm
        )

    def sheet(self) -> Deadening:
        """Sound deadening."""
        return Deadening(**self.common(10, 60), sheet_m2=self.rng.choice((0.35, 0.5, 0.8, 1.25)))

    def fitting_kits(self) -> tuple[FittingKit, ...]:
        """Kits for head units, converters and speakers of each location."""
        kits = self.some(3, lambda: self.kit(KitFor.HEAD_UNIT))
        if self.rng.random() < self.knobs.converter_kits:
            kits += self.some(2, lambda: self.kit(KitFor.CONVERTER))
        for location in (Location.FRONT, Location.REAR) if self.knobs.sizes else ():
            size = self.rng.choice((130.0, 165.0))
            kits += self.some(2, lambda where=location, mm=size: self.kit(KitFor.SPEAKER, where, mm))  # type: ignore[misc]
        return kits

    def vehicle(self) -> Vehicle:
        """The vehicle, some of it unknown."""
        rng, blank = self.rng, self.knobs.unknown
        return Vehicle(
            name=NAME,
            opening=rng.choice((Opening.SINGLE, Opening.DOUBLE, Opening.DOUBLE)),
            factory_digital_aerial=rng.random() < 0.5,
            front=self.place(),
            rear=self.place(),
            boot_width_mm=self.maybe(float(rng.choice((510, 650, 800, 1000))), blank),
            boot_height_mm=self.maybe(float(rng.choice((360, 400, 500))), blank),
            boot_depth_mm=self.maybe(float(rng.choice((410, 500, 700))), blank),
            signal_run_m=self.maybe(rng.choice((4.5, 5.5))),
            power_run_m=self.maybe(rng.choice((3.9, 5.0))),
            front_run_m=self.maybe(rng.choice((4.75, 6.0))),
            rear_run_m=self.maybe(rng.choice((2.25, 4.1))),
            bass_run_m=self.maybe(rng.choice((0.85, 2.0))),
            door_m2=self.maybe(rng.choice((1.2, 1.75, 2.5))),
        )

    def place(self) -> Place:
        """A place for speakers."""
        rng, blank = self.rng, self.knobs.unknown
        size = rng.choice((130.0, 165.0)) if self.knobs.sizes else 165.0
        tweeter = rng.choice((True, True, False))
        return Place(
            size_mm=self.maybe(size, blank), depth_mm=self.maybe(62.5, blank), tweeter_place=self.maybe(tweeter, blank)
        )

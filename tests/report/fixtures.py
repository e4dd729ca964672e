"""Builds made by hand: head unit replaced or kept, two amplifiers or none, and builds without a system."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from budgetbuild.build import (
    SUBWOOFER_DEVICE,
    Audited,
    Build,
    CableRun,
    Caution,
    Check,
    DeviceFigures,
    Difference,
    Drive,
    Driver,
    Feed,
    LocationFigures,
    Mode,
    NoBuild,
    Part,
    PricedLine,
    Relief,
    Role,
    ScorePart,
    Sister,
    Status,
    System,
    VersionAlert,
)
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
    Conductor,
    HeadUnitMode,
    KitFor,
    Location,
    OneBrand,
    Opening,
    SpeakerType,
    SubwooferType,
    Want,
)
from budgetbuild.catalogue.shop import Brief, Catalogue, Place, Settings, Tier, Vehicle
from budgetbuild.faults import Cell, Fault, Severity
from budgetbuild.report.words.voice import voice_of

HATCH = Vehicle(
    name="Tern Hatch",
    opening=Opening.DOUBLE,
    front=Place(size_mm=130, depth_mm=60, tweeter_place=True),
    power_run_m=4.5,
    signal_run_m=5.0,
)

CATALOGUE = Catalogue(
    name="harbour_prices.xlsx",
    sha256="0f" * 32,
    head_units=(
        HeadUnit(sku="HU-1", price=24900, brand="Quillon", model="Deck 3", rating=8, preout_pairs=3, internal_w=22,
                 opening=Opening.DOUBLE, digital_radio=True, cost=15000, link="https://shop.example/hu-1"),
    ),
    converters=(
        Converter(sku="CV-1", price=8900, brand="Osprey", model="Line 4", rating=7, output_pairs=2, cost=5000),
    ),
    speakers=(
        Speaker(sku="SP-F", price=19900, brand="Marlow", model="C 165", rating=8.5, type=SpeakerType.COMPONENT,
                size_mm=165, depth_mm=58, ohm=4, rms_w=70, sensitivity_db=90, cost=11000),
        Speaker(sku="SP-R", price=7900, brand="Marlow", model="X 130", rating=6, type=SpeakerType.COAXIAL,
                size_mm=130, ohm=4, rms_w=40, sensitivity_db=89),
    ),
    subwoofers=(
        Subwoofer(sku="SW-D2", price=12900, brand="Brandt", model="Low 10", rating=8, type=SubwooferType.DRIVER, ohm=2,
                  coils=2, rms_w=300, size_mm=250, box_litres_min=20, box_litres_max=35, family="Low 10"),
        Subwoofer(sku="SW-D4", price=12900, brand="Brandt", model="Low 10", rating=8, type=SubwooferType.DRIVER, ohm=4,
                  coils=2, rms_w=300, size_mm=250, family="low 10"),
        Subwoofer(sku="SW-P", price=29900, brand="Brandt", model="Seat 8", rating=6, type=SubwooferType.POWERED,
                  rms_w=150),
    ),
    boxes=(Box(sku="BX-1", price=9900, brand="Joinery", model="Box 28", cutout_mm=250, drivers=1, litres=28),),
    amplifiers=(
        Amplifier(sku="AM-4", price=27900, brand="Quillon", model="Four", rating=8, channels=4, w_at_4=75, w_at_2=110,
                  bridged_w_at_4=220, fuse_a=50, cost=17000),
        Amplifier(sku="AM-1", price=22900, brand="Quillon", model="Mono", rating=7, sub_w_at_4=200, sub_w_at_1=500,
                  fuse_a=40),
    ),
    power_kits=(
        PowerKit(sku="PK-1", price=5900, brand="Harbour", model="Run 20", awg=4, conductor=Conductor.COPPER, length_m=5,
                 fuse_a=100, amplifiers_fed=2),
        PowerKit(sku="PK-2", price=3900, brand="Harbour", model="Run 10", mm2=10, conductor=Conductor.CCA, length_m=5,
                 fuse_a=40),
    ),
    signal_leads=(
        SignalLead(sku="SL-4", price=2450, brand="Harbour", model="Pair 4", channels=4, length_m=5.5),
        SignalLead(sku="SL-2", price=1250, brand="Harbour", model="Pair 2", channels=2, length_m=5.5),
    ),
    speaker_cables=(
        SpeakerCable(sku="SC-25", price=150, brand="Harbour", model="Twin 2.5", mm2=2.5, conductor=Conductor.COPPER,
                     metres_per_unit=1),
    ),
    aerials=(Aerial(sku="AE-1", price=3900, brand="Mast", model="Screen", use=AerialUse.SCREEN_MOUNT),),
    fitting_kits=(
        FittingKit(sku="FK-H", price=4900, brand="Fascia", model="Tern double", fits=KitFor.HEAD_UNIT,
                   vehicles=("tern hatch",)),
        FittingKit(sku="FK-S", price=1500, brand="Fascia", model="Ring 165", fits=KitFor.SPEAKER, any_vehicle=True,
                   location=Location.FRONT, size_mm=165),
    ),
    deadening=(Deadening(sku="DD-1", price=1900, brand="Still", model="Sheet", rating=7, sheet_m2=0.5),),
    vehicles=(HATCH,),
    settings=Settings(shop_name="Northquay Fitting", tax_rate=Fraction(1, 4), date="2026-11-02", labour_rate=6000),
    warnings=(
        Fault(Cell("Speakers", 9, 4), "blank-cost", "=1+1", "a number", "write the cost", Severity.NOTICE),
    ),
)  # fmt: skip

REPLACE = Brief(
    name="New head unit", vehicle="Tern Hatch", head_unit=HeadUnitMode.REPLACE, amplifier=Want.REQUIRED, fitted=True
)
KEEP = Brief(name="Keep factory", vehicle="Tern Hatch", head_unit=HeadUnitMode.KEEP_FACTORY, one_brand=OneBrand.PREFER)
OWN = Brief(
    name="Keep own", vehicle="Tern Hatch", head_unit=HeadUnitMode.KEEP_OWN, own_preout_pairs=3, leave_out=("Osprey",)
)
CATALOGUE = replace(CATALOGUE, briefs=(REPLACE, KEEP, OWN))

TIER_LOW = Tier(name="Starter", budget=65000)
TIER_MID = Tier(name="Middle", budget=130000)
TIER_HIGH = Tier(name="Full", budget=260000)
CATALOGUE = replace(CATALOGUE, tiers=(TIER_LOW, TIER_MID, TIER_HIGH))

CHECKS = (
    Check("power ratio", "front", 1.0714285714285714, "0.25 to 1.5", "", ok=True, source="common practice"),
    Check("pre-out pairs", "", 3, "at least 2", "pairs", ok=True, source="common practice"),
    Check("opening", "HU-1", "double", "double", "", ok=True, source="common practice"),
)


def priced(parts: tuple[Part, ...], catalogue: Catalogue, labour: int = 0) -> tuple[PricedLine, ...]:
    """Lines of parts, and one of labour where there is some; the shop taxes at a quarter, so net = gross x 4 / 5."""
    products: dict[str, Product] = {product.sku: product for product in catalogue.products()}
    lines: list[PricedLine] = []
    running = 0
    for part in parts:
        product = products[part.sku]
        total = product.price * part.quantity
        running += total
        net = (total * 8 + 5) // 10
        cost = None if product.cost is None else product.cost * part.quantity
        lines.append(
            PricedLine(part.role, part.sku, product.name, part.quantity, product.price, total, running, net, cost)
        )
    if labour:
        lines.append(
            PricedLine(Role.LABOUR, "", "fitting: head unit", 1, labour, labour, running + labour, labour * 4 // 5)
        )
    return tuple(lines)


def front(by: Driver = Driver.AMPLIFIER, watt: float = 75.0) -> LocationFigures:
    """Front speakers on some amplifier."""
    outside = by is Driver.AMPLIFIER
    return LocationFigures(
        location=Location.FRONT, by=by, sku="SP-F", ohm=4.0, power_w=watt, rms_w=70.0, ratio=watt / 70, match=1.0,
        level_db=111.45, amplifier_sku="AM-4" if outside else "", mode=Mode.STEREO if outside else None,
        cable_sku="SC-25" if outside else "", cable_m=12.1 if outside else None,
    )  # fmt: skip


def bass(sku: str = "AM-4", mode: Mode = Mode.BRIDGED, ohm: float = 4.0, watt: float = 220.0) -> LocationFigures:
    """A driver in a box on some amplifier."""
    return LocationFigures(
        location=Location.BASS, by=Driver.AMPLIFIER, sku="SW-D2", ohm=ohm, power_w=watt, rms_w=300.0, ratio=watt / 300,
        match=0.9, wiring="coils in series" if ohm > 1 else "coils in parallel", amplifier_sku=sku, mode=mode,
        cable_sku="SC-25", cable_m=1.65,
    )  # fmt: skip


POWERED = LocationFigures(
    location=Location.BASS, by=Driver.SELF, sku="SW-P", ohm=None, power_w=None, rms_w=150.0, ratio=None, match=1.0
)


OTHER_COILS = VersionAlert(
    Role.BASS,
    "SW-D2",
    (
        Sister(
            sku="SW-D4",
            offered=True,
            price_difference=500,
            score_difference=-100,
            differences=(
                Difference("power", "bass", {"by": "amplifier", "before_w": 220.0, "after_w": 150.0}, forbids=False),
            ),
        ),
    ),
)
"""The driver's version with other coils, which a shelf may hold beside it."""


def system_of(parts: tuple[Part, ...], places: tuple[LocationFigures, ...], feeds: tuple[Feed, ...] = ()) -> System:
    """A system whose drives agree with the figures of its locations."""
    amplifiers = tuple(part.sku for part in parts if part.role is Role.AMPLIFIER for _ in range(part.quantity))
    drives = tuple(
        Drive(place.location, place.by, amplifiers.index(place.amplifier_sku) if place.amplifier_sku else None,
              place.mode, place.ohm, place.wiring)
        for place in places
    )  # fmt: skip
    cables = tuple(CableRun(place.location, place.cable_sku) for place in places if place.cable_sku)
    return System(parts, amplifiers, drives, feeds, cables)


def audited(
    parts: tuple[Part, ...],
    places: tuple[LocationFigures, ...],
    devices: tuple[DeviceFigures, ...] = (),
    feeds: tuple[Feed, ...] = (),
    labour: int = 0,
) -> Audited:
    """An audited system with plausible points and one of each common caution."""
    return Audited(
        system=system_of(parts, places, feeds),
        lines=priced(parts, CATALOGUE, labour),
        score_parts=(ScorePart("source", "", 16000, 20000), ScorePart("front", "SP-F", 21255, 25000)),
        checks=CHECKS,
        cautions=(
            Caution("measure-first", "SP-F", {"what": "depth of the front speaker place", "where": "Tern Hatch"}),
            Caution("alternator-unknown", "", {"average_a": 16.666666}),
        ),
        locations=places,
        devices=devices,
        pairs_needed=2,
        pairs_offered=3,
        treated_m2=1.0,
        coverage=0.625,
    )


def replaced() -> Build:
    """A new head unit and one amplifier for front and bass."""
    parts = (
        Part(Role.HEAD_UNIT, "HU-1"), Part(Role.SOURCE_KIT, "FK-H"), Part(Role.AERIAL, "AE-1"),
        Part(Role.FRONT, "SP-F"), Part(Role.FRONT_ADAPTER, "FK-S"), Part(Role.BASS, "SW-D2"), Part(Role.BOX, "BX-1"),
        Part(Role.AMPLIFIER, "AM-4"), Part(Role.POWER_KIT, "PK-1"), Part(Role.SIGNAL_LEAD, "SL-4"),
        Part(Role.SPEAKER_CABLE, "SC-25", 14),
    )  # fmt: skip
    devices = (DeviceFigures("AM-4", 50.0, "own fuse rating", "PK-1", 100.0, shared=False, kit_ampacity_a=136.0),)
    found = audited(parts, (front(), bass()), devices, (Feed("PK-1", (0,)),), labour=9000)
    return Build(TIER_MID, REPLACE, HATCH, Status.OPTIMAL, found.score, found, solver="HiGHS", versions=(OTHER_COILS,))


def two_amplifiers() -> Build:
    """Own head unit kept, two amplifiers on one shared kit, stopped by the time limit, above the budget."""
    parts = (
        Part(Role.FRONT, "SP-F"), Part(Role.REAR, "SP-R"), Part(Role.BASS, "SW-D2"), Part(Role.BOX, "BX-1"),
        Part(Role.AMPLIFIER, "AM-1"), Part(Role.AMPLIFIER, "AM-4"), Part(Role.POWER_KIT, "PK-1"),
        Part(Role.SIGNAL_LEAD, "SL-2", 3), Part(Role.SPEAKER_CABLE, "SC-25", 21), Part(Role.DEADENING, "DD-1", 2),
    )  # fmt: skip
    rear = LocationFigures(Location.REAR, Driver.AMPLIFIER, "SP-R", 4.0, 75.0, 40.0, 1.875, 0.0, 108.0,
                           amplifier_sku="AM-4", mode=Mode.STEREO, cable_sku="SC-25", cable_m=6.6)  # fmt: skip
    devices = (
        DeviceFigures("AM-1", 40.0, "own fuse rating", "PK-1", 100.0, shared=True, kit_ampacity_a=136.0),
        DeviceFigures("AM-4", 50.0, "own fuse rating", "PK-1", 100.0, shared=True, kit_ampacity_a=136.0),
    )
    places = (front(), rear, bass("AM-1", Mode.SUB, 1.0, 500.0))
    found = audited(parts, places, devices, (Feed("PK-1", (0, 1)),))
    return Build(TIER_HIGH, OWN, HATCH, Status.TIME_LIMIT, found.score + 1500, found, solver="HiGHS")


def kept_factory() -> Build:
    """Factory unit kept: front speakers on it, a powered subwoofer behind a converter."""
    parts = (
        Part(Role.CONVERTER, "CV-1"), Part(Role.FRONT, "SP-F"), Part(Role.BASS, "SW-P"), Part(Role.POWER_KIT, "PK-2"),
        Part(Role.SIGNAL_LEAD, "SL-2"),
    )  # fmt: skip
    devices = (DeviceFigures("SW-P", 19.8, "from rated output", "PK-2", 38.4, shared=False, kit_ampacity_a=54.0),)
    places = (front(Driver.FACTORY_UNIT, 15.0), POWERED)
    found = audited(parts, places, devices, (Feed("PK-2", (SUBWOOFER_DEVICE,)),))
    return Build(TIER_LOW, KEEP, HATCH, Status.OPTIMAL, found.score, found, solver="HiGHS")


def speakers_only() -> Build:
    """Factory unit kept and nothing but front speakers: no amplifier, no power run."""
    found = audited((Part(Role.FRONT, "SP-F"),), (front(Driver.FACTORY_UNIT, 15.0),))
    return Build(TIER_LOW, OWN, HATCH, Status.OPTIMAL, found.score, found)


def infeasible() -> Build:
    """Nothing within the cap, and what would help."""
    reliefs = (Relief("bass", "", 61200, within_cap=True), Relief("must-include", "HU-1", 88800, within_cap=False))
    return Build(TIER_LOW, REPLACE, HATCH, Status.INFEASIBLE, no_build=NoBuild(91250, (), reliefs))


VOICE = voice_of(CATALOGUE.settings)
"""How the shop of the fixtures says things."""


def stopped() -> Build:
    """The time limit came before anything was found."""
    return Build(TIER_MID, KEEP, HATCH, Status.TIME_LIMIT)


def every_build() -> tuple[Build, ...]:
    """All of them, out of order."""
    return (two_amplifiers(), stopped(), infeasible(), replaced(), speakers_only(), kept_factory())


def renamed(name: str) -> tuple[tuple[Build, ...], Catalogue]:
    """One build in which shop, tier, brief, vehicle, front speakers and notes all have that name."""
    speaker, other = CATALOGUE.speakers
    catalogue = replace(
        CATALOGUE,
        name=name,
        speakers=(replace(speaker, brand=name, model="", link=f"javascript:{name}", note=name), other),
        settings=replace(CATALOGUE.settings, shop_name=name, date=name),
        warnings=(Fault(Cell(name, 1, 1), "x", name, name, name, Severity.NOTICE),),
    )
    build = replaced()
    assert build.audited
    lines = tuple(replace(line, description=name) if line.role is Role.FRONT else line for line in build.audited.lines)
    odd = Check(name, name, name, name, "", ok=True, source=name)
    noted = Caution("measure-first", name, {"what": name, "where": name})
    found = replace(build.audited, lines=lines, checks=(odd,), cautions=(noted,))
    vehicle = replace(HATCH, name=name)
    brief = replace(REPLACE, name=name, vehicle=name, must_include=(name,), leave_out=(name,))
    made = replace(build, tier=replace(TIER_MID, name=name), brief=brief, vehicle=vehicle, audited=found)
    return (made, replace(infeasible(), vehicle=vehicle)), catalogue

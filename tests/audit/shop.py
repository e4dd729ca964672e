"""A small invented shop whose figures are easy to reckon on paper."""

from __future__ import annotations

from fractions import Fraction

from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
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
    Work,
)
from budgetbuild.catalogue.shop import Catalogue, Place, Settings, Vehicle

WAGON = Vehicle(
    name="Skerry Wagon",
    opening=Opening.DOUBLE,
    factory_digital_aerial=False,
    front=Place(size_mm=165, depth_mm=60, tweeter_place=True),
    rear=Place(size_mm=130, depth_mm=50, tweeter_place=False),
    boot_width_mm=900,
    boot_height_mm=400,
    boot_depth_mm=600,
    alternator_a=90,
    signal_run_m=5,
    power_run_m=4.5,
    front_run_m=5,
    rear_run_m=3,
    bass_run_m=1,
    door_m2=1.5,
)
NAMED = ("skerry wagon",)

SHOP = Catalogue(
    head_units=(
        HeadUnit(sku="HU-2", price=20000, brand="Quellin", model="Deck", rating=8, preout_pairs=3, internal_w=20,
                 opening=Opening.DOUBLE, digital_radio=True, cost=12000),
    ),
    converters=(Converter(sku="CV-1", price=9000, brand="Quellin", rating=7, output_pairs=2),),
    speakers=(
        Speaker(sku="SP-F", price=16000, brand="Orvane", rating=8, type=SpeakerType.COMPONENT, size_mm=165,
                depth_mm=58, ohm=4, rms_w=75, sensitivity_db=90),
        Speaker(sku="SP-S", price=7000, brand="Tessmar", rating=6, type=SpeakerType.COAXIAL, size_mm=165, depth_mm=48,
                ohm=4, rms_w=50, sensitivity_db=89),
    ),
    subwoofers=(
        Subwoofer(sku="SW-D", price=14000, brand="Orvane", rating=9, type=SubwooferType.DRIVER, ohm=2, coils=2,
                  rms_w=250, size_mm=250, box_litres_min=15, box_litres_max=30),
        Subwoofer(sku="SW-E", price=18000, brand="Orvane", rating=7, type=SubwooferType.ENCLOSURE, ohm=4, rms_w=200,
                  width_mm=450, height_mm=350, depth_mm=350),
        Subwoofer(sku="SW-P", price=22000, brand="Bractow", rating=5, type=SubwooferType.POWERED, rms_w=150,
                  width_mm=350, height_mm=200, depth_mm=300),
    ),
    boxes=(
        Box(sku="BX-1", price=6000, cutout_mm=250, drivers=1, litres=25, width_mm=400, height_mm=350, depth_mm=300),
        Box(sku="BX-2", price=9000, cutout_mm=250, drivers=2, litres=50, width_mm=800, height_mm=350, depth_mm=350),
    ),
    amplifiers=(
        Amplifier(sku="AM-5", price=35000, brand="Orvane", rating=7.5, channels=4, w_at_4=75, w_at_2=110, min_ohm=2,
                  sub_w_at_4=200, sub_w_at_2=300, sub_min_ohm=2, fuse_a=60, amplifier_class=AmplifierClass.AB),
        Amplifier(sku="AM-4", price=21000, brand="Tessmar", rating=6, channels=4, w_at_4=50, w_at_2=80, min_ohm=2,
                  bridged_w_at_4=160, amplifier_class=AmplifierClass.D),
        Amplifier(sku="AM-1", price=19000, brand="Orvane", rating=8, sub_w_at_4=150, sub_w_at_2=250, sub_min_ohm=2,
                  fuse_a=30, amplifier_class=AmplifierClass.D),
    ),
    power_kits=(
        PowerKit(sku="PK-A", price=5000, awg=4, conductor=Conductor.COPPER, length_m=5, fuse_a=100),
        PowerKit(sku="PK-B", price=9000, awg=0, conductor=Conductor.COPPER, length_m=6, fuse_a=150, amplifiers_fed=2),
        PowerKit(sku="PK-C", price=3000, mm2=10, conductor=Conductor.CCA, length_m=5, fuse_a=40),
    ),
    signal_leads=(
        SignalLead(sku="SL-2", price=900, channels=2, length_m=5.5),
        SignalLead(sku="SL-6", price=2200, channels=6, length_m=5.5),
        SignalLead(sku="SL-K", price=700, channels=4, length_m=0.5),
    ),
    speaker_cables=(
        SpeakerCable(sku="SC-1", price=120, mm2=1.5, conductor=Conductor.COPPER, metres_per_unit=1),
        SpeakerCable(sku="SC-2", price=1500, mm2=2.5, conductor=Conductor.COPPER, metres_per_unit=10),
    ),
    aerials=(
        Aerial(sku="AE-S", price=2500, use=AerialUse.SCREEN_MOUNT),
        Aerial(sku="AE-F", price=1500, use=AerialUse.FACTORY_ADAPTER),
    ),
    fitting_kits=(
        FittingKit(sku="FK-H", price=4500, fits=KitFor.HEAD_UNIT, vehicles=NAMED),
        FittingKit(sku="FK-C", price=2000, fits=KitFor.CONVERTER, vehicles=NAMED),
        FittingKit(sku="FK-A", price=1100, fits=KitFor.SPEAKER, any_vehicle=True, location=Location.REAR, size_mm=165),
    ),
    deadening=(Deadening(sku="DD-1", price=1300, rating=6, sheet_m2=0.35),),
    labour_hours={
        Work.HEAD_UNIT: Fraction(3, 2),
        Work.CONVERTER: Fraction(1),
        Work.FRONT: Fraction(3, 2),
        Work.REAR: Fraction(1),
        Work.BASS: Fraction(3, 4),
        Work.AMPLIFIER: Fraction(5, 4),
        Work.DEADENING_PER_M2: Fraction(1, 2),
    },
    vehicles=(WAGON,),
    settings=Settings(tax_rate=Fraction(1, 4), labour_rate=5500),
)  # fmt: skip

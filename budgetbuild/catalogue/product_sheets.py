"""Declarations of the twelve product sheets."""

from __future__ import annotations

from dataclasses import replace

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
from budgetbuild.catalogue.schema import Column, Kind, Sheet, SheetKind
from budgetbuild.catalogue.units import OUT_OF_TEN

OPENING_SYNONYMS = (
    ("single DIN", Opening.SINGLE), ("1 DIN", Opening.SINGLE),
    ("double DIN", Opening.DOUBLE), ("2 DIN", Opening.DOUBLE),
)
"""The trade's other words for the two sizes of opening."""
RATING_HELP = "The shop's own judgement, 0 (poor) to 10 (best)."
LOUDNESS_NOTE = "continuous RMS, never maximum or peak"
EXAMPLE_VEHICLE = "Example hatchback"
Examples = dict[str, str | float]
"""What stands in the example row of a sheet, by field."""


def _common(own: tuple[Column, ...], *, rated: bool) -> tuple[Column, ...]:
    """Columns of a product sheet: the identifying ones, its own, then the shop's book-keeping."""
    rating = Column(
        header="Rating", field="rating", kind=Kind.NUMBER, unit=OUT_OF_TEN, low=0, high=10, required=rated,
        aliases=("Rating out of 10", "Rating 0 to 10", "Rating 0-10", "Rating /10", "Our rating", "Shop rating"),
        help=f"{RATING_HELP} {'Blank where Points reckons it.' if rated else 'Earns no points on this sheet.'}",
    )
    return (
        Column(header="SKU", field="sku", kind=Kind.SKU, required=True,
               aliases=("SKU code", "SKU no", "SKU number", "Article number", "Article no", "Item number", "Item no"),
               help="The shop's own article number, unique in the whole workbook; text, so leading zeros stay."),
        Column(header="Brand", field="brand", aliases=("Make", "Maker", "Manufacturer"), example="Example",
               help="Maker's brand; briefs may ask for one brand or leave one out."),
        Column(header="Model", field="model", aliases=("Model name",), help="Model name as printed on the box."),
        Column(header="Price", field="price", kind=Kind.MONEY, required=True, positive=True,
               aliases=("Price incl tax", "Price including tax", "Price inc tax", "Price incl VAT", "Price inc VAT",
                        "Selling price"),
               help="Selling price including tax."),
        Column(header="Price high", field="price_high", kind=Kind.MONEY, positive=True, blank="the price is certain",
               aliases=("Highest price", "High price", "Price up to", "Price at most", "Price may rise to"),
               help="What the price may rise to, including tax; a build can be made safe against such rises."),
        rating,
        *own,
        Column(header="Cost", field="cost", kind=Kind.MONEY, low=0, rounded=True,
               aliases=("Cost price", "Cost excl tax", "Cost ex tax", "Cost excluding tax"),
               help="The shop's own cost, excluding tax; rounded to a cent."),
        Column(header="Stock", field="stock", kind=Kind.WHOLE, unit="pcs", low=0, blank="not tracked", example=5,
               aliases=("In stock", "Stock quantity", "Stock qty"), help="Pieces in stock."),
        Column(header="Family", field="family",
               help="Same word on every version of one product, such as its 2 ohm and 4 ohm versions."),
        Column(header="Link", field="link", aliases=("URL", "Web link"), help="Web address of the product."),
        Column(header="Note", field="note", aliases=("Notes", "Remark", "Remarks", "Comment"),
               example="An example: type over this row, or delete it.",
               help="A sentence or two of the shop's own on the product; printed with it in the guide."),
        Column(header="Active", field="active", kind=Kind.YES_NO, blank="yes", example="yes",
               help="no = never offered."),
    )


def _products(  # noqa: PLR0913 - what a sheet's declaration holds
    name: str, field: str, text: str, own: tuple[Column, ...], *, example: Examples, rated: bool = True,
    aliases: tuple[str, ...] = (),
) -> Sheet:
    """One product sheet, with the example row that a new workbook has."""
    columns = tuple(
        replace(column, example=example.get(column.field, column.example)) for column in _common(own, rated=rated)
    )
    return Sheet(name=name, field=field, kind=SheetKind.PRODUCT, help=text, columns=columns, aliases=aliases)


def _size(header: str, field: str, text: str, *, required: bool = False) -> Column:
    """A dimension in millimetres."""
    return Column(header=header, field=field, kind=Kind.NUMBER, unit="mm", positive=True, high=5000,
                  required=required, help=text)


def _amount(header: str, field: str, unit: str, high: float, text: str, *, required: bool = False) -> Column:
    """A physical quantity greater than 0."""
    return Column(header=header, field=field, kind=Kind.NUMBER, unit=unit, positive=True, high=high, required=required,
                  aliases=_ALIASES.get(header, ()), help=text)


_ALIASES = {
    "Ohm": ("Ohms", "Impedance ohm", "Impedance"),
    "RMS W": ("W RMS", "RMS", "RMS power", "RMS power W", "Power RMS W", "RMS watts", "Power handling RMS W"),
    "W at 4 ohm": ("RMS W at 4 ohm", "W RMS at 4 ohm", "W per channel at 4 ohm"),
    "W at 2 ohm": ("RMS W at 2 ohm", "W RMS at 2 ohm", "W per channel at 2 ohm"),
    "Min ohm": ("Minimum ohm", "Least ohm", "Min load ohm"),
    "Bridged W at 4 ohm": ("W bridged at 4 ohm", "Bridged RMS W at 4 ohm", "W at 4 ohm bridged"),
    "Min bridged ohm": ("Minimum bridged ohm", "Min ohm bridged", "Bridged min ohm"),
    "Sub min ohm": ("Sub minimum ohm", "Min sub ohm", "Min ohm sub"),
    "Fuse A": ("Fuse", "Fuses A", "Fuse rating A"),
    "mm2": ("Area mm2", "Cable mm2", "Sq mm"),
    "Sheet m2": ("m2 per sheet", "Sheet area m2", "Area m2"),
    "Litres": ("Liters", "Volume litres", "Net litres"),
    "Box litres min": ("Box liters min", "Min box litres", "Box min litres"),
    "Box litres max": ("Box liters max", "Max box litres", "Box max litres"),
}
"""Other names under which these columns stand in shops' lists."""


def _outside() -> tuple[Column, ...]:
    """Outside dimensions of what stands in the boot."""
    return (
        _size("Width mm", "width_mm", "Outside width; blank = measure first."),
        _size("Height mm", "height_mm", "Outside height; blank = measure first."),
        _size("Depth mm", "depth_mm", "Outside depth; blank = measure first."),
    )


def _gauge() -> tuple[Column, ...]:
    """Area of a cable in either of the two ways, and its metal."""
    return (
        _amount("mm2", "mm2", "mm2", 400, "Copper area of the conductor; give this or AWG."),
        Column(header="AWG", field="awg", kind=Kind.AWG, low=-3, high=40,
               aliases=("Gauge", "Gauge AWG", "Wire gauge"),
               help="Wire gauge, such as 4 or 1/0; give this or mm2. Format the column as text."),
        Column(header="Conductor", field="conductor", kind=Kind.CHOICE, choices=tuple(Conductor), required=True,
               synonyms=(("OFC", Conductor.COPPER), ("oxygen-free copper", Conductor.COPPER), ("Cu", Conductor.COPPER),
                         ("pure copper", Conductor.COPPER), ("full copper", Conductor.COPPER),
                         ("copper-clad", Conductor.CCA),
                         ("copper-clad aluminium", Conductor.CCA), ("copper-clad aluminum", Conductor.CCA)),
               help="Metal of the cable: copper, or CCA for copper-clad aluminium."),
    )


HEAD_UNITS = _products("Head units", "head_units", "Sources that go in the dash.", (
    Column(header="Pre-out pairs", field="preout_pairs", kind=Kind.WHOLE, unit="pairs", low=0, high=12, required=True,
           help="Stereo pairs of low-level outputs."),
    Column(header="Internal W", field="internal_w", kind=Kind.NUMBER, unit="W", low=0, high=200,
           blank="0, no internal amplifier", help=f"Per channel into 4 ohm, four channels, {LOUDNESS_NOTE}."),
    Column(header="Opening", field="opening", kind=Kind.CHOICE, required=True,
           choices=(Opening.SINGLE, Opening.DOUBLE, Opening.FLOATING), synonyms=OPENING_SYNONYMS,
           help="Chassis: single, double, or floating (a large screen on a single chassis)."),
    Column(header="Digital radio", field="digital_radio", kind=Kind.YES_NO, blank="no",
           help="Whether it receives digital radio and so needs an aerial."),
), example={"sku": "EXAMPLE-01", "model": "head unit", "price": 199, "rating": 7, "cost": 96.5, "preout_pairs": 3,
            "internal_w": 20, "opening": "double", "digital_radio": "yes"})

CONVERTERS = _products("Converters", "converters", "Line-output converters for a kept factory head unit.", (
    Column(header="Output pairs", field="output_pairs", kind=Kind.WHOLE, unit="pairs", low=1, high=12, required=True,
           help="Stereo pairs of low-level outputs."),
), aliases=("Line-output converters",),
    example={"sku": "EXAMPLE-02", "model": "converter", "price": 49, "rating": 6, "cost": 24, "output_pairs": 2})

SPEAKERS = _products("Speakers", "speakers", "Front and rear speakers, sold per pair.", (
    Column(header="Type", field="type", kind=Kind.CHOICE, choices=tuple(SpeakerType), required=True,
           synonyms=(("component set", SpeakerType.COMPONENT), ("components", SpeakerType.COMPONENT),
                     ("coax", SpeakerType.COAXIAL), ("coaxial pair", SpeakerType.COAXIAL)),
           help="component (separate tweeter and crossover) or coaxial (tweeter in the woofer)."),
    _size("Size mm", "size_mm", "Nominal size of the woofer.", required=True),
    _size("Depth mm", "depth_mm", "Mounting depth; blank = measure first."),
    _amount("Ohm", "ohm", "ohm", 32, "Nominal impedance of one speaker.", required=True),
    _amount("RMS W", "rms_w", "W", 5000, f"Power handling of each speaker, {LOUDNESS_NOTE}.", required=True),
    Column(header="Sensitivity dB", field="sensitivity_db", kind=Kind.NUMBER, unit="dB", low=60, high=120,
           help="Level of one speaker at 1 W and 1 m."),
), example={"sku": "EXAMPLE-03", "model": "coaxial speakers", "price": 89, "rating": 6, "cost": 43, "type": "coaxial",
            "size_mm": 165, "depth_mm": 60, "ohm": 4, "rms_w": 60, "sensitivity_db": 90})

SUBWOOFERS = _products("Subwoofers", "subwoofers", "Loaded enclosures, bare drivers and powered subwoofers.", (
    Column(header="Type", field="type", kind=Kind.CHOICE, choices=tuple(SubwooferType), required=True,
           synonyms=(("loaded enclosure", SubwooferType.ENCLOSURE), ("subwoofer driver", SubwooferType.DRIVER),
                     ("bare driver", SubwooferType.DRIVER), ("powered subwoofer", SubwooferType.POWERED)),
           help="enclosure (driver in a box, passive), driver (bare) or powered (own amplifier)."),
    _amount("Ohm", "ohm", "ohm", 32, "Per coil for a driver, at the terminals for an enclosure; blank if powered."),
    Column(header="Coils", field="coils", kind=Kind.WHOLE, low=1, high=4, blank="1", help="Voice coils of a driver."),
    _amount("RMS W", "rms_w", "W", 10000, f"Power handling, {LOUDNESS_NOTE}; output if powered.", required=True),
    _size("Size mm", "size_mm", "Nominal size; a driver needs it."),
    *_outside(),
    _amount("Box litres min", "box_litres_min", "l", 500, "Least box volume for one driver."),
    _amount("Box litres max", "box_litres_max", "l", 500, "Greatest box volume for one driver."),
    _amount("Fuse A", "fuse_a", "A", 500, "Own fuse of a powered subwoofer."),
), aliases=("Subs",),
    example={"sku": "EXAMPLE-04", "model": "loaded enclosure", "price": 179, "rating": 6.5, "cost": 87,
             "type": "enclosure", "ohm": 4, "rms_w": 200, "size_mm": 250, "width_mm": 430, "height_mm": 350,
             "depth_mm": 330})

BOXES = _products("Boxes", "boxes", "Empty boxes for subwoofer drivers.", (
    _size("Cut-out mm", "cutout_mm", "Nominal driver size that the cut-outs take.", required=True),
    Column(header="Drivers", field="drivers", kind=Kind.WHOLE, low=1, high=4, required=True, help="Cut-outs."),
    _amount("Litres", "litres", "l", 1000, "Net volume of the whole box.", required=True),
    *_outside(),
), rated=False, aliases=("Empty boxes", "Subwoofer boxes"),
    example={"sku": "EXAMPLE-05", "model": "empty box", "price": 49, "cost": 24, "cutout_mm": 250, "drivers": 1,
             "litres": 30, "width_mm": 430, "height_mm": 350, "depth_mm": 330})

AMPLIFIERS = _products("Amplifiers", "amplifiers", "External amplifiers, full-range and for subwoofers.", (
    Column(header="Channels", field="channels", kind=Kind.WHOLE, unit="channels", low=0, high=12,
           blank="0, a mono amplifier",
           help="Full-range channels: 2, 4, 6; 0 for a mono amplifier; 4 for a five-channel one."),
    _amount("W at 4 ohm", "w_at_4", "W", 5000, f"Per full-range channel into 4 ohm, {LOUDNESS_NOTE}."),
    _amount("W at 2 ohm", "w_at_2", "W", 5000, f"Per full-range channel into 2 ohm, {LOUDNESS_NOTE}."),
    _amount("Min ohm", "min_ohm", "ohm", 16, "Lowest load of a full-range channel."),
    _amount("Bridged W at 4 ohm", "bridged_w_at_4", "W", 10000, f"Two channels bridged into 4 ohm, {LOUDNESS_NOTE}."),
    _amount("Min bridged ohm", "min_bridged_ohm", "ohm", 16, "Lowest load of two bridged channels."),
    _amount("Sub W at 4 ohm", "sub_w_at_4", "W", 10000, f"Own sub channel into 4 ohm, {LOUDNESS_NOTE}."),
    _amount("Sub W at 2 ohm", "sub_w_at_2", "W", 10000, f"Own sub channel into 2 ohm, {LOUDNESS_NOTE}."),
    _amount("Sub W at 1 ohm", "sub_w_at_1", "W", 20000, f"Own sub channel into 1 ohm, {LOUDNESS_NOTE}."),
    _amount("Sub min ohm", "sub_min_ohm", "ohm", 16, "Lowest load of the own sub channel."),
    _amount("Fuse A", "fuse_a", "A", 1000, "Sum of its own fuses; where blank, Class is needed."),
    Column(header="Class", field="amplifier_class", kind=Kind.CHOICE, choices=tuple(AmplifierClass),
           synonyms=(("A/B", AmplifierClass.AB), ("Class AB", AmplifierClass.AB), ("Class A/B", AmplifierClass.AB),
                     ("Class D", AmplifierClass.D)),
           help="AB or D, for the current it draws where it states no fuse."),
), aliases=("Amps",),
    example={"sku": "EXAMPLE-06", "model": "four-channel amplifier", "price": 199, "rating": 6.5, "cost": 97,
             "channels": 4, "w_at_4": 60, "w_at_2": 90, "min_ohm": 2, "bridged_w_at_4": 180, "min_bridged_ohm": 4,
             "fuse_a": 40, "amplifier_class": "D"})

POWER_KITS = _products("Power kits", "power_kits", "Power wiring kits: power and earth cable, fuse holder, fuse.", (
    *_gauge(),
    _amount("Length m", "length_m", "m", 50, "Length of the power cable.", required=True),
    _amount("Fuse A", "fuse_a", "A", 1000, "Main fuse of the kit.", required=True),
    Column(header="Amplifiers fed", field="amplifiers_fed", kind=Kind.WHOLE, low=1, high=8, blank="1",
           help="How many amplifiers it feeds; more than 1 = distribution included."),
), rated=False, aliases=("Power wiring kits", "Wiring kits"),
    example={"sku": "EXAMPLE-07", "model": "power kit", "price": 59, "cost": 29, "mm2": 20, "conductor": "copper",
             "length_m": 5, "fuse_a": 60, "amplifiers_fed": 1})

SIGNAL_LEADS = _products("Signal leads", "signal_leads", "Signal leads (RCA).", (
    Column(header="Channels", field="channels", kind=Kind.WHOLE, unit="channels", low=1, high=12, required=True,
           help="Channels of one lead: 2, 4 or 6."),
    _amount("Length m", "length_m", "m", 50, "Length of the lead.", required=True),
), rated=False, aliases=("RCA leads",),
    example={"sku": "EXAMPLE-08", "model": "signal lead", "price": 25, "cost": 12, "channels": 4, "length_m": 5.5})

SPEAKER_CABLE = _products("Speaker cable", "speaker_cables", "Two-core speaker cable.", (
    *_gauge(),
    Column(header="Metres per unit", field="metres_per_unit", kind=Kind.NUMBER, unit="m", low=0.01, high=1000,
           required=True, aliases=("Meters per unit", "m per unit"), help="Metres in one selling unit."),
), rated=False,
    example={"sku": "EXAMPLE-09", "model": "speaker cable", "price": 15, "cost": 7.5, "mm2": 2.5,
             "conductor": "copper", "metres_per_unit": 10})

AERIALS = _products("Aerials", "aerials", "Digital-radio aerials and adapters.", (
    Column(header="Use", field="use", kind=Kind.CHOICE, choices=tuple(AerialUse), required=True,
           synonyms=(("screen-mount aerial", AerialUse.SCREEN_MOUNT), ("adapter", AerialUse.FACTORY_ADAPTER)),
           help="screen-mount (an aerial) or factory adapter (to an aerial already in the vehicle)."),
), rated=False, aliases=("Antennas",),
    example={"sku": "EXAMPLE-10", "model": "screen-mount aerial", "price": 29, "cost": 14, "use": "screen-mount"})

FITTING_KITS = _products("Fitting kits", "fitting_kits", "Fascias, harnesses and adapters by vehicle.", (
    Column(header="For", field="fits", kind=Kind.CHOICE, choices=tuple(KitFor), required=True,
           synonyms=(("speakers", KitFor.SPEAKER), ("head units", KitFor.HEAD_UNIT), ("converters", KitFor.CONVERTER)),
           help="What it fits: head unit, converter or speaker."),
    Column(header="Vehicles", field="vehicles", kind=Kind.NAMES, required=True, aliases=("Vehicle",),
           names_in="vehicles",
           stand_ins=(("all", "any"), ("all vehicles", "any"), ("any vehicle", "any"), ("universal", "any")),
           help="Names from the Vehicles sheet, separated by ;, or any."),
    Column(header="Location", field="location", kind=Kind.CHOICE, choices=(Location.FRONT, Location.REAR),
           help="For a speaker adapter: front or rear."),
    _size("Size mm", "size_mm", "For a speaker adapter: size of the speaker it takes."),
), rated=False,
    example={"sku": "EXAMPLE-11", "model": "fascia and harness", "price": 39, "cost": 19, "fits": "head unit",
             "vehicles": EXAMPLE_VEHICLE})

DEADENING = _products("Deadening", "deadening", "Sound deadening, sold by the sheet.", (
    _amount("Sheet m2", "sheet_m2", "m2", 20, "Area of one selling unit.", required=True),
), aliases=("Sound deadening",),
    example={"sku": "EXAMPLE-12", "model": "sound deadening", "price": 18, "rating": 6, "cost": 9, "sheet_m2": 0.4})

PRODUCT_SHEETS = (
    HEAD_UNITS, CONVERTERS, SPEAKERS, SUBWOOFERS, BOXES, AMPLIFIERS, POWER_KITS, SIGNAL_LEADS, SPEAKER_CABLE, AERIALS,
    FITTING_KITS, DEADENING,
)

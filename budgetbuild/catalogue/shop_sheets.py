"""Declarations of the sheets that say what to solve: labour, vehicles, briefs, tiers, weights, settings."""

from __future__ import annotations

from enum import StrEnum

from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Opening, TextPlace, Want, Work
from budgetbuild.catalogue.product_sheets import EXAMPLE_VEHICLE, OPENING_SYNONYMS
from budgetbuild.catalogue.schema import Column, Kind, Sheet, SheetKind
from budgetbuild.catalogue.setting_rows import SETTINGS
from budgetbuild.catalogue.shop import Weights


class Part(StrEnum):
    """The seven parts of the score; each is a field of `Weights`."""

    SOURCE = "source"
    FRONT = "front"
    REAR = "rear"
    BASS = "bass"
    AMPLIFICATION = "amplification"
    MATCH = "match"
    TREATMENT = "treatment"


EXAMPLE_BRIEF = "Example brief"
EXAMPLE_TIER = "Example tier"


def _mm(header: str, field: str, text: str, example: float) -> Column:
    """A dimension of the vehicle; blank = measure first."""
    return Column(header=header, field=field, kind=Kind.NUMBER, unit="mm", positive=True, high=5000,
                  blank="unknown, measure first", example=example, help=text)


def _run(header: str, field: str, text: str, example: float) -> Column:
    """A cable run of the vehicle; blank = the setting of the same name."""
    return Column(header=header, field=field, kind=Kind.NUMBER, unit="m", positive=True, high=30,
                  blank="the run in Settings", example=example, help=text)


def _place(where: str) -> tuple[Column, ...]:
    """Speaker places at one location."""
    name = where.capitalize()
    return (
        _mm(f"{name} mm", f"{where}_mm", f"Nominal speaker size at the {where}.", 165),
        _mm(f"{name} depth mm", f"{where}_depth_mm", f"Room behind the {where} speaker.", 65),
        Column(header=f"{name} tweeter place", field=f"{where}_tweeter_place", kind=Kind.YES_NO, example="yes",
               blank="unknown, measure first", help=f"Whether a separate tweeter has a place at the {where}."),
    )


def _want(header: str, field: str, text: str, example: Want = Want.OPTIONAL) -> Column:
    """How a brief wants a part: blank = none, but for the amplifier, without which little can be built."""
    assumed = Want.OPTIONAL if field == "amplifier" else Want.NONE
    return Column(header=header, field=field, kind=Kind.CHOICE, choices=tuple(Want), blank=assumed, assumed=assumed,
                  example=example, help=text)


_WORK_NAMES: tuple[tuple[str, Work], ...] = (
    *((str(work), work) for work in Work),
    ("front speakers", Work.FRONT), ("rear speakers", Work.REAR), ("front speaker", Work.FRONT),
    ("rear speaker", Work.REAR), ("subwoofer", Work.BASS), ("amp", Work.AMPLIFIER),
    ("line-output converter", Work.CONVERTER), ("deadening m2", Work.DEADENING_PER_M2),
    ("deadening per square metre", Work.DEADENING_PER_M2), ("sound deadening per m2", Work.DEADENING_PER_M2),
)
_WORKS = tuple(
    (wording.format(name), work)
    for name, work in _WORK_NAMES
    for wording in ("{}", "{} fitting", "fitting {}", "fit {}", "fitting of {}", "{} installation")
)
"""Other ways to name a fitting work."""

LABOUR = Sheet(
    name="Labour", field="labour_hours", kind=SheetKind.TABLE, aliases=("Labor", "Labour hours"),
    help="Hours of each fitting work; the rate stands in Settings.", listed=tuple((work, None) for work in Work),
    columns=(
        Column(header="Work", field="work", kind=Kind.CHOICE, choices=tuple(Work), required=True, synonyms=_WORKS,
               help="Which work; the list is fixed."),
        Column(header="Hours", field="hours", kind=Kind.NUMBER, unit="h", low=0, high=100, required=True, example=1,
               help="Hours for one (for deadening: for one m2)."),
    ),
)

VEHICLES = Sheet(
    name="Vehicles", field="vehicles", kind=SheetKind.LIST, required=True,
    help="Vehicles that the shop fits. A blank dimension is unknown: the build says measure first.",
    columns=(
        Column(header="Vehicle", field="name", required=True, aliases=("Vehicle name", "Name"),
               example=EXAMPLE_VEHICLE, help="Name of the vehicle, unique in this sheet."),
        Column(header="Opening", field="opening", kind=Kind.CHOICE, blank="needed where a brief replaces the head unit",
               choices=(Opening.SINGLE, Opening.DOUBLE, Opening.NONE), synonyms=OPENING_SYNONYMS, example="double",
               help="Opening in the dash; none = the head unit cannot be replaced."),
        Column(header="Factory digital aerial", field="factory_digital_aerial", kind=Kind.YES_NO, example="no",
               blank="unknown: a screen-mount aerial is taken, and cautioned",
               help="Whether a digital-radio aerial is in the vehicle from the factory."),
        *_place("front"),
        *_place("rear"),
        _mm("Boot width mm", "boot_width_mm", "Clear width of the boot.", 1000),
        _mm("Boot height mm", "boot_height_mm", "Clear height of the boot.", 450),
        _mm("Boot depth mm", "boot_depth_mm", "Clear depth of the boot.", 700),
        Column(header="Alternator A", field="alternator_a", kind=Kind.NUMBER, unit="A", positive=True, high=1000,
               example=120, help="Rated current of the alternator."),
        _run("Signal run m", "signal_run_m", "Signal lead, dash to amplifier.", 5),
        _run("Power run m", "power_run_m", "Power cable, battery to amplifier.", 4.8),
        _run("Front run m", "front_run_m", "Speaker cable, amplifier to one front speaker.", 5.5),
        _run("Rear run m", "rear_run_m", "Speaker cable, amplifier to one rear speaker.", 3),
        _run("Bass run m", "bass_run_m", "Speaker cable, amplifier to the bass.", 1.5),
        Column(header="Door m2", field="door_m2", kind=Kind.NUMBER, unit="m2", positive=True, high=50,
               blank="the area in Settings", example=1.6, help="Area worth treating with sound deadening."),
        Column(header="Weight", field="weight", kind=Kind.NUMBER, low=0.001, high=1_000_000, blank="1",
               help="How common it is beside the others, to three decimals: counts where one system is for several."),
    ),
)

BRIEFS = Sheet(
    name="Briefs", field="briefs", kind=SheetKind.LIST, required=True, help="What a customer wants.",
    columns=(
        Column(header="Brief", field="name", required=True, aliases=("Brief name", "Name"),
               example=EXAMPLE_BRIEF, help="Name of the brief, unique in this sheet."),
        Column(header="Vehicle", field="vehicle", kind=Kind.NAMES, required=True, names_in="vehicles",
               stand_ins=(("all vehicles", "all"), ("any", "all"), ("any vehicle", "all")), aliases=("Vehicles",),
               example=EXAMPLE_VEHICLE,
               help="A name from the Vehicles sheet. Several, separated by ;, or all: one system for as many of them "
                    "as Share % says."),
        Column(header="Share %", field="share", kind=Kind.PERCENT, positive=True, high=100, percent_from=2,
               aliases=("Share percent",), blank="100, every vehicle named",
               help="Of several vehicles, how much of their weights the system must fit at least."),
        Column(header="Head unit", field="head_unit", kind=Kind.CHOICE, choices=tuple(HeadUnitMode), required=True,
               example="replace", help="Replace it, keep the factory one, or keep the customer's own."),
        Column(header="Own pre-out pairs", field="own_preout_pairs", kind=Kind.WHOLE, unit="pairs", low=0, high=12,
               help="For keep own: stereo pairs of low-level outputs that the customer's unit has."),
        Column(header="Own internal W", field="own_internal_w", kind=Kind.NUMBER, unit="W", low=0, high=200,
               blank="0, no internal amplifier",
               help="For keep own: RMS per channel into 4 ohm of the customer's unit."),
        _want("Front", "front", "Front speakers: required, optional or none.", Want.REQUIRED),
        _want("Rear", "rear", "Rear speakers: required, optional or none."),
        _want("Bass", "bass", "Bass: required, optional or none."),
        _want("Amplifier", "amplifier",
              "required = every passive location on an external amplifier; none = no external amplifier at all."),
        _want("Deadening", "deadening", "Sound deadening: required, optional or none."),
        Column(header="Fitted", field="fitted", kind=Kind.YES_NO, blank="no", example="no",
               help="yes = labour is in the price."),
        Column(header="One brand", field="one_brand", kind=Kind.CHOICE, choices=tuple(OneBrand), blank="no",
               example="no", help="Whether front, rear, bass and amplifier share a brand: no, prefer or must."),
        Column(header="Must include", field="must_include", kind=Kind.NAMES,
               help="SKUs or brands, separated by ;, that the build must contain."),
        Column(header="Leave out", field="leave_out", kind=Kind.NAMES,
               help="SKUs or brands, separated by ;, that the build must not contain."),
    ),
)

TIERS = Sheet(
    name="Tiers", field="tiers", kind=SheetKind.LIST, required=True, help="Budget steps.",
    columns=(
        Column(header="Tier", field="name", required=True, aliases=("Tier name", "Name"),
               example=EXAMPLE_TIER, help="Name of the tier, unique in this sheet."),
        Column(header="Budget", field="budget", kind=Kind.MONEY, positive=True, required=True, example=1200,
               help="Budget including tax."),
        Column(header="Allowance %", field="allowance", kind=Kind.PERCENT, low=0, high=100, blank="1",
               percent_from=0.25, aliases=("Allowance percent",), example=1,
               help="How much the build may go over the budget, in percent: 1 or 1 %; 0.01 needs its sign."),
        Column(header="Briefs", field="briefs", kind=Kind.NAMES, blank="all", names_in="briefs", example=EXAMPLE_BRIEF,
               stand_ins=(("all", ""), ("all briefs", ""), ("any", "")),
               help="Names from the Briefs sheet, separated by ;."),
        Column(header="Step weight", field="step_weight", kind=Kind.NUMBER, low=0.001, high=100, blank="1",
               help="How much the tier's score counts in an upgrade path beside those of the other tiers, to three "
                    "decimals."),
    ),
)

WEIGHTS = Sheet(
    name="Weights", field="weights", kind=SheetKind.TABLE,
    help="Points of the parts of the score; a part that is not listed keeps its default.",
    listed=tuple((part, getattr(Weights(), part)) for part in Part),
    columns=(
        Column(header="Part", field="part", kind=Kind.CHOICE, choices=tuple(Part), required=True,
               synonyms=(("amplifier", Part.AMPLIFICATION), ("deadening", Part.TREATMENT), ("head unit", Part.SOURCE)),
               help="Which part of the score; the list is fixed."),
        Column(header="Points", field="points", kind=Kind.NUMBER, unit="points", low=0, high=1000,
               required=True, help="Most points that the part can earn."),
    ),
)

POINTS = Sheet(
    name="Points", field="points", kind=SheetKind.TABLE, aliases=("Rating points", "Points for ratings"),
    help="What a product's specifications earn: reckons the rating where Rating is blank, and leaves typed ones alone.",
    columns=(
        Column(header="Sheet", field="sheet", required=True, aliases=("Product sheet",), example="Speakers",
               help="Which product sheet."),
        Column(header="Column", field="column", required=True, aliases=("Criterion",), example="Sensitivity dB",
               help="Which of its columns: Brand or one of the sheet's own, also one that only the shop has. Never a "
                    "price, which the budget already weighs."),
        Column(header="Worst", field="worst", aliases=("Worst value",), blank="for words, yes or no", example=86,
               help="Of a number, the value that earns nothing, as is all beyond it."),
        Column(header="Best", field="best", aliases=("Best value",), blank="for words, yes or no", example=93,
               help="The value that earns all points, as is all beyond it; straight in between. Below Worst where less "
                    "is better."),
        Column(header="Value", field="value", aliases=("Word", "Words"), blank="for a number with Worst and Best",
               help="The word, yes or no that earns the points, a row for each; what has no row earns nothing."),
        Column(header="Points", field="points", kind=Kind.NUMBER, unit="points", low=0, high=1000, required=True,
               aliases=("Most points",), example=5,
               help="Most points that it earns. A rating is 10 x the points earned / the most of all columns listed."),
    ),
)

SETTINGS_SHEET = Sheet(
    name="Settings", field="settings", kind=SheetKind.TABLE,
    help="The shop's own settings; one that is not listed, or blank, keeps its default.",
    settings=SETTINGS, listed=tuple((one.header, None, one.blank or None, one.help) for one in SETTINGS),
    columns=(
        Column(header="Setting", field="setting", required=True,
               help="Name of the setting, its words in any order, with or without the unit."),
        Column(header="Value", field="value", help="Its value; percentages as 5 %, 5, 0.05 or in percent format."),
        Column(header="Default", field="default", help="What holds where Value is blank; for reading only."),
        Column(header="Meaning", field="meaning", kind=Kind.PROSE, help="What the setting does; for reading only."),
    ),
)

TEXTS = Sheet(
    name="Texts", field="texts", kind=SheetKind.LIST,
    help="The shop's own paragraphs for the guide, one row each, printed in the order of the rows.",
    columns=(
        Column(header="Place", field="place", kind=Kind.CHOICE, choices=tuple(TextPlace), required=True,
               example=TextPlace.OPENING,
               help="Where it stands: the opening or the closing of the guide, or with a tier, a brief or a product."),
        Column(header="About", field="about", aliases=("About which",), blank="for the opening and the closing",
               help="Which tier, which brief, or the SKU of the product."),
        Column(header="Text", field="text", kind=Kind.PROSE, required=True, aliases=("Paragraph",),
               example="Example: the shop's own words stand here. Type over this row, or delete it.",
               help="One paragraph, printed as it stands."),
    ),
)

EXAMPLE_PROMOTION = "Example promotion"

PROMOTIONS = Sheet(
    name="Promotions", field="promotions", kind=SheetKind.LIST, aliases=("Bundles",),
    help="Bundles that the shop promotes. All rows are decided together, so that no stock is promised twice.",
    columns=(
        Column(header="Promotion", field="name", required=True, aliases=("Promotion name", "Name"),
               example=EXAMPLE_PROMOTION, help="Name of the promotion, unique in this sheet."),
        Column(header="Brief", field="brief", required=True, names_in="briefs", example=EXAMPLE_BRIEF,
               help="A name from the Briefs sheet, one that is for one vehicle."),
        Column(header="Tier", field="tier", names_in="tiers", example=EXAMPLE_TIER,
               blank="sold at the bundle price",
               help="A name from the Tiers sheet: the bundle is sold at list prices within it."),
        Column(header="Bundle price", field="price", kind=Kind.MONEY, positive=True, aliases=("Price",),
               blank="sold at list prices within the tier",
               help="What the whole bundle is sold for, including tax and, where the brief is fitted, labour."),
        Column(header="Sets", field="sets", kind=Kind.WHOLE, low=1, high=100_000, blank="1",
               aliases=("Sets wanted",), example=1, help="How many of it the stock must cover."),
        Column(header="Margin floor in %", field="floor_share", kind=Kind.PERCENT, low=0, high=100, percent_from=1,
               aliases=("Margin floor percent",), blank="no floor in percent",
               help="Least margin, in percent of what the parts bring without tax; 0 = no set is sold at a loss."),
        Column(header="Margin floor per set", field="floor", kind=Kind.MONEY, low=0,
               aliases=("Margin floor amount", "Margin floor in money"), blank="no floor in money",
               help="Least margin of one set in money, without tax; labour is not counted."),
        Column(header="Must clear", field="clear", kind=Kind.NAMES,
               help="SKUs that the shop wants gone, separated by ;."),
        Column(header="Clear at least", field="clear_least", kind=Kind.WHOLE, low=1, high=1000,
               blank="1 where Must clear is filled in",
               help="How many of the SKUs under Must clear must be in the bundle."),
    ),
)

DISCOUNTS = Sheet(
    name="Discounts", field="discounts", kind=SheetKind.LIST, aliases=("Discount ceilings",),
    help="How far a bundle price may discount the parts. A part without a ceiling may be discounted at will.",
    columns=(
        Column(header="Promotion", field="promotions", kind=Kind.NAMES, names_in="promotions", blank="all promotions",
               example=EXAMPLE_PROMOTION, stand_ins=(("all", ""), ("all promotions", ""), ("any", "")),
               aliases=("Promotions",),
               help="Names from the Promotions sheet, separated by ;. A row that names one counts before a row for all "
                    "about the same parts."),
        Column(header="For", field="about", required=True, example="amplifier",
               help="A kind of part (such as amplifier, speakers, bass or power kit), a brand, a SKU, or all. A SKU "
                    "counts first; then the lower of kind and brand; then all."),
        Column(header="Most %", field="most", kind=Kind.PERCENT, low=0, high=100, percent_from=1, required=True,
               aliases=("Most percent", "Ceiling"), example=15,
               help="The most by which the list price of these parts may be discounted, in percent."),
    ),
)

SHOP_SHEETS = (
    LABOUR, VEHICLES, BRIEFS, TIERS, PROMOTIONS, DISCOUNTS, WEIGHTS, POINTS, SETTINGS_SHEET, TEXTS,
)  # fmt: skip

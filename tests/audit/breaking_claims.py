"""What is broken beside a single system: claims, upgrade paths, bundles, rising prices, kits, counts of changes.

Each group has what is sound, and by name what is not with the words in which the audit refuses it.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple, Protocol

from budgetbuild.audit.ladder import NOT_ASIDE, SPENT
from budgetbuild.audit.robust import IF_PRICES_RISE
from budgetbuild.build import CableRun, Driver, Feed, Part, Role
from budgetbuild.catalogue.kinds import KitFor, Location, Want, Work
from budgetbuild.catalogue.promotion import DiscountCeiling, Promotion
from budgetbuild.catalogue.shop import Place, Settings
from tests.audit.handmade import FIVE_CHANNELS, POWERED, THREE_DEVICES, TWO_AMPLIFIERS
from tests.audit.judged import RISING, Changed, Claim, Climb, Kit, Protected, Shelves, sold, solved_bundle, truly
from tests.audit.sound import Sound
from tests.kits import two
from tests.program import small

if TYPE_CHECKING:
    from collections.abc import Mapping


class Judged(Protocol):
    """Something that the audit passes or refuses."""

    def judge(self) -> None:
        """Raises where it is refused."""


Broken = tuple[Judged, str]
"""What is not so, and what the refusal says."""


class Group(NamedTuple):
    """What is sound, and what is broken in it, by name."""

    sound: tuple[Judged, ...]
    broken: Mapping[str, Broken]


DIFFERS = "score and total"
WORTH = truly(FIVE_CHANNELS)
ELSEWHERE = truly(POWERED)
SCORE, TOTAL = WORTH.score or 0, WORTH.total or 0
PARTS = FIVE_CHANNELS.audited().score_parts
LABOUR = sum(line.line_total for line in FIVE_CHANNELS.audited().lines if line.role is Role.LABOUR)
CHEAPER_WORK = replace(FIVE_CHANNELS.catalogue, settings=replace(FIVE_CHANNELS.catalogue.settings, labour_rate=54_99))
OTHER_WEIGHTS = replace(FIVE_CHANNELS.catalogue, weights=replace(FIVE_CHANNELS.catalogue.weights, source=20.5))
FEWER_HOURS = replace(
    FIVE_CHANNELS.catalogue, labour_hours=FIVE_CHANNELS.catalogue.labour_hours | {Work.FRONT: Fraction(1)}
)


def _points(part: str) -> int:
    """Thousandths that a part of the score earns."""
    return sum(one.points for one in PARTS if one.part == part)


CLAIMS = Group(
    (WORTH, ELSEWHERE, truly(TWO_AMPLIFIERS), truly(THREE_DEVICES)),
    {
        "a thousandth too many points": (replace(WORTH, score=SCORE + 1), DIFFERS),
        "a thousandth too few points": (replace(WORTH, score=SCORE - 1), DIFFERS),
        "points of the match forgotten": (replace(WORTH, score=SCORE - _points("match")), DIFFERS),
        "points of one brand forgotten": (replace(WORTH, score=SCORE - _points("one brand")), DIFFERS),
        "points of the deadening counted twice": (replace(WORTH, score=SCORE + _points("treatment")), DIFFERS),
        "score not said": (replace(WORTH, score=None), DIFFERS),
        "a cent too many": (replace(WORTH, total=TOTAL + 1), DIFFERS),
        "a cent too few": (replace(WORTH, total=TOTAL - 1), DIFFERS),
        "labour forgotten in the total": (replace(WORTH, total=TOTAL - LABOUR), DIFFERS),
        "total not said": (replace(WORTH, total=None), DIFFERS),
        "score and total of another system": (replace(ELSEWHERE, sound=FIVE_CHANNELS), DIFFERS),
        "score and total exchanged": (Claim(FIVE_CHANNELS, TOTAL, SCORE), DIFFERS),
        "rating changed since": (WORTH.told(FIVE_CHANNELS.with_product("SP-F", rating=8.1)), DIFFERS),
        "price changed since": (WORTH.told(FIVE_CHANNELS.with_product("SL-6", price=2201)), DIFFERS),
        "labour rate changed since": (WORTH.told(replace(FIVE_CHANNELS, catalogue=CHEAPER_WORK)), DIFFERS),
        "hours changed since": (WORTH.told(replace(FIVE_CHANNELS, catalogue=FEWER_HOURS)), DIFFERS),
        "weights changed since": (WORTH.told(replace(FIVE_CHANNELS, catalogue=OTHER_WEIGHTS)), DIFFERS),
        "power changed since": (WORTH.told(FIVE_CHANNELS.with_product("AM-5", w_at_4=45.0)), DIFFERS),
        "area of the doors changed since": (WORTH.told(FIVE_CHANNELS.with_vehicle(door_m2=1.6)), DIFFERS),
        "true of a system over its cap": (WORTH.told(replace(FIVE_CHANNELS, cap=TOTAL - 1)), "Total within the cap"),
        "true but for a broken rule": (WORTH.told(FIVE_CHANNELS.without(Role.AERIAL)), "Digital-radio aerial"),
    },
)
"""Score and total by whoever proposes a system."""

PROTECTED = Protected(truly(replace(RISING, cap=17_100)), 1)
"""Two pairs of one product rise by 10.00 each: 171.00 in the dearest case of one price."""
HELD = Group(
    (PROTECTED, replace(PROTECTED, rising=0), Protected(truly(replace(RISING, cap=17_150)), 2)),
    {
        "dearest case a cent over the cap": (
            replace(PROTECTED, claim=PROTECTED.claim.told(replace(RISING, cap=17_099))),
            IF_PRICES_RISE,
        ),
        "one price more may rise": (replace(PROTECTED, rising=2), IF_PRICES_RISE),
        "high price a cent higher": (
            replace(
                PROTECTED, claim=PROTECTED.claim.told(PROTECTED.claim.sound.with_product("SP-S", price_high=8_001))
            ),
            IF_PRICES_RISE,
        ),
        "a smaller rise taken for the greatest": (
            replace(
                PROTECTED, claim=PROTECTED.claim.told(PROTECTED.claim.sound.with_product("FK-A", price_high=3_200))
            ),
            IF_PRICES_RISE,
        ),
        "pieces of a product rise together": (
            replace(PROTECTED, claim=PROTECTED.claim.told(replace(RISING, cap=16_100))),
            IF_PRICES_RISE,
        ),
        "today's total over the cap": (
            replace(PROTECTED, claim=PROTECTED.claim.told(replace(RISING, cap=15_099)), rising=0),
            "Total within the cap",
        ),
        "score of a build that holds": (replace(PROTECTED, claim=replace(PROTECTED.claim, score=1)), DIFFERS),
        "adapter missing in a build that holds": (
            replace(PROTECTED, claim=PROTECTED.claim.told(PROTECTED.claim.sound.without(Role.REAR_ADAPTER))),
            "Adapter for another speaker size",
        ),
    },
)
"""Totals that hold even if prices rise."""

FRONTS = (
    small.front(sku="F1", price=50_00, rating=4.0, cost=20_00),
    small.front(sku="F2", price=80_00, rating=6.0, cost=40_00),
    small.front(sku="F3", price=100_00, rating=8.0, cost=70_00),
)
ALONE = small.wants(
    own_internal_w=60.0, front=Want.REQUIRED, rear=Want.NONE, bass=Want.NONE, deadening=Want.NONE, fitted=True
)
SHOP = small.stock(
    *FRONTS,
    briefs=(ALONE,),
    settings=Settings(labour_rate=10_00, tax_rate=Fraction(1, 4)),
    labour_hours=dict.fromkeys(Work, Fraction(1)),
)


def _front(sku: str) -> Claim:
    """Front speakers alone, on the customer's own unit."""
    found = small.answer(replace(SHOP, speakers=tuple(one for one in FRONTS if one.sku == sku)), ALONE)
    assert found.system
    return Claim(Sound(sku, SHOP, ALONE, SHOP.vehicles[0], None, found.system), found.score, found.total)


FIRST, SECOND = _front("F1"), _front("F3")
PATH = Climb((FIRST, SECOND), (60_00, 170_00), (60_00, 170_00))
"""F1 with its fitting 60.00, then F3 with its own 110.00 more; F1 is put aside."""
BACK = Climb((FIRST, SECOND, FIRST), (60_00, 170_00, 180_00), (60_00, 170_00, 180_00))
"""And back to F1, which only has to be fitted again."""
DEARER_F1 = replace(SHOP, speakers=(replace(FRONTS[0], price=50_01), *FRONTS[1:]))
DEARER_WORK = replace(SHOP, settings=replace(SHOP.settings, labour_rate=10_01))
SAID = "as proposed"

CLIMBS = Group(
    (PATH, BACK, Climb((FIRST, FIRST), (60_00, 60_00), (60_00, 60_00), keep=True)),
    {
        "spent a cent less at a step": (replace(PATH, spent=(60_00, 169_99)), SAID),
        "spent a cent more at the first step": (replace(PATH, spent=(60_01, 170_00)), SAID),
        "part put aside forgotten in what is spent": (replace(PATH, spent=(60_00, 120_00)), SAID),
        "second fitting forgotten in what is spent": (replace(PATH, spent=(60_00, 160_00)), SAID),
        "spent counted from the step before alone": (replace(PATH, spent=(60_00, 110_00)), SAID),
        "part that comes back paid twice": (replace(BACK, spent=(60_00, 170_00, 230_00)), SAID),
        "fitting of what comes back forgotten": (replace(BACK, spent=(60_00, 170_00, 170_00)), SAID),
        "steps in another order": (replace(PATH, steps=(SECOND, FIRST)), SAID),
        "a step missing in what is spent": (replace(BACK, spent=(60_00, 170_00)), SAID),
        "first cap a cent too low": (replace(PATH, caps=(59_99, 170_00)), SPENT),
        "second cap that the system keeps and the path does not": (replace(PATH, caps=(60_00, 169_99)), SPENT),
        "cap that only the parts keep": (replace(PATH, caps=(60_00, 150_00)), SPENT),
        "put aside though everything is to be kept": (replace(PATH, keep=True), NOT_ASIDE),
        "score of a step": (replace(PATH, steps=(FIRST, replace(SECOND, score=1))), DIFFERS),
        "total of a step": (replace(PATH, steps=(replace(FIRST, total=1), SECOND)), DIFFERS),
        "price of a step's part changed since": (PATH.in_shop(DEARER_F1), DIFFERS),
        "labour rate of a path changed since": (PATH.in_shop(DEARER_WORK), DIFFERS),
        "a step whose speakers nothing drives": (
            replace(PATH, steps=(FIRST, SECOND.told(SECOND.sound.with_system(drives=())))),
            "Driven exactly once",
        ),
        "a step with an inactive part": (
            replace(PATH, steps=(FIRST.told(FIRST.sound.with_product("F1", active=False)), SECOND)),
            "active product",
        ),
    },
)
"""Upgrade paths."""

FREE = replace(ALONE, fitted=False)
SELLING = replace(SHOP, briefs=(FREE,))
BUNDLE = sold(SELLING, Promotion(name="spring", brief=FREE.name, price=90_00, floor=2_00))
"""F3 lists for 100.00, sold at 90.00: 80.00 - 8.00 without tax, less 70.00: 2.00."""
TIERED = sold(
    replace(SELLING, tiers=(small.tier(100_00),)), Promotion(name="spring", brief=FREE.name, tier="tier", floor=0)
)
"""The same at its list price: 80.00 less 70.00."""
LINE = BUNDLE.sale.lines[0]


def _ceiling(about: str, percent: int) -> Judged:
    """The bundle under one ceiling; it takes 10 %."""
    catalogue = replace(BUNDLE.catalogue, discounts=(DiscountCeiling(about=about, most=Fraction(percent, 100)),))
    line = replace(LINE, ceiling=Fraction(percent, 100), room=percent * 100)
    return replace(BUNDLE, catalogue=catalogue, sale=replace(BUNDLE.sale, lines=(line,)))


MARGIN, CEILINGS = "Margin of a set", "Discount under the ceilings"
BUNDLES = Group(
    (BUNDLE, TIERED, _ceiling("front", 10), _ceiling("all", 10), BUNDLE.asked(clear=("f3",), clear_least=1)),
    {
        "sold for more than promoted": (replace(BUNDLE, sale=replace(BUNDLE.sale, price=91_00)), "Price of the bundle"),
        "sold for less than promoted": (replace(BUNDLE, sale=replace(BUNDLE.sale, price=89_99)), "Price of the bundle"),
        "sold below list in a tier": (replace(TIERED, sale=replace(TIERED.sale, price=99_99)), "Price of the bundle"),
        "list total a cent too high": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, list_total=100_01)), "list total, labour and room",
        ),
        "line total a cent too low": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, lines=(replace(LINE, line_total=99_99),))),
            "list total, labour and room",
        ),
        "room of a line a cent too large": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, lines=(replace(LINE, room=LINE.room + 1),))),
            "list total, labour and room",
        ),
        "list total above the tier": (
            replace(TIERED, catalogue=replace(TIERED.catalogue, tiers=(small.tier(99_99),))),
            "List total within the tier",
        ),
        "price above all its parts": (
            replace(BUNDLE.asked(price=101_00), sale=replace(BUNDLE.sale, price=101_00, discount_net=-80)),
            "List total reaches the price",
        ),
        "discount without tax a cent too small": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, discount_net=7_99)), MARGIN,
        ),
        "discount without tax a cent too large": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, discount_net=8_01)), MARGIN,
        ),
        "revenue of a line a cent too large": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, lines=(replace(LINE, net=80_01),))), MARGIN,
        ),
        "cost of a line a cent too small": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, lines=(replace(LINE, cost=69_99),))), MARGIN,
        ),
        "revenue and cost both a cent too large": (
            replace(BUNDLE, sale=replace(BUNDLE.sale, lines=(replace(LINE, net=80_01, cost=70_01),))), MARGIN,
        ),
        "floor a cent above the margin": (BUNDLE.asked(floor=2_01), MARGIN),
        "floor in percent above the margin": (BUNDLE.asked(floor_share=Fraction(3, 100)), "Margin as a share"),
        "cost a cent higher since": (BUNDLE.with_product("F3", cost=70_01), MARGIN),
        "cost not known": (BUNDLE.with_product("F3", cost=None), "Every cost is known"),
        "tax changed since": (
            replace(
                BUNDLE,
                catalogue=replace(SELLING, settings=replace(SELLING.settings, tax_rate=Fraction(1, 5))),
            ),
            MARGIN,
        ),
        "tax not known": (
            replace(BUNDLE, catalogue=replace(SELLING, settings=replace(SELLING.settings, tax_rate=None))),
            "Every cost is known",
        ),
        "nothing in it of what is to go": (BUNDLE.asked(clear=("F1", "F2"), clear_least=1), "Products to clear"),
        "fewer in it than are to go": (BUNDLE.asked(clear=("F1", "F3"), clear_least=2), "Products to clear"),
        "ceiling of its kind of part": (_ceiling("speakers", 9), CEILINGS),
        "ceiling of its sku": (_ceiling("f3", 9), CEILINGS),
        "ceiling of everything": (_ceiling("all", 9), CEILINGS),
    },
)  # fmt: skip
"""Bundles of promotions."""

TAKEN = solved_bundle(SELLING, BUNDLE.promotion)
FEW = BUNDLE.with_product("F3", stock=2).catalogue
THRICE = replace(TAKEN, promotion=replace(TAKEN.promotion, sets=3))
STOCK = "Pieces for all promotions"
STOCKS = Group(
    (Shelves(SELLING, (THRICE,)), Shelves(FEW, (TAKEN,)), Shelves(FEW, (TAKEN, TAKEN)), Shelves(FEW, ())),
    {
        "nothing left of a part": (Shelves(BUNDLE.with_product("F3", stock=0).catalogue, (TAKEN,)), STOCK),
        "three sets and two pieces": (Shelves(FEW, (THRICE,)), STOCK),
        "three promotions that share two pieces": (Shelves(FEW, (TAKEN, TAKEN, TAKEN)), STOCK),
    },
)
"""Promotions out of one stock."""

RING = small.fascia(sku="Y", price=15_00, fits=KitFor.SPEAKER, location=Location.FRONT, size_mm=165.0)
OTHER_PLACE = Place(size_mm=130.0, depth_mm=70.0)
FOR_BOTH = two.both(Fraction(2, 3), own_internal_w=20.0, rear=Want.NONE, bass=Want.NONE, deadening=Want.NONE)
BUILT = two.solved(two.stock(small.front(), RING, there={"front": OTHER_PLACE}), FOR_BOTH)
assert BUILT.covered
KIT = Kit(FOR_BOTH, small.PLENTY, BUILT.covered, BUILT.score)
"""Front speakers for two vehicles, in the second behind an adapter ring."""
LOUD = two.both(own_preout_pairs=1, rear=Want.NONE, bass=Want.NONE, deadening=Want.NONE, amplifier=Want.REQUIRED)
WIRED = two.solved(
    two.stock(small.front(), small.stereo(), small.power_kit(), small.lead(), small.cable(), small.cable(sku="C2")),
    LOUD,
)
assert WIRED.covered
CONNECTED = Kit(LOUD, small.PLENTY, WIRED.covered, WIRED.score)
"""Front speakers on an amplifier, for two vehicles alike."""
INSIDE = CONNECTED.covered.vehicles[1].audited.system
ONE = KIT.covered.vehicles[1].audited
SAME, KIT_SCORE = "has another system than", KIT.score or 0
KITS = Group(
    (
        KIT,
        CONNECTED,
        replace(KIT.in_one(1, covered=False), brief=replace(FOR_BOTH, share=Fraction(1, 2)), score=None),
    ),
    {
        "too few vehicles": (KIT.in_one(0, covered=False), "it covers 1 of 2, asked are 2/3"),
        "no vehicle at all": (
            replace(KIT.in_one(0, covered=False).in_one(1, covered=False), score=None), "it covers 0 of 2",
        ),
        "weight of a vehicle": (KIT.in_one(0, weight=Fraction(7)), "not the weights of the sheet"),
        "a vehicle missing": (
            replace(KIT, covered=replace(KIT.covered, vehicles=KIT.covered.vehicles[:1])),
            "not the vehicles of the brief",
        ),
        "vehicles in another order": (
            replace(KIT, covered=replace(KIT.covered, vehicles=KIT.covered.vehicles[::-1])),
            "not the vehicles of the brief",
        ),
        "a vehicle that was not asked for": (
            KIT.in_one(1, vehicle=small.car(name="Tarn Saloon")), "not the vehicles of the brief",
        ),
        "a vehicle left out for no reason": (
            replace(KIT.in_one(1, covered=False), brief=replace(FOR_BOTH, share=Fraction(1, 2))),
            "is left out, and nothing is wrong with it",
        ),
        "score above the lowest": (replace(KIT, score=KIT_SCORE + 1), f"score {KIT_SCORE + 1} as proposed"),
        "score below the lowest": (replace(KIT, score=KIT_SCORE - 1), f"score {KIT_SCORE - 1} as proposed"),
        "dearer than the cap in one vehicle": (replace(KIT, cap=110_00), "11500 cents"),
        "dearer than the cap in every vehicle": (replace(KIT, cap=99_99), "10000 cents"),
        "a failed check in one vehicle": (
            KIT.in_one(1, audited=replace(ONE, checks=(replace(ONE.checks[0], ok=False), *ONE.checks[1:]))),
            ONE.checks[0].rule,
        ),
        "a part more in one vehicle": (
            KIT.with_system(1, parts=(*ONE.system.parts, Part(Role.DEADENING, "D"))), SAME,
        ),
        "other speakers in one vehicle": (
            KIT.with_system(1, parts=(Part(Role.FRONT, "F9"), *ONE.system.parts[1:])), SAME,
        ),
        "two of a common part in one vehicle": (
            KIT.with_system(1, parts=(Part(Role.FRONT, "F", 2), *ONE.system.parts[1:])), SAME,
        ),
        "driven otherwise in one vehicle": (
            KIT.with_system(1, drives=tuple(replace(drive, by=Driver.FACTORY_UNIT) for drive in ONE.system.drives)),
            SAME,
        ),
        "another amplifier in one vehicle": (CONNECTED.with_system(1, amplifiers=("A9",)), SAME),
        "fed otherwise in one vehicle": (CONNECTED.with_system(1, feeds=(Feed("K9", (0,)),)), SAME),
        "another speaker cable in one vehicle": (
            CONNECTED.with_system(1, cables=(CableRun(Location.FRONT, "C2"),)), SAME,
        ),
        "no speaker cable in one vehicle": (CONNECTED.with_system(1, cables=()), SAME),
        "no wiring said in one vehicle": (
            CONNECTED.with_system(1, drives=tuple(replace(drive, ohm=None) for drive in INSIDE.drives)), SAME,
        ),
    },
)  # fmt: skip
"""One system for several vehicles."""

LIST = (
    Part(Role.FRONT, "F1"),
    Part(Role.AMPLIFIER, "A", 2),
    Part(Role.POWER_KIT, "K", 2),
    Part(Role.SPEAKER_CABLE, "C", 6),
)
OTHER_FRONT = (Part(Role.FRONT, "F2"), *LIST[1:])
ONE_AMPLIFIER = (LIST[0], Part(Role.AMPLIFIER, "A"), *LIST[2:])
TWO_OTHERS = (LIST[0], Part(Role.AMPLIFIER, "B", 2), *LIST[2:])
MORE_CABLE = (*LIST[:3], Part(Role.SPEAKER_CABLE, "C", 7))
TOLD = "parts changed as proposed"
CHANGES = Group(
    (
        Changed(LIST, LIST, 0),
        Changed(LIST, OTHER_FRONT, 1),
        Changed(LIST, ONE_AMPLIFIER, 1),
        Changed(LIST, TWO_OTHERS, 2),
        Changed(LIST, MORE_CABLE, 1),
        Changed(LIST, (), 6),
    ),
    {
        "a change where none is": (Changed(LIST, LIST, 1), TOLD),
        "an exchange not counted": (Changed(LIST, OTHER_FRONT, 0), TOLD),
        "an exchange counted twice": (Changed(LIST, OTHER_FRONT, 2), TOLD),
        "two amplifiers counted as one line": (Changed(LIST, TWO_OTHERS, 1), TOLD),
        "one amplifier fewer counted as two": (Changed(LIST, ONE_AMPLIFIER, 2), TOLD),
        "another number of units not counted": (Changed(LIST, MORE_CABLE, 0), TOLD),
        "everything gone counted by lines": (Changed(LIST, (), 4), TOLD),
    },
)
"""How many parts change against what was published."""

GROUPS: Mapping[str, Group] = {
    "claim": CLAIMS,
    "prices rise": HELD,
    "path": CLIMBS,
    "bundle": BUNDLES,
    "stock": STOCKS,
    "kit": KITS,
    "changes": CHANGES,
}

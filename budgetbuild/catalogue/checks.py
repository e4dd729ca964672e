"""What must hold across rows and sheets: small checks that yield findings and never raise."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from budgetbuild.catalogue.columns import PRODUCT_SHEETS, SHEETS
from budgetbuild.catalogue.kinds import HeadUnitMode, TextPlace, Want, Work
from budgetbuild.catalogue.meant import folded_vehicles, vehicles_of
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.parse import parse_cell
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import did_you_mean
from budgetbuild.catalogue.schema import is_example
from budgetbuild.catalogue.usage import Usage, wants
from budgetbuild.catalogue.weights import DEFAULT_POINTS, WHOLE_SCORE
from budgetbuild.faults import Fault, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.schema import Sheet
    from budgetbuild.catalogue.settings import SettingRows
    from budgetbuild.catalogue.usage import RowsBySheet

PRODUCT_FIELDS = tuple(sheet.field for sheet in PRODUCT_SHEETS)
MOST_HINTS = 50
"""Names that are looked for among others like them; thousands against as many would take minutes."""


@dataclass(frozen=True)
class Shop:
    """Everything that is read, before it is known whether it may be used.

    Names of products are gathered once, and only where something asks for them: there may be a hundred thousand.
    """

    rows: RowsBySheet
    settings: SettingRows
    usage: Usage

    def of(self, field: str) -> list[Row]:
        """Rows of one sheet."""
        return self.rows.get(field, [])

    def products(self) -> Iterator[Row]:
        """Rows of every product sheet."""
        for field in PRODUCT_FIELDS:
            yield from self.of(field)

    @cached_property
    def skus(self) -> dict[str, str]:
        """SKUs of all products as they are written, by the folded SKU."""
        return names_in(self.products(), "sku")

    @cached_property
    def product_names(self) -> dict[str, str]:
        """SKUs and brands of all products."""
        return self.skus | names_in(self.products(), "brand")

    def offered(self) -> Iterator[Row]:
        """Rows of the products that a build may have."""
        return (row for row in self.products() if row.get("active") is not False and not row.unrated)


Finding = tuple["Row", Fault]
"""A fault and the row that it takes away where it stops the run."""


def doubled(rows: Iterable[Row], field: str, code: str, usage: Usage) -> Iterator[Finding]:
    """A name that stands twice: the later cell is reported and names the first; a row out of use gives way."""
    first: dict[str, Row] = {}
    for row in rows:
        value = row.get(field)
        if value is None:
            continue
        before = first.setdefault(fold(str(value)), row)
        if before is row:
            continue
        gives_way, keeps = (before, row) if usage.row(row) and not usage.row(before) else (row, before)
        first[fold(str(value))] = keeps
        header = row.table.sheet.column(field).header
        yield (
            gives_way,
            gives_way.fault(
                field,
                code,
                f"{header}: each only once",
                f"it is also at {keeps.at(field)}; change or delete one of the two",
            ),
        )


def check_unique_skus(shop: Shop) -> Iterator[Finding]:
    """A SKU names one product in the whole workbook."""
    if len(shop.skus) < sum(row.filled("sku") for row in shop.products()):
        yield from doubled(shop.products(), "sku", "duplicate-sku", shop.usage)


def check_unique_names(shop: Shop) -> Iterator[Finding]:
    """A vehicle, a brief, a tier, a promotion, a work and a part of the score each stand once."""
    for sheet, field in (
        ("vehicles", "name"),
        ("briefs", "name"),
        ("tiers", "name"),
        ("promotions", "name"),
        ("labour_hours", "work"),
        ("weights", "part"),
    ):
        yield from doubled(shop.of(sheet), field, "duplicate-name", shop.usage)


def unknown_name(row: Row, field: str, term: str, known: Iterable[str], severity: Severity = Severity.FAULT) -> Finding:
    """A name that stands in no sheet where it should."""
    header = row.table.sheet.column(field).header
    hint = did_you_mean(term, known)
    separated = "; separate names by ;" if "," in term else ""
    return row, Fault(
        row.at(field),
        "unknown-name",
        f'"{term}"',
        f"{header}: a name that the workbook has",
        f"{hint}{separated}",
        severity,
    )


def names_in(rows: Iterable[Row], field: str) -> dict[str, str]:
    """Names of rows as they are written, by the folded name."""
    return {fold(name): name for row in rows if (name := row.values.get(field))}


def check_brief_vehicles(shop: Shop) -> Iterator[Finding]:
    """A brief names vehicles of the Vehicles sheet; a share of them, only where there are several."""
    known = names_in(shop.of("vehicles"), "name")
    for brief in shop.of("briefs"):
        vehicles = vehicles_of(brief)
        for vehicle in vehicles if known else ():
            if fold(vehicle) not in known:
                yield unknown_name(brief, "vehicle", vehicle, known.values())
        if brief.get("vehicle") == ():
            expected = "Vehicle: a name from the Vehicles sheet, several separated by ;, or all"
            yield brief, brief.fault("vehicle", "missing-value", expected, "fill it in")
        if len(vehicles) == 1 and brief.filled("share"):
            expected = "Share %: how many of several vehicles the system must fit"
            yield brief, brief.fault("share", "ignored-value", expected, "not used; clear it", Severity.NOTICE)


def _replaced(shop: Shop) -> set[str]:
    """Folded names of the vehicles whose head unit a brief replaces."""
    return {
        name
        for brief in shop.usage.briefs
        if brief.get("head_unit") is HeadUnitMode.REPLACE
        for name in folded_vehicles(brief)
    }


def check_vehicle_openings(shop: Shop) -> Iterator[Finding]:
    """A vehicle whose head unit a brief replaces states its opening."""
    replaced = _replaced(shop)
    for vehicle in shop.of("vehicles"):
        if vehicle.filled("opening"):
            continue
        expected = "Opening: single, double, or none where the head unit cannot be replaced"
        if fold(str(vehicle.get("name") or "")) in replaced:
            yield (
                vehicle,
                vehicle.fault("opening", "missing-value", expected, "fill it in; a brief replaces the head unit"),
            )
        else:
            mend = "read as none until it is filled in"
            yield vehicle, vehicle.fault("opening", "blank-assumed", expected, mend, Severity.NOTICE)


def check_tier_briefs(shop: Shop) -> Iterator[Finding]:
    """A tier names briefs of the Briefs sheet."""
    known = names_in(shop.of("briefs"), "name")
    for tier in shop.of("tiers"):
        for name in tier.get("briefs") or ():
            if known and fold(name) not in known:
                yield unknown_name(tier, "briefs", name, known.values())


def check_kit_vehicles(shop: Shop) -> Iterator[Finding]:
    """A fitting kit names vehicles of the Vehicles sheet; one that is not there is told once: a misspelling?"""
    vehicles = names_in(shop.of("vehicles"), "name")
    if not vehicles:
        return
    known = vehicles | {"any": "any"}
    told: set[str] = set()
    for kit in shop.of("fitting_kits"):
        for name in kit.get("vehicles") or ():
            folded = fold(name)
            if folded not in known and folded not in told:
                told.add(folded)
                near = known.values() if len(told) <= MOST_HINTS else ()
                yield unknown_name(kit, "vehicles", name, near, Severity.WARNING)


def check_brief_terms(shop: Shop) -> Iterator[Finding]:
    """What a brief must include exists and is offered; what it leaves out is told where it does not exist."""
    for brief in shop.of("briefs"):
        for term in brief.get("must_include") or ():
            if fold(term) not in shop.product_names:
                yield unknown_name(brief, "must_include", term, shop.product_names.values())
            elif not _bears(term, shop.offered()):
                unrated = (row for row in shop.products() if row.unrated)
                mend = "rate it" if _bears(term, unrated) else "set its Active to yes"
                yield (
                    brief,
                    Fault(
                        brief.at("must_include"),
                        "never-offered",
                        f'"{term}"',
                        "Must include: a product that is offered",
                        f"{mend}, or take it out here",
                    ),
                )
        for term in brief.get("leave_out") or ():
            if fold(term) not in shop.product_names:
                yield unknown_name(brief, "leave_out", term, shop.product_names.values(), Severity.WARNING)


def _bears(term: str, rows: Iterable[Row]) -> bool:
    """Whether one of the rows bears the SKU or the brand."""
    folded = fold(term)
    return any(fold(name) == folded for row in rows for field in ("sku", "brand") if (name := row.get(field)))


def check_contradicting_terms(shop: Shop) -> Iterator[Finding]:
    """A brief does not leave out what it must include."""
    for brief in shop.of("briefs"):
        left_out = {fold(term) for term in brief.get("leave_out") or ()}
        for term in brief.get("must_include") or ():
            if fold(term) in left_out:
                yield (
                    brief,
                    Fault(
                        brief.at("must_include"),
                        "contradicting-terms",
                        f'"{term}"',
                        "Must include: nothing that Leave out names",
                        "take it out of one of the two",
                    ),
                )


def works_of(brief: Row) -> Iterator[Work]:
    """Fitting work that a build of the brief may need."""
    mode = brief.get("head_unit")
    if mode is HeadUnitMode.REPLACE:
        yield Work.HEAD_UNIT
    if mode is HeadUnitMode.KEEP_FACTORY and wants(brief, "bass", "amplifier"):
        yield Work.CONVERTER
    for field, work in (
        ("front", Work.FRONT),
        ("rear", Work.REAR),
        ("bass", Work.BASS),
        ("amplifier", Work.AMPLIFIER),
        ("deadening", Work.DEADENING_PER_M2),
    ):
        if brief.get(field) in {Want.REQUIRED, Want.OPTIONAL}:
            yield work


def check_labour(shop: Shop) -> Iterator[Finding]:
    """A fitted brief finds the hours of every work that it may need, and the rate."""
    listed = {row.get("work") for row in shop.of("labour_hours")}
    told: set[Work] = set()
    for brief in shop.usage.briefs:
        if not brief.get("fitted"):
            continue
        missing = [work for work in works_of(brief) if work not in listed | told] if listed else []
        told.update(missing)
        if missing:
            yield (
                brief,
                brief.fault(
                    "fitted",
                    "no-labour",
                    f"hours in Labour for {', '.join(missing)}",
                    "add the rows, or write no under Fitted",
                ),
            )
        if "labour_rate" not in shop.settings.cells:
            yield brief, brief.fault("fitted", "no-labour-rate", "a Labour rate in Settings", "add the setting")


def check_weights(shop: Shop) -> Iterator[Finding]:
    """The parts of the score add up to 100, defaults included; other totals are told."""
    rows = [row for row in shop.of("weights") if row.get("part") is not None and row.get("points") is not None]
    points = DEFAULT_POINTS | {row.get("part"): row.get("points") for row in rows}
    total = sum(points.values())
    if rows and abs(total - WHOLE_SCORE) > 1e-9:  # noqa: PLR2004 - noise of binary fractions
        yield (
            rows[-1],
            Fault(
                rows[-1].at("points"),
                "weights-total",
                f"{total:g} points in all",
                f"Points: {WHOLE_SCORE:g} in all, parts that are not listed at their defaults",
                "change the points, or know that the score goes up to this total",
                Severity.WARNING,
            ),
        )


def check_texts(shop: Shop) -> Iterator[Finding]:
    """A paragraph about a tier, a brief or a product names one that the workbook has; otherwise it is left out."""
    known = {
        TextPlace.TIER: names_in(shop.of("tiers"), "name"),
        TextPlace.BRIEF: names_in(shop.of("briefs"), "name"),
        TextPlace.PRODUCT: shop.skus,
    }
    for row in shop.of("texts"):
        place, about = row.get("place"), row.get("about") or ""
        if place in known and not about:
            yield row, row.fault("about", "missing-value", f"About: which {place}", "name it", Severity.WARNING)
        elif place in known and fold(about) not in known[place]:
            yield unknown_name(row, "about", about, known[place].values(), Severity.WARNING)
        elif place not in known and about:
            mend = "not used; blank for the opening and the closing"
            yield row, row.fault("about", "ignored-value", "About: nothing here", mend, Severity.NOTICE)


def check_examples(shop: Shop) -> Iterator[Finding]:
    """Example rows of a new workbook that still stand among the shop's own are told once."""
    rows = [row for sheet in SHEETS if shop.of(sheet.field) for row in _examples(sheet, shop.of(sheet.field))]
    if rows:
        found = f"{len(rows)} example row{'' if len(rows) == 1 else 's'}"
        mend = "type over them or delete them before you publish; they are read like any other"
        at = rows[0].at(rows[0].table.sheet.columns[0].field)
        yield rows[0], Fault(at, "example-rows", found, "the shop's own rows", mend, Severity.NOTICE)


def _examples(sheet: Sheet, rows: Sequence[Row]) -> Iterator[Row]:
    """Rows that bear a text that says of itself that it is the example; without such texts, wholly the example."""
    raw = {one: one.example for one in sheet.columns if one.example is not None}
    read = {
        one.field: parse_cell(float(value) if isinstance(value, int) else value, one, Hints())
        for one, value in raw.items()
    }
    marking = [one.field for one, value in raw.items() if is_example(value)]
    if marking:
        bearing = {row for name in marking for row in rows if row.values.get(name) == read[name]}
        yield from (row for row in rows if row in bearing)
    elif read and not sheet.listed:
        yield from (row for row in rows if all(row.get(name) == value for name, value in read.items()))


CHECKS: tuple[Callable[[Shop], Iterator[Finding]], ...] = (
    check_unique_skus,
    check_unique_names,
    check_brief_vehicles,
    check_vehicle_openings,
    check_tier_briefs,
    check_kit_vehicles,
    check_brief_terms,
    check_contradicting_terms,
    check_labour,
    check_weights,
    check_texts,
    check_examples,
)


def check_shop(shop: Shop) -> None:
    """Note everything that is wrong across rows, each with its row, and with a setting."""
    for check in CHECKS:
        for row, fault in check(shop):
            row.faults.append(fault)
    shop.settings.faults.faults.extend(_check_rising(shop))


def _check_rising(shop: Shop) -> Iterator[Fault]:
    """Where prices may rise, some product says how far."""
    rising = shop.settings.values.get("rising", 0)
    if rising and not any(row.get("price_high") for row in shop.products()):
        yield Fault(
            shop.settings.cells["rising"],
            "no-price-ranges",
            str(rising),
            "products with a Price high",
            "every price is taken as certain; fill in Price high where one may rise",
            Severity.NOTICE,
        )

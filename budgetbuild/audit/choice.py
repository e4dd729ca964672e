"""Checks of what was chosen: known products in the right roles, what the brief requires, bars and insists on."""

from __future__ import annotations

from collections import Counter
from itertools import chain

from budgetbuild.audit.case import BRIEF, CONTRACT, KINDS, Case, total_quantity
from budgetbuild.build import Driver, Part, Role
from budgetbuild.catalogue.items import Product, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, OneBrand, Want
from budgetbuild.catalogue.names import fold

ON_OFFER = "Every part is an active product of the right sheet, in whole pieces"
"""The rule that no product is gone, or listed as another kind."""
LOCATION_ROLES = {Location.FRONT: Role.FRONT, Location.REAR: Role.REAR, Location.BASS: Role.BASS}


def check_choice(case: Case) -> None:
    """Check the list of parts against the catalogue and the brief."""
    _known_parts(case)
    _left_out(case)
    _must_include(case)
    _source_mode(case)
    for location in Location:
        _location_wanted(case, location)
    _amplifiers_wanted(case)
    _one_brand(case)
    _stock(case)


def _known_parts(case: Case) -> None:
    wrong = [part.sku for part in case.system.parts if not _known(case, part)]
    doubled = [sku for (_, sku), count in Counter((p.role, p.sku) for p in case.system.parts).items() if count > 1]
    case.notes.check(
        ON_OFFER,
        "",
        ", ".join(wrong + doubled) or "all",
        "all",
        ok=not wrong and not doubled,
        source="the catalogue",
    )


def _known(case: Case, part: Part) -> bool:
    product = case.products.get(part.sku)
    kind = KINDS.get(part.role)
    if product is None or kind is None or not isinstance(product, kind):
        return False
    return product.active and part.quantity >= 1 and part.quantity % 1 == 0


def _left_out(case: Case) -> None:
    barred = {fold(term) for term in case.brief.leave_out}
    if not barred:
        return
    found = [product.sku for product in _all(case) if {fold(product.sku), fold(product.brand)} & barred]
    case.notes.check(
        "Nothing that the brief leaves out", "", ", ".join(found) or "none", "none", ok=not found, source=BRIEF
    )


def _must_include(case: Case) -> None:
    names = set(chain.from_iterable((fold(product.sku), fold(product.brand)) for product in _all(case)))
    for term in case.brief.must_include:
        present = fold(term) in names
        case.notes.check(
            "Includes what the brief asks for", term, "in" if present else "missing", "in", ok=present, source=BRIEF
        )


def _all(case: Case) -> list[Product]:
    return [product for part in case.system.parts if (product := case.products.get(part.sku))]


def _source_mode(case: Case) -> None:
    units, converters = case.parts(Role.HEAD_UNIT), case.parts(Role.CONVERTER)
    wanted = 1 if case.brief.head_unit is HeadUnitMode.REPLACE else 0
    case.notes.check(
        "Head units", "", total_quantity(units), f"exactly {wanted}", ok=total_quantity(units) == wanted, source=BRIEF
    )
    if case.brief.head_unit is not HeadUnitMode.KEEP_FACTORY:
        case.notes.check(
            "Converters",
            "",
            total_quantity(converters),
            "none",
            ok=not converters,
            source="a converter serves a kept factory unit only",
        )


def _location_wanted(case: Case, location: Location) -> None:
    parts = case.parts(LOCATION_ROLES[location])
    wanted, count = case.wanted(location), len(parts)
    ok = {Want.REQUIRED: count == 1, Want.OPTIONAL: count <= 1, Want.NONE: count == 0}[wanted]
    limit = {Want.REQUIRED: "exactly 1", Want.OPTIONAL: "at most 1", Want.NONE: "none"}[wanted]
    case.notes.check("Products at the location", str(location), count, limit, ok=ok, source=BRIEF)
    if location is not Location.BASS and parts:
        case.notes.check(
            "Pairs of speakers",
            str(location),
            total_quantity(parts),
            "exactly 1",
            ok=total_quantity(parts) == 1,
            source="sold per pair",
        )
    driven = sum(drive.location is location for drive in case.system.drives)
    case.notes.check(
        "Driven exactly once", str(location), driven, f"exactly {count}", ok=driven == count, source=CONTRACT
    )


def _amplifiers_wanted(case: Case) -> None:
    count, most = len(case.system.amplifiers), case.limits.max_amplifiers
    case.notes.check("External amplifiers", "", count, f"at most {most}", ok=count <= most)
    parts = Counter({part.sku: part.quantity for part in case.parts(Role.AMPLIFIER)})
    case.notes.check(
        "Amplifiers bought are those connected",
        "",
        total_quantity(case.parts(Role.AMPLIFIER)),
        f"exactly {count}",
        ok=parts == Counter(case.system.amplifiers),
        source=CONTRACT,
    )
    match case.brief.amplifier:
        case Want.NONE:
            case.notes.check("No external amplifier", "", count, "none", ok=count == 0, source=BRIEF)
        case Want.REQUIRED:
            inside = [d for d in case.system.drives if d.by not in (Driver.AMPLIFIER, Driver.SELF)]
            case.notes.check(
                "Every passive location is on an external amplifier",
                "",
                ", ".join(d.location for d in inside) or "all",
                "all",
                ok=not inside,
                source=BRIEF,
            )
        case Want.OPTIONAL:
            pass


def brands(case: Case) -> dict[str, set[str]]:
    """Folded brands at front, rear, bass and amplifier; roles that are not in the build are missing."""
    speakers = {"front": Role.FRONT, "rear": Role.REAR}
    found = {name: {fold(p.brand) for p, _ in case.bought(Speaker, role)} for name, role in speakers.items()}
    found["bass"] = {fold(p.brand) for p, _ in case.bought(Subwoofer, Role.BASS)}
    found["amplifier"] = {fold(amplifier.brand) for amplifier in case.amplifiers() if amplifier}
    return {role: names for role, names in found.items() if names}


def _one_brand(case: Case) -> None:
    if case.brief.one_brand is OneBrand.MUST:
        names = set(chain.from_iterable(brands(case).values()))
        case.notes.check(
            "One brand", "front, rear, bass, amplifier", len(names), "at most 1", ok=len(names) <= 1, source=BRIEF
        )


def _stock(case: Case) -> None:
    needed: Counter[str] = Counter()
    for part in case.system.parts:
        needed[part.sku] += part.quantity
    for sku, quantity in sorted(needed.items()):
        product = case.products.get(sku)
        if product is not None and product.stock is not None and product.stock < quantity:
            case.notes.caution("out-of-stock", sku, sku=sku, wanted=quantity, stock=product.stock)

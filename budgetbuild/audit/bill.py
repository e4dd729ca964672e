"""The bill: every line with unit price, total and running total in whole cents, labour last; held against the cap."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from budgetbuild.audit.case import BRIEF, Case, total_quantity
from budgetbuild.audit.rises import risen
from budgetbuild.build import PricedLine, Role
from budgetbuild.catalogue.items import Amplifier
from budgetbuild.catalogue.kinds import HeadUnitMode, Work
from budgetbuild.trade import money
from budgetbuild.trade.figures import exact

WITHIN_CAP = "Total within the cap"
"""The rule on the sum of the lines."""


class Entry(NamedTuple):
    """What is bought or done, before it is added up: `unit_price` and the `cost` of all pieces in whole cents."""

    role: Role
    sku: str
    description: str
    quantity: int
    unit_price: int
    cost: int | None


def bill(case: Case, treated_m2: float, allowed_over: int) -> tuple[PricedLine, ...]:
    """Price every part and piece of work, and check the sum against the cap."""
    lines: list[PricedLine] = []
    running = 0
    rate = case.catalogue.settings.tax_rate
    for entry in [*_products(case), *_work(case, treated_m2)]:
        total = entry.unit_price * entry.quantity
        running += total
        net = None if rate is None else money.without_tax(total, rate)
        lines.append(
            PricedLine(
                entry.role,
                entry.sku,
                entry.description,
                entry.quantity,
                entry.unit_price,
                total,
                running,
                net,
                entry.cost,
            )
        )
    if case.cap is not None:
        case.notes.check(
            WITHIN_CAP,
            "",
            f"{running / 100:.2f}",
            f"at most {case.cap / 100:.2f}",
            ok=running <= case.cap,
            unit=case.catalogue.settings.currency,
            source="budget x (1 + allowance)",
        )
        budget = case.cap - allowed_over
        if budget < running <= case.cap:
            case.notes.caution("over-budget", "", over_cents=running - budget, allowance_cents=allowed_over)
    rises = risen(case.products, case.system.parts)
    if rises:
        most = running + sum(rise.cents for rise in rises)
        case.notes.caution("prices-may-rise", "", products=len(rises), most_cents=most)
    return tuple(lines)


def _products(case: Case) -> list[Entry]:
    entries: list[Entry] = []
    for part in case.system.parts:
        product = case.products.get(part.sku)
        if product is None:
            continue  # `check_choice` refuses the system for it
        cost = None if product.cost is None else product.cost * part.quantity
        entries.append(Entry(part.role, part.sku, product.name, part.quantity, product.price, cost))
    return entries


def _work(case: Case, treated_m2: float) -> list[Entry]:
    if not case.brief.fitted:
        return []
    present = {part.role for part in case.system.parts}
    replaced = case.brief.head_unit is HeadUnitMode.REPLACE
    amplifiers = total_quantity(case.parts(Role.AMPLIFIER))
    counts = {
        Work.HEAD_UNIT: int(replaced and Role.HEAD_UNIT in present),
        Work.CONVERTER: int(Role.CONVERTER in present),
        Work.FRONT: int(Role.FRONT in present),
        Work.REAR: int(Role.REAR in present),
        Work.BASS: int(Role.BASS in present),
        Work.AMPLIFIER: amplifiers if case.one(Amplifier, Role.AMPLIFIER) else 0,
    }
    entries = [_labour(case, work, count, Fraction(1), str(work)) for work, count in counts.items() if count]
    if treated_m2:
        area = exact(treated_m2)
        entries.append(_labour(case, Work.DEADENING_PER_M2, 1, area, f"deadening, {treated_m2:g} m2"))
    return [entry for entry in entries if entry is not None]


def _labour(case: Case, work: Work, count: int, area: Fraction, name: str) -> Entry | None:
    rate, hours = case.catalogue.settings.labour_rate, case.catalogue.labour_hours.get(work)
    if rate is None or hours is None:
        case.notes.check("Labour priced", str(work), "no hours or rate", "hours and rate", ok=False, source=BRIEF)
        return None
    return Entry(Role.LABOUR, "", f"Fitting: {name}", count, money.labour_price(hours, rate, area), None)

"""The audit of an upgrade path: from the systems alone, what is bought, kept, put aside, and paid up to every step.

A product's pieces count alike wherever they are used. What has been bought by a step is the most that it or any before
it uses, so a part that was put aside may come back for nothing. Fitting work is paid for what is newly fitted: a
source, or a location, of which a part is another than before or their number is; an amplifier that was not there; the
area of deadening that was not there before of the same product.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.audit.verdict import AuditRefusedError, passed
from budgetbuild.build import Check, Climbed, Pieces, Role
from budgetbuild.catalogue.kinds import Work
from budgetbuild.trade import money
from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from budgetbuild.build import Audited, System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle

SPENT = "Spent up to this step within the cap"
NOT_ASIDE = "Nothing put aside"
TOGETHER = (
    (frozenset({Role.HEAD_UNIT, Role.SOURCE_KIT, Role.AERIAL}), Role.HEAD_UNIT, Work.HEAD_UNIT),
    (frozenset({Role.CONVERTER, Role.SOURCE_KIT}), Role.CONVERTER, Work.CONVERTER),
    (frozenset({Role.FRONT, Role.FRONT_ADAPTER}), Role.FRONT, Work.FRONT),
    (frozenset({Role.REAR, Role.REAR_ADAPTER}), Role.REAR, Work.REAR),
    (frozenset({Role.BASS, Role.BOX}), Role.BASS, Work.BASS),
)
"""Roles that are fitted together, the one that the work is for, and the work."""


def passed_ladder(  # noqa: PLR0913 - one argument per part of the question
    catalogue: Catalogue,
    brief: Brief,
    vehicle: Vehicle,
    tiers: Sequence[Tier],
    proposed: Sequence[tuple[System, int | None, int | None]],
    *,
    keep: bool,
    spent: Sequence[int] | None = None,
) -> tuple[tuple[Audited, Climbed], ...]:
    """Audit a proposed path.

    Args:
        catalogue: The checked catalogue.
        brief: What the customer wants.
        vehicle: The vehicle that it goes into.
        tiers: In the order of the steps.
        proposed: For each step the system, and score and total of whoever proposes it.
        keep: Whether nothing may be put aside.
        spent: What was spent up to each step, as proposed; `None` = not told.

    Returns:
        For each step its audited system, with the checks of the path after its own, and what it means to climb to it.

    Raises:
        AuditRefusedError: A check fails, or a figure is another than proposed.
    """
    found = tuple(passed(catalogue, brief, vehicle, one) for one in proposed)
    steps = climbed(catalogue, brief, found)
    where = f"{brief.name}, {vehicle.name}, upgrade path"
    if spent is not None and tuple(step.spent for step in steps) != tuple(spent):
        raise AuditRefusedError(f"{where}: spent {list(spent)} as proposed, {[s.spent for s in steps]} by the audit")
    checked: list[tuple[Audited, Climbed]] = []
    for audited, step, tier in zip(found, steps, tiers, strict=True):
        checks = _checks(catalogue, step, tier, keep=keep)
        for check in checks:
            if not check.ok:
                raise AuditRefusedError(f"{where}, {tier.name}: {check.rule}: {check.figure}, {check.limit}")
        checked.append((replace(audited, checks=(*audited.checks, *checks)), step))
    return tuple(checked)


def _checks(catalogue: Catalogue, step: Climbed, tier: Tier, *, keep: bool) -> list[Check]:
    currency, most = catalogue.settings.currency, f"at most {tier.cap / 100:.2f}"
    spent = f"{step.spent / 100:.2f}"
    source = "every piece bought and all work paid so far; budget x (1 + allowance)"
    checks = [Check(SPENT, tier.name, spent, most, currency, step.spent <= tier.cap, source)]
    if keep:
        count = sum(pieces.quantity for pieces in step.aside)
        checks.append(Check(NOT_ASIDE, tier.name, count, "none", "pieces", not count, "as asked: every part is kept"))
    return checks


def climbed(catalogue: Catalogue, brief: Brief, steps: Iterable[Audited]) -> tuple[Climbed, ...]:
    """What is bought, kept, put aside and paid at every step of a path.

    Args:
        catalogue: The checked catalogue.
        brief: What the customer wants.
        steps: The audited systems, lowest first.
    """
    prices = {sku: product.price for sku, product in catalogue.by_sku().items()}
    owned: Counter[str] = Counter()
    before: Audited | None = None
    work = 0
    found: list[Climbed] = []
    for audited in steps:
        used = Counter[str]()
        for part in audited.system.parts:
            used[part.sku] += part.quantity
        bought = used - owned
        owned |= used
        labour = sum(line.line_total for line in audited.lines if line.role is Role.LABOUR)
        labour -= _stands(catalogue, before, audited) if before and brief.fitted else 0
        work += labour
        found.append(
            Climbed(
                bought=_pieces(bought, prices),
                kept=_pieces(used - bought, prices),
                aside=_pieces(owned - used, prices),
                labour=labour,
                spent=sum(prices[sku] * count for sku, count in owned.items()) + work,
            )
        )
        before = audited
    return tuple(found)


def _pieces(counts: Counter[str], prices: dict[str, int]) -> tuple[Pieces, ...]:
    return tuple(Pieces(sku, count, prices[sku]) for sku, count in sorted(counts.items()))


def _stands(catalogue: Catalogue, before: Audited, now: Audited) -> int:
    """Work on a step's system, in cents, that was done for the step before and is not done again."""
    cents = 0
    for roles, main, work in TOGETHER:
        earlier, later = (_in(one, roles) for one in (before, now))
        if earlier == later and any(role is main for role, _ in later):
            cents += _price(catalogue, work)
    amplifiers = Counter(before.system.amplifiers) & Counter(now.system.amplifiers)
    cents += amplifiers.total() * _price(catalogue, Work.AMPLIFIER)
    sheets = [Counter(dict(_sheets(one))) for one in (before, now)]
    areas = {product.sku: exact(product.sheet_m2) for product in catalogue.deadening}
    for sku, count in (sheets[0] & sheets[1]).items():
        hours, rate = catalogue.labour_hours[Work.DEADENING_PER_M2], catalogue.settings.labour_rate or 0
        cents += money.labour_price(hours, rate, count * areas[sku])
    return cents


def _in(audited: Audited, roles: frozenset[Role]) -> Counter[tuple[Role, str]]:
    return Counter({(part.role, part.sku): part.quantity for part in audited.system.parts if part.role in roles})


def _sheets(audited: Audited) -> list[tuple[str, int]]:
    return [(part.sku, part.quantity) for part in audited.system.parts if part.role is Role.DEADENING]


def _price(catalogue: Catalogue, work: Work) -> int:
    """Price of one piece of work in cents; 0 where the catalogue has no hours for it, for then no brief needs it."""
    hours, rate = catalogue.labour_hours.get(work), catalogue.settings.labour_rate
    return 0 if hours is None or rate is None else money.labour_price(hours, rate)

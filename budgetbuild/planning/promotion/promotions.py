"""All promotions of a catalogue: decided together, audited, each with its trade-off, or with the reason for none."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from budgetbuild.advice.versions import version_alerts
from budgetbuild.audit.promotion import check_bundle, check_stock
from budgetbuild.build import Bundle, NoBundle, Promotions, Shelf, Status
from budgetbuild.planning.promotion.decide import Desk
from budgetbuild.planning.promotion.reasons import missing, no_bundle
from budgetbuild.planning.promotion.sharing import Search, Shared, taken_by
from budgetbuild.planning.promotion.terms import terms_of, tracked
from budgetbuild.planning.promotion.trade_off import trade_off
from budgetbuild.program.solver import Clock

if TYPE_CHECKING:
    from collections import Counter
    from collections.abc import Callable, Mapping, Sequence

    from budgetbuild.build import TradeOff
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.planning.promotion.decide import Decided
    from budgetbuild.planning.promotion.terms import Terms
    from budgetbuild.program.solver import Solver


SETTLING = 5
"""So many bundles' time, for each promotion, may go into settling who gets what."""


@dataclass(frozen=True, slots=True)
class Solving:
    """How promotions are solved: each bundle may take `time_limit_s`, `None` for no limit."""

    solver: Solver
    time_limit_s: float | None = None

    def desk(self) -> Desk:
        """A desk for one question."""
        return Desk(replace(self.solver, fine=True), self.time_limit_s)

    def search(self, promotions: int, stock: Mapping[str, int]) -> Search:
        """A search for the best of so many promotions together."""
        limit = None if self.time_limit_s is None else self.time_limit_s * promotions * SETTLING
        return Search(self.desk(), stock, Clock(limit))


@dataclass(slots=True)
class Plan:
    """Which promotions run, and with what; why the others do not.

    Attributes:
        terms: Those that run, in the order of the sheet.
        answers: Their bundles; one that is proven has nothing better beside the others.
        out: By the name of the promotion.
        proven: Whether the bundles are proven to be the best together.
    """

    terms: tuple[Terms, ...] = ()
    shared: Shared = field(default_factory=Shared)
    answers: tuple[Decided, ...] = ()
    out: dict[str, NoBundle] = field(default_factory=dict)
    proven: bool = True


def solve_promotions(
    catalogue: Catalogue, how: Solving, progress: Callable[[str], None] = lambda _: None
) -> Promotions:
    """Decide all promotions of the catalogue out of one stock.

    One that is not possible on its own, or not beside those above it in the sheet, gives way to the others.

    Raises:
        AuditRefusedError: The audit found fault with a bundle: a defect.
        SolverError: The solver failed.
    """
    clock, stock = Clock(), tracked(catalogue)
    terms = [terms_of(catalogue, promotion) for promotion in catalogue.promotions]
    progress("Promotions, decided together")
    plan = _plan(how, terms, stock)
    bundles = []
    for one in terms:
        progress(f"Promotion {one.promotion.name}")
        bundles.append(_bundle(how, one, plan, stock))
    check_stock(catalogue, [(bundle.promotion, bundle.audited) for bundle in bundles if bundle.audited])
    scores = [bundle.promotion.sets * bundle.audited.score for bundle in bundles if bundle.audited]
    contested = tuple(sorted(plan.shared.contested))
    return Promotions(tuple(bundles), sum(scores) if scores else None, plan.shared.bound, contested, clock.spent)


def _plan(how: Solving, terms: Sequence[Terms], stock: Mapping[str, int]) -> Plan:
    """Which of the promotions run together, and with what."""
    search = how.search(len(terms), stock)
    impossible = [one for one in terms if search.ask(one).status is Status.INFEASIBLE]
    out = {one.promotion.name: no_bundle(how.desk(), one, stock) for one in impossible}
    possible = [one for one in terms if one not in impossible]
    shared = search.share(possible)
    if shared.answers or not possible:
        return Plan(tuple(possible), shared, shared.answers, out)
    if shared.stopped:
        return _in_turn(how, possible, stock, shared, out)
    return _gathered(how, search, possible, out)


def _gathered(how: Solving, search: Search, possible: Sequence[Terms], out: dict[str, NoBundle]) -> Plan:
    """Those that run together where not all do: from the top of the sheet, each that still finds its stock."""
    kept: tuple[Terms, ...] = ()
    shared = Shared()
    for one in possible:
        more = search.share((*kept, one))
        if more.stopped:
            return _in_turn(how, possible, search.stock, more, out)
        if more.answers:
            kept, shared = (*kept, one), more
        else:
            lacking = missing(taken_by((*kept, one), (*shared.answers, search.ask(one))), search.stock)
            out[one.promotion.name] = NoBundle(beside=_beside(kept, shared, more), missing=lacking)
    return Plan(kept, shared, shared.answers, out)


def _beside(kept: Sequence[Terms], shared: Shared, more: Shared) -> tuple[str, ...]:
    """Promotions that hold what another collides over."""
    return tuple(
        one.promotion.name
        for one, answer in zip(kept, shared.answers, strict=True)
        if more.contested & answer.pieces.keys()
    )


def _in_turn(
    how: Solving, terms: Sequence[Terms], stock: Mapping[str, int], shared: Shared, out: dict[str, NoBundle]
) -> Plan:
    """Where time ran out: each promotion out of what those above it leave. Nothing is promised twice, or proven."""
    left = dict(stock)
    kept: list[Terms] = []
    answers: list[Decided] = []
    for one in terms:
        answer = how.desk().best(one, left)
        if answer.status is Status.INFEASIBLE:
            out[one.promotion.name] = NoBundle(beside=tuple(other.promotion.name for other in kept))
            continue
        kept.append(one)
        answers.append(answer)
        for sku, pieces in answer.pieces.items():
            left[sku] = left.get(sku, pieces * one.promotion.sets) - pieces * one.promotion.sets
    return Plan(tuple(kept), shared, tuple(answers), out, proven=False)


def _bundle(how: Solving, one: Terms, plan: Plan, stock: Mapping[str, int]) -> Bundle:
    """One promotion, told whole."""
    name = one.promotion.name
    told = Bundle(
        promotion=one.promotion,
        brief=one.brief,
        vehicle=one.vehicle,
        tier=one.tier,
        status=Status.INFEASIBLE,
        counts=one.counts,
        uncosted=one.uncosted,
        scarce=one.scarce,
        solver=how.solver.version,
    )
    if name in plan.out:
        open_still = not plan.proven and plan.out[name].beside
        return replace(told, status=Status.TIME_LIMIT if open_still else told.status, no_bundle=plan.out[name])
    at = [other.promotion.name for other in plan.terms].index(name)
    answer = plan.answers[at]
    if answer.audited is None or answer.sale is None:
        return replace(told, status=answer.status)
    others = taken_by([*plan.terms[:at], *plan.terms[at + 1 :]], [*plan.answers[:at], *plan.answers[at + 1 :]])
    left = {sku: there - others[sku] for sku, there in stock.items()}
    return replace(
        told,
        status=answer.status if plan.proven else Status.TIME_LIMIT,
        audited=answer.audited,
        sale=answer.sale,
        checks=check_bundle(one.catalogue, one.promotion, answer.audited, answer.sale),
        shelves=_shelves(one, answer, others, stock),
        cleared=tuple(sku for sku in one.deal.clear if answer.pieces[sku]),
        trade_off=_trade_off(how, one, left, answer, proven=plan.proven),
        versions=version_alerts(one.catalogue, one.brief, one.vehicle, answer.audited),
    )


def _shelves(one: Terms, answer: Decided, others: Counter[str], stock: Mapping[str, int]) -> tuple[Shelf, ...]:
    return tuple(
        Shelf(sku, pieces, pieces * one.promotion.sets, others[sku], stock.get(sku))
        for sku, pieces in sorted(answer.pieces.items())
    )


def _trade_off(how: Solving, one: Terms, left: Mapping[str, int], answer: Decided, *, proven: bool) -> TradeOff | None:
    """The trade-off, every choice audited; `None` where margins do not count or the bundle is not proven."""
    if not one.counts or not proven:
        return None
    found = trade_off(how.desk(), one, left, answer)
    for choice in found.choices:
        check_bundle(one.catalogue, one.promotion, choice.audited, choice.sale)
    return found

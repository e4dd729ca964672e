"""A promotion as an integer program: the brief's, and what a bundle must leave in money, in stock and on the shelf.

Everything is in whole cents and of one set. T is the list total, P the price of the bundle, D = T - P its discount, N
the sum of the parts' lines without tax, C that of their costs; labour counts in T and P alone. Tax at the rate p/q is
taken out line by line, rounded half up, the discount's line like any other:

    net(y) = floor(y q / (p + q) + 1/2)        margin M = N - net(D) - C

A line is a candidate's own, so N and the room for discount are sums over columns; but two or three amplifiers or power
kits of a kind share a line, and net(2 y) may differ from 2 net(y) by a cent. Where it does, the pieces are counted out
in columns of which the k-th adds net(k y) - net((k - 1) y), likewise for the room.

The discount's net is a whole-number column K: K >= net(D) says y - K < 1/2 with y = D q / (p + q), whose fractions are
multiples of 1 / (p + q). The row's bound lies half-way between the last that holds and the first that does not:

    D q / (p + q) - K <= 1/2                       (p + q odd)
    D q / (p + q) - K <= 1/2 - 1 / (2 (p + q))     (p + q even)

More K only makes the margin smaller, so every bound on a margin holds with the least, which is exact.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import SignalLead
from budgetbuild.catalogue.names import fold
from budgetbuild.program.constraints import Row
from budgetbuild.program.deal import MERGED, MOST_MERGED
from budgetbuild.program.exact import PRICE_STEP
from budgetbuild.program.goals import Goal, highest_score, lowest_price
from budgetbuild.program.layout import Column
from budgetbuild.program.options import Cable, Leads
from budgetbuild.program.pieces import counted_out, pieces
from budgetbuild.program.program import Program, budget_cap, terms_of
from budgetbuild.trade import money, signal

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from budgetbuild.build import Part
    from budgetbuild.program.deal import Deal, Line
    from budgetbuild.program.program import Terms

Bounds = tuple[tuple[str, int, int | None], ...]
"""SKU, least and most pieces of it in one set; `None` = no matter how many."""

SCORE, MARGIN, PRICE = "score", "margin", "price"
"""Names of the goals."""

HALF = 0.5
"""Of one, left for the solver's rounding where all figures are whole."""

MOST_OF_A_KIND = 3
"""Columns of one kind in a build at most, but for cable that only a term of the brief asks for."""


@dataclass(frozen=True)
class Promoted(Program):
    """The program of one set of a promotion.

    Attributes:
        net: Price of the parts without tax, in cents, by column; likewise `cost`, and `room` for a discount.
        quantities: Pieces of each product, as terms over the columns.
        cleared: Columns that say of a product that the shop wants gone whether it is in.
        discount: The column that holds the discount without tax; `None` where there is none, or margins do not count.
        asked: The column that holds the price, where that is looked for.
    """

    deal: Deal
    net: Mapping[int, int]
    cost: Mapping[int, int]
    room: Mapping[int, int]
    quantities: Mapping[str, Terms]
    cleared: tuple[int, ...]
    discount: int | None
    asked: int | None

    @property
    def margin(self) -> Terms:
        """What one set leaves the shop, in cents: see the module."""
        terms = [(i, float(self.net.get(i, 0) - self.cost.get(i, 0))) for i in range(len(self.columns))]
        return [*((i, cents) for i, cents in terms if cents), *self._discounted(1.0)]

    def goals(self, first: str = SCORE) -> tuple[Goal, ...]:
        """Highest score; then, where it counts, highest margin; then lowest list total; another first where told."""
        counts = (Goal(MARGIN, self._spread(self.margin, -1.0), PRICE_STEP),) if self.deal.tax is not None else ()
        usual = (highest_score(self), *counts, lowest_price(self))
        return tuple(sorted(usual, key=lambda goal: goal.name != first))

    def nearest_price(self, *, above: bool) -> Goal:
        """The price that is looked for as low as may be, or as high."""
        terms = [] if self.asked is None else [(self.asked, 1.0)]
        return Goal("price of the bundle", self._spread(terms, 1.0 if above else -1.0), PRICE_STEP)

    def priced(self, least: int = 0, most: int | None = None) -> Row:
        """The price that is looked for is between two, in cents."""
        return Row("priced", [] if self.asked is None else [(self.asked, 1.0)], least, most)

    def _spread(self, terms: Terms, sign: float) -> list[float]:
        costs = [0.0] * len(self.columns)
        for i, figure in terms:
            costs[i] = sign * figure
        return costs

    def within(self, bounds: Bounds) -> list[Row]:
        """So many pieces of some products.

        least <= pieces <= most
        """
        found = [(sku, least, most, self.quantities.get(sku, [])) for sku, least, most in bounds]
        return [Row(f"within_{sku}", terms, least or None, most) for sku, least, most, terms in found]

    def earns(self, least: int) -> Row:
        """The margin is at least so much.

        M >= least    [cents]
        """
        return Row("earns", self.margin, least - HALF)

    def revenue(self, share: float) -> Terms:
        """So much of the parts' revenue without tax, the discount taken off."""
        return [*((i, share * cents) for i, cents in self.net.items()), *self._discounted(share)]

    def _discounted(self, share: float) -> Terms:
        return [] if self.discount is None else [(self.discount, -share)]


def promote(program: Program, deal: Deal) -> Promoted:
    """The program of a brief, held to a promotion's terms but for its stock."""
    quantities = pieces(program.columns)
    shared = _shared(program.columns, deal)
    columns, rows = list(program.columns), list(program.rows)
    places, counts, counting = counted_out(quantities, dict.fromkeys(shared, MOST_MERGED), len(columns))
    columns += counts
    figures = _figures(program.columns, deal, shared, places)
    cleared: list[int] = []
    for sku in deal.clear:
        if sku in quantities:
            cleared.append(len(columns))
            columns.append(Column("cleared", None))
            rows.append(Row(f"cleared_{sku}", [(cleared[-1], 1.0), *_times(quantities[sku], -1.0)], None, 0))
    most = _dearest(program.columns)
    discount = asked = None
    if deal.bundled and deal.tax is not None:
        discount = len(columns)
        columns.append(Column("discount", None, most=money.without_tax(most, deal.tax)))
    if deal.asking:
        asked = len(columns)
        columns.append(Column("price", None, most=most))
    made = Promoted(
        columns=tuple(columns),
        rows=(*rows, *counting),
        layout=program.layout,
        deal=deal,
        net=figures["net"],
        cost=figures["cost"],
        room=figures["room"],
        quantities=quantities,
        cleared=tuple(cleared),
        discount=discount,
        asked=asked,
    )
    return _with_rows(made, [row for constraint in TERMS for row in constraint(made)])


def _with_rows(made: Promoted, rows: Sequence[Row]) -> Promoted:
    return Promoted(**{one.name: getattr(made, one.name) for one in fields(made)} | {"rows": (*made.rows, *rows)})


def _shared(columns: Iterable[Column], deal: Deal) -> dict[str, Part]:
    """Products of which several on one line come to other cents than each on its own, each with a piece."""
    found: dict[str, Part] = {}
    for column in columns:
        for part in column.option.parts if column.option else ():
            if part.role in MERGED and part.sku not in found and deal.merges(part):
                found[part.sku] = part
    return dict(sorted(found.items()))


def _figures(
    columns: Sequence[Column], deal: Deal, shared: Mapping[str, Part], places: Mapping[str, Sequence[int]]
) -> dict[str, dict[int, int]]:
    found: dict[str, dict[int, int]] = {name: defaultdict(int) for name in ("net", "cost", "room")}

    def add(i: int, line: Line, less: Line | None = None) -> None:
        found["net"][i] += line.net - (less.net if less else 0)
        found["room"][i] += line.room - (less.room if less else 0)

    for i, column in enumerate(columns):
        for part in column.option.parts if column.option else ():
            found["cost"][i] += deal.line(part).cost
            if part.sku not in shared:
                add(i, deal.line(part))
    for sku, at in places.items():
        for times, i in enumerate(at, start=1):
            add(i, deal.line(shared[sku], times), deal.line(shared[sku], times - 1))
    return {name: {i: cents for i, cents in figures.items() if cents} for name, figures in found.items()}


def _dearest(columns: Iterable[Column]) -> int:
    """No build lists for more, in cents."""
    by_kind: dict[str, list[int]] = defaultdict(list)
    for column in columns:
        alone = isinstance(column.option, Cable) and not column.option.locations
        by_kind["asked cable" if alone else column.kind].append(column.price)
    return sum(
        sum(prices if kind == "asked cable" else sorted(prices)[-MOST_OF_A_KIND:]) for kind, prices in by_kind.items()
    )


def _times(terms: Iterable[tuple[int, float]], factor: float) -> Terms:
    return [(i, factor * coefficient) for i, coefficient in terms]


def _price(made: Promoted, factor: float) -> tuple[Terms, float]:
    """So many times the price of the bundle: as a term, or as a number."""
    if made.asked is not None:
        return [(made.asked, factor)], 0.0
    return [], factor * (made.deal.price or 0)


def something_in_it(made: Promoted) -> Iterator[Row]:
    """A bundle is not empty, whatever the brief leaves optional.

    T >= 1    [cents]
    """
    yield Row("something_in_it", terms_of(made.prices), HALF)


def within_cap(made: Promoted) -> Iterator[Row]:
    """Sold at list, the bundle stays within the tier's cap.

    T <= cap    [cents]
    """
    if made.deal.cap is not None:
        yield budget_cap(made, made.deal.cap)


def no_dearer_than_listed(made: Promoted) -> Iterator[Row]:
    """A bundle is not sold for more than its list comes to.

    T - P >= 0    [cents]
    """
    if made.deal.bundled:
        terms, number = _price(made, -1.0)
        yield Row("no_dearer_than_listed", [*terms_of(made.prices), *terms], -number - HALF)


def within_ceilings(made: Promoted) -> Iterator[Row]:
    """The discount finds room under the ceilings of the parts.

    T - P <= sum of room    [cents]
    """
    if made.deal.bundled:
        terms, number = _price(made, -1.0)
        listed = [(i, cents - made.room.get(i, 0)) for i, cents in enumerate(made.prices)]
        yield Row("within_ceilings", [*((i, c) for i, c in listed if c), *terms], None, -number + HALF)


def discount_without_tax(made: Promoted) -> Iterator[Row]:
    """The discount's column is at least the discount without tax, rounded half up: see the module.

    (T - P) q / (p + q) - K <= bound    [cents]
    """
    tax = made.deal.tax
    if made.discount is None or tax is None:
        return
    whole = tax.numerator + tax.denominator
    share = tax.denominator / whole
    terms, number = _price(made, -share)
    bound = HALF if whole % 2 else HALF - HALF / whole
    listed = [(i, share * cents) for i, cents in terms_of(made.prices)]
    yield Row("discount_without_tax", [*listed, *terms, (made.discount, -1.0)], None, bound - number)


def margin_floor(made: Promoted) -> Iterator[Row]:
    """The margin is at least the floor: in cents, and as the share a/b of the revenue.

    M >= floor;  (1 - a/b) (N - K) - C >= 0    [cents; the second is a multiple of 1/b]
    """
    if made.deal.floor is not None:
        yield Row("margin_floor", made.margin, made.deal.floor - HALF)
    share = made.deal.floor_share
    if share is not None:
        costs = [(i, -float(cents)) for i, cents in made.cost.items()]
        yield Row("margin_floor_share", _added([*made.revenue(float(1 - share)), *costs]), -HALF / share.denominator)


def clear_enough(made: Promoted) -> Iterator[Row]:
    """So many of the products that the shop wants gone are in.

    sum of cleared >= least
    """
    if made.deal.clear_least:
        yield Row("clear_enough", [(i, 1.0) for i in made.cleared], made.deal.clear_least)


def nothing_left_over(made: Promoted) -> Iterator[Row]:
    """A lead or cable that connects nothing comes in only where it alone meets a term of the brief.

    for each such column e and its term: sum of others that meet the term + most x e <= most
    """
    for extra, term in _extras(made):
        others = [
            i for i, column in enumerate(made.columns) if column.option and i != extra and term in column.option.tags
        ]
        if others:
            most = float(len(others))
            yield Row(f"nothing_left_over_{extra}", [*((i, 1.0) for i in others), (extra, most)], None, most)


TERMS = (
    something_in_it, within_cap, no_dearer_than_listed, within_ceilings, discount_without_tax, margin_floor,
    clear_enough, nothing_left_over,
)  # fmt: skip
"""What a promotion adds to the constraints of its brief."""


def _extras(made: Promoted) -> Iterator[tuple[int, int]]:
    """Columns that buy a lead or cable which connects nothing, each with the term for whose sake it does."""
    offer = made.layout.candidates.offer
    for i, column in enumerate(made.columns):
        option = column.option
        if isinstance(option, Cable) and not option.locations:
            spare = [option.parts[0].sku]
        elif isinstance(option, Leads):
            spare = _spare(option, made.deal)
        else:
            continue
        for sku in spare:
            met = sorted(offer.terms_met(made.deal.products[sku]))
            by_sku = [term for term in met if offer.terms[term] == fold(sku)]
            yield i, (by_sku or met)[0]


def _spare(option: Leads, deal: Deal) -> list[str]:
    leads = [(lead, part.quantity) for part in option.parts if isinstance(lead := deal.products[part.sku], SignalLead)]
    channels = sum(lead.channels * count for lead, count in leads)
    return [lead.sku for lead, _ in leads if channels - lead.channels >= signal.channels_needed(option.pairs)]


def _added(terms: Iterable[tuple[int, float]]) -> Terms:
    total: dict[int, float] = defaultdict(float)
    for i, coefficient in terms:
        total[i] += coefficient
    return sorted(total.items())

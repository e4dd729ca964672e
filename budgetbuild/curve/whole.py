"""Whole builds: which locations are on external amplifiers, and everything that follows from that."""

from __future__ import annotations

from dataclasses import astuple, dataclass
from itertools import chain, combinations
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import HeadUnitMode, Location, Want
from budgetbuild.curve.cabling import Cabling
from budgetbuild.curve.devices import POWERED, Cover, Devices
from budgetbuild.curve.labels import Labels, Merger, Scale
from budgetbuild.curve.order import Order
from budgetbuild.curve.stock import Stock
from budgetbuild.curve.tagged import EMPTY, Tagged, TaggedMerger
from budgetbuild.curve.view import views
from budgetbuild.program.layout import Layout, lay_out
from budgetbuild.program.speakers import want
from budgetbuild.program.system import system_of
from budgetbuild.trade import score

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.build import System
    from budgetbuild.program.candidates import Candidates

INSIDE = (Location.FRONT, Location.REAR)
"""Locations that an internal amplifier can drive."""

ROUNDING = 50
"""Thousandths by which a score whose terms are rounded one by one can exceed the sum of the weights, and more."""

MOST_COLUMNS = 32
"""More columns than a build can hold."""


@dataclass(frozen=True, slots=True)
class CurveBuild:
    """A build that is the best at some budget; the audit has not seen it yet. Cents, whole thousandths of a point."""

    total: int
    score: int
    system: System


def curve(found: Candidates, cap: int | None = None) -> tuple[CurveBuild, ...]:
    """Every build that is the best at some budget, cheapest first: of equal scores the cheapest, of those the first.

    Args:
        found: The candidates of a brief.
        cap: Budgets up to this one are enough, in cents; `None` = all.
    """
    layout = lay_out(found)
    order = Order(layout)
    cabling = Cabling(layout)
    mill = TaggedMerger(Merger(_scale(layout, cabling), order, cap))
    whole = mill.united(_whole(Stock(layout, view, mill, cabling)) for view in views(layout))
    best = mill.satisfying(whole, frozenset(range(len(found.offer.terms))))
    # Labels that are only joined with a constant are not searched for what is beyond the cap.
    return tuple(build for build in _builds(layout, mill.merger.scale, best) if cap is None or build.total <= cap)


def _builds(layout: Layout, scale: Scale, best: Labels) -> Iterator[CurveBuild]:
    for i, (total, points) in enumerate(zip(scale.prices(best.codes), scale.points(best.codes), strict=True)):
        options = [option for column in best.columns(i) if (option := layout.columns[column].option)]
        yield CurveBuild(int(total), int(points), system_of(options, layout.candidates.mode))


def _scale(layout: Layout, cabling: Cabling) -> Scale:
    """Room for the highest score and the dearest build.

    Raises:
        OverflowError: Prices are beyond what the codes hold: a build of more than a thousand million.
    """
    offer = layout.candidates.offer
    points = sum(astuple(offer.catalogue.weights)) + offer.catalogue.settings.limits.one_brand_points
    most = score.thousandths(points) + ROUNDING
    scale = Scale(most.bit_length(), cabling.count.bit_length())
    dearest = MOST_COLUMNS * max((column.price for column in layout.columns), default=0)
    if dearest > scale.most_price:
        raise OverflowError(f"prices up to {dearest} are beyond {scale.most_price} cents")
    return scale


def _whole(stock: Stock) -> Tagged:
    """Every build of a view that meets the brief, but for its must-include terms."""
    mill = stock.mill
    devices = Devices(stock)
    inside = _inside(stock)
    found = []
    for external, powered in _structures(stock):
        pairs = len(external) + powered
        fed = _fed(stock, devices, external, powered=powered)
        rest = mill.united(
            mill.joined(stock.sources(pairs, watt), *(labels[place] for place in places))
            for places in _driven_inside(stock, external)
            for watt, labels in (inside.items() if places else ((None, {}),))
        )
        found.append(mill.joined(fed, stock.leads(pairs), rest))
    return mill.joined(mill.united(found), stock.deadening())


def _structures(stock: Stock) -> Iterator[tuple[Cover, bool]]:
    """Every set of locations on external amplifiers, with and without a powered subwoofer."""
    for external in _subsets(tuple(Location)):
        for powered in (False, True):
            has_bass = powered or Location.BASS in external
            if powered and Location.BASS in external:
                continue
            if not has_bass and _required(stock, Location.BASS):
                continue
            if stock.view.amplified and not external:
                continue
            yield frozenset(external), powered


def _driven_inside(stock: Stock, external: Cover) -> Iterator[tuple[Location, ...]]:
    """Every set of locations on the internal amplifier beside those on external ones that fills what is required."""
    open_ = tuple(place for place in INSIDE if place not in external)
    for places in _subsets(open_):
        if all(place in places or not _required(stock, place) for place in open_):
            yield places


def _required(stock: Stock, location: Location) -> bool:
    wanted = want(stock.layout.candidates.offer, location) is Want.REQUIRED
    return wanted or (location is Location.FRONT and stock.view.fronted)


def _subsets(places: tuple[Location, ...]) -> Iterator[tuple[Location, ...]]:
    return chain.from_iterable(combinations(places, count) for count in range(len(places) + 1))


def _inside(stock: Stock) -> dict[float | None, dict[Location, Tagged]]:
    """What an internal amplifier drives at front and rear, by its power; one power alone for a kept unit."""
    found: dict[float | None, dict[Location, Tagged]] = {}
    for place in INSIDE:
        for j, supply in enumerate(stock.layout.candidates.pairings[place].supplies):
            if not supply.external:
                bought = stock.layout.candidates.mode is HeadUnitMode.REPLACE
                watt = supply.internal_w if bought else None
                found.setdefault(watt, {})[place] = stock.driven(place, j)
    return {watt: {place: some.get(place, {}) for place in INSIDE} for watt, some in found.items()}


def _fed(stock: Stock, devices: Devices, external: Cover, *, powered: bool) -> Tagged:
    """External amplifiers and powered subwoofer with what they drive, power kits and speaker cable."""
    mill = stock.mill
    offer = stock.layout.candidates.offer
    most, exactly = offer.catalogue.settings.limits.max_amplifiers, offer.narrowing.amplifiers
    found = []
    for covers in _partitions(external):
        if len(covers) > most or exactly not in {None, len(covers)}:
            continue
        fed = [*covers, *([POWERED] if powered else [])]
        found.append(devices.own(fed))
        if len(fed) > 1:
            found.append(devices.sharing(fed))
    plain = mill.united(found)
    if external and stock.view.bonus:
        plain = mill.joined(plain, stock.bonus())
    return _cabled(stock, plain, external)


def _partitions(external: Cover) -> Iterator[list[Cover]]:
    """Every way to share locations out among amplifiers."""
    if not external:
        yield []
        return
    places = [location for location in Location if location in external]
    first, others = places[0], tuple(places[1:])
    for beside in _subsets(others):
        for rest in _partitions(external - {first, *beside}):
            yield [frozenset((first, *beside)), *rest]


def _cabled(stock: Stock, plain: Tagged, external: Cover) -> Tagged:
    """With the speaker cable that each class of loads needs, and cable that a term asks for."""
    mill = stock.mill
    classed = []
    for number, loads in stock.cabling.classes(external):
        labels = mill.of_class(plain, number)
        if any(len(some) for some in labels.values()):
            sets = mill.united(
                mill.joined(*(stock.leaf([i]) for i in columns)) for columns in stock.cabling.purchases(loads)
            )
            classed.append(mill.joined(labels, sets))
    asked = (mill.united([EMPTY, stock.leaf([i])]) for i in stock.cabling.asked)
    return mill.joined(mill.united(classed), *asked)

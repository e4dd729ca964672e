"""What binds the columns of one system for several vehicles: see `covering` for their names.

Each function yields rows over all columns; sums run over the columns that the words name, v over the vehicles.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.program.common import terms_met
from budgetbuild.program.constraints import MILLI, Row
from budgetbuild.program.covering import Covering, cover
from budgetbuild.program.layout import Device
from budgetbuild.program.options import Cable, Kit
from budgetbuild.program.program import extended
from budgetbuild.trade.figures import SLACK

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from budgetbuild.catalogue.kinds import Location
    from budgetbuild.program.common import Common


def formulate_covering(common: Common, weights: Sequence[int]) -> Covering:
    """Write the constraints of one system for several vehicles; how many it must cover, and the cap, come later.

    Args:
        common: Candidates that they have in common.
        weights: How much each vehicle counts, whole numbers above 0.
    """
    program = cover(common, weights)
    return extended(program, (), [row for rows in COVERING for row in rows(program)])


def enough_covered(program: Covering, asked: int) -> Row:
    """The vehicles covered count as much as is asked for.

    sum over v of w_v c_v >= asked    [whole numbers]
    """
    return Row("enough_covered", list(zip(program.covered, map(float, program.weights), strict=True)), asked)


def every_cap(program: Covering, cap: int) -> Row:
    """The system stays within the tier's cap in every vehicle that it covers.

    H <= cap    [whole cents]
    """
    return Row("every_cap", [(program.highest, 1.0)], None, cap)


def paid_where_covered(program: Covering, cap: int) -> Iterator[Row]:
    """What is paid in a vehicle is its price, where it is covered.

    for each v: sum of price in v x column + sum of extra x z + U c_v - S_v <= U, where nothing costs more than U in v:
    what is common is within the cap, and U is the most that v's own parts can add    [whole cents]
    """
    for vehicle, column in enumerate(program.covered):
        most = cap + program.extras[vehicle]
        terms = [*_price_terms(program, vehicle), (column, float(most)), (program.paid[vehicle], -1.0)]
        yield Row(f"paid_where_covered_{vehicle}", terms, None, most)


def fits_where_covered(program: Covering) -> Iterator[Row]:
    """Nothing that does not fit a vehicle is in a system that covers it.

    for each slot and v: sum of candidates that do not fit v + c_v <= 1
    """
    for number, slot in enumerate(program.slots):
        for vehicle, column in enumerate(program.covered):
            misfits = [(i, 1.0) for i in slot if not program.fits[i][vehicle]]
            if misfits:
                yield Row(f"fits_where_covered_{number}_{vehicle}", [*misfits, (column, 1.0)], None, 1)


def highest_price(program: Covering) -> Iterator[Row]:
    """The highest price of a vehicle covered is no less than the price in each of them.

    sum of least price x column - H <= 0, for some vehicle is covered;
    for each v: sum of price in v x column + sum of extra x z + M_v c_v - H <= M_v, where M_v is the most that v's own
    parts can add to the least price    [whole cents]
    """
    least = [(i, float(column.price)) for i, column in enumerate(program.layout.columns) if column.price]
    yield Row("highest_price", [*least, (program.highest, -1.0)], None, 0)
    for vehicle, column in enumerate(program.covered):
        extra = program.extras[vehicle]
        terms = [*_price_terms(program, vehicle), (program.highest, -1.0)]
        terms += [(column, float(extra))] if extra else []
        yield Row(f"highest_price_{vehicle}", terms, None, extra)


def _price_terms(program: Covering, vehicle: int) -> list[tuple[int, float]]:
    """What everything costs in a vehicle."""
    terms = [(i, float(price)) for i, price in enumerate(program.prices_in[vehicle]) if price]
    return terms + [(z, float(one.extra)) for z, one in program.dearer.items() if one.vehicle == vehicle and one.extra]


def dearer_versions(program: Covering) -> Iterator[Row]:
    """A dearer version is taken of what is there, in a vehicle that is covered, in the place of the cheapest.

    for each candidate i and v: sum of its z in v - column i <= 0, sum of its z in v - c_v <= 0
    """
    by_place: dict[tuple[int, int], list[tuple[int, float]]] = {}
    for column, one in program.dearer.items():
        by_place.setdefault((one.of, one.vehicle), []).append((column, 1.0))
    for (of, vehicle), terms in by_place.items():
        yield Row(f"dearer_versions_{of}_{vehicle}", [*terms, (of, -1.0)], None, 0)
        yield Row(f"dearer_versions_{of}_{vehicle}_covered", [*terms, (program.covered[vehicle], -1.0)], None, 0)


def terms_in_every_vehicle(program: Covering) -> Iterator[Row]:
    """Every must-include term is met in every vehicle covered.

    for each term and v: sum of columns whose version in v meets it + sum of z that meet it - sum of z in whose place
    the cheapest version would meet it - c_v >= 0
    """
    for term in range(len(program.common.offer.terms)):
        for vehicle, column in enumerate(program.covered):
            meets = {i: float(_meets(program, i, vehicle, term)) for i in range(len(program.layout.columns))}
            terms = [(i, value) for i, value in meets.items() if value]
            for z, one in program.dearer.items():
                change = float(term in terms_met(one.option)) - meets[one.of]
                if one.vehicle == vehicle and change:
                    terms.append((z, change))
            yield Row(f"terms_in_every_vehicle_{term}_{vehicle}", [*terms, (column, -1.0)], 0)


def _meets(program: Covering, column: int, vehicle: int, term: int) -> bool:
    version = program.version(column, vehicle)
    return version is not None and term in terms_met(version)


def shared_kit_everywhere(program: Covering) -> Iterator[Row]:
    """A shared power kit carries the sum of the currents over the run of every vehicle covered.

    for each v: sum of current x shared device - sum of capacity in v x kit + D_v c_v <= D_v, where D_v is the most by
    which a kit carries less in v than in some vehicle, which is covered    [mA]
    """
    layout = program.layout
    kits = [(i, kit) for i in layout.kits if isinstance(kit := layout.columns[i].option, Kit)]
    devices = [(i, device) for i in layout.shared if isinstance(device := layout.columns[i].option, Device)]
    drawn = [(i, device.current_a * MILLI) for i, device in devices]
    for vehicle, column in enumerate(program.covered):
        # A kit that does not reach is ruled out elsewhere; here it may carry what it carries anywhere.
        carries = {i: program.common.capacities[kit][vehicle] or kit.capacity_a for i, kit in kits}
        short = max((kit.capacity_a - carries[i] for i, kit in kits), default=0.0) * MILLI * (1 + SLACK)
        if short:
            carried = [(i, -carries[i] * MILLI * (1 + SLACK)) for i, _ in kits]
            yield Row(f"shared_kit_everywhere_{vehicle}", [*drawn, *carried, (column, short)], None, short)


def cable_everywhere(program: Covering) -> Iterator[Row]:
    """A speaker cable is thick enough for its load in every vehicle covered.

    for each location, load z and v: sum of cables good for z there in v - sum of external pairings of loads <= z
    - c_v >= -1
    """
    layout = program.layout
    for location, pairing in layout.candidates.pairings.items():
        external = [
            (pairing.loads[i].ohm, column)
            for (i, j), column in layout.pairing[location].items()
            if pairing.supplies[j].external
        ]
        for z in sorted({ohm for ohm, _ in external}):
            driven = [(column, -1.0) for ohm, column in external if ohm <= z]
            anywhere = _good_for(program, location, z, None)
            for vehicle, covered in enumerate(program.covered):
                good = _good_for(program, location, z, vehicle)
                if good != anywhere:
                    terms = [*((i, 1.0) for i in good), *driven, (covered, -1.0)]
                    yield Row(f"cable_everywhere_{location}_{z:g}_{vehicle}", terms, -1)


def _good_for(program: Covering, location: Location, ohm: float, vehicle: int | None) -> list[int]:
    """Columns of speaker cables that may serve a load at a location: in a vehicle, or (`None`) in any of them."""
    return [
        i
        for i in program.layout.cables
        if isinstance(cable := program.columns[i].option if vehicle is None else program.version(i, vehicle), Cable)
        and location in cable.locations
        and cable.least_ohm[cable.locations.index(location)] <= ohm
    ]


COVERING: tuple[Callable[[Covering], Iterator[Row]], ...] = (
    fits_where_covered,
    highest_price,
    dearer_versions,
    terms_in_every_vehicle,
    shared_kit_everywhere,
    cable_everywhere,
)
